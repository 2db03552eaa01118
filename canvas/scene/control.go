package scene

import (
	"math"

	"copperglass/canvas"
	"copperglass/model/geom"
)

// The control path of a transistor that conducts is the loop by which it is
// switched: from its base to its emitter the way the base current goes or, as
// no current enters a gate, from its gate to its source the way by which the
// gate is held where it is. It is drawn as ties across the wires, so that it
// can be told from the ribbon of a load where both go the same way.
const (
	tieLength = 9.0 // across the wire, sheet units
	tieWidth  = 1.5
	tiePitch  = canvas.Grid / 2
	tieRoom   = 9.0 // least distance of a tie from the tip of a chevron
)

// way is a piece of wire, a part from pin to pin, or the bond between places
// that carry one tag, as an edge of the graph of all that conducts. Its vertices
// are the joints and then a hub for each net.
type way struct {
	ends  [2]int
	kind  wayKind
	index int     // of the piece or the part
	pins  [2]int  // of the part
	amps  float64 // from the first end to the second
	volts float64 // dropped from the first end to the second
	easy  bool    // whether a part may hold a gate
}

type wayKind uint8

const (
	byPiece wayKind = iota
	byPart
	byTag
)

// control finds control paths and keeps the memory for it. A way is stepped
// on from either end: step 2i from the first end of way i, 2i + 1 from the
// second.
type control struct {
	ways  []way
	from  lists     // steps by the vertex they begin at
	cost  []float64 // to each vertex
	last  []int     // step to each vertex, or none
	queue []int
	taken []bool // ways that are on a path
	shown bool   // whether there is any
	ties  *canvas.Path
}

// drawControl marks the control paths of all transistors.
func (b *builder) drawControl() {
	c := &b.driven
	c.shown = false
	if b.r == nil || !b.o.Show.Control {
		return
	}
	b.findWays()
	ties := b.path(canvas.Style{Stroke: b.t.Current, Width: tieWidth})
	for i := range b.parts {
		b.takeControl(ties, &b.parts[i])
	}
	for i, taken := range c.taken {
		if taken {
			b.addWay(ties, &c.ways[i])
		}
	}
	c.shown, c.ties = len(ties.Segs) > 0, ties
	b.addPaths(ties)
}

// clearTies takes the ties away that a chevron would be lost among.
func (c *control) clearTies(chevrons *canvas.Path) {
	if !c.shown {
		return
	}
	const mark, tie = 3, 2 // places that each is drawn by
	kept := c.ties.Segs[:0]
	for i := 0; i < len(c.ties.Segs); i += tie {
		from, to := c.ties.Segs[i], c.ties.Segs[i+1]
		at, free := canvas.Pt((from.P.X+to.P.X)/2, (from.P.Y+to.P.Y)/2), true
		for k := 0; k < len(chevrons.Segs) && free; k += mark {
			free = distance(at, chevrons.Segs[k+1].P) > tieRoom
		}
		if free {
			kept = append(kept, from, to)
		}
	}
	c.ties.Segs = kept
}

// findWays lists all that conducts.
func (b *builder) findWays() {
	c := &b.driven
	c.ways = c.ways[:0]
	for i, s := range b.pieces {
		c.ways = append(c.ways, way{ends: [2]int{b.vertex(s.A, s.Net), b.vertex(s.B, s.Net)}, kind: byPiece, index: i, amps: b.flow.amps[i]})
	}
	for i := range b.parts {
		b.addPartWays(&b.parts[i])
	}
	for i, w := range b.d.Wires {
		if w.Tag != "" {
			b.addTagWay(w.Points[0], b.nets.Wire(i))
		}
	}
	steps := func(step int) int { return c.ways[step/2].ends[step%2] }
	c.from.sortOut(2*len(c.ways), len(b.joints)+len(b.nets.Nets), steps)
	c.taken = zeros(c.taken, len(c.ways))
}

// vertex returns the joint of a net at a place, or its hub where there is none.
func (b *builder) vertex(p geom.Point, of int) int {
	if i, found := b.findJoint(p, of); found {
		return i
	}
	return len(b.joints) + of
}

func (b *builder) addTagWay(p geom.Point, of int) {
	v, hub := b.vertex(p, of), len(b.joints)+of
	b.driven.ways = append(b.driven.ways, way{ends: [2]int{v, hub}, kind: byTag})
}

// pinVertex returns where a pin of a part is joined.
func (b *builder) pinVertex(p *placed, j int) (v, of int) {
	of = b.nets.Pin(p.Ref, p.pins[j].Name)
	if !p.Placed {
		return len(b.joints) + of, of
	}
	return b.vertex(p.pins[j].At, of), of
}

// addPartWays adds the ways through a part, and the bonds of its tags.
func (b *builder) addPartWays(p *placed) {
	for j := range p.amps {
		v, x := b.pinVertex(p, j)
		if p.Placed && (p.Tags[p.pins[j].Name] != "" || p.Kind == "tag" || p.Kind == "ground") {
			b.addTagWay(p.pins[j].At, x)
		}
		for k := range j {
			to, y := b.pinVertex(p, k)
			amps := math.Max(0, math.Min(p.amps[j], -p.amps[k])) - math.Max(0, math.Min(-p.amps[j], p.amps[k]))
			b.driven.ways = append(b.driven.ways, way{ends: [2]int{v, to}, kind: byPart, index: p.index, pins: [2]int{j, k},
				amps: amps, volts: p.drop(b.volts(x), b.volts(y)), easy: p.holds(j, k)})
		}
	}
	if len(p.amps) == 0 && p.Placed && (p.Kind == "tag" || p.Kind == "ground") {
		b.addTagWay(p.pins[0].At, b.nets.Pin(p.Ref, p.pins[0].Name))
	}
}

// drop returns what a part drops from one pin to another, which is nothing for
// what makes a voltage.
func (p *placed) drop(x, y float64) float64 {
	if p.Kind == "battery" || p.Kind == "supply" {
		return 0
	}
	return x - y
}

// holds reports whether a gate can be held by a part from one of its pins to
// the other.
func (p *placed) holds(j, k int) bool {
	switch p.Kind {
	case "resistor", "potentiometer", "inductor", "fuse", "battery", "supply":
		return true
	case "switch", "button":
		return p.values.Text("state") == "closed"
	case "meter":
		return p.values.Text("measures") == "amps"
	case "chip":
		return p.drives(j, k) || p.drives(k, j)
	}
	return false
}

// drives reports whether pin j of a chip is an output that holds to pin k.
func (p *placed) drives(j, k int) bool {
	if max(j, k) >= len(p.Pins) {
		return false
	}
	switch p.values.Text(p.Pins[j].Number) {
	case "high":
		return p.Pins[k].Role == "supply"
	case "low":
		return p.Pins[k].Role == "ground"
	}
	return false
}

// takeControl finds the control path of a part, if it has one.
func (b *builder) takeControl(ties *canvas.Path, p *placed) {
	l, ok := b.controlLoop(p)
	if !ok || !b.driven.seek(l.from, l.to, p.index, l.price) {
		return
	}
	for _, pin := range [2]int{gate, source} {
		b.addLead(ties, p, pin)
	}
}

// currentPrice is what it costs to follow a base current along a way, which is
// out of question where less than half of it goes there. Ways that are shared
// with larger currents cost more.
func currentPrice(w *way, along, amps float64) float64 {
	switch {
	case w.kind == byTag:
		return 0.1
	case !(along >= amps/2) || amps == 0:
		return math.Inf(1)
	}
	return 0.01 + math.Log1p(along/amps)
}

// holdPrice is what it costs to go back along a way from a gate to what holds
// it, when the gate is so many volts from its source: a part that drops nothing
// holds it, one across which the volts stand does not.
func holdPrice(w *way, drop float64) float64 {
	switch {
	case w.kind == byTag:
		return 0.1
	case w.kind == byPiece:
		return 0.01
	case !w.easy:
		return math.Inf(1)
	}
	return 1 + 50*math.Abs(w.volts)/drop
}

// seek finds the cheapest path from one vertex to another around a part and
// takes its ways (the method of R. Bellman, "On a routing problem", Quarterly of
// Applied Mathematics 16, 1958, with a queue of what has become cheaper).
func (c *control) seek(from, to, around int, price func(w *way, sign float64) float64) bool {
	n := len(c.from.first) - 1
	c.cost, c.last = zeros(c.cost, n), zeros(c.last, n)
	for v := range n {
		c.cost[v], c.last[v] = math.Inf(1), none
	}
	c.cost[from], c.queue = 0, append(c.queue[:0], from)
	for k := 0; k < len(c.queue); k++ {
		v := c.queue[k]
		for _, step := range c.from.at(v) {
			w, sign := &c.ways[step/2], 1-2*float64(step%2)
			if w.kind == byPart && w.index == around {
				continue
			}
			if far, cost := w.ends[1-step%2], c.cost[v]+price(w, sign); cost < c.cost[far]-1e-12 {
				c.cost[far], c.last[far] = cost, step
				c.queue = append(c.queue, far)
			}
		}
	}
	if from == to || c.last[to] == none {
		return false
	}
	for v := to; v != from; v = c.ways[c.last[v]/2].ends[c.last[v]%2] {
		c.taken[c.last[v]/2] = true
	}
	return true
}

// addWay adds the ties of a way.
func (b *builder) addWay(ties *canvas.Path, w *way) {
	switch w.kind {
	case byPiece:
		s := b.pieces[w.index]
		b.addTies(ties, canvas.OnGrid(s.A), canvas.OnGrid(s.B))
	case byPart:
		p := &b.parts[w.index]
		b.addLead(ties, p, w.pins[0])
		b.addLead(ties, p, w.pins[1])
	}
}

// addLead adds the ties along a part's lead, from the pin to the body.
func (b *builder) addLead(ties *canvas.Path, p *placed, j int) {
	if p.extent.Empty() {
		return
	}
	at := canvas.OnGrid(p.pins[j].At)
	end := canvas.Pt(
		max(p.body.Min.X, min(at.X, p.body.Max.X)),
		max(p.body.Min.Y, min(at.Y, p.body.Max.Y)),
	)
	if at.X == end.X || at.Y == end.Y {
		b.addTies(ties, at, end)
	}
}

func (b *builder) addTies(path *canvas.Path, from, to canvas.Point) {
	if from != to {
		ties(path, from, to)
		b.blockLine(from, to, tieLength/2+clearance)
	}
}

// ties adds lines across the way between two places, evenly and half a pitch
// from its ends.
func ties(path *canvas.Path, from, to canvas.Point) {
	d := to.Sub(from)
	l := math.Hypot(d.X, d.Y)
	x, y := -d.Y/l*tieLength/2, d.X/l*tieLength/2
	for n, k := math.Max(1, math.Round(l/tiePitch)), 0.0; k < n; k++ {
		t := (k + 0.5) / n
		at := canvas.Pt(from.X+t*d.X, from.Y+t*d.Y)
		path.MoveTo(at.X-x, at.Y-y).LineTo(at.X+x, at.Y+y)
	}
}
