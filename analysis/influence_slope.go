package analysis

import (
	"math"
	"slices"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// stencil is a formula for a derivative from values at x + at[i]·h, exact for
// polynomials up to the fourth degree (M. Abramowitz and I. A. Stegun, Handbook
// of Mathematical Functions, table 25.2).
type stencil struct{ at, weight [5]float64 }

var (
	centred = stencil{[5]float64{-2, -1, 1, 2}, [5]float64{1. / 12, -8. / 12, 8. / 12, -1. / 12}}
	forward = stencil{[5]float64{0, 1, 2, 3, 4}, [5]float64{-25. / 12, 4, -3, 16. / 12, -3. / 12}}
)

// A parameter is moved by two shares of it. In exp(c·p/p₀) the stencil errs by
// (c·share)⁴/30, which for the narrow one is below 1e-8 up to exponents c of
// 2,000 (steep junctions have some hundreds); rounding adds about 1e-16/share,
// or more where large currents cancel. The wide one is taken where the two
// agree as far as rounding lets them, so that what is linear keeps its digits.
const (
	narrow    = 1e-5
	wide      = 1e-3
	leastStep = 1e-6 // by which a parameter that is 0 is moved
)

// stencilFor returns the formula for q at x, and an h of about that share of x,
// that keep within the range of q.
func stencilFor(q *model.Param, x, share float64) (stencil, float64) {
	h := share * math.Abs(x)
	if h == 0 {
		h = leastStep
	}
	ranged := q.Min != 0 || q.Max != 0
	switch {
	case ranged && x-2*h < q.Min:
		return forward, h
	case ranged && x+2*h > q.Max:
		return forward, -h
	}
	return centred, h
}

// slopes are the derivatives of each quantity by one parameter, and whether they
// say anything.
type slopes struct {
	by        []float64
	effective []bool
}

func (s slopes) add(t slopes) {
	for i, slope := range t.by {
		if t.effective[i] {
			s.by[i] += slope
			s.effective[i] = true
		}
	}
}

// collect puts those that say something into the lists of their quantities.
func (s slopes) collect(lists [][]Sensitivity, like Sensitivity) {
	for i, slope := range s.by {
		if s.effective[i] {
			like.Derivative = slope
			lists[i] = append(lists[i], like)
		}
	}
}

// slopes returns dQ/dp of each quantity for the parameter q, which is x and is
// set for ref, as far as the part's own equation goes. It is not effective where
// the equation does not contain it, or is not smooth there, as where 0 stands for
// none. What is returned is good until the next parameter.
func (m *mover) slopes(q *model.Param, x float64, ref string) slopes {
	clear(m.out.effective)
	was := m.about[ref][q.Name]
	defer m.restore(ref, q.Name, was)
	if x == 0 && m.isBypassed() {
		return m.out
	}
	best, coarse := &m.motions[0], &m.motions[0]
	moved := m.move(coarse, q, x, ref, wide)
	if coarse.still {
		return m.out
	}
	if fine := &m.motions[1]; m.move(fine, q, x, ref, narrow) && !(moved && coarse.agrees(fine)) {
		best, moved = fine, true
	}
	if !moved || x == 0 && !best.smooth() {
		return m.out
	}
	for k := range m.out.by {
		if !best.moved && best.directly(k) == 0 || len(m.tangent.adjoints[k].High) == 0 {
			continue
		}
		slope := best.along(m.rows, m.tangent.adjoints[k], best.directly(k))
		m.out.by[k], m.out.effective[k] = slope, !math.IsNaN(slope) && !math.IsInf(slope, 0)
	}
	return m.out
}

// motion is how a part's share in the equations moves with a parameter.
type motion struct {
	change   []float64 // ∂F/∂p by row
	inside   []float64 // the same from inside the range alone
	rounding []float64 // what rounding may have added to change
	direct   []float64 // ∂Q/∂p at a fixed point by probe; empty where no probe is a parameter of the part
	moved    bool
	still    bool // whether the parameter is not in the equation, so that nothing was worked out
}

func (n *motion) directly(probe int) float64 {
	if len(n.direct) == 0 {
		return 0
	}
	return n.direct[probe]
}

// along returns direct − λ·∂F/∂p.
func (n *motion) along(rows []int, adjoint newton.Point, direct float64) float64 {
	sum := total{high: direct}
	for k, i := range rows {
		sum.addProduct(-adjoint.High[i], n.change[k])
		sum.addProduct(-adjoint.Low[i], n.change[k])
	}
	return sum.value()
}

func (n *motion) begin(rows, directs int) {
	for _, list := range []*[]float64{&n.change, &n.inside, &n.rounding} {
		*list = slices.Grow((*list)[:0], rows)[:rows]
		clear(*list)
	}
	n.direct = slices.Grow(n.direct[:0], directs)[:directs]
	clear(n.direct)
	n.moved, n.still = false, false
}

// inside are weights that leave out the first value of the forward stencil.
var inside = [5]float64{0, -1, 1, 0, 0}

// move moves the parameter by about a share of it. It fails where that makes
// other elements of the part.
func (m *mover) move(n *motion, q *model.Param, x float64, ref string, share float64) bool {
	s, h := stencilFor(q, x, share)
	owners := m.tangent.owned[m.part.Ref]
	directs := 0
	if len(owners) > 0 {
		directs = len(m.tangent.probes)
	}
	n.begin(len(m.rows), directs)
	residual := m.first
	known := false
	for i, weight := range s.weight {
		if weight == 0 {
			continue
		}
		fits := m.put(ref, q.Name, x+s.at[i]*h)
		for _, k := range owners {
			n.direct[k] += weight / h * m.resolver.Values().Num(m.tangent.probes[k].own)
		}
		if !fits {
			return false
		}
		same, sure := m.asBefore()
		if s.at[i] != 0 && same && sure && len(owners) == 0 {
			n.still = true
			return false
		}
		m.residual(residual)
		for k, f := range residual {
			n.change[k] += weight / h * f
			n.inside[k] += inside[i] / h * f
			n.rounding[k] += 0x1p-52 * math.Abs(weight/h) * m.tangent.eq.Terms[m.rows[k]]
		}
		n.moved = n.moved || !same || known && !slices.Equal(m.first, residual)
		residual, known = m.next, true
	}
	return true
}

// asBefore reports whether the trial has the part's own constants, and whether
// that is sure: of a law nobody knows.
func (m *mover) asBefore() (same, sure bool) {
	same, sure = true, true
	for i, e := range m.part.elements[len(m.part.elements)-len(m.trial.elements):] {
		same = same && sameConstants(e, m.trial.elements[i])
		sure = sure && !isLaw(e)
	}
	return same, sure
}

// agrees reports whether n and finer are the same but for the rounding in finer.
func (n *motion) agrees(finer *motion) bool {
	for k, c := range n.change {
		if !(math.Abs(c-finer.change[k]) <= finer.rounding[k]) {
			return false
		}
	}
	for k, d := range n.direct {
		if !(math.Abs(d-finer.direct[k]) <= 1e-9*math.Abs(finer.direct[k])) {
			return false
		}
	}
	return true
}

// smooth reports whether the part moves as little at the end of the range as
// within it.
func (n *motion) smooth() bool {
	apart, size := 0.0, 0.0
	for k, c := range n.change {
		apart = max(apart, math.Abs(c-n.inside[k]))
		size = max(size, math.Abs(c))
	}
	return apart <= 1e-3*size
}

// isBypassed reports whether the part is a link, beside others that would take
// over its current: then it has no influence.
func (m *mover) isBypassed() bool {
	return slices.ContainsFunc(m.part.elements, func(e element) bool {
		b, ok := e.(*branch)
		return ok && !b.source && b.ohms <= hair && b.a.pin >= 0 && b.b.pin >= 0 && m.tangent.bypassed[b]
	})
}
