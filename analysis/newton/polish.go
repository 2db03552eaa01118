package newton

import "math"

// polishings bounds the steps of polishing; two or three are usual.
const polishings = 12

// polish goes on from x without aid for as long as the residual falls, and
// reports whether x then is a solution.
func (s *solver) polish() Status {
	s.lu.DiagonalShare = 0
	best := math.Inf(1)
	for range polishings {
		if s.ctx.Err() != nil {
			return Cancelled
		}
		s.sys.Evaluate(s.x, Aid{}, &s.eq)
		now := s.eq.relative()
		if now >= best {
			s.x.CopyFrom(s.kept)
			break
		}
		gained := now < best/2
		best = now
		s.kept.CopyFrom(s.x)
		if status := s.findStep(); status != Converged {
			return status
		}
		if !gained || now == 0 && s.smallStep(0) {
			break
		}
		s.stats.Iterations++
		s.x.move(s.step, s.sys.Reach)
	}
	return s.judge()
}

// judge looks at x once more: at the residual without aid, and at the step that
// Newton's method would take from there. A step that is not small where the
// residual is tells of an unknown that nothing determines.
func (s *solver) judge() Status {
	s.sys.Evaluate(s.x, Aid{}, &s.eq)
	s.stats.Residual = s.eq.relative()
	if s.eq.excess(s.set) > 1 {
		return Exhausted
	}
	if status := s.findStep(); status != Converged {
		return status
	}
	s.stats.Open = s.open()
	return Converged
}

// open returns the unknowns that the equations leave open: those that would
// still move, and those that move with one that is held, by more than the
// allowed share.
func (s *solver) open() []int {
	isOpen := make([]bool, len(s.held))
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
