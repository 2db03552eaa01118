package newton

import (
	"context"
	"errors"
	"math"

	"copperglass/analysis/sparse"
)

// Solve finds an x with F(x) = 0. It begins at start, unless that is empty,
// and falls back to the origin and then to ramps that lead from an easier
// system to the wanted one; whatever the way, the equations that x satisfies in
// the end are the system's own, without aid.
//
// Status says whether x is a solution; an x that is none is the last iterate.
func Solve(ctx context.Context, sys System, start Point, set Settings) (Point, Stats) {
	s := newSolver(ctx, sys, set.withDefaults())
	for _, m := range s.methods(start) {
		s.stats.Method = m.name
		s.stats.Status = s.try(m.run)
		if s.stats.Status == Converged || s.stats.Status == Cancelled {
			break
		}
	}
	return s.x, s.stats
}

// method is one way to a solution.
type method struct {
	name string
	run  func() Status
}

func (s *solver) methods(start Point) []method {
	direct := func() Status { return s.attempt(Aid{}, s.set.Direct) }
	all := []method{
		{"Newton's method", direct},
		{"a leak at every node that is taken away in steps", s.leakRamp},
		{"sources that are raised in steps", s.sourceRamp},
		{"sources that are raised in steps, then a leak that is taken away", s.bothRamps},
	}
	if len(start.High) == 0 {
		return all
	}
	warm := method{"Newton's method from the former solution", func() Status {
		s.x.CopyFrom(start)
		return direct()
	}}
	return append([]method{warm}, all...)
}

// solver owns the workspace of one solution.
type solver struct {
	ctx   context.Context
	sys   System
	set   Settings
	stats Stats
	eq    Equations
	lu    *sparse.LU
	x     Point
	kept  Point // the best point while polishing
	good  Point // the last solved stage of a ramp
	step  []float64
	held  []bool
	// pushed is the last push of each unknown in this attempt.
	pushed []float64
}

func newSolver(ctx context.Context, sys System, set Settings) *solver {
	n := sys.Size()
	pattern := sparse.NewPattern(n)
	sys.Pattern(pattern)
	slopes := pattern.Matrix()
	return &solver{
		ctx:  ctx,
		sys:  sys,
		set:  set,
		eq:   Equations{Residual: make([]float64, n), Terms: make([]float64, n), Slopes: slopes},
		lu:   sparse.New(slopes),
		x:    NewPoint(n),
		kept: NewPoint(n),
		good: NewPoint(n),
		step: make([]float64, n),
		held: make([]bool, n),

		pushed: make([]float64, n),
	}
}

// try runs one method from the origin, or where it puts x itself, and polishes
// what it finds.
func (s *solver) try(run func() Status) Status {
	clear(s.x.High)
	clear(s.x.Low)
	if status := run(); status != Converged {
		return status
	}
	return s.polish()
}

// nearby is the relative step below which an iterate is close enough for
// Newton's method to go on without safeguards.
const nearby = 1e-5

const (
	// boldSteps is how many full steps an attempt takes. It takes half steps
	// after that, which end most cycles, until they are tame.
	boldSteps = 11
	// tame is the relative step below which full steps are taken again.
	tame = 1e-2
	// sparsePivots is the share that keeps the factors sparse on the way.
	sparsePivots = 1e-6
)

// attempt iterates from x under an aid.
func (s *solver) attempt(a Aid, iterations int) Status {
	s.lu.DiagonalShare = sparsePivots
	clear(s.pushed)
	for i := range iterations {
		if s.ctx.Err() != nil {
			return Cancelled
		}
		s.stats.Iterations++
		s.sys.Evaluate(s.x, a, &s.eq)
		a.Devices = Limited
		if status := s.findStepWith(s.push); status != Converged {
			return status
		}
		if i >= boldSteps && (s.eq.Limited || !s.smallStep(tame)) {
			s.halveStep()
		}
		solved := !s.eq.Limited && (s.smallStep(nearby) || i >= boldSteps && s.eq.excess(s.set) <= 1)
		s.x.move(s.step, s.sys.Reach)
		if solved {
			return Converged
		}
	}
	return Exhausted
}

// findStep solves F'(x)·step = −F(x). Unknowns that nothing determines at x
// are held where they are.
func (s *solver) findStep() Status {
	return s.findStepWith(func(int) float64 { return 0 })
}

// findStepWith does the same, but moves unknowns that nothing determines by
// what push says.
func (s *solver) findStepWith(push func(i int) float64) Status {
	clear(s.held)
	for {
		err := s.lu.Factor(s.eq.Slopes, s.held)
		if err == nil {
			break
		}
		var open *sparse.Singular
		if !errors.As(err, &open) || !s.hold(open.Unknowns) {
			return Singular
		}
	}
	for i, f := range s.eq.Residual {
		s.step[i] = -f
		if s.held[i] {
			s.step[i] = push(i)
		}
	}
	s.lu.SolveTo(s.step, s.step)
	return Converged
}

const (
	// firstPush and farthestPush bound a push, in floors of the unknown.
	firstPush, farthestPush = 250, 1e6
)

// push moves an unknown that nothing determines at x, though its equation is
// not satisfied, the way the residual pulls: a node between junctions that are
// all reversed drifts until one of them takes the current. It goes twice as
// far each time, and half as far when it has to turn round.
func (s *solver) push(i int) float64 {
	f := s.eq.Residual[i]
	switch last := s.pushed[i]; {
	case math.Abs(f) <= s.set.Least:
		return 0
	case last == 0:
		s.pushed[i] = -math.Copysign(firstPush*s.sys.Floor(i), f)
	case last*f < 0:
		s.pushed[i] = math.Copysign(min(2*math.Abs(last), farthestPush*s.sys.Floor(i)), last)
	default:
		s.pushed[i] = -last / 2
	}
	return s.pushed[i]
}

// hold holds the unknowns and reports whether that was new of all of them.
func (s *solver) hold(unknowns []int) bool {
	for _, i := range unknowns {
		if s.held[i] {
			return false
		}
		s.held[i] = true
	}
	return true
}

func (s *solver) halveStep() {
	for i := range s.step {
		s.step[i] /= 2
	}
}

func (s *solver) smallStep(share float64) bool {
	for i := range s.step {
		if !s.small(i, share) {
			return false
		}
	}
	return true
}

// small reports whether the step of unknown i is below a share of it.
func (s *solver) small(i int, share float64) bool {
	return math.Abs(s.step[i]) <= share*max(math.Abs(s.x.High[i]), s.sys.Floor(i))
}
