package analysis

import (
	"math"

	"copperglass/analysis/newton"
	"copperglass/analysis/sparse"
)

// total is a sum to twice the precision of a float64.
type total struct{ high, low float64 }

// add adds x without loss (D. E. Knuth, The Art of Computer Programming, vol.
// 2, section 4.2.2, theorem B).
func (t *total) add(x float64) {
	sum := t.high + x
	v := sum - t.high
	t.low += (t.high - (sum - v)) + (x - v)
	t.high = sum
}

// addProduct adds a·b, whose rounding a fused multiplication tells.
func (t *total) addProduct(a, b float64) {
	p := a * b
	t.add(p)
	t.low += math.FMA(a, b, -p)
}

func (t *total) value() float64 { return t.high + t.low }

// refinements bounds the steps that make good the digits that factoring has
// lost: of a node behind junctions that block nearly all of them may be.
const refinements = 40

// solveAdjoint returns the λ of Aᵀ λ = b, where A is what was factored: a with
// the equations of what is held replaced (J. H. Wilkinson, Rounding Errors in
// Algebraic Processes, 1963, for the refinement).
func solveAdjoint(lu *sparse.LU, a *sparse.Matrix, held []bool, b []float64) newton.Point {
	x, rest := newton.NewPoint(len(b)), append([]float64(nil), b...)
	for range 1 + refinements {
		lu.SolveTransposeTo(rest, rest)
		settled := true
		for i, d := range rest {
			sum := total{x.High[i], x.Low[i]}
			sum.add(d)
			x.High[i], x.Low[i] = sum.high, sum.low
			settled = settled && math.Abs(d) <= 0x1p-50*math.Abs(sum.high)
		}
		if settled {
			break
		}
		for c := range rest {
			rest[c] = adjointRest(a, held, x, b[c], c)
		}
	}
	return x
}

// adjointRest returns b − Aᵀ·x in row c.
func adjointRest(a *sparse.Matrix, held []bool, x newton.Point, b float64, c int) float64 {
	sum := total{high: b}
	subtract := func(row int, value float64) {
		sum.addProduct(-value, x.High[row])
		sum.addProduct(-value, x.Low[row])
	}
	a.Column(c, func(row, slot int) {
		if !held[row] {
			subtract(row, a.Values[slot])
		}
	})
	if held[c] {
		subtract(c, 1)
	}
	return sum.value()
}
