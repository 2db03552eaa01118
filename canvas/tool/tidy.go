package tool

import (
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// A wire that is laid anew may cross itself, or what it is to end on: it then
// runs in a circle, which joins nothing that is not joined without it.

// lay gives wire i a way laid anew, through the places at which something is
// joined to it, without circles. What hung on a circle gets a wire of its own.
func (c *carrying) lay(i int, way, knots []geom.Point) {
	w := c.d.Wires[i]
	way, rest := untangled(simplify(way), knots)
	c.work.Wires[i] = along(w, way)
	c.learn(way)
	for _, branch := range rest {
		c.added = append(c.added, &model.Wire{Points: branch, Doubt: w.Doubt})
		c.learn(branch)
	}
}

// learn lets ways that are sought later know of this one.
func (c *carrying) learn(way []geom.Point) {
	if c.terrain != nil {
		c.terrain.addWay(way)
	}
}

// branchOff adds the wires of what hung on circles.
func (c *carrying) branchOff() {
	for _, w := range c.added {
		c.f.AddWire(w)
	}
}

// untangled takes the circles out of a way. Of one that something is joined to
// it leaves branches, without the longest stretch at which nothing is.
func untangled(way, knots []geom.Point) (plain []geom.Point, branches [][]geom.Point) {
	for {
		i, j, p, ok := meeting(way)
		if !ok {
			return way, branches
		}
		circle := slices.Concat([]geom.Point{p}, way[i:j], []geom.Point{p})
		branches = append(branches, opened(circle, knots)...)
		way = simplify(slices.Concat(way[:i], []geom.Point{p}, way[j:]))
	}
}

// meeting returns the first place at which a way comes to where it has been: on
// its straight pieces that end at its points i and j. The ends of a way that is
// a ring do not count.
func meeting(way []geom.Point) (i, j int, p geom.Point, ok bool) {
	for i := 1; i < len(way); i++ {
		for j := len(way) - 1; j > i+1; j-- {
			p, ok := firstOn(way[i-1], way[i], way[j-1], way[j])
			if ok && (p != way[0] || p != way[len(way)-1]) {
				return i, j, p, true
			}
		}
	}
	return 0, 0, geom.Point{}, false
}

// firstOn returns the first place from a to b that lies between c and d too.
func firstOn(a, b, c, d geom.Point) (geom.Point, bool) {
	r, ok := crossing(geom.Around(a, b), geom.Around(c, d))
	return geom.Pt(clamp(a.X, r.Min.X, r.Max.X), clamp(a.Y, r.Min.Y, r.Max.Y)), ok
}

// opened returns what of a circle is to stay: the ways from where it begins and
// ends to what is joined to it, or nothing where nothing is.
func opened(circle, knots []geom.Point) [][]geom.Point {
	stops := stopsOn(circle, knots)
	if len(stops) == 2 {
		return nil
	}
	longest := 1
	for k := range stops[1:] {
		if stops[k+1].along-stops[k].along > stops[longest].along-stops[longest-1].along {
			longest = k + 1
		}
	}
	var ways [][]geom.Point
	for _, way := range [2][]geom.Point{upTo(circle, stops[longest-1]), upTo(reversed(circle), stops[longest].back(circle))} {
		if hasLength(way) {
			ways = append(ways, way)
		}
	}
	return ways
}

// stop is a place on a way: on the piece that ends at the point of that number,
// so many steps from the beginning.
type stop struct {
	at           geom.Point
	piece, along int
}

// back is the stop as seen from the other end of the way.
func (s stop) back(way []geom.Point) stop { return stop{at: s.at, piece: len(way) - s.piece} }

// stopsOn returns the knots on a way in order, its beginning and end included.
func stopsOn(way, knots []geom.Point) []stop {
	stops, along := []stop{{way[0], 1, 0}}, 0
	for i := 1; i < len(way); i++ {
		first := len(stops)
		for _, k := range knots {
			if k.OnSegment(way[i-1], way[i]) && k != way[0] && stops[len(stops)-1].at != k {
				stops = append(stops, stop{k, i, along + gap(way[i-1], k)})
			}
		}
		slices.SortFunc(stops[first:], func(s, t stop) int { return s.along - t.along })
		along += gap(way[i-1], way[i])
	}
	return append(stops, stop{way[len(way)-1], len(way) - 1, along})
}

// upTo returns the way as far as a stop.
func upTo(way []geom.Point, s stop) []geom.Point {
	return simplify(append(slices.Clone(way[:s.piece]), s.at))
}

// endEarly lets the way of wire i, which comes to what is joined at o, end where
// it first meets a wire that stays and leads there.
func (c *carrying) endEarly(way []geom.Point, o *spot, i int) []geom.Point {
	for k := 1; k < len(way); k++ {
		for _, w := range slices.Concat(o.through, o.ends) {
			leads := o.members() > 2 || slices.Contains(o.through, w)
			if w == i || !leads || !c.stays(w) {
				continue
			}
			points := c.d.Wires[w].Points
			for j := 1; j < len(points); j++ {
				if p, ok := firstOn(way[k-1], way[k], points[j-1], points[j]); ok {
					return simplify(append(slices.Clone(way[:k]), p))
				}
			}
		}
	}
	return way
}

// stays reports whether wire i is left as it is.
func (c *carrying) stays(i int) bool {
	return !c.whole[i] && (c.slide == nil || c.slide.wire != i) &&
		!slices.ContainsFunc(c.partly, func(s split) bool { return s.wire == i })
}
