package tool

import (
	"slices"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// slide is a straight piece of a wire that moves sideways, or the stretch of
// it between two pins, while the rest of the wire holds on.
type slide struct {
	wire, piece int
	a, b        geom.Point // the ends of the stretch
	keepA       bool       // whether the wire has to hold on at a
	keepB       bool
}

// newSlide returns the plan for moving that stretch of wire i which is nearest
// to q.
func newSlide(s *sheet, i int, q canvas.Point) *plan {
	w := s.d.Wires[i]
	j := nearestPiece(w, q)
	l := &slide{wire: i, piece: j, a: w.Points[j], b: w.Points[j+1]}
	at := Snap(q)
	for _, o := range s.spots.between(l.a, l.b) {
		if len(o.pins) == 0 {
			continue
		}
		if gap(o.at, w.Points[j]) <= gap(at, w.Points[j]) {
			l.a, l.keepA = o.at, true
		} else if !l.keepB {
			l.b, l.keepB = o.at, true
		}
	}
	p := &plan{sheet: s, slide: l, whole: make([]bool, len(s.d.Wires))}
	p.spread()
	p.whole[i] = false
	p.divide()
	p.partly = slices.DeleteFunc(p.partly, func(x split) bool { return x.wire == i })
	return p
}

// nearestPiece returns the number of the straight piece of w nearest to q.
func nearestPiece(w *model.Wire, q canvas.Point) int {
	best := 0
	distanceTo := func(i int) float64 {
		return distanceToSegment(q, canvas.OnGrid(w.Points[i]), canvas.OnGrid(w.Points[i+1]))
	}
	for i := 1; i+1 < len(w.Points); i++ {
		if distanceTo(i) < distanceTo(best) {
			best = i
		}
	}
	return best
}

// carries reports whether what ends at o moves with the stretch.
func (l *slide) carries(o *spot) bool {
	return len(o.pins) == 0 && o.at.OnSegment(l.a, l.b)
}

// across returns what of a displacement is across the stretch.
func (l *slide) across(by geom.Point) geom.Point {
	switch {
	case l.a.Y == l.b.Y:
		by.X = 0
	case l.a.X == l.b.X:
		by.Y = 0
	}
	return by
}

// points returns the way of w with the stretch moved.
func (l *slide) points(w *model.Wire, to func(geom.Point) geom.Point) []geom.Point {
	head, tail := w.Points[:l.piece+1], w.Points[l.piece+1:]
	if l.piece == 0 && !l.keepA {
		head = nil
	}
	if l.piece+2 == len(w.Points) && !l.keepB {
		tail = nil
	}
	if l.keepA {
		head = slices.Concat(head, []geom.Point{l.a})
	}
	if l.keepB {
		tail = slices.Concat([]geom.Point{l.b}, tail)
	}
	return simplify(slices.Concat(head, []geom.Point{to(l.a), to(l.b)}, tail))
}

// touchesNothing reports whether nothing is joined to wire i.
func (s *sheet) touchesNothing(i int) bool {
	for _, k := range s.spots.on[i] {
		if k.members() > 1 {
			return false
		}
	}
	return true
}
