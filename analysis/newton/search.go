package newton

import "math"

const (
	// shortest is the shortest share of a step that a line search tries.
	shortest = 1.0 / (1 << 24)
	// decrease is the share of what the linear model promises that a step must
	// bring.
	decrease = 0.25
)

// search iterates from x under an aid with the devices as they are. Each step
// is shortened until the residual has fallen. It is measured by the step that
// the same slopes would ask for next, which does not depend on the units of
// the equations (P. Deuflhard, Newton Methods for Nonlinear Problems, Springer
// 2004, section 3.1).
func (s *Series) search(a Aid, iterations int) Status {
	s.beBold()
	a.Devices = Exact
	s.sys.Evaluate(s.x, a, &s.eq)
	for range iterations {
		switch {
		case s.ctx.Err() != nil:
			return Cancelled
		case s.isSpent():
			return Exhausted
		}
		s.stats.Iterations++
		if status := s.findStep(); status != Converged {
			return status
		}
		if s.anyOver {
			return Singular
		}
		solved := s.smallStep(nearby)
		if !s.descend(a) {
			return Exhausted
		}
		if solved {
			return Converged
		}
	}
	return Exhausted
}

// descend goes along the step as far as the residual falls, and leaves the
// equations evaluated there. It reports whether it got anywhere.
func (s *Series) descend(a Aid) bool {
	s.from.CopyFrom(s.x)
	whole := s.length(s.step)
	for share := 1.0; share >= shortest; share /= 2 {
		if s.ctx.Err() != nil {
			return false
		}
		s.x.CopyFrom(s.from)
		for i, d := range s.step {
			s.next[i] = share * d
		}
		s.x.move(s.next, s.reach)
		s.sys.Evaluate(s.x, a, &s.eq)
		for i, f := range s.eq.Residual {
			s.next[i] = -f
			if s.held[i] {
				s.next[i] = 0
			}
		}
		s.solver.SolveTo(s.next, s.next)
		if s.length(s.next) <= (1-decrease*share)*whole || whole == 0 {
			return true
		}
	}
	return false
}

// length is the magnitude of a step beside the unknowns at the start of the
// search.
func (s *Series) length(step []float64) float64 {
	sum := 0.0
	for i, d := range step {
		d /= max(math.Abs(s.from.High[i]), s.sys.Floor(i))
		sum += d * d
	}
	return math.Sqrt(sum)
}
