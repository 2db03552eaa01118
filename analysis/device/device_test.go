package device

import (
	"fmt"
	"math"
	"testing"
)

const thermal = 0.025692579121493725 // kT/q at 298.15 K, V

// near fails unless got is within rel of want, relatively.
func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)) {
		t.Errorf("%s: got %.17g, want %.17g", what, got, want)
	}
}

// checkSlope compares a derivative with the central difference of f at x. The
// step follows the scale on which f bends, so that the difference is good to
// about (h/scale)²/6; noise is the rounding of f itself over the step.
func checkSlope(t *testing.T, what string, f func(float64) float64, x, slope, scale, magnitude float64) {
	t.Helper()
	h := 1e-4 * scale
	up, down := x+h, x-h
	difference := (f(up) - f(down)) / (up - down)
	noise := 1e-14 * (math.Abs(f(x)) + magnitude) / h
	if math.Abs(slope-difference) > 1e-7*math.Abs(difference)+noise {
		t.Errorf("%s at %g: derivative %.12g, central difference %.12g", what, x, slope, difference)
	}
}

func span(from, to float64, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = from + (to-from)*float64(i)/float64(n-1)
	}
	return x
}

func TestExponential(t *testing.T) {
	for _, u := range []float64{-800, -40, -1, -1e-9, 0, 1e-12, 0.5, 1, 40, 300} {
		e, d := exponentialLessOne(u)
		near(t, fmt.Sprintf("exp(%g) − 1", u), e, math.Expm1(u), 1e-15)
		near(t, fmt.Sprintf("slope of exp(%g) − 1", u), d, math.Exp(u), 1e-15)
		e, d = exponential(u)
		near(t, fmt.Sprintf("exp(%g)", u), e, math.Exp(u), 1e-15)
		near(t, fmt.Sprintf("slope of exp(%g)", u), d, math.Exp(u), 1e-15)
	}
	e, d := exponential(1e6)
	top := math.Exp(300)
	near(t, "beyond", e, top*(1+1e6-300), 1e-12)
	near(t, "slope beyond", d, top, 1e-15)
}
