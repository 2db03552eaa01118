package newton

import (
	"math"
	"slices"
)

const (
	// firstLeak is a conductance in siemens beside which Newton's method for
	// junctions soon comes to an end; the last is leakShare of what counts as
	// none, at 1 V.
	firstLeak, leakShare = 1e-2, 1e-3
	// firstFade and mostFade say by which factor the leak fades from stage to
	// stage, leastFade when that is given up.
	firstFade, mostFade, leastFade = 30, 1e3, 1.2
	// fadeStage bounds the iterations of a stage, mostFading those of all but
	// the last.
	fadeStage, mostFading = 25, 400
)

// fadingLeak begins with a leak at every node and lets it fade, each stage but
// the last only roughly solved. That is soon done where many nodes hang between
// junctions that block: without a leak nothing tells how far these would have to
// move. Where the leak is lost beside the conductances of a group of nodes, as
// much is known of it as this arithmetic can tell.
func (s *Series) fadingLeak() Status {
	fade, last := float64(firstFade), leakShare*s.trifle
	s.good.CopyFrom(s.x)
	leak := firstLeak
	for end := s.stats.Iterations + mostFading; s.stats.Iterations < end; {
		near := goal{share: tame, iterations: fadeStage}
		if leak == last {
			near.share = nearby
		}
		switch status := s.attemptTo(Aid{Leak: leak}, near); {
		case status == Cancelled:
			return Cancelled
		case status == Converged:
			if leak == last || s.isFaded() {
				return s.fadedOut()
			}
			s.good.CopyFrom(s.x)
			fade = min(2*fade, mostFade)
		case slices.Contains(s.held, true) && s.solver == s.lu:
			s.x.CopyFrom(s.good)
			return s.fadedOut()
		default:
			s.x.CopyFrom(s.good)
			leak *= fade
			if fade = math.Sqrt(fade); fade < leastFade {
				return status
			}
		}
		leak = max(leak/fade, last)
	}
	return Exhausted
}

// fadedOut goes on without the leak, unless what it made of the residual is too
// little to matter.
func (s *Series) fadedOut() Status {
	if s.isFaded() {
		return Converged
	}
	return s.unaided()
}

func (s *Series) isFaded() bool {
	s.sys.Evaluate(s.x, Aid{}, &s.eq)
	return s.eq.beyond(s.set.Residual, s.trifle) <= 1
}
