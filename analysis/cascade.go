package analysis

import (
	"context"
	"math"

	"copperglass/analysis/newton"
	"copperglass/analysis/sparse"
	"copperglass/model/net"
)

// cascade is a circuit as a row of blocks that control each other one way: the
// base of a transistor tells what its collector does, the gate what the channel
// does, and all else that carries a current ties its ends together. In a chain of
// stages Newton's method for all at once has to find out about one stage after
// the other, as each does the opposite of the one before; solved block by block
// from where the signal comes from, each has its inputs before its turn.
//
// What a block takes from the one before and what sources with a resistance lose
// is seen only from where the others stand, so that the outcome is no solution
// but a place close to one. Loops are cut where they are met.
type cascade struct {
	*system
	ctx    context.Context
	eq     *newton.Equations
	x      newton.Point
	group  []int   // by unknown: its block; −1 where a source fixes it
	blocks []block // in the order of the signal
}

// block is what is solved at once.
type block struct {
	unknowns []int
	elements []element
	drivers  []int // blocks that control it
	seen     bool
	depth    int // how many blocks in a row control the next up to this one
}

var _ newton.Guesser = (*system)(nil)

const (
	// fewestStages is from how many transistors on a guess is worth its time.
	fewestStages = 16
	// sweeps is how often the blocks are gone through, localSteps how many
	// steps a block is given in each.
	sweeps, localSteps = 2, 40
	// guessLeak is the conductance in siemens that keeps what floats in a block
	// in its place.
	guessLeak = 1e-9
	// guessed is the step in volts at which a block is close enough.
	guessed = 1e-4
)

// Guess solves the circuit block by block, and sets x to where that leads. It
// reports false where there are too few transistors, or blocks in a row, to gain
// from it: side by side Newton's method finds out about all at once.
func (s *system) Guess(ctx context.Context, x newton.Point, eq *newton.Equations) bool {
	if s.stages() < fewestStages {
		return false
	}
	c := &cascade{system: s, ctx: ctx, eq: eq, x: x}
	c.divide(c.fix())
	if ctx.Err() != nil || len(c.blocks) < fewestStages {
		return false
	}
	if c.sort() < fewestStages {
		return false
	}
	s.at = state{x, newton.Aid{Devices: newton.Limited}, eq}
	for range sweeps {
		for i := range c.blocks {
			if ctx.Err() != nil {
				return false
			}
			c.solve(&c.blocks[i])
		}
	}
	return true
}

// stages returns how many transistors there are.
func (s *system) stages() int {
	n := 0
	for _, p := range s.circuit.parts {
		if _, ok := transistorEnds(p); ok {
			n++
		}
	}
	return n
}

// fix gives the nodes that sources join to a reference their voltages and tells
// which unknowns those are.
func (c *cascade) fix() (fixed []bool) {
	fixed = make([]bool, c.Size())
	var sources []*branch
	for p := range c.circuit.partsUntil(c.ctx) {
		for _, e := range p.elements {
			if b, ok := e.(*branch); ok && b.source {
				sources = append(sources, b)
			}
		}
	}
	isFixed := func(u int) bool { return u < 0 || fixed[u] }
	volts := func(u int) float64 {
		if u < 0 {
			return 0
		}
		return c.x.High[u]
	}
	for more := true; more; {
		more = false
		rest := sources[:0]
		for _, b := range sources {
			switch {
			case isFixed(b.va) && isFixed(b.vb):
				fixed[b.j] = true
				continue
			case isFixed(b.va):
				c.x.High[b.vb], fixed[b.vb] = volts(b.va)-b.volts, true
			case isFixed(b.vb):
				c.x.High[b.va], fixed[b.va] = volts(b.vb)+b.volts, true
			default:
				rest = append(rest, b)
				continue
			}
			fixed[b.j], more = true, true
		}
		sources = rest
	}
	return fixed
}

// places returns the unknowns whose equations the element has a part in.
func (c *cascade) places(e element) []int {
	var all []int
	for _, t := range e.path() {
		all = append(all, c.circuit.place[t.node])
	}
	switch e := e.(type) {
	case *branch:
		all = append(all, e.j)
	case *current:
		all = append(all, e.va, e.vb)
	}
	return all
}

// divide makes the blocks.
func (c *cascade) divide(fixed []bool) {
	groups := net.NewGroups(c.Size())
	free := func(u int) bool { return u >= 0 && !fixed[u] }
	tie := func(places ...int) {
		first := -1
		for _, u := range places {
			switch {
			case !free(u):
			case first < 0:
				first = u
			default:
				groups.Join(first, u)
			}
		}
	}
	c.eachElement(func(e element) {
		switch e := e.(type) {
		case *bipolar:
			tie(e.vc, e.ve)
		case *current:
		default:
			tie(c.places(e)...)
		}
	})
	c.group = make([]int, c.Size())
	for u := range c.group {
		if u%askEvery == 0 && c.ctx.Err() != nil {
			return
		}
		c.group[u] = -1
		if !free(u) {
			continue
		}
		if first := groups.Find(u); first == u {
			c.group[u] = len(c.blocks)
			c.blocks = append(c.blocks, block{})
		} else {
			c.group[u] = c.group[first]
		}
		b := &c.blocks[c.group[u]]
		b.unknowns = append(b.unknowns, u)
	}
	c.eachElement(c.share)
}

func (c *cascade) eachElement(f func(element)) {
	for p := range c.circuit.partsUntil(c.ctx) {
		for _, e := range p.elements {
			f(e)
		}
	}
}

// share gives an element to the blocks it has a part in, and notes which of them
// controls which.
func (c *cascade) share(e element) {
	for _, u := range c.places(e) {
		if u < 0 || c.group[u] < 0 {
			continue
		}
		b := &c.blocks[c.group[u]]
		if n := len(b.elements); n == 0 || b.elements[n-1] != e {
			b.elements = append(b.elements, e)
		}
	}
	switch e := e.(type) {
	case *bipolar:
		c.drive(e.vb, e.vc)
		c.drive(e.vb, e.ve)
	case *fieldEffect:
		c.drive(e.vg, e.vd)
		c.drive(e.vg, e.vs)
	}
}

func (c *cascade) drive(from, to int) {
	if from < 0 || to < 0 || c.group[from] < 0 || c.group[to] < 0 || c.group[from] == c.group[to] {
		return
	}
	b := &c.blocks[c.group[to]]
	b.drivers = append(b.drivers, c.group[from])
}

// sort puts each block behind those that control it, and returns how many stand
// in the longest row in which each controls the next.
func (c *cascade) sort() (deepest int) {
	sorted := make([]block, 0, len(c.blocks))
	var visit func(i int)
	visit = func(i int) {
		b := &c.blocks[i]
		if b.seen || len(sorted)%askEvery == 0 && c.ctx.Err() != nil {
			return
		}
		b.seen = true
		for _, j := range b.drivers {
			visit(j)
			b.depth = max(b.depth, c.blocks[j].depth)
		}
		b.depth++
		deepest = max(deepest, b.depth)
		sorted = append(sorted, *b)
	}
	for i := range c.blocks {
		visit(i)
	}
	c.blocks = sorted
	return deepest
}

// solve solves a block with all else as it stands, by Newton's method with
// limited steps.
func (c *cascade) solve(b *block) {
	p := sparse.NewPattern(len(b.unknowns))
	local := make(map[int]int, len(b.unknowns))
	for i, u := range b.unknowns {
		local[u] = i
	}
	var slots []int
	for i, u := range b.unknowns {
		c.eq.Slopes.Column(u, func(row, slot int) {
			if j, ok := local[row]; ok {
				p.Entry(j, i)
				slots = append(slots, slot)
			}
		})
	}
	m := p.Matrix()
	lu := sparse.New(m)
	lu.DiagonalShare = 1e-6
	step := make([]float64, len(b.unknowns))
	for range localSteps {
		c.evaluate(b)
		for i, slot := range slots {
			m.Values[i] = c.eq.Slopes.Values[slot]
		}
		if lu.Factor(m, nil) != nil {
			return
		}
		for i, u := range b.unknowns {
			step[i] = -c.eq.Residual[u]
		}
		lu.SolveTo(step, step)
		if c.move(b, step) && !c.eq.Limited {
			return
		}
	}
}

// evaluate brings the equations of a block up to date.
func (c *cascade) evaluate(b *block) {
	c.eq.Limited = false
	for _, u := range b.unknowns {
		c.eq.Residual[u] = 0
	}
	for _, e := range b.elements {
		e.load(&c.at)
	}
	for _, u := range b.unknowns {
		if u < c.circuit.voltages {
			c.eq.Slopes.Values[c.leaks[u]] = guessLeak
			c.eq.Residual[u] += guessLeak * c.x.High[u]
		}
	}
}

// move takes a step and reports whether it was short.
func (c *cascade) move(b *block, step []float64) bool {
	short := true
	for i, u := range b.unknowns {
		limit := c.Reach(u)
		c.x.High[u] = min(max(c.x.High[u]+step[i], -limit), limit)
		short = short && math.Abs(step[i]) <= guessed
	}
	return short
}
