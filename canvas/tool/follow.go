package tool

import (
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// carrying is a plan being carried out.
type carrying struct {
	*plan
	f       *model.Draft
	work    model.Diagram // parts and wires before they are put into the draft
	added   []*model.Wire // that are to be added
	to      func(geom.Point) geom.Point
	terrain *terrain // nil until a way is sought
}

// followWires lays the wires anew that neither stay nor go as they are.
func (c *carrying) followWires() {
	if len(c.partly)+len(c.held) == 0 && c.slide == nil {
		return
	}
	moving := map[model.WireID]bool{}
	for _, s := range c.partly {
		moving[c.d.Wires[s.wire].ID] = true
	}
	for _, i := range c.held {
		moving[c.d.Wires[i].ID] = true
	}
	if c.slide != nil {
		c.slideOver()
	}
	c.terrain = c.survey(&c.work, func(id model.WireID) bool { return moving[id] })
	for _, s := range c.partly {
		knots := c.spots.on[s.wire]
		c.terrain.joints = append(c.terrain.joints, c.place(knots[0], s.head > 0), c.place(knots[len(knots)-1], s.tail > 0))
	}
	for _, i := range c.held {
		ends := c.d.Wires[i].Ends()
		c.terrain.joints = append(c.terrain.joints, ends[0], ends[1], c.to(ends[0]), c.to(ends[1]))
	}
	for _, i := range c.held {
		c.holdOn(i)
	}
	for _, s := range c.partly {
		c.follow(s)
	}
}

// slideOver moves the stretch that slides.
func (c *carrying) slideOver() {
	l, w := c.slide, c.d.Wires[c.slide.wire]
	var joints []geom.Point
	for _, k := range c.spots.on[l.wire] {
		joints = append(joints, c.place(k, l.carries(k.spot)))
	}
	c.lay(l.wire, l.points(w, c.to), joints)
	for _, way := range c.leftOver(c.to) {
		c.added = append(c.added, &model.Wire{Points: way, Doubt: w.Doubt})
	}
}

func (c *carrying) place(k knot, goes bool) geom.Point {
	if goes {
		return c.to(k.at)
	}
	return k.at
}

// follow lays wire s anew between its knots that go and those that stay.
func (c *carrying) follow(s split) {
	knots := c.spots.on[s.wire]
	first, last := s.head, len(knots)-1-s.tail // the knots that stay
	way := c.along(s.wire, knots[first], knots[last])
	c.terrain.addWay(way)
	if s.head > 0 {
		front := each(c.along(s.wire, knots[0], knots[first-1]), c.to)
		gone := c.along(s.wire, knots[first-1], knots[first])
		bridge := c.bridge(front, gone)
		if first == len(knots)-1 {
			way, bridge = nil, c.ontoRail(c.endEarly(bridge, knots[first].spot, s.wire), knots[first].spot, s.wire)
		}
		way = slices.Concat(front, bridge, way)
	}
	if s.tail > 0 {
		back := each(c.along(s.wire, knots[last+1], knots[len(knots)-1]), c.to)
		gone := reversed(c.along(s.wire, knots[last], knots[last+1]))
		bridge := c.bridge(back, gone)
		if last == 0 {
			way, bridge = nil, c.ontoRail(c.endEarly(bridge, knots[last].spot, s.wire), knots[last].spot, s.wire)
		}
		way = slices.Concat(way, reversed(bridge), back)
	}
	c.lay(s.wire, way, c.joints(s))
}

// joints returns the places at which something is joined to wire s.
func (c *carrying) joints(s split) []geom.Point {
	knots := c.spots.on[s.wire]
	places := make([]geom.Point, len(knots))
	for i, k := range knots {
		places[i] = c.place(k, i < s.head || i >= len(knots)-s.tail)
	}
	return places
}

// bridge returns the way that replaces gone, of which the first point has been
// carried away with the bit of wire called carried.
func (c *carrying) bridge(carried, gone []geom.Point) []geom.Point {
	c.terrain.addWay(carried)
	from := c.to(gone[0])
	goal := gone[len(gone)-1]
	if len(simplify(gone)) == 2 && c.terrain.hasPin(goal) { // nothing lies beyond the piece at the pin
		return c.terrain.route(from, goal, stretch(gone, from))
	}
	return c.terrain.reroute(from, stretch(gone, from), gone)
}

// stretch returns the way with its first point brought to q by moving its
// first corner, or nil where that would take a slanting piece.
func stretch(way []geom.Point, q geom.Point) []geom.Point {
	out := simplify(way)
	if first := out[0]; len(out) > 2 {
		switch out[1] {
		case geom.Pt(out[1].X, first.Y):
			out[1].Y = q.Y
		case geom.Pt(first.X, out[1].Y):
			out[1].X = q.X
		}
	}
	out[0] = q
	for i := 1; i < len(out); i++ {
		if out[i].X != out[i-1].X && out[i].Y != out[i-1].Y {
			return nil
		}
	}
	return simplify(out)
}

// holdOn lengthens wire i, which has been carried whole, back to where its
// ends are held.
func (c *carrying) holdOn(i int) {
	knots := c.spots.on[i]
	way := each(c.d.Wires[i].Points, c.to)
	if first := knots[0]; c.holds(first.spot, i) {
		way = append(c.terrain.route(first.at, way[0], nil), way...)
	}
	if last := knots[len(knots)-1]; c.holds(last.spot, i) {
		way = append(way, c.terrain.route(way[len(way)-1], last.at, nil)...)
	}
	c.lay(i, way, c.joints(split{wire: i, head: len(knots)}))
}

// clear takes away wires that were laid anew and have no length left, where
// what they joined stands in one place.
func (c *carrying) clear() {
	for _, s := range c.partly {
		w := c.f.Diagram().Wire(c.d.Wires[s.wire].ID)
		if w.Tag == "" && len(w.Points) == 2 && w.Points[0] == w.Points[1] && joinsWithout(c.f.Diagram(), w) {
			c.f.RemoveWire(w.ID)
		}
	}
}

// joinsWithout reports whether what meets at a wire of no length is joined
// without it: at a pin or at the end of another wire.
func joinsWithout(d *model.Diagram, w *model.Wire) bool {
	p := w.Points[0]
	for _, part := range d.Parts {
		if part.Placed && slices.ContainsFunc(part.PlacedPins(), func(pin model.Pin) bool { return pin.At == p }) {
			return true
		}
	}
	for _, other := range d.Wires {
		if ends := other.Ends(); other.ID != w.ID && (ends[0] == p || ends[1] == p) {
			return true
		}
	}
	return false
}

// nearest returns the point of the grid on w that is nearest to p.
func nearest(w *model.Wire, p geom.Point) geom.Point {
	best := w.Points[0]
	for i := 1; i < len(w.Points); i++ {
		r := geom.Around(w.Points[i-1], w.Points[i])
		q := geom.Pt(clamp(p.X, r.Min.X, r.Max.X), clamp(p.Y, r.Min.Y, r.Max.Y))
		for _, q := range [2]geom.Point{q, w.Points[i]} {
			if q.OnSegment(w.Points[i-1], w.Points[i]) && gap(p, q) < gap(p, best) {
				best = q
			}
		}
	}
	return best
}

func clamp(v, lo, hi int) int { return min(max(v, lo), hi) }
