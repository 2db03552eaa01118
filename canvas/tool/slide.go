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

	upTo map[geom.Point]*model.Draft // by direction: as far as nothing is in the way
}

// newSlide returns the plan for moving that stretch of wire i which is nearest
// to q.
func newSlide(s *sheet, i int, q canvas.Point) *plan {
	w := s.d.Wires[i]
	j := nearestPiece(w, q)
	l := &slide{wire: i, piece: j, a: w.Points[j], b: w.Points[j+1], upTo: map[geom.Point]*model.Draft{}}
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

// backSteps is how far back from where it is asked to go a stretch looks for a
// place, in grid steps, before it stays on this side of what is in the way.
const backSteps = 12

// slideBy moves the stretch by so much, or nearly so far that way where it would
// run under parts. It returns nil where it does not come anywhere, and the parts
// that are in the way.
func (p *plan) slideBy(by geom.Point) (f *model.Draft, stops []string) {
	if by == (geom.Point{}) {
		return nil, nil
	}
	if f, stops = p.slid(by); f != nil {
		return f, nil
	}
	for range backSteps {
		if by = by.Sub(unit(by)); by == (geom.Point{}) {
			return nil, stops
		}
		if f := p.slidApart(by); f != nil {
			return f, stops
		}
	}
	return p.slidUpTo(by), stops
}

// slid returns what comes of moving the stretch by so much, or nil and the parts
// that wires would run under and did not before.
func (p *plan) slid(by geom.Point) (*model.Draft, []string) {
	var c Cover
	f := p.apply(motion{by: by})
	if p.addRunsUnder(&c, p, f.Diagram()); len(c.Over) > 0 {
		return nil, c.Over
	}
	return f, nil
}

// slidApart returns the same where nothing is joined by it, or nil.
func (p *plan) slidApart(by geom.Point) *model.Draft {
	f, _ := p.slid(by)
	if f == nil || len(newJoins(p.sheet, f.Diagram(), nil)) > 0 {
		return nil
	}
	return f
}

// slidUpTo returns what comes of moving the stretch that way as far as nothing is
// in the way, or nil where it comes nowhere; it is sought once for each direction.
func (p *plan) slidUpTo(by geom.Point) *model.Draft {
	way := unit(by)
	if f, sought := p.slide.upTo[way]; sought {
		return f
	}
	var last *model.Draft
	for at := way; at != by; at = at.Add(way) {
		f, stops := p.slid(at)
		if stops != nil {
			break
		}
		if len(newJoins(p.sheet, f.Diagram(), nil)) == 0 {
			last = f
		}
	}
	p.slide.upTo[way] = last
	return last
}

// unit is the step of one along a level or an upright way.
func unit(by geom.Point) geom.Point { return towards(geom.Point{}, by) }

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

// leftOver returns what of the pieces before and behind the one that slides has to
// stay, as the stretch draws back along them: from what is joined there to where
// the wire runs on.
func (p *plan) leftOver(to func(geom.Point) geom.Point) [][]geom.Point {
	l := p.slide
	points := p.d.Wires[l.wire].Points
	var ways [][]geom.Point
	if j := l.piece; j > 0 && l.a == points[j] {
		ways = append(ways, p.drawnBack(points[j-1], l.a, to(l.a))...)
	}
	if j := l.piece + 1; j+1 < len(points) && l.b == points[j] {
		ways = append(ways, p.drawnBack(points[j+1], l.b, to(l.b))...)
	}
	return ways
}

// drawnBack returns the way from what is joined farthest out to where the corner of
// the wire that slides goes, or to far where it goes beyond.
func (p *plan) drawnBack(far, corner, goes geom.Point) [][]geom.Point {
	base := geom.Pt(clamp(goes.X, min(far.X, corner.X), max(far.X, corner.X)), clamp(goes.Y, min(far.Y, corner.Y), max(far.Y, corner.Y)))
	out := base
	for _, k := range p.spots.on[p.slide.wire] {
		if k.at.OnSegment(corner, base) && !p.slide.carries(k.spot) && gap(k.at, corner) < gap(out, corner) {
			out = k.at
		}
	}
	if out == base {
		return nil
	}
	return [][]geom.Point{{base, out}}
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
