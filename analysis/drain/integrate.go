package drain

import "math"

// The pair of Runge-Kutta formulas of order 5 and 4 by J. R. Dormand and P. J.
// Prince, Journal of Computational and Applied Mathematics 6, 1980, table 2.
var (
	weights = [6][]float64{
		{1. / 5},
		{3. / 40, 9. / 40},
		{44. / 45, -56. / 15, 32. / 9},
		{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
		{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
		{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84}, // the fifth order's own
	}
	// errorWeights is the fifth order's result less the fourth's.
	errorWeights = [7]float64{71. / 57600, 0, -71. / 16695, 71. / 1920, -17253. / 339200, 22. / 525, -1. / 40}
)

// step is one step of the integration.
type step struct {
	seconds      float64
	from, to     []float64
	slope, after []float64 // at its beginning and its end
	deviation    float64   // largest estimated error of a fraction
}

// advance makes a step of that many seconds from y, where the slope is known.
// The error is judged by the first n values.
func advance(f func(y []float64) ([]float64, error), y, slope []float64, seconds float64, n int) (step, error) {
	k := [7][]float64{slope}
	var at []float64
	for i, w := range weights {
		at = combine(y, seconds, w, k[:])
		var err error
		if k[i+1], err = f(at); err != nil {
			return step{}, err
		}
	}
	s := step{seconds: seconds, from: y, to: at, slope: slope, after: k[6]}
	for i := range n {
		sum := 0.0
		for j, e := range errorWeights {
			sum += e * k[j][i]
		}
		s.deviation = max(s.deviation, math.Abs(seconds*sum))
	}
	return s, nil
}

// combine returns y + h Σ w k.
func combine(y []float64, h float64, w []float64, k [][]float64) []float64 {
	out := make([]float64, len(y))
	for i := range y {
		sum := 0.0
		for j, x := range w {
			sum += x * k[j][i]
		}
		out[i] = y[i] + h*sum
	}
	return out
}

// within returns the first n values at a part t of the step, 0 to 1, by the
// cubic through both ends with their slopes.
func (s step) within(t float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		h := s.seconds
		rise := s.to[i] - s.from[i]
		a := s.slope[i]*h - rise
		b := rise - s.after[i]*h
		out[i] = s.from[i] + t*rise + t*(1-t)*(a*(1-t)+b*t)
	}
	return out
}
