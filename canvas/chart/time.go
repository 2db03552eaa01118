package chart

import "copperglass/model/quantity"

// Times tells how an axis of time that goes to so many hours is best read: what
// it says, its unit, and the hours of one step of it; in days at least where it
// is about days.
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
