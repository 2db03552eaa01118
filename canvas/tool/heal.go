package tool

import (
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// DeleteAndJoin takes away what is selected, as Delete does, but what a part of
// two pins lay between is joined.
func (e *Editor) DeleteAndJoin() {
	s := e.Selection()
	if e.Busy() || s.Empty() {
		return
	}
	d := e.history.Diagram()
	f := model.NewDraft(d)
	removeWires(f, s)
	var between []*model.Part
	for _, p := range d.Parts {
		switch {
		case !s.Parts[p.Ref]:
		case p.Placed && len(p.PlacedPins()) == 2:
			between = append(between, p)
		default:
			f.RemovePart(p.Ref)
		}
	}
	for _, p := range between {
		f.RemovePart(p.Ref)
		pins := p.PlacedPins()
		heal(f, pins[0].At, pins[1].At)
	}
	forget(f, s.Parts)
	e.commit(f, "delete and join", "")
	e.sel = newSelection()
}

// CanHeal reports whether there is a part of two pins among what is selected.
func (e *Editor) CanHeal() bool {
	d := e.Diagram()
	return slices.ContainsFunc(e.placedRefs(), func(ref string) bool { return len(d.Part(ref).PlacedPins()) == 2 })
}

// Between returns those of the selected parts of two pins that lie between two
// things that are not joined otherwise, and stay, in natural order: deleting
// them leaves a gap.
func (e *Editor) Between() []string {
	s, sel := e.sheetNow(), e.Selection()
	var refs []string
	for _, ref := range e.placedRefs() {
		pins := s.d.Part(ref).PlacedPins()
		if len(pins) != 2 || s.netAt(pins[0].At) == s.netAt(pins[1].At) {
			continue
		}
		if s.goesOn(pins[0].At, sel) && s.goesOn(pins[1].At, sel) {
			refs = append(refs, ref)
		}
	}
	slices.SortFunc(refs, model.NaturalCompare)
	return refs
}

// goesOn reports whether anything at a place is not selected.
func (s *sheet) goesOn(p geom.Point, sel Selection) bool {
	o := s.spots.at[p]
	wire := func(i int) bool { return !sel.Wires[s.d.Wires[i].ID] }
	return slices.ContainsFunc(o.pins, func(id net.PinID) bool { return !sel.Parts[id.Ref] }) ||
		slices.ContainsFunc(o.ends, wire) || slices.ContainsFunc(o.through, wire)
}

// heal joins what is at a with what is at b, unless it is joined or there is
// nothing.
func heal(f *model.Draft, a, b geom.Point) {
	s := newSheet(f.Diagram())
	if m, n := s.netAt(a), s.netAt(b); m == fresh || n == fresh || m == n {
		return
	}
	way := survey(s.d, noWire).route(a, b, nil)
	from, on := s.freeEnd(a), s.freeEnd(b)
	if from == nil {
		from = f.Diagram().Wire(f.AddWire(&model.Wire{Points: way}))
	} else {
		lead(f, from, way)
	}
	if on != nil && on.Doubt == from.Doubt {
		points := on.Points
		if points[0] != b {
			points = reversed(points)
		}
		lead(f, f.Diagram().Wire(from.ID), points)
		f.RemoveWire(on.ID)
	}
}

// netAt returns the net at a place, or fresh where there is none.
func (s *sheet) netAt(p geom.Point) int {
	if o := s.spots.at[p]; o != nil && len(o.pins) > 0 {
		return s.nets.Pin(o.pins[0].Ref, o.pins[0].Pin)
	}
	for i, w := range s.d.Wires {
		if w.Touches(p) {
			return s.nets.Wire(i)
		}
	}
	return fresh
}
