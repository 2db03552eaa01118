package tool

import (
	"iter"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// plan says how the wires follow when parts and wires are carried away. It
// depends on what is carried, not on where to: a drag makes it once.
//
// A spot goes along when all that holds it there does. A wire is carried whole
// when its ends go and no pin on it stays. Of another wire with an end that
// goes, only the stretch between what goes and what stays is laid anew.
type plan struct {
	*sheet
	parts map[string]bool
	whole []bool // by wire
	slide *slide // a straight piece of a wire that moves alone, or nil
	loose bool   // whether what is carried leaves all else behind

	partly []split // wires that are laid anew in part
	held   []int   // wires carried whole of which an end has to stay joined where it was
}

// split says which knots of a wire go: so many at its beginning and at its
// end.
type split struct{ wire, head, tail int }

// newPlan returns the plan for carrying away what is selected. Parts that do
// not stand on the sheet stay as they are.
func newPlan(s *sheet, sel Selection) *plan {
	p := newLoose(s, sel)
	p.loose = false
	p.spread()
	p.divide()
	return p
}

// newLoose returns the plan for carrying away what is selected and nothing else:
// what was joined to it comes apart.
func newLoose(s *sheet, sel Selection) *plan {
	p := &plan{sheet: s, loose: true, parts: map[string]bool{}, whole: make([]bool, len(s.d.Wires))}
	for _, part := range s.d.Parts {
		if part.Placed && sel.Parts[part.Ref] {
			p.parts[part.Ref] = true
		}
	}
	for i, w := range s.d.Wires {
		p.whole[i] = sel.Wires[w.ID]
	}
	return p
}

// goes reports whether a spot, seen from a wire that is joined there, is
// carried along.
func (p *plan) goes(o *spot, wire int) bool {
	if p.slide != nil {
		return p.slide.carries(o)
	}
	if p.pinStays(o) {
		return false
	}
	carried := len(o.pins) > 0
	for _, w := range o.through {
		if w != wire {
			if !p.whole[w] {
				return false
			}
			carried = true
		}
	}
	for _, w := range o.ends {
		carried = carried || w != wire && p.whole[w]
	}
	return carried
}

// spread finds the wires that are carried whole with others.
func (p *plan) spread() {
	queue := make([]int, len(p.whole))
	for i := range queue {
		queue[i] = i
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		if p.whole[i] || !p.free(i) {
			continue
		}
		p.whole[i] = true
		for _, k := range p.spots.on[i] {
			queue = append(append(queue, k.ends...), k.through...)
		}
	}
}

// free reports whether nothing keeps a wire from being carried whole.
func (p *plan) free(wire int) bool {
	knots := p.spots.on[wire]
	for i, k := range knots {
		if atEnd := i == 0 || i == len(knots)-1; atEnd && !p.goes(k.spot, wire) || p.pinStays(k.spot) {
			return false
		}
	}
	return true
}

func (p *plan) pinStays(o *spot) bool {
	return slices.ContainsFunc(o.pins, func(id net.PinID) bool { return !p.parts[id.Ref] })
}

// going counts the knots of a wire that go, up to the first that stays.
func (p *plan) going(wire int, knots iter.Seq2[int, knot]) int {
	n := 0
	for _, k := range knots {
		if !p.goes(k.spot, wire) {
			break
		}
		n++
	}
	return n
}

// divide finds the wires that do not simply stay or go.
func (p *plan) divide() {
	for i := range p.whole {
		knots := p.spots.on[i]
		if p.whole[i] {
			if p.holds(knots[0].spot, i) || p.holds(knots[len(knots)-1].spot, i) {
				p.held = append(p.held, i)
			}
			continue
		}
		if s := (split{i, p.going(i, slices.All(knots)), p.going(i, slices.Backward(knots))}); s.head+s.tail > 0 {
			p.partly = append(p.partly, s)
		}
	}
}

// holds reports whether something at the spot stays: a pin, or another wire
// that passes.
func (p *plan) holds(o *spot, wire int) bool {
	if p.slide != nil {
		return !p.slide.carries(o)
	}
	passes := func(w int) bool { return w != wire && !p.whole[w] }
	return p.pinStays(o) || slices.ContainsFunc(o.through, passes)
}

// moved carries everything as the motion says, and lets parts go into the wires
// they come to lie along.
func (p *plan) moved(m motion) *model.Draft {
	f := p.apply(m)
	p.open(f, p)
	return f
}

// apply carries everything as the motion says.
func (p *plan) apply(m motion) *model.Draft {
	c := &carrying{plan: p, f: model.NewDraft(p.d), to: m.at}
	c.work = model.Diagram{Parts: slices.Clone(p.d.Parts), Wires: slices.Clone(p.d.Wires)}
	for i, old := range p.d.Parts {
		if p.parts[old.Ref] {
			part := old.Clone()
			part.At, part.Orient = m.at(old.At), m.lay(old.Orient)
			c.work.Parts[i] = part
		}
	}
	for i, w := range p.d.Wires {
		if p.whole[i] {
			c.work.Wires[i] = along(w, each(w.Points, m.at))
		}
	}
	if !p.loose {
		c.followWires()
	}
	c.f.Become(&c.work)
	if !p.loose {
		c.branchOff()
		c.mend()
		c.clear()
	}
	return c.f
}

// along returns the wire as it runs along other points.
func along(w *model.Wire, points []geom.Point) *model.Wire {
	c := *w
	c.Points = points
	return &c
}

func setPoints(f *model.Draft, w *model.Wire, points []geom.Point) { f.SetWire(along(w, points)) }

// each returns the points as to carries them.
func each(points []geom.Point, to func(geom.Point) geom.Point) []geom.Point {
	out := make([]geom.Point, len(points))
	for i, p := range points {
		out[i] = to(p)
	}
	return out
}
