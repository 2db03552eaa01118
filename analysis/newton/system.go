// Package newton solves systems of nonlinear equations by Newton's method with
// the safeguards that circuits need.
package newton

import (
	"context"
	"math"
	"slices"

	"copperglass/analysis/sparse"
)

// System is a set of n equations F(x) = 0 in n unknowns.
type System interface {
	// Size returns n.
	Size() int

	// Pattern adds the places of the derivative of F by x that may not be zero.
	// The system remembers the slots; it is asked once.
	Pattern(p *sparse.Pattern)

	// Evaluate sets residual, terms and slopes at x under the aid.
	Evaluate(x Point, a Aid, e *Equations)

	// Floor returns the magnitude of unknown i below which it counts as zero
	// when a step is compared with it.
	Floor(i int) float64

	// Reach returns a bound on the magnitude of unknown i at any solution,
	// +Inf where there is none. Iterates are kept within it.
	Reach(i int) float64
}

// Guesser is a System that can tell where a solution may be.
type Guesser interface {
	// Guess moves x there from the origin and reports whether it is worth
	// beginning there. It may use the equations as it likes.
	Guess(ctx context.Context, x Point, e *Equations) bool
}

// noded is a System whose first unknowns are voltages of nodes, each with an
// equation of its own. These may be held where nothing determines them.
type noded interface{ Nodes() int }

// Point is a place in the space of the unknowns: x[i] = High[i] + Low[i]. Low
// holds what is too small to be seen beside High, so that the difference of
// two unknowns that nearly agree keeps all its digits. High alone is x rounded
// to a float64.
type Point struct{ High, Low []float64 }

// NewPoint returns the origin of n dimensions.
func NewPoint(n int) Point { return Point{make([]float64, n), make([]float64, n)} }

// CopyFrom sets p to q.
func (p Point) CopyFrom(q Point) {
	copy(p.High, q.High)
	copy(p.Low, q.Low)
}

// Clone returns a copy of p.
func (p Point) Clone() Point { return Point{slices.Clone(p.High), slices.Clone(p.Low)} }

// move adds step to p, without loss but for what is beyond twice the
// precision of a float64 (T. J. Dekker, Numerische Mathematik 18, 1971), and
// keeps it within reach.
func (p Point) move(step []float64, reach func(i int) float64) {
	for i, d := range step {
		sum, rest := exactSum(p.High[i], d)
		p.High[i], p.Low[i] = exactSum(sum, rest+p.Low[i])
		if limit := reach(i); math.Abs(p.High[i]) > limit {
			p.High[i], p.Low[i] = math.Copysign(limit, p.High[i]), 0
		}
	}
}

// exactSum returns a + b rounded, and what rounding took away (D. E. Knuth,
// The Art of Computer Programming, vol. 2, section 4.2.2, theorem B).
func exactSum(a, b float64) (sum, rest float64) {
	sum = a + b
	v := sum - a
	return sum, (a - (sum - v)) + (b - v)
}

// Equations is what a System says of itself at a point.
type Equations struct {
	Residual []float64      // F(x)
	Terms    []float64      // the largest magnitude among the terms that add up to F(x)[i]
	Slopes   *sparse.Matrix // the derivative of F by x
	Limited  bool           // whether some device was looked at elsewhere than at x

	rest []float64 // what rounding took away from the residual so far
}

// Clear makes the residual and its terms zero.
func (e *Equations) Clear() {
	clear(e.Residual)
	clear(e.Terms)
	clear(e.rest)
	e.Limited = false
}

// Add adds a term to residual i. Sums are exact until Close rounds them: what
// is left over of amperes at one node must not be taken for a leakage current
// at the next.
func (e *Equations) Add(i int, term float64) {
	if e.rest == nil {
		e.rest = make([]float64, len(e.Residual))
	}
	sum, rest := exactSum(e.Residual[i], term)
	e.Residual[i] = sum
	e.rest[i] += rest
	e.Scale(i, term)
}

// AddPair adds a term that is the sum of two floats, the second of which is too
// small to be seen beside the first.
func (e *Equations) AddPair(i int, high, low float64) {
	e.Add(i, high)
	e.rest[i] += low
}

// Scale notes the magnitude of something that went into residual i.
func (e *Equations) Scale(i int, term float64) {
	if a := math.Abs(term); a > e.Terms[i] {
		e.Terms[i] = a
	}
}

// Scratch returns equations of the same size whose residual is their own and
// zero, but whose slopes are those of e.
func (e *Equations) Scratch() *Equations {
	vector := func() []float64 { return make([]float64, len(e.Residual)) }
	return &Equations{Residual: vector(), Terms: vector(), Slopes: e.Slopes, rest: vector()}
}

// Replace takes the terms of old out of the residual and puts those of new
// there.
func (e *Equations) Replace(old, new *Equations) {
	for i := range e.Residual {
		e.Residual[i] += new.Residual[i] - old.Residual[i]
		e.Terms[i] = max(e.Terms[i], new.Terms[i])
	}
}

// Close rounds the sums.
func (e *Equations) Close() {
	for i, r := range e.rest {
		e.Residual[i] += r
	}
}

// Aid is help that a system may be given on the way to a solution. The zero
// Aid is none.
type Aid struct {
	Devices Devices
	Leak    float64   // conductance added at every node, S
	Anchor  []float64 // where each node's leak leads, V; nil for the reference
	Slack   float64   // share of the sources that is taken away, 0 to 1
	Yield   float64   // share of its current by which a current source gives way, 1/V
}

// LeakCurrent returns the current through the leak of the node whose voltage
// is unknown i.
func (a Aid) LeakCurrent(x Point, i int) float64 {
	v := x.High[i]
	if a.Anchor != nil {
		v -= a.Anchor[i]
	}
	return a.Leak * v
}

// Devices says where the devices of a system are looked at.
type Devices uint8

const (
	// Exact looks at each device where x has it.
	Exact Devices = iota
	// Limited bounds the step from where each device was last looked at, and
	// goes on from there along the tangent.
	Limited
)

// beyond returns the largest residual beside a share of the largest of its
// terms plus what is always small enough: at most 1 where all are within.
func (e *Equations) beyond(share, least float64) float64 {
	worst := 0.0
	for i, f := range e.Residual {
		if ratio := math.Abs(f) / (share*e.Terms[i] + least); !(ratio <= worst) && f != 0 {
			if math.IsNaN(ratio) {
				return math.Inf(1)
			}
			worst = ratio
		}
	}
	return worst
}

// fulfilled reports whether a step fulfils residual + slopes·step = 0 but for
// what is least, where that is not held.
func (e *Equations) fulfilled(step []float64, least float64, held []bool) bool {
	for i, f := range e.Residual {
		e.rest[i] = -f
	}
	return e.Slopes.Fulfils(step, e.rest, credible, least, held)
}

// relative returns the largest residual beside the largest of its terms.
func (e *Equations) relative() float64 {
	return e.beyond(1, 0)
}
