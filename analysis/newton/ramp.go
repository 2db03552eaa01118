package newton

import "math"

// leakRamp begins with a leak at every node that is strong enough to tie the
// circuit down, and takes it away.
func (s *Series) leakRamp() Status {
	if status := s.ramp(leakAt); status != Converged {
		return status
	}
	return s.unaided()
}

// leakAt falls from 0.1 S to 1e-22 S as t goes from 0 to 1: the leak must end
// well below the conductance of an LED without voltage.
func leakAt(t float64) Aid { return Aid{Leak: math.Pow(10, -1-21*t)} }

// sourceRamp begins without sources, where a circuit is at rest, and raises
// them.
func (s *Series) sourceRamp() Status {
	return s.ramp(func(t float64) Aid { return Aid{Slack: 1 - t} })
}

// bothRamps raises the sources under a leak and then takes the leak away.
func (s *Series) bothRamps() Status {
	const leak = 1e-3
	status := s.ramp(func(t float64) Aid { return Aid{Leak: leak, Slack: 1 - t} })
	if status != Converged {
		return status
	}
	status = s.ramp(func(t float64) Aid { return Aid{Leak: leak * math.Pow(10, -19*t)} })
	if status != Converged {
		return status
	}
	return s.unaided()
}

// ramp solves the system under aid(t) from t = 0 to t = 1, each stage from the
// solution of the one before, and adapts the distance between stages to how
// that goes.
func (s *Series) ramp(aid func(t float64) Aid) Status {
	const first, longest, shortest = 0.05, 0.25, 1e-6
	t, reached, stride := 0.0, 0.0, first
	s.good.CopyFrom(s.x)
	for range s.set.Stages {
		switch s.stage(aid(t)) {
		case Cancelled:
			return Cancelled
		case Converged:
			if t == 1 {
				return Converged
			}
			s.good.CopyFrom(s.x)
			reached, stride = t, min(2*stride, longest)
		default:
			s.x.CopyFrom(s.good)
			stride /= 4
		}
		if stride < shortest || s.isSpent() {
			return Exhausted
		}
		t = min(1, reached+stride)
	}
	return Exhausted
}

// stage solves the system under an aid from x, with a line search where
// limited steps lead nowhere.
func (s *Series) stage(a Aid) Status { return s.stageTo(a, goal{}) }

// stageTo does the same with an attempt that may be patient.
func (s *Series) stageTo(a Aid, g goal) Status {
	g.share, g.iterations = nearby, s.set.Stage
	s.begin.CopyFrom(s.x)
	status := s.attemptTo(a, g)
	if status == Converged || status == Cancelled {
		return status
	}
	s.x.CopyFrom(s.begin)
	return s.search(a, s.set.Stage)
}

// unaided solves the system without aid from x, where an easier system than
// any ramp's has been solved. Where there is no way on from there, polishing
// tells whether x is a solution already: currents of less than 1 fA may leave a
// node where it is.
func (s *Series) unaided() Status {
	s.good.CopyFrom(s.x)
	status := s.stageTo(Aid{}, goal{patient: !s.isHuge()})
	if status == Converged || status == Cancelled {
		return status
	}
	s.x.CopyFrom(s.good)
	return Converged
}
