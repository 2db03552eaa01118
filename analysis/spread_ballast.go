package analysis

import (
	"fmt"
	"maps"
	"slices"

	"copperglass/model"
	"copperglass/model/net"
)

// ballast is the resistor that all parts of a stack hang on.
type ballast struct {
	ref          string
	inner, outer string // its pins, towards the stack and away from it
	stackInner   string // the stack's pins likewise
	stackOuter   string
	each         float64 // Ω of one resistor for each part of the stack
}

// findBallasts returns the ballasts of the stacks of lights: resistors of more
// than 0 Ω that share a net with a stack and with nothing else. A stack of as
// many resistors counts as one.
func (b *batch) findBallasts(d *model.Diagram, nets *net.Netlist) map[string]ballast {
	found, taken := map[string]ballast{}, map[string]bool{}
	for _, p := range d.Parts {
		if p.Multiple() == 1 || p.Kind != "led" && p.Kind != "lamp" {
			continue
		}
		pins := p.LookupKind().Pins(p)
		for i := range pins {
			one := ballast{stackInner: pins[i].Name, stackOuter: pins[1-i].Name}
			if b.hangsOn(&one, d, nets, p) && !taken[one.ref] {
				found[p.Ref], taken[one.ref] = one, true
				break
			}
		}
	}
	return found
}

// hangsOn looks for the ballast at the stack's inner pin.
func (b *batch) hangsOn(one *ballast, d *model.Diagram, nets *net.Netlist, stack *model.Part) bool {
	joined := nets.Nets[nets.Pin(stack.Ref, one.stackInner)].Pins
	if len(joined) != 2 {
		return false
	}
	other := joined[0]
	if other.Ref == stack.Ref {
		other = joined[1]
	}
	r := d.Part(other.Ref)
	if r == nil || r.Kind != "resistor" || r.Multiple() != 1 && r.Multiple() != stack.Multiple() {
		return false
	}
	one.ref, one.inner, one.outer = r.Ref, other.Pin, "2"
	if other.Pin == "2" {
		one.outer = "1"
	}
	values, _ := d.Resolve(r, b.options.Set)
	one.each = values.Num("resistance") * float64(stack.Multiple()/r.Multiple())
	return one.each > 0
}

// separate gives each part of the stacks that have a ballast a resistor of its
// own, and each pair a net of its own between them. At the nominal values that
// changes nothing but the names: all those nets have the same voltage.
func (b *batch) separate(nets *net.Netlist) {
	made := map[string]*model.Part{}
	var added []*model.Part
	for _, ref := range slices.Sorted(maps.Keys(b.ballasts)) {
		for _, p := range b.branches(ref, nets) {
			made[p.Ref] = p
			if b.diagram.Part(p.Ref) == nil {
				added = append(added, p)
			}
		}
	}
	out := *b.diagram
	out.Parts = make([]*model.Part, 0, len(b.diagram.Parts)+len(added))
	for _, p := range b.diagram.Parts {
		if branch := made[p.Ref]; branch != nil {
			p = branch
		}
		out.Parts = append(out.Parts, p)
	}
	out.Parts = append(out.Parts, added...)
	b.diagram = &out
}

// branches makes the stack's parts and their resistors anew. The first pair
// stays where it stands and lends its outer nets their names; the others are
// joined by names alone.
func (b *batch) branches(ref string, nets *net.Netlist) []*model.Part {
	one := b.ballasts[ref]
	lightNet, resistorNet := netName(nets, ref, one.stackOuter), netName(nets, one.ref, one.outer)
	light, resistor := b.diagram.Part(ref).Clone(), b.diagram.Part(one.ref).Clone()
	light.Tags = with(light.Tags, one.stackOuter, lightNet)
	resistor.Tags = with(resistor.Tags, one.outer, resistorNet)
	made, own := []*model.Part{light, resistor}, []string{one.ref}
	for i, member := range b.stacks[ref][1:] {
		own = append(own, fmt.Sprintf("%s#%d", one.ref, i+2))
		between := own[i+1] + " to " + member
		made = append(made,
			joinedBy(light, member, map[string]string{one.stackInner: between, one.stackOuter: lightNet}),
			joinedBy(resistor, own[i+1], map[string]string{one.inner: between, one.outer: resistorNet}))
	}
	b.stacks[one.ref] = own
	for _, r := range own {
		b.options.Set.Set(r, "resistance", model.Number(one.each))
	}
	return made
}

func netName(nets *net.Netlist, ref, pin string) string { return nets.Nets[nets.Pin(ref, pin)].Name }

// with returns tags and one more, or another in its place.
func with(tags map[string]string, pin, name string) map[string]string {
	out := map[string]string{pin: name}
	for p, n := range tags {
		if p != pin {
			out[p] = n
		}
	}
	return out
}

// joinedBy returns a copy of the part under another name that stands nowhere.
func joinedBy(p *model.Part, ref string, tags map[string]string) *model.Part {
	c := p.Clone()
	c.Ref, c.Placed, c.Tags = ref, false, tags
	return c
}
