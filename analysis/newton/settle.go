package newton

import "slices"

func (s *Series) settle() Status { return s.settleAt(4, s.set.Stages) }

func (s *Series) settleSlowly() Status { return s.settleAt(1.6, 4*s.set.Stages) }

func (s *Series) settleFromStart() Status {
	s.x.CopyFrom(s.start)
	return s.settle()
}

// settleAt lets the circuit settle in time: a capacitor at every node begins
// with the voltage there and is charged in steps that grow as the circuit comes to rest
// (pseudo-transient continuation: C. T. Kelley and D. E. Keyes, SIAM J. Numer.
// Anal. 35, 1998; steps by the backward Euler method). Where an operating point
// is stable that way of getting there cannot miss.
func (s *Series) settleAt(growth float64, stages int) Status {
	const first, most, least = 1.0, 1e6, 1e-20 // S: capacitance over time step
	a := Aid{Leak: first, Anchor: slices.Clone(s.x.High)}
	end := s.stats.Iterations + mostSettling
	for range stages {
		if s.isSpent() || s.stats.Iterations > end {
			return Exhausted
		}
		before := s.stats.Iterations
		switch s.stage(a) {
		case Cancelled:
			return Cancelled
		case Converged:
			copy(a.Anchor, s.x.High)
			a.Leak /= growth
			if s.stats.Iterations-before < quick {
				a.Leak /= 2 * growth
			}
		default:
			copy(s.x.High, a.Anchor)
			clear(s.x.Low)
			if a.Leak < futile {
				return s.unaided()
			}
			a.Leak *= growth * growth
		}
		if a.Leak < least || a.Leak > most {
			break
		}
	}
	return s.unaided()
}

// mostSettling bounds the iterations of a way that settles. One that comes to an
// end takes some hundred, seldom thousands.
const mostSettling = 4000

// quick is how few iterations tell of a time step that could have been longer.
const quick = 5

// futile is the leak in siemens below which it is not tried again when it has
// not helped.
const futile = 1e-13
