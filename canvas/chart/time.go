package chart

import "copperglass/model/quantity"

// Times chooses the scale of an axis of time up to so many hours: its label, its
// unit, and the hours that one unit of the axis stands for. With daily set it is in
// days even for short times.
func Times(hours float64, daily bool) (axis string, unit quantity.Unit, step float64) {
	const day, year = 24, 8766
	switch {
	case hours > 2*year:
		return "time in years", quantity.None, year
	case daily || hours > 4*day:
		return "time in days", quantity.None, day
	}
	return "time", quantity.Hour, 1
}
