package tool

import (
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// terrain is the drawing as a wire sees it that looks for its way.
type terrain struct {
	bodies  []geom.Rect               // grid points under the ink of parts
	edges   []geom.Rect               // those and the ones along its edges that have no pins, and beside pins with words
	joints  []geom.Point              // pins and ends: what comes there is joined
	corners []geom.Point              // of wires
	pieces  [][2]geom.Point           // straight pieces of wires
	out     map[geom.Point]geom.Point // the way in which a wire leaves a pin; zero where two pins disagree
	finder  *finder                   // finds ways in it
	region  chart                     // of the region that was looked at last
	aims    bool                      // whether ways straight ahead are to arrive straight
}

// survey returns the terrain of d without the wires for which skip is true.
func survey(d *model.Diagram, skip func(model.WireID) bool) *terrain {
	t := &terrain{finder: &finder{}}
	t.begin()
	t.read(d, func(i int) outline { return outlineOf(d.Parts[i]) }, skip)
	return t
}

// begin forgets all.
func (t *terrain) begin() {
	t.bodies, t.edges, t.joints, t.corners, t.pieces = t.bodies[:0], t.edges[:0], t.joints[:0], t.corners[:0], t.pieces[:0]
	if t.out == nil {
		t.out = map[geom.Point]geom.Point{}
	}
	clear(t.out)
}

func (t *terrain) read(d *model.Diagram, outline func(i int) outline, skip func(model.WireID) bool) {
	for i, p := range d.Parts {
		if p.Placed {
			t.addPart(outline(i))
		}
	}
	for _, w := range d.Wires {
		if !skip(w.ID) {
			t.addWay(w.Points)
		}
	}
}

func noWire(model.WireID) bool { return false }

func (t *terrain) addPart(o outline) {
	t.bodies = append(t.bodies, underInk(o.ink))
	edge := underInk(o.ink.Inset(-2 * inkEdge))
	for _, pin := range o.pins {
		edge = behindPin(edge, pin)
		t.joints = append(t.joints, pin.At)
		if other, ok := t.out[pin.At]; ok && other != pin.Out {
			pin.Out = geom.Point{}
		}
		t.out[pin.At] = pin.Out
		if o.words {
			t.edges = append(t.edges, besidePin(pin))
		}
	}
	t.edges = append(t.edges, edge)
}

// besidePin returns the grid points on both sides of a pin: a wire that leaves it
// that way runs along the word beside its lead.
func besidePin(pin model.Pin) geom.Rect {
	aside := geom.Pt(pin.Out.Y, pin.Out.X)
	return geom.Around(pin.At.Add(aside), pin.At.Sub(aside))
}

// behindPin takes off a rectangle of grid points that side at which the pin stands.
func behindPin(r geom.Rect, pin model.Pin) geom.Rect {
	switch in := pin.At.Sub(pin.Out); pin.Out {
	case geom.Pt(1, 0):
		r.Max.X = min(r.Max.X, in.X)
	case geom.Pt(-1, 0):
		r.Min.X = max(r.Min.X, in.X)
	case geom.Pt(0, 1):
		r.Max.Y = min(r.Max.Y, in.Y)
	case geom.Pt(0, -1):
		r.Min.Y = max(r.Min.Y, in.Y)
	}
	return r
}

// inkEdge is how far within the ink of a part, in sheet units, a wire runs
// through it rather than beside it.
const inkEdge = canvas.Grid / 4

// underInk returns the grid points that lie under ink which takes up r, at least
// those on the line through its middle. At the edge where a pin stands there are
// none.
func underInk(r canvas.Rect) geom.Rect {
	x0, x1 := linesUnder(r.Min.X, r.Max.X)
	y0, y1 := linesUnder(r.Min.Y, r.Max.Y)
	return geom.Rect{Min: geom.Pt(x0, y0), Max: geom.Pt(x1, y1)}
}

// linesUnder returns the lines of the grid from the first to the last between two
// edges of ink.
func linesUnder(from, to float64) (first, last int) {
	first = int(math.Ceil((from + inkEdge) / canvas.Grid))
	last = int(math.Floor((to - inkEdge) / canvas.Grid))
	if first > last {
		first = int(math.Round((from + to) / 2 / canvas.Grid))
		last = first
	}
	return first, last
}

// addWay adds a wire that runs along the points.
func (t *terrain) addWay(points []geom.Point) {
	for i := 1; i < len(points); i++ {
		t.pieces = append(t.pieces, [2]geom.Point{points[i-1], points[i]})
		t.corners = append(t.corners, points[i])
	}
	t.joints = append(t.joints, points[0], points[len(points)-1])
}

// open lets ways lead over joints at which nothing is in the way.
func (t *terrain) open(clear func(geom.Point) bool) {
	t.joints = slices.DeleteFunc(t.joints, clear)
	t.corners = slices.DeleteFunc(t.corners, clear)
}

// mostCells bounds the places among which a way is sought.
const mostCells = 1 << 17

// What runs through a place of a chart.
const (
	level uint8 = 1 << iota
	steep
	wasLevel // the way that is being laid anew
	wasSteep
)

// chart is the terrain of one region of the sheet, place by place.
type chart struct {
	room  geom.Rect
	width int
	toll  []int32 // for coming there
	runs  []uint8 // whether wires run there, level or steep
	anew  bool    // whether a way is laid anew: steps off the old one cost more
}

// chart returns the chart of a room until the next is asked for, or nil where
// the room is too large.
func (t *terrain) chart(room geom.Rect) *chart {
	w, h := room.Max.X-room.Min.X+1, room.Max.Y-room.Min.Y+1
	if w > mostCells || h > mostCells || w*h > mostCells {
		return nil
	}
	c := &t.region
	*c = chart{room, w, grown(c.toll, w*h), grown(c.runs, w*h), false}
	for _, r := range t.edges {
		c.charge(r, edgeCost)
	}
	for _, p := range t.corners {
		c.charge(geom.Rect{Min: p, Max: p}, alongCost)
	}
	for _, r := range t.bodies {
		c.charge(r, bodyCost)
	}
	for _, p := range t.joints {
		c.charge(geom.Rect{Min: p, Max: p}, joinCost)
	}
	for _, s := range t.pieces {
		switch {
		case s[0].Y == s[1].Y:
			c.mark(geom.Around(s[0], s[1]), level)
		case s[0].X == s[1].X:
			c.mark(geom.Around(s[0], s[1]), steep)
		}
	}
	return c
}

func (c *chart) charge(r geom.Rect, toll int32) {
	c.each(r, func(i int) { c.toll[i] = max(c.toll[i], toll) })
}

func (c *chart) mark(r geom.Rect, run uint8) {
	c.each(r, func(i int) { c.runs[i] |= run })
}

// remember notes the way that is being laid anew, but for where it left: a wire
// that comes back there would lie along its part.
func (c *chart) remember(old []geom.Point) {
	c.anew = len(old) > 1 && old[0] != old[1]
	for i := 1; i < len(old); i++ {
		from := old[i-1]
		if i == 1 {
			from = from.Add(towards(from, old[1]))
		}
		switch {
		case from.Y == old[i].Y && old[i-1].Y == from.Y:
			c.mark(geom.Around(from, old[i]), wasLevel)
		case from.X == old[i].X && old[i-1].X == from.X:
			c.mark(geom.Around(from, old[i]), wasSteep)
		}
	}
}

func (c *chart) each(r geom.Rect, do func(cell int)) {
	lo := geom.Pt(max(r.Min.X, c.room.Min.X), max(r.Min.Y, c.room.Min.Y))
	hi := geom.Pt(min(r.Max.X, c.room.Max.X), min(r.Max.Y, c.room.Max.Y))
	for y := lo.Y; y <= hi.Y; y++ {
		for x := lo.X; x <= hi.X; x++ {
			do(c.cell(geom.Pt(x, y)))
		}
	}
}

func (c *chart) cell(p geom.Point) int {
	return (p.Y-c.room.Min.Y)*c.width + p.X - c.room.Min.X
}

func (c *chart) point(cell int) geom.Point {
	return c.room.Min.Add(geom.Pt(cell%c.width, cell/c.width))
}

// buried reports whether every way from p leads through something.
func (c *chart) buried(p geom.Point) bool {
	for _, step := range directions[:4] {
		if c.toll[c.cell(p.Add(step))] < bodyCost {
			return false
		}
	}
	return true
}

// trip is what a way has to do: where it begins and ends, and the directions
// in which it should leave and arrive, zero where any will do.
type trip struct {
	start, goal, out, in geom.Point
	aside                int32 // what it costs to arrive otherwise
}

// trip returns the one from a to b that leaves and arrives as pins there want, or
// as it was aimed.
func (t *terrain) trip(a, b geom.Point) trip {
	if t.aimed(a, b) {
		return trip{a, b, t.out[a], towards(a, b), asideCost}
	}
	return trip{a, b, t.out[a], geom.Point{}.Sub(t.out[b]), bendCost}
}

// aimed reports whether a way is led straight ahead to a place without a pin.
func (t *terrain) aimed(a, b geom.Point) bool {
	return t.aims && !t.hasPin(b) && (a.X == b.X) != (a.Y == b.Y)
}

// step returns what it costs to come to p in direction dir.
func (c *chart) step(p, dir geom.Point, t trip) int32 {
	if p == t.goal {
		if t.in != (geom.Point{}) && dir != t.in {
			return 1 + t.aside
		}
		return 1
	}
	i := c.cell(p)
	along, across, was := level, steep, wasLevel
	if dir.X == 0 {
		along, across, was = steep, level, wasSteep
	}
	cost := 1 + c.toll[i]
	if c.anew && c.runs[i]&was == 0 {
		cost += newCost
	}
	if c.runs[i]&along != 0 {
		cost += alongCost
	}
	if c.runs[i]&across != 0 {
		cost += crossCost
	}
	return cost
}

// bend returns what it costs to go on from p, reached in direction from, in
// direction to: more on another wire, where a bend would look like a joint.
func (c *chart) bend(p, from, to geom.Point, t trip) int32 {
	switch {
	case from == to || from == geom.Point{}:
		return 0
	case p == t.start:
		return asideCost
	case c.runs[c.cell(p)]&(level|steep) != 0:
		return bendCost + alongCost
	}
	return bendCost
}

// price adds up what a way costs.
func (c *chart) price(way []geom.Point, t trip) int32 {
	cost, dir := int32(0), t.out
	for i := 1; i < len(way); i++ {
		turned := towards(way[i-1], way[i])
		cost += c.bend(way[i-1], dir, turned, t)
		dir = turned
		for p := way[i-1]; p != way[i]; {
			p = p.Add(dir)
			cost += c.step(p, dir, t)
		}
	}
	return cost
}
