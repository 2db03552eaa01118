package newton

import (
	"math"
	"slices"
)

const (
	// firstLeak is a conductance in siemens beside which Newton's method for
	// junctions soon comes to an end, lastLeak one whose current is below what
	// counts as none.
	firstLeak, lastLeak = 1e-2, 1e-17
	// firstFade and mostFade say by which factor the leak fades from stage to
	// stage, leastFade when that is given up.
	firstFade, mostFade, leastFade = 30, 1e3, 1.2
	// fadeStage bounds the iterations of a stage.
	fadeStage = 25
)

// fadingLeak begins with a leak at every node and lets it fade, each stage only
// roughly solved. That is soon done where many nodes hang between junctions that
// block: without a leak nothing tells how far these would have to move. Where
// the leak is lost beside the conductances of a group of nodes, as much is known
// of it as there is to be known.
func (s *Series) fadingLeak() Status {
	fade := float64(firstFade)
	s.good.CopyFrom(s.x)
	for leak := firstLeak; leak > lastLeak; leak /= fade {
		switch status := s.attemptTo(Aid{Leak: leak}, goal{share: tame, iterations: fadeStage}); {
		case status == Cancelled:
			return Cancelled
		case status == Converged:
			s.good.CopyFrom(s.x)
			fade = min(2*fade, mostFade)
		case slices.Contains(s.held, true):
			s.x.CopyFrom(s.good)
			return s.fadedOut()
		default:
			s.x.CopyFrom(s.good)
			leak *= fade
			if fade = math.Sqrt(fade); fade < leastFade {
				return status
			}
		}
	}
	return s.fadedOut()
}

// fadedOut goes on without the leak, unless what it made of the residual is too
// little to matter.
func (s *Series) fadedOut() Status {
	s.sys.Evaluate(s.x, Aid{}, &s.eq)
	if s.eq.beyond(s.set.Residual, s.set.Least) <= 1 {
		return Converged
	}
	return s.unaided()
}
