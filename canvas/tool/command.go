package tool

import (
	"fmt"
	"maps"

	"copperglass/model"
	"copperglass/model/geom"
)

// placedRefs returns the selected parts that stand on the sheet, in the
// diagram's order.
func (e *Editor) placedRefs() []string {
	var refs []string
	for _, p := range e.history.Diagram().Parts {
		if p.Placed && e.sel.Parts[p.Ref] {
			refs = append(refs, p.Ref)
		}
	}
	return refs
}

// Nudge moves everything selected. Nudges of the same things in a row are
// undone together, and what is only passed is not joined. Where it would hide a
// part it goes on to where it does not.
func (e *Editor) Nudge(by geom.Point) {
	if e.Busy() || by == (geom.Point{}) {
		return
	}
	r := e.resume()
	e.advance(r.past(by), "move", r.merge())
}

// Turn turns the part that is being placed, or what is selected, a quarter
// clockwise.
func (e *Editor) Turn() { e.reorient("turn", quarter) }

// TurnBack turns a quarter counter-clockwise.
func (e *Editor) TurnBack() { e.reorient("turn", quarterBack) }

// Mirror exchanges left and right of the part that is being placed, or of what
// is selected.
func (e *Editor) Mirror() { e.reorient("mirror", flip) }

// about returns a way to turn or mirror about a middle given in half grid steps;
// turn is how the first part lies.
type about func(middle2 geom.Point, turn int) func(geom.Point) geom.Point

// turnable is a gesture whose things can be turned on the way.
type turnable interface {
	// turn turns them, or mirrors them.
	turn(e *Editor, way about)
}

// reorient lays what hangs on the pointer, or else the selected parts, anew
// about their common middle. What is selected joins and covers nothing new: where
// it would it is laid a little aside, and where there is no room it stays.
func (e *Editor) reorient(label string, way about) {
	if g, ok := e.under().(turnable); ok {
		g.turn(e, way)
		return
	}
	refs := e.placedRefs()
	if e.Busy() || len(refs) == 0 {
		return
	}
	r := e.resume()
	d := r.plan.apply(r.motion).Diagram()
	m := r.motion.then(way(twiceMiddle(d, refs), d.Part(refs[0]).Orient.Turn))
	e.advance(r.turned(m), label, "")
}

// twiceMiddle returns the middle of the parts' places, in half grid steps.
func twiceMiddle(d *model.Diagram, refs []string) geom.Point {
	at := d.Part(refs[0]).At
	r := geom.Rect{Min: at, Max: at}
	for _, ref := range refs[1:] {
		at := d.Part(ref).At
		r = r.Union(geom.Rect{Min: at, Max: at})
	}
	return r.Min.Add(r.Max)
}

// quarter returns the quarter turn clockwise about a middle given in half grid
// steps. Turned about a point halfway between two of the grid, things would
// come off it; such a middle is shifted by half a step, to and fro as the first
// part lies, so that four quarters bring everything back.
func quarter(m geom.Point, turn int) func(geom.Point) geom.Point {
	m = even(m, geom.Pt(half(turn), half(turn)))
	return func(p geom.Point) geom.Point { return geom.Pt((m.X+m.Y)/2-p.Y, (m.Y-m.X)/2+p.X) }
}

// quarterBack returns the quarter turn that takes quarter back: a quarter
// carries what is odd from X to Y, and from Y, with the other sign, to X.
func quarterBack(m geom.Point, turn int) func(geom.Point) geom.Point {
	h := half((turn + 270) % 360)
	m = even(m, geom.Pt(-h, h))
	return func(p geom.Point) geom.Point { return geom.Pt((m.X-m.Y)/2+p.Y, (m.X+m.Y)/2-p.X) }
}

func half(turn int) int {
	if turn < 180 {
		return -1
	}
	return 1
}

// even shifts that coordinate of m which alone is odd.
func even(m, shift geom.Point) geom.Point {
	switch {
	case (m.X+m.Y)%2 == 0:
		return m
	case m.X%2 != 0:
		return m.Add(geom.Pt(shift.X, 0))
	}
	return m.Add(geom.Pt(0, shift.Y))
}

func flip(m geom.Point, _ int) func(geom.Point) geom.Point {
	return func(p geom.Point) geom.Point { return geom.Pt(m.X-p.X, p.Y) }
}

// Delete takes away what is selected, parts from the modes too. Wires that are
// not selected stay.
func (e *Editor) Delete() {
	s := e.Selection()
	if e.Busy() || s.Empty() {
		return
	}
	d := e.history.Diagram()
	f := model.NewDraft(d)
	for _, p := range d.Parts {
		if s.Parts[p.Ref] {
			f.RemovePart(p.Ref)
		}
	}
	removeWires(f, s)
	forget(f, s.Parts)
	e.commit(f, "delete", "")
	e.sel = newSelection()
}

func removeWires(f *model.Draft, s Selection) {
	for _, w := range f.Diagram().Wires {
		if s.Wires[w.ID] {
			f.RemoveWire(w.ID)
		}
	}
}

// forget takes out of every mode what it sets of those parts.
func forget(f *model.Draft, refs map[string]bool) {
	forgetIf(f, func(ref, _ string) bool { return refs[ref] })
}

// forgetIf takes out of every mode what it sets that is gone.
func forgetIf(f *model.Draft, gone func(ref, pin string) bool) {
	for i, m := range f.Diagram().Modes {
		set := maps.Clone(m.Set)
		maps.DeleteFunc(set, func(target, _ string) bool { return gone(model.SplitTarget(target)) })
		if len(set) < len(m.Set) {
			c := *m
			c.Set = set
			f.SetMode(i, &c)
		}
	}
}

// SetCount makes stacks of so many of the selected parts.
func (e *Editor) SetCount(n int) {
	if e.Busy() || n < 1 {
		return
	}
	s := e.Selection()
	f := model.NewDraft(e.history.Diagram())
	for _, p := range f.Diagram().Parts {
		if k := p.LookupKind(); s.Parts[p.Ref] && k != nil && k.Equation != nil && p.Multiple() != n {
			c := p.Clone()
			c.Count = n
			f.SetPart(p.Ref, c)
		}
	}
	e.commit(f, "count", fmt.Sprint("count ", s)) // maps are printed in the order of their keys
}
