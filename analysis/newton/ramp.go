package newton

import "math"

// leakRamp begins with a leak at every node that is strong enough to tie the
// circuit down, and takes it away.
func (s *solver) leakRamp() Status {
	if status := s.ramp(leakAt); status != Converged {
		return status
	}
	return s.attempt(Aid{}, s.set.Stage)
}

// leakAt falls from 0.1 S to 1e-22 S as t goes from 0 to 1: the leak must end
// well below the conductance of an LED without voltage.
func leakAt(t float64) Aid { return Aid{Leak: math.Pow(10, -1-21*t)} }

// sourceRamp begins without sources, where a circuit is at rest, and raises
// them.
func (s *solver) sourceRamp() Status {
	return s.ramp(func(t float64) Aid { return Aid{Slack: 1 - t} })
}

// bothRamps raises the sources under a leak and then takes the leak away.
func (s *solver) bothRamps() Status {
	const leak = 1e-3
	status := s.ramp(func(t float64) Aid { return Aid{Leak: leak, Slack: 1 - t} })
	if status != Converged {
		return status
	}
	status = s.ramp(func(t float64) Aid { return Aid{Leak: leak * math.Pow(10, -19*t)} })
	if status != Converged {
		return status
	}
	return s.attempt(Aid{}, s.set.Stage)
}

// ramp solves the system under aid(t) from t = 0 to t = 1, each stage from the
// solution of the one before, and adapts the distance between stages to how
// that goes.
func (s *solver) ramp(aid func(t float64) Aid) Status {
	const first, longest, shortest = 0.05, 0.25, 1e-6
	t, reached, stride := 0.0, 0.0, first
	s.good.CopyFrom(s.x)
	for range s.set.Stages {
		switch s.attempt(aid(t), s.set.Stage) {
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
		if stride < shortest {
			break
		}
		t = min(1, reached+stride)
	}
	return Exhausted
}
