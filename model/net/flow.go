package net

import (
	"math"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// Flow returns the current in each piece of wire, in amperes, positive from A
// to B, when amps gives the current into each pin.
//
// In a net drawn as a tree Kirchhoff's current law alone settles it. Where a
// net is drawn with a loop, or in several bits that tags join, the law leaves
// the split open; then the pieces share as equal resistances would.
func (n *Netlist) Flow(d *model.Diagram, pieces []Piece, amps func(PinID) float64) []float64 {
	t := &Tracer{}
	t.Read(d, func(i int) []model.Pin { return d.Parts[i].PlacedPins() })
	return t.Flow(n, d, pieces, amps)
}

// Flow is Netlist.Flow for the drawing whose pins the tracer has read.
func (t *Tracer) Flow(n *Netlist, d *model.Diagram, pieces []Piece, amps func(PinID) float64) []float64 {
	g := &t.graph
	g.reset()
	for _, s := range pieces {
		g.edges = append(g.edges, [2]int{g.at(s.A), g.at(s.B)})
	}
	for i, p := range d.Parts {
		for _, pin := range t.pins[i] {
			v, drawn := g.vertex[pin.At]
			if !drawn || !p.Placed {
				v = g.hub(n.Pin(p.Ref, pin.Name))
			} else if p.Tags[pin.Name] != "" || tagOf(p) != "" {
				g.edges = append(g.edges, [2]int{v, g.hub(n.Pin(p.Ref, pin.Name))})
			}
			g.drawn(v, amps(PinID{p.Ref, pin.Name}))
		}
	}
	for i, w := range d.Wires {
		if w.Tag != "" {
			g.edges = append(g.edges, [2]int{g.at(w.Points[0]), g.hub(n.Wire(i))})
		}
	}
	return t.forest.distributeMoved(len(g.out), g.edges, g.out, g.moved)[:len(pieces)]
}

// flowGraph has a vertex for each place where pieces meet, and one hub for each
// net with tags, to which every tagged place is joined.
type flowGraph struct {
	vertex map[geom.Point]int
	tagged map[int]int // hub by net
	edges  [][2]int
	out    []float64 // current that leaves the graph at each vertex, A
	moved  []float64 // sum of the magnitudes that it is made of, A
}

func (g *flowGraph) reset() {
	if g.vertex == nil {
		g.vertex, g.tagged = map[geom.Point]int{}, map[int]int{}
	}
	clear(g.vertex)
	clear(g.tagged)
	g.edges, g.out, g.moved = g.edges[:0], g.out[:0], g.moved[:0]
}

func (g *flowGraph) add() int {
	g.out, g.moved = append(g.out, 0), append(g.moved, 0)
	return len(g.out) - 1
}

func (g *flowGraph) at(p geom.Point) int {
	v, ok := g.vertex[p]
	if !ok {
		v = g.add()
		g.vertex[p] = v
	}
	return v
}

func (g *flowGraph) hub(net int) int {
	v, ok := g.tagged[net]
	if !ok {
		v = g.add()
		g.tagged[net] = v
	}
	return v
}

func (g *flowGraph) drawn(v int, amps float64) {
	if !math.IsNaN(amps) {
		g.out[v] += amps
		g.moved[v] += math.Abs(amps)
	}
}

// Distribute returns the current in each edge of a graph, positive from its
// first to its second vertex, when out gives the current that leaves the graph
// at each of its n vertices. The edges share as equal resistances: of all the
// currents that satisfy Kirchhoff's current law these have the least sum of
// squares. Where the currents over a connected bit do not add up to zero, what
// is left over stays at the vertex with the largest of them.
func Distribute(n int, edges [][2]int, out []float64) []float64 {
	return new(forest).distribute(n, edges, out)
}

// forest is the graph while leaves are taken off it. It keeps its memory.
type forest struct {
	edges    [][2]int
	first    []int // of each vertex's edges among incident; one more for the end
	incident []int
	degree   []int
	out      []float64
	current  []float64
	settled  []bool // by edge
	root     []bool // by vertex: where the leaves are taken off to
	leaves   []int
	loops    loops
}

func (t *forest) distribute(n int, edges [][2]int, out []float64) []float64 {
	moved := make([]float64, n)
	for v, amps := range out {
		moved[v] = math.Abs(amps)
	}
	return t.distributeMoved(n, edges, out, moved)
}

// distributeMoved is Distribute where moved is the sum of the magnitudes that the
// current out of each vertex is made of. What these leave over by rounding goes
// to the vertex where most flows: it would drown a small current elsewhere.
func (t *forest) distributeMoved(n int, edges [][2]int, out, moved []float64) []float64 {
	t.begin(n, edges, out)
	t.plant(moved)
	t.peel()
	if slices.Contains(t.settled, false) {
		t.uproot()
		t.solveLoops()
	}
	return t.current
}

func (t *forest) begin(n int, edges [][2]int, out []float64) {
	t.edges = edges
	t.out = append(t.out[:0], out...)
	t.current, t.settled = zeros(t.current, len(edges)), zeros(t.settled, len(edges))
	t.degree, t.first = zeros(t.degree, n), zeros(t.first, n+1)
	for i, e := range edges {
		if e[0] == e[1] {
			t.settled[i] = true
			continue
		}
		t.degree[e[0]]++
		t.degree[e[1]]++
	}
	for v, d := range t.degree {
		t.first[v+1] = t.first[v] + d
	}
	t.list(zeros(t.incident, t.first[n]))
}

// list enters every edge with both its vertices, in the order of the edges.
func (t *forest) list(incident []int) {
	for i, e := range t.edges {
		for _, v := range e {
			if !t.settled[i] {
				incident[t.first[v]] = i
				t.first[v]++ // for now the end of what is entered
			}
		}
	}
	t.incident = incident
	copy(t.first[1:], t.first)
	t.first[0] = 0
}

// at returns the edges at a vertex.
func (t *forest) at(v int) []int { return t.incident[t.first[v]:t.first[v+1]] }

// zeros returns n zeros in the list's memory where that is enough.
func zeros[T any](list []T, n int) []T {
	list = slices.Grow(list[:0], n)[:n]
	clear(list)
	return list
}

// plant makes the vertex where most flows the root of each connected bit.
func (t *forest) plant(moved []float64) {
	t.root = zeros(t.root, len(t.out))
	t.loops.begin(len(t.out))
	for v, d := range t.degree {
		if d == 0 || t.loops.seen[v] {
			continue
		}
		busiest := v
		for _, w := range t.bit(v) {
			if moved[w] > moved[busiest] {
				busiest = w
			}
		}
		t.root[busiest] = true
	}
}

// uproot settles what leads from the roots to loops, too, by the currents beyond,
// and gives the vertex there the current that all the rest of its loops calls for.
func (t *forest) uproot() {
	t.loops.begin(len(t.out))
	for v, root := range t.root {
		if !root || t.degree[v] == 0 {
			continue
		}
		bit := t.bit(v)
		way, beyond := t.wayToLoop(bit), 0.0
		for k, w := range slices.Backward(bit) {
			own := t.out[w]
			if k <= way {
				t.out[w] = -beyond
			}
			if k < way {
				t.carry(t.edgeTo(w, bit[k+1]), w)
				t.out[w] = 0
			}
			beyond += own
		}
	}
}

// wayToLoop returns how many of a bit's vertices come before the first one in a
// loop, or between loops.
func (t *forest) wayToLoop(bit []int) int {
	if t.degree[bit[0]] > 1 {
		return 0
	}
	k := 1
	for t.degree[bit[k]] == 2 {
		k++
	}
	return k
}

// edgeTo returns an edge that is not settled between neighbours.
func (t *forest) edgeTo(v, far int) int {
	for _, i := range t.at(v) {
		if e := t.edges[i]; !t.settled[i] && e[0]+e[1]-v == far {
			return i
		}
	}
	return -1
}

func (t *forest) isLeaf(v int) bool { return t.degree[v] == 1 && !t.root[v] }

// peel settles the edges outside every loop, from the leaves inwards to the
// roots.
func (t *forest) peel() {
	leaves := t.leaves[:0]
	for v := range t.degree {
		if t.isLeaf(v) {
			leaves = append(leaves, v)
		}
	}
	for len(leaves) > 0 {
		v := leaves[len(leaves)-1]
		leaves = leaves[:len(leaves)-1]
		for _, i := range t.at(v) {
			if t.settled[i] {
				continue
			}
			far := t.settle(i, v)
			if t.isLeaf(far) {
				leaves = append(leaves, far)
			}
		}
	}
	t.leaves = leaves
}

// settle gives edge i all of the current that leaves at leaf v, moves that
// current to the edge's other end and returns the latter.
func (t *forest) settle(i, v int) int {
	far := t.carry(i, v)
	t.out[far] += t.out[v]
	t.out[v] = 0
	return far
}

// carry gives edge i all of the current that leaves at its end v and returns the
// other end.
func (t *forest) carry(i, v int) int {
	e := t.edges[i]
	t.settled[i] = true
	t.degree[e[0]]--
	t.degree[e[1]]--
	t.current[i] = t.out[v]
	if e[0] == v {
		t.current[i] = -t.out[v]
	}
	return e[0] + e[1] - v
}

// solveLoops settles what is left by conjugate gradients on the graph's
// Laplacian (M. R. Hestenes and E. Stiefel, J. Res. Nat. Bur. Standards 49,
// 1952). Each step is first solved on a tree that spans the graph: that leaves
// one direction open for each edge beside the tree, so that but for rounding
// there are hardly more steps than loops.
func (t *forest) solveLoops() {
	n, l := len(t.out), &t.loops
	t.balance()
	l.potential, l.q, l.z = zeros(l.potential, n), zeros(l.q, n), zeros(l.z, n)
	left := l.spread()
	l.p = append(l.p[:0], l.z...)
	stop := left * 1e-30
	for l.steps = range 2 * n {
		if left <= stop {
			break
		}
		pq := t.laplacian(l.p, l.q)
		if pq <= 0 {
			break
		}
		for _, v := range l.order {
			l.potential[v] += left / pq * l.p[v]
			l.r[v] -= left / pq * l.q[v]
		}
		next := l.spread()
		for _, v := range l.order {
			l.p[v] = l.z[v] + next/left*l.p[v]
		}
		left = next
	}
	for i, e := range t.edges {
		if !t.settled[i] {
			t.current[i] = l.potential[e[0]] - l.potential[e[1]]
		}
	}
}

// loops is the memory of solveLoops, by vertex.
type loops struct {
	potential, p, q, r, z []float64
	seen                  []bool
	order                 []int // the vertices, each after its parent in the tree
	parent                []int // −1 at a root
	steps                 int   // that the solution took
}

// begin forgets what bits there are.
func (l *loops) begin(n int) {
	l.seen, l.parent, l.order = zeros(l.seen, n), zeros(l.parent, n), l.order[:0]
}

// spread sets z to the potentials at which the tree alone would carry the
// currents r, and returns r·z.
func (l *loops) spread() float64 {
	for _, v := range l.order {
		l.z[v] = l.r[v]
	}
	for _, v := range slices.Backward(l.order) { // currents: those of a branch add up
		if p := l.parent[v]; p >= 0 {
			l.z[p] += l.z[v]
		}
	}
	dot := 0.0
	for _, v := range l.order {
		if p := l.parent[v]; p >= 0 {
			l.z[v] += l.z[p]
		} else {
			l.z[v] = 0
		}
		dot += l.r[v] * l.z[v]
	}
	return dot
}

// balance sets r to the currents that come in at the vertices of the loops,
// less what does not add up in each connected bit, spread evenly: without that
// the Laplacian's equations would have no solution.
func (t *forest) balance() {
	n, l := len(t.out), &t.loops
	l.r = zeros(l.r, n)
	l.begin(n)
	for v := range l.r {
		if t.degree[v] == 0 || l.seen[v] {
			continue
		}
		bit, sum := t.bit(v), 0.0
		for _, w := range bit {
			sum -= t.out[w]
		}
		for _, w := range bit {
			l.r[w] = -t.out[w] - sum/float64(len(bit))
		}
	}
}

// bit adds the vertices that edges not settled join to v, v first, to the order
// and returns them.
func (t *forest) bit(v int) []int {
	l := &t.loops
	first := len(l.order)
	l.order = append(l.order, v)
	l.seen[v], l.parent[v] = true, -1
	for k := first; k < len(l.order); k++ {
		at := l.order[k]
		for _, i := range t.at(at) {
			far := t.edges[i][0] + t.edges[i][1] - at
			if !t.settled[i] && !l.seen[far] {
				l.seen[far], l.parent[far] = true, at
				l.order = append(l.order, far)
			}
		}
	}
	return l.order[first:]
}

// laplacian sets q to the Laplacian of the edges not settled, times p, and
// returns p·q.
func (t *forest) laplacian(p, q []float64) float64 {
	clear(q)
	dot := 0.0
	for i, e := range t.edges {
		if !t.settled[i] {
			d := p[e[0]] - p[e[1]]
			q[e[0]] += d
			q[e[1]] -= d
			dot += d * d
		}
	}
	return dot
}
