package analysis

import (
	"cmp"
	"context"
	"math"
	"slices"

	"copperglass/analysis/newton"
	"copperglass/analysis/sparse"
)

// growth tells whether a disturbance of the operating point x would grow: with
// a capacitance C at every node it would as e^(s t), by
//
//	J v = −s C v
//
// where J is the derivative of the currents by the voltages. A real s above
// zero has been shown to make the point unstable in every real circuit of that
// drawing, whatever its stray capacitances, where there is an odd number of
// them (M. M. Green and A. N. Willson, How to identify unstable dc operating
// points, IEEE Trans. Circuits and Systems I 39, 1992). A complex s is looked for
// apart (swings). growth returns v, as the voltages of the nodes with 1 for the
// largest, or nil.
//
// All nodes are given the same capacitance, beside the capacitors that are drawn,
// so that s is a conductance. It is looked for from each σ of a row of them: the
// Cayley transform of the equation,
//
//	v ↦ 2 σ (J + σ C)⁻¹ C v − v,
//
// takes each s to (σ + s)/(σ − s), beyond 1 for those that grow alone, so that
// repeated it brings these forth (K. Meerbergen, A. Spence and D. Roose, BIT
// 34, 1994); inverse iteration then finds s and v, or else all that grow are told
// apart (separate).
func (s *survey) growth(x newton.Point) []float64 {
	s.attach()
	defer s.detach()
	if s.disturbance.grows(s.ctx, x) {
		s.orient(s.disturbance.v)
		return s.disturbance.v
	}
	return nil
}

// orient turns v so that the first transistor that it moves conducts better along
// it: then of two states alike the first is come to.
func (s *survey) orient(v []float64) {
	const moved = 1e-3 // of the node that moves most
	for _, p := range s.held {
		if drive := s.drive(p, v); math.Abs(drive) > moved {
			for i := range v {
				v[i] = math.Copysign(v[i], v[i]*drive)
			}
			return
		}
	}
}

// drive returns by how much v moves the control of p's transistor to conduct better.
func (s *survey) drive(p *part, v []float64) float64 {
	at := func(node int) float64 {
		if i := s.place[node]; i >= 0 {
			return v[i]
		}
		return 0
	}
	n, _ := transistorEnds(p)
	drive := at(n[1]) - at(n[2])
	if p.Kind == "pnp" || p.Kind == "pmos" {
		return -drive
	}
	return drive
}

// mostDriven returns the part whose transistor's control v moves most.
func (s *survey) mostDriven(v []float64) *part {
	return slices.MaxFunc(s.held, func(p, q *part) int {
		return cmp.Compare(math.Abs(s.drive(p, v)), math.Abs(s.drive(q, v)))
	})
}

const (
	// slowest and fastest bound the s that are looked for, in siemens. A latch
	// that is slower lives on picoamperes.
	slowest, fastest = 1e-10, 1e3
	// stride is the ratio of one σ to the last: no s is farther than √8 from one
	// of them, by which the transforms bring it forth 100,000 times.
	stride = 8
	// transforms is how often the transform is repeated, inversions how often
	// its outcome is refined.
	transforms, inversions = 16, 6
	// eigenError is how far v may be from growing as one.
	eigenError = 1e-6
)

// disturbance is a disturbance of the node voltages around an operating point.
type disturbance struct {
	*system
	eq     *newton.Equations
	slopes *sparse.Matrix // of eq
	lu     *sparse.LU
	stored []storage // with capacitances beside those of the nodes
	within []storage // in transistors
	v, w   []float64 // by node; what it is and what it becomes
	s      float64   // at which it grows, S
	all    []float64 // by unknown
	lively []float64 // each σ from which anything grew, S
}

func newDisturbance(s *system) *disturbance {
	p := sparse.NewPattern(s.Size())
	s.Pattern(p)
	stored, within := s.circuit.storages(p)
	vector := func() []float64 { return make([]float64, s.Size()) }
	eq := &newton.Equations{Residual: vector(), Terms: vector(), Slopes: p.Matrix()}
	n := s.circuit.voltages
	return &disturbance{system: s, eq: eq, slopes: eq.Slopes, lu: sparse.New(eq.Slopes), stored: stored, within: within, v: make([]float64, n), w: make([]float64, n), all: vector()}
}

// grows reports whether some disturbance of x grows, and leaves its v. It
// reports false where the context ends.
func (g *disturbance) grows(ctx context.Context, x newton.Point) bool {
	g.Evaluate(x, newton.Aid{}, g.eq)
	g.lively = g.lively[:0]
	for sigma := slowest; sigma < fastest && ctx.Err() == nil; sigma *= stride {
		if g.find(sigma) {
			return true
		}
	}
	return false
}

// find reports whether there is an s near sigma, and leaves its v.
func (g *disturbance) find(sigma float64) bool {
	theta, stirred := g.stir(sigma)
	if stirred {
		g.lively = append(g.lively, sigma)
	}
	return math.Abs(theta) > 1 && g.refine(sigma*(theta-1)/(theta+1)) || stirred && g.separate(sigma)
}

// separate looks for an s about sigma among all that the transform brings forth:
// where several are next to one another, as those of like latches are that know
// little of each other, neither repetition nor inverse iteration tells them apart.
func (g *disturbance) separate(sigma float64) bool {
	if !g.shift(sigma) {
		return false
	}
	for _, m := range g.modes(sigma) {
		s := real(m.s)
		if !m.isReal() || s < sigma/stride || s > sigma*stride {
			continue
		}
		copy(g.w, m.re)
		g.advance()
		if g.s = s; m.fulfils || g.refine(s) {
			return true
		}
	}
	return false
}

// stir repeats the transform, and returns what it last made v times and whether
// it made it larger on the way.
func (g *disturbance) stir(sigma float64) (theta float64, stirred bool) {
	if !g.shift(sigma) {
		return 0, false
	}
	g.begin()
	growth := 1.0
	for k := range transforms {
		g.transform(sigma, g.v)
		theta = g.quotient()
		if largest := g.advance(); k >= transforms/2 {
			growth *= math.Abs(largest)
		}
	}
	return theta, growth > stirring
}

// begin sets v to anything but a solution.
func (g *disturbance) begin() {
	for i := range g.v {
		g.v[i] = 1 + 0.5*math.Sin(float64(3*i))
	}
}

// refine goes on from v and its s by inverse iteration, and reports whether it
// comes to one that grows. The closer v is, the closer to s it begins, so that it
// tells s from its neighbours.
func (g *disturbance) refine(s float64) bool {
	beside := 1e-3 // of s, where there is no inverse
	for range inversions {
		sigma := s * (1 + beside)
		if !(s > 0) || !g.shift(sigma) {
			return false
		}
		g.invert(g.v)
		mu := g.quotient()
		s = sigma - 1/mu
		missed, largest := 0.0, 0.0
		for i, w := range g.w {
			missed, largest = max(missed, math.Abs(w-mu*g.v[i])), max(largest, math.Abs(w))
		}
		g.advance()
		if missed <= eigenError*largest {
			g.s = s
			return s > slowest/10
		}
		beside = min(beside, max(missed/largest*beside, eigenError))
	}
	return false
}

// shift factors J + σ C.
func (g *disturbance) shift(sigma float64) bool {
	for _, slot := range g.leaks {
		g.slopes.Values[slot] = sigma
	}
	for i := range g.stored {
		g.stored[i].fill(g.slopes, sigma)
	}
	return g.lu.Factor(g.slopes, nil) == nil
}

// invert sets w to (J + σ C)⁻¹ C v.
func (g *disturbance) invert(v []float64) {
	clear(g.all)
	copy(g.all, v)
	for i := range g.stored {
		g.stored[i].charge(g.all, v)
	}
	g.lu.SolveTo(g.all, g.all)
	copy(g.w, g.all)
}

// quotient returns how many times w is v, by least squares.
func (g *disturbance) quotient() float64 {
	vw, vv := 0.0, 0.0
	for i, v := range g.v {
		vw, vv = vw+v*g.w[i], vv+v*v
	}
	return vw / vv
}

// advance makes w the next v, with 1 for the largest, and returns what that was.
func (g *disturbance) advance() float64 {
	largest := 0.0
	for _, w := range g.w {
		if math.Abs(w) > math.Abs(largest) {
			largest = w
		}
	}
	for i, w := range g.w {
		g.v[i] = w / largest
	}
	return largest
}

// pushed returns x with its node voltages moved along v.
func pushed(x newton.Point, v []float64, volts float64) newton.Point {
	y := newton.NewPoint(len(x.High))
	y.CopyFrom(x)
	for i := range v {
		y.High[i] += volts * v[i]
	}
	return y
}
