package tool

import (
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// ontoRail lets the way of wire i, which comes to the middle of a wire that stays
// and is joined there to nothing else at o, end elsewhere on the same straight
// piece of it where that saves bends: the joint slides along.
func (c *carrying) ontoRail(way []geom.Point, o *spot, i int) []geom.Point {
	if len(way) <= 2 && c.terrain.leavesStraight(way) || len(o.pins) > 0 {
		return way
	}
	for _, w := range o.through {
		if w == i || !c.stays(w) {
			continue
		}
		points := c.d.Wires[w].Points
		for j := 1; j < len(points); j++ {
			if o.at.OnSegment(points[j-1], points[j]) {
				way = c.slideTo(way, points[j-1], points[j], w, i)
			}
		}
	}
	return way
}

// slideTo returns the way, or one with fewer bends to another place on the
// straight piece of wire rail from a to b.
func (c *carrying) slideTo(way []geom.Point, a, b geom.Point, rail, i int) []geom.Point {
	from := way[0]
	for _, p := range [2]geom.Point{from, from.Add(c.terrain.out[from])} {
		q := geom.Pt(clamp(p.X, min(a.X, b.X), max(a.X, b.X)), clamp(p.Y, min(a.Y, b.Y), max(a.Y, b.Y)))
		if !q.OnSegment(a, b) || !c.isBare(q, rail, i) {
			continue
		}
		if to := c.terrain.route(from, q, nil); c.terrain.bends(to) < c.terrain.bends(way) && c.terrain.isClear(to) {
			way = to
		}
	}
	return way
}

// isBare reports whether nothing but wires rail and i is at p, where it was or
// where it goes.
func (c *carrying) isBare(p geom.Point, rail, i int) bool {
	here := func(w *model.Wire) bool { return w.Touches(p) }
	for k, w := range c.work.Wires {
		if k != rail && k != i && (here(w) || here(c.d.Wires[k])) {
			return false
		}
	}
	return !slices.ContainsFunc(c.added, here) && !c.terrain.hasPin(p) && !c.terrain.isUnderPart(p)
}

// isUnderPart reports whether a point lies under the ink of a part: what is joined
// there looks joined to its lead.
func (t *terrain) isUnderPart(p geom.Point) bool {
	return slices.ContainsFunc(t.bodies, func(r geom.Rect) bool { return r.Contains(p) })
}

func (t *terrain) hasPin(p geom.Point) bool {
	_, there := t.out[p]
	return there
}

// leavesStraight reports whether a way leaves a pin as wires should.
func (t *terrain) leavesStraight(way []geom.Point) bool {
	out := t.out[way[0]]
	return out == geom.Point{} || out == towards(way[0], way[1])
}

// bends counts the bends of a way, that at the pin included.
func (t *terrain) bends(way []geom.Point) int {
	n := len(way) - 2
	if !t.leavesStraight(way) {
		n++
	}
	return n
}

// isClear reports whether a way touches nothing.
func (t *terrain) isClear(way []geom.Point) bool {
	c := t.chart(roomFor(0, way...))
	return c != nil && c.isClear(way, t.trip(way[0], way[len(way)-1]))
}
