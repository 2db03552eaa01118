package analysis

import (
	"math"
	"slices"

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

// slope returns dQ/dp for the parameter q of p, which is x and is set for ref,
// as far as p's own equation goes. It is not effective where the equation does
// not contain it, or is not smooth there, as where 0 stands for none.
func (t *tangent) slope(p *part, q *model.Param, x float64, ref string) (slope float64, effective bool) {
	if p.leftOpen || !t.matters(p, q, x, ref) || x == 0 && t.isBypassed(p) {
		return 0, false
	}
	m, ok := t.move(p, q, x, ref, wide)
	if ok && !m.moved && m.direct == 0 {
		return 0, false
	}
	if fine, able := t.move(p, q, x, ref, narrow); able && !(ok && m.agrees(fine)) {
		m, ok = fine, true
	}
	if !ok || x == 0 && !m.smooth() {
		return 0, false
	}
	sum := total{high: m.direct}
	for k, i := range m.rows {
		sum.addProduct(-t.adjoint.High[i], m.change[k])
		sum.addProduct(-t.adjoint.Low[i], m.change[k])
	}
	slope = sum.value()
	return slope, !math.IsNaN(slope) && !math.IsInf(slope, 0)
}

// matters reports whether the part's equation may contain the parameter.
func (t *tangent) matters(p *part, q *model.Param, x float64, ref string) bool {
	s, h := stencilFor(q, x, wide)
	v := t.valuesAt(p, ref, q.Name, x+s.at[1]*h)
	return t.probe.own != "" || !slices.EqualFunc(t.equation(p, p.values), t.equation(p, v), surelySame)
}

// motion is how a part's share in the equations moves with a parameter.
type motion struct {
	rows     []int
	change   []float64 // ∂F/∂p by row
	inside   []float64 // the same from inside the range alone
	rounding []float64 // what rounding may have added to change
	direct   float64   // ∂Q/∂p at a fixed point
	moved    bool
}

// inside are weights that leave out the first value of the forward stencil.
var inside = [5]float64{0, -1, 1, 0, 0}

// move moves the parameter by about a share of it. It fails where that makes
// other elements of the part.
func (t *tangent) move(p *part, q *model.Param, x float64, ref string, share float64) (*motion, bool) {
	s, h := stencilFor(q, x, share)
	rows, base := t.rows(p), t.equation(p, p.values)
	m := &motion{rows: rows, change: make([]float64, len(rows)), inside: make([]float64, len(rows)), rounding: make([]float64, len(rows))}
	var first []float64
	for i, weight := range s.weight {
		if weight == 0 {
			continue
		}
		v := t.valuesAt(p, ref, q.Name, x+s.at[i]*h)
		m.direct += weight / h * t.probe.direct(p, v)
		equation := t.equation(p, v)
		residual, ok := t.residual(p, equation, rows)
		if !ok {
			return m, false
		}
		for k, f := range residual {
			m.change[k] += weight / h * f
			m.inside[k] += inside[i] / h * f
			m.rounding[k] += 0x1p-52 * math.Abs(weight/h) * t.eq.Terms[rows[k]]
		}
		if first == nil {
			first = residual
		}
		m.moved = m.moved || !slices.EqualFunc(base, equation, sameConstants) || !slices.Equal(first, residual)
	}
	return m, true
}

// agrees reports whether m and n are the same but for the rounding in n.
func (m *motion) agrees(n *motion) bool {
	for k, c := range m.change {
		if !(math.Abs(c-n.change[k]) <= n.rounding[k]) {
			return false
		}
	}
	return math.Abs(m.direct-n.direct) <= 1e-9*math.Abs(n.direct)
}

// smooth reports whether the part moves as little at the end of the range as
// within it.
func (m *motion) smooth() bool {
	apart, size := 0.0, 0.0
	for k, c := range m.change {
		apart = max(apart, math.Abs(c-m.inside[k]))
		size = max(size, math.Abs(c))
	}
	return apart <= 1e-3*size
}

// isBypassed reports whether the part is a link, beside others that would take
// over its current: then it has no influence.
func (t *tangent) isBypassed(p *part) bool {
	return slices.ContainsFunc(p.elements, func(e element) bool {
		b, ok := e.(*branch)
		return ok && !b.source && b.ohms <= hair && b.a.pin >= 0 && b.b.pin >= 0 && t.bypassed[b]
	})
}

// valuesAt resolves the part with one parameter put over everything else.
func (t *tangent) valuesAt(p *part, ref, name string, x float64) model.Values {
	about := model.Setting{model.Drawing: t.set[model.Drawing], p.Ref: t.set[p.Ref]}
	over := model.Setting{}
	over.Set(ref, name, model.Number(x))
	values, _ := t.diagram.Resolve(p.Part, about.With(over))
	return values
}
