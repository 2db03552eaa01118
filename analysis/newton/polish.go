package newton

import (
	"errors"
	"math"
	"slices"

	"copperglass/analysis/sparse"
)

const (
	// polishings bounds the evaluations while polishing; two or three are
	// usual. mostCuts is how often one step is cut in half.
	polishings, mostCuts = 200, 20
	// fine is how small polishing makes a residual beside the largest of its
	// terms: an exponential of a voltage that is a hundred times its scale is
	// not known better.
	fine = 1e-14
	// fineSum is how small that of all nodes together is to be.
	fineSum = 1e-12
	// finest is the residual that needs no polishing, in amperes and volts.
	finest = 1e-20
)

// polish goes on from x without aid and reports whether x then is a solution.
// Where what is left over comes to more than nothing, it goes on in twice the
// precision; what hangs on leakage only is known by then.
func (s *Series) polish() Status {
	status := s.polishSolved()
	if status == Converged {
		s.stats.Open = s.open()
	}
	if status == Converged && s.solver == s.lu && !s.isBalanced(fineSum) {
		s.refine()
		status = s.polishSolved()
	}
	if status == Converged && !s.isBalanced(s.set.Residual) {
		return Exhausted
	}
	return status
}

// polishSolved polishes what leakage determines first: where that comes to no
// end, the rest must not suffer.
func (s *Series) polishSolved() Status {
	s.lu.DiagonalShare, s.least = 0, finest
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
// after which it has not fallen is taken back and cut in half, at first only in
// the unknowns that it would move out of reach.
func (s *Series) polishTo(least float64) Status {
	best, cuts := math.Inf(1), 0
	s.fresh, s.factored = false, false
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
			if cuts > 1 || !s.stopWild() {
				s.halveStep()
			}
			s.x.move(s.step, s.reach)
			continue
		}
		gained := now < best/2 || cuts > 0
		best, cuts = now, 0
		s.kept.CopyFrom(s.x)
		if now <= 1 && least > finest {
			return Converged
		}
		if status := s.findFineStep(); status != Converged {
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

// stopWild takes out of the step what would move farther than it may, for want
// of anything that determines it, and reports whether there was any: the others
// move as well without it.
func (s *Series) stopWild() (any bool) {
	for i, d := range s.step {
		if math.Abs(d) > s.reach(i) {
			s.step[i], any = 0, true
		}
	}
	return any
}

// findFineStep does what findStep does, with the factors of the step before
// where that was too short to change them.
func (s *Series) findFineStep() Status {
	if s.factored && s.smallStep(s.set.Step) {
		return s.findFactoredStep()
	}
	status := s.findStep()
	s.factored = status == Converged
	return status
}

// judge looks at x once more: at the residual without aid, and at the step that
// Newton's method would take from there. A step that is not small where the
// residual is tells of an unknown that nothing determines.
func (s *Series) judge() Status {
	if !s.fresh {
		s.sys.Evaluate(s.x, Aid{}, &s.eq)
	}
	s.stats.Residual = s.eq.relative()
	if s.eq.beyond(s.set.Residual, s.trifle) > 1 {
		return Exhausted
	}
	if !s.fresh {
		if status := s.findStep(); status != Converged {
			return status
		}
	}
	return Converged
}

// isBalanced reports whether what all nodes leave over, which comes together at
// the reference, is small too, beside a share of the largest term of each.
func (s *Series) isBalanced(share float64) bool {
	sum, largest := 0.0, 0.0
	for i, f := range s.eq.Residual[:s.nodes()] {
		sum += f
		largest = max(largest, s.eq.Terms[i])
	}
	return math.Abs(sum) <= share*largest+s.set.Least
}

// open returns the unknowns that the equations leave open: those that residuals
// too small to matter would still move by more than the allowed share, and those
// that follow one of these. An unknown that nothing but leakage determines may
// be told to move by a million volts and more, and then seems to move what is as
// good as fixed. Those that would move farthest, up to a thousandth as far, are
// therefore held first, and the step of the others is asked for again, until
// none would move to speak of. Then each is moved as far as it may go, within
// reach, and what follows by more than the allowed share is open too.
func (s *Series) open() []int {
	copy(s.isOpen, s.held)
	for i := range s.next {
		s.next[i] = 1
	}
	for s.holdFarthest() {
		if !s.factorOpen() {
			break
		}
		s.solveOpen(-1)
	}
	if !slices.Contains(s.isOpen, true) || !s.factorOpen() {
		return list(s.isOpen)
	}
	follows := slices.Clone(s.isOpen)
	for u, isOpen := range s.isOpen {
		if !isOpen {
			continue
		}
		s.solveOpen(u)
		for i := range s.step {
			isMoved := !s.small(i, s.set.Step) && math.Abs(s.step[i]) > s.set.Step*s.next[u]
			follows[i] = follows[i] || isMoved
		}
	}
	return list(follows)
}

// holdFarthest adds the unknowns that would move farthest, in allowed steps, to
// those that are open, notes in next how far that is, and reports whether there
// were any.
func (s *Series) holdFarthest() bool {
	const near = 1e-3
	far := func(i int) float64 {
		return math.Abs(s.step[i]) / (s.set.Step * max(math.Abs(s.x.High[i]), s.sys.Floor(i)))
	}
	most := 0.0
	for i := range s.step {
		if d := far(i); !s.isOpen[i] && d > most {
			most = d
		}
	}
	if most <= 1 {
		return false
	}
	for i := range s.step {
		if d := far(i); !s.isOpen[i] && d > 1 && d >= near*most {
			s.isOpen[i], s.next[i] = true, min(math.Abs(s.step[i]), s.reach(i))
		}
	}
	return true
}

// factorOpen factors the slopes with the open unknowns held, and those that
// come out as undetermined then.
func (s *Series) factorOpen() bool {
	for {
		err := s.solver.Factor(s.eq.Slopes, s.isOpen)
		var open *sparse.Singular
		if !errors.As(err, &open) {
			return err == nil
		}
		if s.isOpen[open.Unknowns[0]] {
			return false
		}
		for _, i := range open.Unknowns {
			s.isOpen[i] = true
		}
	}
}

// solveOpen finds the step with the open unknowns held, or, where u is one of
// them, by how much the others follow when it moves as far as it may.
func (s *Series) solveOpen(u int) {
	for i, f := range s.eq.Residual {
		s.step[i] = -f
		if s.isOpen[i] || u >= 0 {
			s.step[i] = 0
		}
	}
	if u >= 0 {
		s.step[u] = s.next[u]
	}
	s.solver.SolveTo(s.step, s.step)
}

// list returns the indices at which yes is true.
func list(yes []bool) []int {
	var all []int
	for i, y := range yes {
		if y {
			all = append(all, i)
		}
	}
	return all
}
