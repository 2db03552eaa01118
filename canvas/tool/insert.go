package tool

import (
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// open lets every part of two pins that is carried without wires, and comes to lie
// along a wire, interrupt it: the wire then ends at one pin and goes on from the
// other. One that ends loosely between the pins ends at the pin that it passes. A
// wire that is joined to something between the pins stays as it is.
func (s *sheet) open(f *model.Draft, c carrier) {
	for i, p := range f.Diagram().Parts {
		if c.carried(p.Ref) && hasBody(p) && c.inserts(i, p) {
			if pins := s.outlineOf(f.Diagram(), i).pins; len(pins) == 2 {
				openBetween(f, pins[0].At, pins[1].At)
			}
		}
	}
}

func openBetween(f *model.Draft, a, b geom.Point) {
	for _, w := range f.Diagram().Wires { // a list that stays as it is while others take its place
		if j := pieceUnder(f.Diagram(), w, a, b); j > 0 {
			cutOut(f, w, j, a, b)
		} else {
			shorten(f, w, a, b)
		}
	}
}

// pieceUnder returns which straight piece of a wire, counted from 1, a part with
// its pins at a and b can interrupt, or 0.
func pieceUnder(d *model.Diagram, w *model.Wire, a, b geom.Point) int {
	for j := 1; j < len(w.Points); j++ {
		if from, to := w.Points[j-1], w.Points[j]; a.OnSegment(from, to) && b.OnSegment(from, to) && isBareBetween(d, a, b) {
			return j
		}
	}
	return 0
}

// isBareBetween reports whether no pin stands and no wire ends between a and b.
func isBareBetween(d *model.Diagram, a, b geom.Point) bool {
	inside := func(p geom.Point) bool { return p != a && p != b && p.OnSegment(a, b) }
	return !slices.ContainsFunc(d.Parts, func(p *model.Part) bool {
		return p.Placed && slices.ContainsFunc(p.PlacedPins(), func(pin model.Pin) bool { return inside(pin.At) })
	}) && !slices.ContainsFunc(d.Wires, func(w *model.Wire) bool { return inside(w.Ends()[0]) || inside(w.Ends()[1]) })
}

// shorten lets a wire end at a or b where it passes that place and ends loosely
// between the two.
func shorten(f *model.Draft, w *model.Wire, a, b geom.Point) {
	for i, end := range w.Ends() {
		if end == a || end == b || !end.OnSegment(a, b) || !endsLoosely(f.Diagram(), w, end) {
			continue
		}
		way, last := w.Points, len(w.Points)-1
		if i == 0 {
			way = reversed(way)
		}
		for _, pin := range [2]geom.Point{a, b} {
			if pin.OnSegment(way[last-1], end) && isBareBetween(f.Diagram(), pin, end) {
				endAt(f, w, append(way[:last:last], pin))
				return
			}
		}
	}
}

// endsLoosely reports whether a wire without a tag ends at p where nothing else
// is.
func endsLoosely(d *model.Diagram, w *model.Wire, p geom.Point) bool {
	if ends := w.Ends(); ends[0] == ends[1] || w.Tag != "" {
		return false
	}
	other := func(o *model.Wire) bool { return o.ID != w.ID && o.Touches(p) }
	return !slices.ContainsFunc(d.Wires, other) && !slices.ContainsFunc(d.Parts, func(part *model.Part) bool {
		return part.Placed && slices.ContainsFunc(part.PlacedPins(), func(pin model.Pin) bool { return pin.At == p })
	})
}

// endAt gives the wire that way, and takes it away where nothing is left.
func endAt(f *model.Draft, w *model.Wire, way []geom.Point) {
	if way = simplify(way); hasLength(way) {
		setPoints(f, w, way)
	} else {
		f.RemoveWire(w.ID)
	}
}

// cutOut takes the stretch between a and b out of the wire, which has it
// between its points j − 1 and j. A tag stays with the wire's first part; a
// tagged wire of which nothing would be left stays.
func cutOut(f *model.Draft, w *model.Wire, j int, a, b geom.Point) {
	if gap(w.Points[j-1], b) < gap(w.Points[j-1], a) {
		a, b = b, a
	}
	head := simplify(append(w.Points[:j:j], a))
	tail := simplify(append([]geom.Point{b}, w.Points[j:]...))
	switch {
	case hasLength(head):
		setPoints(f, w, head)
		if hasLength(tail) {
			rest := w.Clone()
			rest.Points, rest.Tag = tail, ""
			f.AddWire(rest)
		}
	case hasLength(tail):
		setPoints(f, w, tail)
	case w.Tag == "":
		f.RemoveWire(w.ID)
	}
}

// hasLength reports whether the way, simplified, is more than one place.
func hasLength(way []geom.Point) bool { return len(way) > 2 || way[0] != way[1] }
