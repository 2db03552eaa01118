package tool

import (
	"cmp"
	"slices"
	"strings"

	"copperglass/model"
	"copperglass/model/geom"
)

// ChangeKind makes the selected parts parts of kind k. Each keeps its place, what
// it is joined to and all that the new kind understands of it; see Part.Recast
// for its name. Signs on the drawing stay what they are.
func (e *Editor) ChangeKind(k *model.Kind) {
	if e.Busy() || k.Sign {
		return
	}
	s := e.Selection()
	f := model.NewDraft(e.history.Diagram())
	sel := s.clone()
	for _, p := range slices.Clone(f.Diagram().Parts) {
		if s.Parts[p.Ref] && p.Kind != k.Name && !isSign(p) && f.Diagram().Part(p.Ref) == p {
			delete(sel.Parts, p.Ref)
			sel.Parts[recast(f, p, k)] = true
		}
	}
	e.commit(f, "change to "+k.Title, "")
	e.sel = sel
}

func isSign(p *model.Part) bool { k := p.LookupKind(); return k != nil && k.Sign }

// recast puts p, as a part of kind k, in its own place and returns its ref.
func recast(f *model.Draft, p *model.Part, k *model.Kind) string {
	c, pins := p.Recast(k)
	if c.Ref == "" {
		c.Ref = anewRef(f.Diagram(), p.Ref, k.Prefix)
	}
	retarget(f, p.Ref, c, pins)
	if !p.Placed {
		f.SetPart(p.Ref, c)
		return c.Ref
	}
	r := &recasting{sheet: newSheet(f.Diagram()), old: p, pins: pins}
	f.Become(r.best(c).Diagram())
	return c.Ref
}

// anewRef returns a free ref of other letters, with the number of the old one if
// that is free.
func anewRef(d *model.Diagram, ref, letters string) string {
	_, number := splitRef(ref)
	same := letters + number
	if slices.ContainsFunc(d.Parts, func(p *model.Part) bool { return strings.EqualFold(p.Ref, same) }) {
		return d.NextRef(letters)
	}
	return same
}

// retarget makes what speaks of the part called ref, and of its pins, speak of c.
// What a mode sets that c does not have is forgotten.
func retarget(f *model.Draft, ref string, c *model.Part, pins map[string]string) {
	k := c.LookupKind()
	forgetIf(f, func(target, pin string) bool {
		return target == ref && (pin == "" && k.Param("state") == nil || pin != "" && len(k.PinStates) == 0)
	})
	f.Retarget(func(r, name string) (string, string) {
		if r != ref {
			return r, name
		}
		return c.Ref, cmp.Or(pins[name], name)
	})
}

// recasting is a part being replaced by one of another kind.
type recasting struct {
	*sheet
	old  *model.Part
	pins map[string]string // the new part's pins by the old one's
}

// best returns the drawing with c in the place of the old part: laid so that as
// many pins as can be stand where they stood, and joins what was joined.
func (r *recasting) best(c *model.Part) *model.Draft {
	laid := r.layings(c)
	for _, p := range laid[:min(len(laid), mostLayings)] {
		if f := r.with(p); r.sound(f.Diagram(), p) {
			return f
		}
	}
	return r.with(laid[0])
}

// mostLayings bounds how many ways to lay a part are tried.
const mostLayings = 12

// layings returns the ways to lay c, the best first.
func (r *recasting) layings(c *model.Part) []*model.Part {
	was := r.places(r.old)
	var all []*model.Part
	fits := map[*model.Part]int{}
	for _, o := range r.orients() {
		p := c.Clone()
		p.Orient = o
		is := r.places(p)
		shifts := []geom.Point{{}}
		for from, to := range r.pins {
			shifts = append(shifts, was[from].Sub(is[to]))
		}
		slices.SortFunc(shifts, byRow)
		for _, by := range slices.Compact(shifts) {
			q := p.Clone()
			q.At = p.At.Add(by)
			for from, to := range r.pins {
				if is[to].Add(by) == was[from] {
					fits[q]++
				}
			}
			all = append(all, q)
		}
	}
	slices.SortStableFunc(all, func(p, q *model.Part) int {
		return cmp.Or(cmp.Compare(fits[q], fits[p]), cmp.Compare(gap(p.At, c.At), gap(q.At, c.At)))
	})
	return all
}

// orients are the eight ways to lay a part, as the old one lies first.
func (r *recasting) orients() []geom.Orientation {
	all := orientations()
	return slices.Compact(append([]geom.Orientation{r.old.Orient}, all[:]...))
}

// places returns where the pins of a part stand.
func (r *recasting) places(p *model.Part) map[string]geom.Point {
	at := map[string]geom.Point{}
	for _, pin := range p.PlacedPins() {
		at[pin.Name] = pin.At
	}
	return at
}

// with puts p in the place of the old part, and wires from pins that moved to
// what they were joined to.
func (r *recasting) with(p *model.Part) *model.Draft {
	f := model.NewDraft(r.d)
	f.SetPart(r.old.Ref, p)
	is := r.places(p)
	t := survey(f.Diagram(), noWire)
	for _, pin := range r.old.PlacedPins() {
		o := r.spots.at[pin.At]
		to, kept := r.pins[pin.Name]
		if !kept || is[to] == pin.At || o.members() < 2 {
			continue
		}
		way := t.route(is[to], pin.At, nil)
		t.addWay(way)
		f.AddWire(&model.Wire{Points: way})
	}
	return f
}

// sound reports whether all pins join in after what they joined before, and a
// new pin nothing.
func (r *recasting) sound(after *model.Diagram, p *model.Part) bool {
	now := newSheet(after)
	there, back := map[int]int{}, map[int]int{}
	agree := func(m map[int]int, a, b int) bool {
		first, seen := m[a]
		m[a] = b
		return !seen || first == b
	}
	kept := map[string]bool{}
	for _, part := range r.d.Parts {
		for _, pin := range part.PlacedPins() {
			ref, name, ok := part.Ref, pin.Name, true
			if part == r.old {
				ref = p.Ref
				name, ok = r.pins[pin.Name]
				kept[name] = true
			}
			was, is := r.nets.Pin(part.Ref, pin.Name), now.nets.Pin(ref, name)
			if ok && (!agree(there, was, is) || !agree(back, is, was)) {
				return false
			}
		}
	}
	for _, pin := range p.PlacedPins() {
		if o := now.spots.at[pin.At]; !kept[pin.Name] && o.members() > 1 {
			return false
		}
	}
	return true
}
