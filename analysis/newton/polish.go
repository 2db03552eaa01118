package newton

import "math"

const (
	// polishings bounds the evaluations while polishing; two or three are
	// usual. mostCuts is how often one step is cut in half.
	polishings, mostCuts = 200, 20
	// fine is how small polishing makes a residual beside the largest of its
	// terms: an exponential of a voltage that is a hundred times its scale is
	// not known better.
	fine = 1e-14
	// finest is the residual that needs no polishing, in amperes and volts.
	finest = 1e-20
)

// polish goes on from x without aid and reports whether x then is a solution.
// What leakage determines is polished first: where that comes to no end, the
// rest must not suffer.
func (s *Series) polish() Status {
	s.lu.DiagonalShare = 0
	if status := s.polishTo(finest); status != Converged {
		return status
	}
	if !s.fresh || s.eq.beyond(fine, s.set.Least) > 1 {
		if status := s.polishTo(s.set.Least); status != Converged {
			return status
		}
	}
	return s.judge()
}

// polishTo takes steps for as long as the residual beyond least falls. A step
// after which it has not fallen is taken back and cut in half.
func (s *Series) polishTo(least float64) Status {
	best, cuts := math.Inf(1), 0
	s.fresh = false
	for range polishings {
		if s.ctx.Err() != nil {
			return Cancelled
		}
		s.sys.Evaluate(s.x, Aid{}, &s.eq)
		now := s.eq.beyond(fine, least)
		if now >= best {
			s.x.CopyFrom(s.kept)
			if cuts++; cuts > mostCuts {
				return Converged
			}
			s.halveStep()
			s.x.move(s.step, s.reach)
			continue
		}
		gained := now < best/2 || cuts > 0
		best, cuts = now, 0
		s.kept.CopyFrom(s.x)
		if now <= 1 && least > finest {
			return Converged
		}
		if status := s.findStep(); status != Converged {
			return status
		}
		if s.fresh = !gained || now <= 1 && s.smallStep(s.set.Step); s.fresh {
			return Converged
		}
		s.stats.Iterations++
		s.x.move(s.step, s.reach)
	}
	s.x.CopyFrom(s.kept)
	return Converged
}

// judge looks at x once more: at the residual without aid, and at the step that
// Newton's method would take from there. A step that is not small where the
// residual is tells of an unknown that nothing determines.
func (s *Series) judge() Status {
	if !s.fresh {
		s.sys.Evaluate(s.x, Aid{}, &s.eq)
	}
	s.stats.Residual = s.eq.relative()
	if s.eq.beyond(s.set.Residual, s.set.Least) > 1 {
		return Exhausted
	}
	if !s.fresh {
		if status := s.findStep(); status != Converged {
			return status
		}
	}
	s.stats.Open = s.open()
	return Converged
}

// open returns the unknowns that the equations leave open: those that would
// still move, and those that move with one that is held, by more than the
// allowed share.
func (s *Series) open() []int {
	isOpen := s.isOpen
	for i := range s.step {
		isOpen[i] = !s.small(i, s.set.Step)
	}
	for u, held := range s.held {
		if !held {
			continue
		}
		clear(s.step)
		s.step[u] = 1
		s.lu.SolveTo(s.step, s.step)
		for i, moved := range s.step {
			isOpen[i] = isOpen[i] || math.Abs(moved) > s.set.Step
		}
	}
	var list []int
	for i, yes := range isOpen {
		if yes {
			list = append(list, i)
		}
	}
	return list
}
