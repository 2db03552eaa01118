package tool

import (
	"math"
	"slices"

	"copperglass/model/geom"
)

// What a route pays, in steps of the grid. To run through a part is so dear
// that a route does it only where there is no other way; to touch a pin or an
// end, which would join it, is dearer than all else.
const (
	bendCost  = 4
	asideCost = 5  // to leave a pin otherwise than straight; to arrive so counts as a bend
	crossCost = 2  // to cross another wire
	edgeCost  = 3  // to run along the edge of a part: with four steps of it a way a step off is better
	newCost   = 1  // for each step, of a way laid anew, that is not on the old one
	alongCost = 30 // to run along another wire, over its bend, or to bend on it
	bodyCost  = 2000
	joinCost  = 1_000_000
)

// How many grid steps around its ends a route may use, first and, where that
// gave no clear way, then.
const (
	nearRoom = 8
	farRoom  = 40
)

// route returns the corners of an orthogonal way from a to b, both included,
// that avoids parts and bends where it can. Where keep, a way from a to b,
// touches nothing, it is preferred; it may be nil.
func (t *terrain) route(a, b geom.Point, keep []geom.Point) []geom.Point {
	return t.routeNear(a, b, keep, nil)
}

// reroute returns a way from a to the end of the way old that stays on old as far
// as it can, so that what lies far from a stays where it is. Where keep touches
// nothing, it is preferred.
func (t *terrain) reroute(a geom.Point, keep, old []geom.Point) []geom.Point {
	return t.routeNear(a, old[len(old)-1], keep, old)
}

// lead returns a way from a to b as a hand draws it: aimed straight ahead at bare
// paper it leaves the line only around what is in the way, so that the next corner
// is at b.
func (t *terrain) lead(a, b geom.Point) []geom.Point {
	way := t.route(a, b, nil)
	if t.aimed(a, b) && len(way) > 3 {
		return t.region.backEarly(way, t.trip(a, b))
	}
	return way
}

// backEarly brings the last piece across a way as near to where it set out as
// costs nothing.
func (c *chart) backEarly(way []geom.Point, t trip) []geom.Point {
	cost, n := c.price(way, t), len(way)
	back := towards(way[n-3], way[n-4])
	for {
		next := slices.Clone(way)
		next[n-3], next[n-2] = way[n-3].Add(back), way[n-2].Add(back)
		if next[n-3] == next[n-4] || c.price(next, t) > cost {
			return way
		}
		way = next
	}
}

func (t *terrain) routeNear(a, b geom.Point, keep, old []geom.Point) []geom.Point {
	if a == b {
		return []geom.Point{a, b}
	}
	way := elbow(a, b)
	for _, steps := range [2]int{nearRoom, farRoom} {
		c := t.chart(roomFor(steps, slices.Concat(keep, old, []geom.Point{a, b})...))
		if c == nil {
			break
		}
		c.remember(old)
		var cost int32
		way, cost = t.finder.best(c, t.trip(a, b), keep)
		if cost < bodyCost || cost < joinCost && (c.buried(a) || c.buried(b)) {
			break
		}
	}
	return way
}

// roomFor is where a way may go that joins the points.
func roomFor(steps int, points ...geom.Point) geom.Rect {
	r := geom.Rect{Min: points[0], Max: points[0]}
	for _, p := range points {
		r = r.Union(geom.Rect{Min: p, Max: p})
	}
	grow := geom.Pt(steps, steps)
	return geom.Rect{Min: r.Min.Sub(grow), Max: r.Max.Add(grow)}
}

func elbow(a, b geom.Point) []geom.Point { return simplify([]geom.Point{a, {X: b.X, Y: a.Y}, b}) }

// best returns the best way there is and its price.
func (s *finder) best(c *chart, t trip, keep []geom.Point) ([]geom.Point, int32) {
	best, cost := keep, int32(math.MaxInt32)
	if keep != nil {
		if cost = c.price(keep, t); c.isClear(keep, t) {
			return best, cost
		}
	}
	for _, way := range [2][]geom.Point{elbow(t.start, t.goal), reversed(elbow(t.goal, t.start))} {
		if p := c.price(way, t); p < cost {
			best, cost = way, p
		}
		if cost <= bareCost(way) {
			return best, cost
		}
	}
	if way := s.search(c, t); way != nil {
		if p := c.price(way, t); p < cost {
			return way, p
		}
	}
	return best, cost
}

// isClear reports whether a way touches nothing, wherever the old one was.
func (c *chart) isClear(way []geom.Point, t trip) bool {
	anew := c.anew
	c.anew = false
	cost := c.price(way, t)
	c.anew = anew
	return cost < bareCost(way)+alongCost
}

// bareCost is the price of a way over empty paper.
func bareCost(way []geom.Point) int32 {
	cost := bendCost * (len(way) - 2)
	for i := 1; i < len(way); i++ {
		cost += gap(way[i-1], way[i])
	}
	return int32(cost)
}

func reversed(way []geom.Point) []geom.Point {
	out := slices.Clone(way)
	slices.Reverse(out)
	return out
}

// gap is the length of an orthogonal way from p to q.
func gap(p, q geom.Point) int { return abs(p.X-q.X) + abs(p.Y-q.Y) }

func abs(n int) int { return max(n, -n) }

// towards returns the unit step from a towards b along the grid.
func towards(a, b geom.Point) geom.Point { return geom.Pt(sign(b.X-a.X), sign(b.Y-a.Y)) }

func sign(n int) int { return min(1, max(-1, n)) }

// simplify leaves out the points of a way at which it does not turn, and what
// goes out and comes back on itself. The ends stay, even where they are the
// same.
func simplify(way []geom.Point) []geom.Point {
	out := []geom.Point{way[0]}
	for _, p := range way[1:] {
		for len(out) > 1 && inLine(out[len(out)-2], out[len(out)-1], p) {
			out = out[:len(out)-1]
		}
		if p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	if len(out) == 1 {
		out = append(out, way[len(way)-1])
	}
	return out
}

// inLine reports whether the three points lie on one line.
func inLine(p, q, r geom.Point) bool {
	d, e := q.Sub(p), r.Sub(p)
	return d.X*e.Y == d.Y*e.X
}
