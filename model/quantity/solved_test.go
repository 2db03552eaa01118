package quantity

import "testing"

func TestSolved(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		x    float64
		unit Unit
		want string
	}{
		{18.8e-15, Ampere, "< 1 pA"},
		{-8e-15, Ampere, "< 1 pA"},
		{0, Ampere, "0 A"},
		{1e-12, Ampere, "1.00 pA"},
		{-3.89e-3, Ampere, "−3.89 mA"},
		{2e-14, Watt, "< 1 pW"},
		{0, Watt, "0 W"},
		{2e-14, Volt, "20.0 fV"},
		{2e-14, Farad, "20.0 fF"},
	} {
		if got := Solved(c.x, c.unit); got != c.want {
			t.Errorf("Solved(%g, %v) = %q, want %q", c.x, c.unit, got, c.want)
		}
	}
}
