package analysis

import (
	"cmp"
	"context"
	"math"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// faults are found in any order and sorted at the end.
type faults []Fault

func (f *faults) add(one Fault) { *f = append(*f, one) }

// stop reports whether one of them stands in the way of a solution.
func (f faults) stop() bool {
	return slices.ContainsFunc(f, func(one Fault) bool { return one.Stops })
}

// sorted returns those that stop the analysis first and what is not finished yet
// last, each group in natural order, each sentence about a place once.
func (f faults) sorted() []Fault {
	slices.SortStableFunc(f, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(btoi(b.Stops), btoi(a.Stops)), cmp.Compare(btoi(a.Unfinished), btoi(b.Unfinished)),
			model.NaturalCompare(a.Text, b.Text))
	})
	return slices.CompactFunc(f, func(a, b Fault) bool {
		return a.Text == b.Text && (a.At == nil || b.At == nil || *a.At == *b.At)
	})
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// drawingFaults finds what is wrong with the drawing before anything is
// computed.
func drawingFaults(d *model.Diagram, nets *net.Netlist) faults {
	return drawingFaultsUntil(context.Background(), d, nets)
}

// drawingFaultsUntil does the same until the context ends.
func drawingFaultsUntil(ctx context.Context, d *model.Diagram, nets *net.Netlist) faults {
	found := emptyDrawing(d)
	for _, look := range []func(context.Context, *model.Diagram, *net.Netlist) faults{doubledNames, looseEnds, strayTags, idleSigns, bridgedParts} {
		if ctx.Err() != nil {
			return found
		}
		found = append(found, look(ctx, d, nets)...)
	}
	if len(d.Modes) == 0 {
		return found
	}
	parts := partsByName(d)
	for _, m := range d.Modes {
		found = append(found, strayStates(parts, m)...)
	}
	return found
}

func emptyDrawing(d *model.Diagram) faults {
	for _, p := range d.Parts {
		if k := p.LookupKind(); k != nil && k.Equation != nil {
			return nil
		}
	}
	return faults{{Text: "there is nothing to compute yet; place a battery and what it feeds", Stops: true}}
}

func doubledNames(ctx context.Context, d *model.Diagram, nets *net.Netlist) faults {
	if !nets.HasNamesakes() {
		return nil
	}
	count := make(map[string]int, len(d.Parts))
	var found faults
	for i := range upTo(ctx, len(d.Parts)) {
		p := d.Parts[i]
		if count[p.Ref]++; count[p.Ref] == 2 {
			found.add(Fault{Text: "more than one part is called " + p.Ref + "; rename the others", Stops: true, Parts: []string{p.Ref}})
		}
	}
	return found
}

func looseEnds(ctx context.Context, d *model.Diagram, nets *net.Netlist) faults {
	loose := nets.Loose()
	if len(loose) == 0 {
		return nil
	}
	pins := placedPins(ctx, d)
	var found faults
	for _, l := range loose {
		if ctx.Err() != nil {
			return found
		}
		at := l.At
		found.add(Fault{
			Text:  "a wire's loose end" + besidePin(ctx, pins, at) + ": lead it to a pin or a wire, or take it away",
			Nets:  []int{nets.Wire(l.Wire)},
			Wires: []int{l.Wire},
			At:    &at,

			Unfinished: true,
		})
	}
	return found
}

// placedPin is a pin of a part that stands on the sheet.
type placedPin struct {
	part *model.Part
	name string
	at   geom.Point
}

func placedPins(ctx context.Context, d *model.Diagram) []placedPin {
	var pins []placedPin
	for i := range upTo(ctx, len(d.Parts)) {
		if p := d.Parts[i]; p.Placed && p.LookupKind() != nil {
			for _, pin := range p.PlacedPins() {
				pins = append(pins, placedPin{p, pin.Name, pin.At})
			}
		}
	}
	return pins
}

// besidePin says which pin is the nearest to a place, by steps along the grid,
// or nothing where there is none.
func besidePin(ctx context.Context, pins []placedPin, at geom.Point) string {
	best, least := -1, math.MaxInt
	for i := range upTo(ctx, len(pins)) {
		by := pins[i].at.Sub(at)
		if steps := max(by.X, -by.X) + max(by.Y, -by.Y); steps < least {
			best, least = i, steps
		}
	}
	if best < 0 {
		return ""
	}
	return " near " + pins[best].part.Ref + "'s " + pinName(pins[best].part, pins[best].name)
}

// strayTags finds tags on pins that a part does not have.
func strayTags(ctx context.Context, d *model.Diagram, nets *net.Netlist) faults {
	var found faults
	for i := range upTo(ctx, len(d.Parts)) {
		p := d.Parts[i]
		if p.LookupKind() == nil {
			continue
		}
		for pin, tag := range p.Tags {
			if nets.Pin(p.Ref, pin) < 0 {
				found.add(Fault{Text: p.Ref + " has the tag " + tag + " on pin " + pin + ", which it does not have; move the tag", Parts: []string{p.Ref}})
			}
		}
	}
	return found
}

// openPins finds pins that are joined to nothing, and, in one fault, parts that
// are joined to nothing at all.
func (c *circuit) openPins(ctx context.Context) faults {
	var found faults
	var bare []string
	for p := range c.partsUntil(ctx) {
		open := c.openPinsOf(p)
		if len(open) > 1 && len(open) == len(p.pins) && c.bare(p) {
			bare = append(bare, p.Ref)
			continue
		}
		for _, pin := range open {
			found.add(Fault{
				Text:  p.Ref + "'s " + pinName(p.Part, pin) + " goes nowhere",
				Parts: []string{p.Ref},
				Nets:  []int{p.net(pin)},
				At:    pinPlace(p.Part, pin),

				Unfinished: true,
			})
		}
	}
	if bare = sortedNames(bare); len(bare) > 0 {
		found.add(Fault{Text: someOf(bare) + verb(len(bare), " is", " are") + " joined to nothing yet", Parts: bare, Unfinished: true})
	}
	return found
}

// bare reports whether not even a wire is at any pin of the part.
func (c *circuit) bare(p *part) bool {
	return !p.Placed || !slices.ContainsFunc(p.pins, func(pin string) bool { return !c.nets.Alone(p.Ref, pin) })
}

func (c *circuit) openPinsOf(p *part) []string {
	var open []string
	for i, pin := range p.pins {
		n := &c.nets.Nets[p.nets[i]]
		if len(n.Pins) == 1 && !n.Ground && !mayStayOpen(p, pin) && !c.isSpareEnd(p, pin) {
			open = append(open, pin)
		}
	}
	return open
}

// pinPlace returns where the pin stands on the sheet, or nil.
func pinPlace(p *model.Part, pin string) *geom.Point {
	if !p.Placed {
		return nil
	}
	for _, q := range p.PlacedPins() {
		if q.Name == pin {
			return &q.At
		}
	}
	return nil
}

// idleSigns finds ground symbols and tags on the sheet that touch nothing.
func idleSigns(ctx context.Context, d *model.Diagram, nets *net.Netlist) faults {
	var found faults
	for i := range upTo(ctx, len(d.Parts)) {
		p := d.Parts[i]
		k := p.LookupKind()
		if k == nil || !k.Sign || !p.Placed {
			continue
		}
		for _, pin := range p.PlacedPins() {
			if nets.Alone(p.Ref, pin.Name) {
				found.add(Fault{Text: p.Ref + " is joined to nothing; put it on a pin or a wire", Parts: []string{p.Ref}, At: &pin.At, Unfinished: true})
			}
		}
	}
	return found
}

// mayStayOpen reports whether the pin is one that is often joined to nothing.
func mayStayOpen(p *part, pin string) bool {
	for _, c := range p.Part.Pins {
		if c.Number == pin {
			return c.Role != "supply" && c.Role != "ground"
		}
	}
	return false
}

// isSpareEnd reports whether the pin is the unused end of a potentiometer that
// serves as a variable resistor.
func (c *circuit) isSpareEnd(p *part, pin string) bool {
	if p.Kind != "potentiometer" || pin == "W" {
		return false
	}
	other := "1"
	if pin == "1" {
		other = "2"
	}
	joined := func(pin string) bool { return len(c.nets.Nets[p.net(pin)].Pins) > 1 }
	return joined("W") && joined(other)
}
