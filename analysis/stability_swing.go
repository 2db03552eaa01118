package analysis

import (
	"context"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/mat"

	"copperglass/analysis/newton"
	"copperglass/analysis/sparse"
)

// A disturbance that grows with a complex s is an oscillation that builds up, as
// in a ring of an odd number of inverters: its operating point fulfils the
// equations, but no circuit rests there. Other than with a real s the
// capacitances decide whether there is one. Those that are drawn are reckoned
// with, and beside them the same at every node; an oscillation counts if it is
// there as well when each transistor has as much again from its control to both
// its other terminals, which calms many an amplifier that feeds back on itself.

// stray is the capacitance at every node in farads, by which drawn ones are
// measured: that of some centimetres of wire and the leads that end there (common
// practice, no source).
const stray = 10e-12

// storage is a capacitor's place in the equations: of one that is drawn, or of
// one within a transistor.
type storage struct {
	part *part
	a, b int // the unknowns of its nodes, −1 at a reference
	at   transfer
}

// stores returns the nets between which the part is a capacitor.
func (p *part) stores() (a, b int, ok bool) {
	if p.Kind != "capacitor" || p.leftOpen {
		return 0, 0, false
	}
	return p.nets[0], p.nets[1], true
}

// storages gives the capacitors their places: those that are drawn, and those
// within transistors.
func (c *circuit) storages(p *sparse.Pattern) (drawn, within []storage) {
	w := &wiring{place: c.place, pattern: p}
	between := func(list []storage, q *part, a, b int) []storage {
		i, j := c.place[a], c.place[b]
		if i == j {
			return list
		}
		return append(list, storage{q, i, j, w.transfer(i, j, i, j)})
	}
	for _, q := range c.parts {
		if a, b, ok := q.stores(); ok {
			drawn = between(drawn, q, a, b)
		}
		if n, ok := transistorEnds(q); ok {
			within = between(between(within, q, n[0], n[1]), q, n[1], n[2])
		}
	}
	return drawn, within
}

// share is the capacitance in those of a node.
func (c *storage) share() float64 {
	if _, _, drawn := c.part.stores(); drawn {
		return c.part.values.Num("capacitance") / stray
	}
	return 1
}

// fill puts σ times the capacitor into the matrix.
func (c *storage) fill(m *sparse.Matrix, sigma float64) {
	x := sigma * c.share()
	for k, slot := range c.at {
		if slot >= 0 {
			m.Values[slot] = x
			if k == 1 || k == 2 {
				m.Values[slot] = -x
			}
		}
	}
}

// charge adds to q what the capacitor holds at the voltages v.
func (c *storage) charge(q, v []float64) {
	volts := 0.0
	if c.a >= 0 {
		volts += v[c.a]
	}
	if c.b >= 0 {
		volts -= v[c.b]
	}
	if c.a >= 0 {
		q[c.a] += volts * c.share()
	}
	if c.b >= 0 {
		q[c.b] -= volts * c.share()
	}
}

const (
	// mostDense is up to how many nodes all s are worked out, span how many
	// vectors stand for the nodes of a larger circuit.
	mostDense, span = 40, 24
	// brisk is the share of s that must be growth for an oscillation to count: a
	// circuit nearer the brink does as its capacitances happen to be.
	brisk = 0.05
	// stirring is by how much the second half of the transforms must have made a
	// disturbance larger for an oscillation to be looked for: less than a brisk one
	// does from any σ, and more than decaying ones do that are still many.
	stirring = 1.25
)

// swings reports whether some disturbance of x, of which none grows with a real
// s, grows as an oscillation. From each σ at which the repeated transform made
// anything larger it is made a dense matrix, of all nodes or of the space that
// repetition reaches (W. E. Arnoldi, Quarterly of Applied Mathematics 9, 1951),
// whose eigenvalues beyond 1 tell. It reports false where the context ends.
func (g *disturbance) swings(ctx context.Context) bool {
	if !slices.ContainsFunc(g.lively, func(sigma float64) bool {
		return ctx.Err() == nil && g.shift(sigma) && g.oscillates(sigma)
	}) {
		return false
	}
	stored := g.stored
	g.stored = slices.Concat(g.stored, g.within)
	defer func() {
		for i := range g.within {
			g.within[i].fill(g.slopes, 0)
		}
		g.stored = stored
	}()
	for sigma := slowest; sigma < fastest && ctx.Err() == nil; sigma *= stride {
		if _, stirred := g.stir(sigma); stirred && g.oscillates(sigma) {
			return true
		}
	}
	return false
}

// oscillates looks for growing oscillations as fast as sigma.
func (g *disturbance) oscillates(sigma float64) bool {
	return slices.ContainsFunc(g.modes(sigma), func(m mode) bool {
		return m.fulfils && !m.isReal() && real(m.s) >= brisk*cmplx.Abs(m.s)
	})
}

// mode is a disturbance that grows as one, as the real part of (re + j im) e^(s t).
type mode struct {
	s       complex128 // S
	re, im  []float64  // by node
	fulfils bool       // whether it is one, or else the nearest to it in a small space
}

// isReal reports whether the disturbance grows rather than swings: what turns it by
// less than a thousandth while it grows e-fold is the rounding between two that
// grow alike, or does as little.
func (m mode) isReal() bool { return math.Abs(imag(m.s)) <= 1e-3*real(m.s) }

// modes returns the disturbances that the transform from sigma makes larger, as far
// as they can be made out.
func (g *disturbance) modes(sigma float64) []mode {
	basis, h := g.project(sigma)
	var eigen mat.Eigen
	if basis == nil || !eigen.Factorize(h, mat.EigenRight) {
		return nil
	}
	var vectors mat.CDense
	eigen.VectorsTo(&vectors)
	var list []mode
	for i, theta := range eigen.Values(nil) {
		s := complex(sigma, 0) * (theta - 1) / (theta + 1)
		if cmplx.Abs(theta) <= 1 || cmplx.Abs(s) < slowest {
			continue
		}
		m := mode{s: s}
		m.re, m.im = combine(basis, func(k int) complex128 { return vectors.At(k, i) })
		m.fulfils = g.fulfils(sigma, theta, m)
		list = append(list, m)
	}
	return list
}

// combine returns the vector with those parts along the basis.
func combine(basis [][]float64, along func(k int) complex128) (re, im []float64) {
	re, im = make([]float64, len(basis[0])), make([]float64, len(basis[0]))
	for k, q := range basis {
		c := along(k)
		for i, x := range q {
			re[i] += real(c) * x
			im[i] += imag(c) * x
		}
	}
	return re, im
}

// project returns orthonormal vectors, by node, and what the transform makes of
// them among themselves; nil where there is nothing to transform.
func (g *disturbance) project(sigma float64) (basis [][]float64, h *mat.Dense) {
	n := len(g.v)
	if n <= mostDense {
		basis = unitVectors(n)
	} else {
		basis = g.krylov(sigma)
	}
	if len(basis) == 0 {
		return nil, nil
	}
	h = mat.NewDense(len(basis), len(basis), nil)
	for j, q := range basis {
		g.transform(sigma, q)
		for i, p := range basis {
			h.Set(i, j, dot(p, g.w))
		}
	}
	return basis, h
}

func unitVectors(n int) [][]float64 {
	list := make([][]float64, n)
	for i := range list {
		list[i] = make([]float64, n)
		list[i][i] = 1
	}
	return list
}

// krylov returns an orthonormal basis of what repeated transforms make of the
// disturbance as it is.
func (g *disturbance) krylov(sigma float64) [][]float64 {
	var basis [][]float64
	g.begin()
	next := append([]float64(nil), g.v...)
	for len(basis) < span {
		before := math.Sqrt(dot(next, next))
		for range 2 { // once more, for what rounding left
			for _, q := range basis {
				along := dot(q, next)
				for i := range next {
					next[i] -= along * q[i]
				}
			}
		}
		size := math.Sqrt(dot(next, next))
		if !(size > 1e-10*before) {
			break
		}
		q := make([]float64, len(next))
		for i := range q {
			q[i] = next[i] / size
		}
		basis = append(basis, q)
		g.transform(sigma, q)
		copy(next, g.w)
	}
	return basis
}

// transform sets w to what the transform makes of v.
func (g *disturbance) transform(sigma float64, v []float64) {
	g.invert(v)
	for i := range v {
		g.w[i] = 2*sigma*g.w[i] - v[i]
	}
}

// fulfils reports whether the transform makes θ times itself of the mode.
func (g *disturbance) fulfils(sigma float64, theta complex128, m mode) bool {
	g.transform(sigma, m.re)
	became := append([]float64(nil), g.w...)
	g.transform(sigma, m.im)
	missed, size := 0.0, 0.0
	for i := range became {
		v := theta * complex(m.re[i], m.im[i])
		missed += sq(cmplx.Abs(complex(became[i], g.w[i]) - v))
		size += sq(cmplx.Abs(v))
	}
	return missed <= sq(swingError)*size
}

// swingError is how far a vector may be from growing as one.
const swingError = 1e-3

func sq(x float64) float64 { return x * x }

func dot(v, w []float64) float64 {
	sum := 0.0
	for i, x := range v {
		sum += x * w[i]
	}
	return sum
}

// noteSwing adds a note to r where the circuit does not rest at it, and says
// what its figures are.
func (s *survey) noteSwing(r *Result) {
	if r.swings = r.swings || s.swingsAt(s.startAt(r)); r.swings {
		r.Faults = append(faults(r.Faults), s.restless()).sorted()
	}
}

// swingsAt reports whether x, of which no disturbance grows with a real s, is the
// middle of an oscillation.
func (s *survey) swingsAt(x newton.Point) bool {
	s.attach()
	defer s.detach()
	return !s.disturbance.grows(s.ctx, x) && s.disturbance.swings(s.ctx)
}

func (s *survey) restless() Fault {
	names := refs(s.held)
	return Fault{
		Text: "the circuit does not rest at these figures: by " + someOf(names) + " the least disturbance grows until it swings without end (oscillates); " +
			"they are those of the point it swings about, neither averages nor peaks",
		Parts: names, Restless: true,
	}
}
