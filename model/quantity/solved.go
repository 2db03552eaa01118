package quantity

import "math"

// leastSolved is the least current, in A, and power, in W, that a solution is
// good for: what it leaves over at a net is of the size of 1e-15 A to 1e-13 A.
const leastSolved = 1e-12

// Solved prints what was solved for people. It is Format, but for currents and
// powers that are smaller than a solution is good for, which are "< 1 pA" and
// "< 1 pW"; none at all is "0 A" and "0 W".
func Solved(x float64, unit Unit) string {
	if size := math.Abs(x); (unit == Ampere || unit == Watt) && size > 0 && size < leastSolved {
		return "< " + Short(leastSolved, unit)
	}
	return Format(x, unit)
}
