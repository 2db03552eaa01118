package analysis

import (
	"context"
	"slices"

	"copperglass/model"
	"copperglass/model/net"
)

// loops is the circuit as currents can pass from transistor to transistor:
// vertices are junctions and, after them, transistors, each joined to its
// terminals. Sources are at rest: those of voltage join their ends, also where
// they have a resistance of their own (that a transistor might hold another by
// way of a sagging supply is left out of account), those of current are open.
// Capacitors pass what changes. The junction of the supply rails is no vertex.
type loops struct {
	joined      net.Groups
	rail        int // the junction of the rails, −1 where there is none
	out         [][]int
	transistors []*part
	first       int // vertex of the first transistor
	ways        *ways
}

const (
	// mostForced bounds the transistors that are forced in the search for other
	// stable states, mostPaired those whose loops are looked at pair by pair.
	mostForced, mostPaired = 16, 64
)

// feedback is feedbackUntil without an end.
func (c *circuit) feedback() []*part { return c.feedbackUntil(context.Background()) }

// feedbackUntil returns the transistors that may hold each other in more than one
// state, in natural order of their names; none for most circuits. Such a
// circuit has two transistors of which, with sources at rest, the collector of
// each leads to the base of the other and emitter to emitter, by three ways
// that meet nowhere (R. O. Nielsen and A. N. Willson, A fundamental result
// concerning the topology of transistor circuits with multiple equilibria,
// Proc. IEEE 68, 1980, for bipolar transistors; those of field effect are taken
// the same way here).
//
// Two of the ways miss the rails, so that the two lie in a cycle there: in time
// that grows as the circuit does that rules most circuits out. For pairs that
// remain, the three ways are looked for without regard to which of the ends
// each joins, and with all other transistors conducting.
func (c *circuit) feedbackUntil(ctx context.Context) []*part {
	g := c.newLoops(ctx)
	if ctx.Err() != nil || len(g.transistors) < 2 {
		return nil
	}
	var found []*part
	for _, group := range g.cycles(ctx) {
		for _, i := range group {
			if ctx.Err() != nil {
				return nil
			}
			partner := func(j int) bool { return j != i && (len(group) > mostPaired || g.linked(i, j)) }
			if slices.ContainsFunc(group, partner) {
				found = append(found, g.transistors[i])
			}
		}
	}
	slices.SortFunc(found, func(p, q *part) int { return model.NaturalCompare(p.Ref, q.Ref) })
	return slices.Compact(found)
}

// transistorEnds returns the nodes of what passes current, what controls it,
// and what they have in common, of the part's transistor.
func transistorEnds(p *part) (ends [3]int, ok bool) {
	for _, e := range p.elements {
		switch q := e.(type) {
		case *bipolar:
			return [3]int{q.collector.node, q.base.node, q.emitter.node}, true
		case *fieldEffect:
			return [3]int{q.drain.node, q.gate.node, q.source.node}, true
		}
	}
	return ends, false
}

func (c *circuit) newLoops(ctx context.Context) *loops {
	g := &loops{joined: slices.Clone(c.joined), rail: -1, first: c.nodes}
	for p := range c.partsUntil(ctx) {
		if _, ok := transistorEnds(p); ok {
			g.transistors = append(g.transistors, p)
		}
		for _, e := range p.elements {
			if b, ok := e.(*branch); ok && b.source {
				g.joined.Join(b.a.node, b.b.node)
			}
		}
	}
	if len(g.transistors) < 2 {
		return g
	}
	if c.datum >= 0 {
		g.rail = g.joined.Find(c.datum)
	}
	g.out = make([][]int, c.nodes+len(g.transistors))
	for p := range c.partsUntil(ctx) {
		for _, e := range p.elements {
			g.addElement(e)
		}
		if a, b, ok := p.stores(); ok {
			g.join(g.joined.Find(a), g.joined.Find(b))
		}
	}
	for i, p := range g.transistors {
		ends, _ := transistorEnds(p)
		for _, n := range ends {
			g.join(g.first+i, g.joined.Find(n))
		}
	}
	return g
}

func (g *loops) addElement(e element) {
	path := e.path()
	switch e := e.(type) {
	case *bipolar, *fieldEffect:
		return
	case *branch:
		if e.source {
			return
		}
	case *current:
		if !e.feeds {
			return
		}
		path = []terminal{e.a, e.b}
	}
	for _, t := range path[1:] {
		g.join(g.joined.Find(path[0].node), g.joined.Find(t.node))
	}
}

func (g *loops) join(a, b int) {
	if a != b {
		g.out[a] = append(g.out[a], b)
		g.out[b] = append(g.out[b], a)
	}
}

// cycles returns, for each part of the graph without the rails in which any two
// vertices lie in a common cycle, its transistors, where there are two or more
// (J. Hopcroft and R. Tarjan, Algorithm 447, Communications of the ACM 16,
// 1973).
func (g *loops) cycles(ctx context.Context) [][]int {
	s := &cycleSearch{loops: g, found: make([]int, len(g.out)), low: make([]int, len(g.out))}
	for i := range g.transistors {
		if v := g.first + i; s.found[v] == 0 {
			s.run(ctx, v)
		}
	}
	return s.groups
}

type cycleSearch struct {
	*loops
	found, low []int // by vertex: when it was found, from 1, and the earliest it leads back to
	clock      int
	path       []step
	open       []int // vertices found whose group is not known yet
	groups     [][]int
}

// step is a vertex on the way and how many of its edges are done.
type step struct{ vertex, done int }

func (s *cycleSearch) run(ctx context.Context, root int) {
	s.enter(root)
	for steps := 0; len(s.path) > 0; steps++ {
		if steps%(8*askEvery) == 8*askEvery-1 && ctx.Err() != nil {
			return
		}
		top := &s.path[len(s.path)-1]
		v := top.vertex
		if top.done == len(s.out[v]) {
			s.leave(v)
			continue
		}
		w := s.out[v][top.done]
		top.done++
		switch {
		case w == s.rail:
		case s.found[w] == 0:
			s.enter(w)
		default:
			s.low[v] = min(s.low[v], s.found[w])
		}
	}
}

func (s *cycleSearch) enter(v int) {
	s.clock++
	s.found[v], s.low[v] = s.clock, s.clock
	s.path = append(s.path, step{vertex: v})
	s.open = append(s.open, v)
}

// leave goes back from v. Where nothing from v on leads further back than to the
// vertex before, that and all found since are a group.
func (s *cycleSearch) leave(v int) {
	s.path = s.path[:len(s.path)-1]
	if len(s.path) == 0 {
		s.open = s.open[:0]
		return
	}
	above := s.path[len(s.path)-1].vertex
	s.low[above] = min(s.low[above], s.low[v])
	if s.low[v] < s.found[above] {
		return
	}
	from := len(s.open) - 1
	for s.open[from] != v {
		from--
	}
	var group []int
	for _, w := range append(s.open[from:], above) {
		if w >= s.first {
			group = append(group, w-s.first)
		}
	}
	s.open = s.open[:from]
	if len(group) > 1 {
		s.groups = append(s.groups, group)
	}
}

// linked reports whether three ways that meet nowhere lead from collector,
// collector and emitter of two transistors to base, base and emitter. They may
// pass the rails.
func (g *loops) linked(i, j int) bool {
	a, _ := transistorEnds(g.transistors[i])
	b, _ := transistorEnds(g.transistors[j])
	from, to := g.junctions(a[0], b[0], a[2]), g.junctions(b[1], a[1], b[2])
	if len(from) < 3 || len(to) < 3 {
		return false // as in every inverter of two transistors
	}
	if g.ways == nil {
		g.ways = newWays(g.out)
	}
	w := g.ways
	w.clear()
	w.bar(g.first + i)
	w.bar(g.first + j)
	for k := range from {
		w.source[from[k]], w.sink[to[k]] = true, true
	}
	for range 3 {
		if !w.extend() {
			return false
		}
	}
	return true
}

// junctions returns the vertices of the nodes, each once.
func (g *loops) junctions(nodes ...int) []int {
	all := make([]int, len(nodes))
	for i, n := range nodes {
		all[i] = g.joined.Find(n)
	}
	slices.Sort(all)
	return slices.Compact(all)
}
