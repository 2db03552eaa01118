// Package device holds the laws of the parts that are not linear: currents and
// their derivatives as functions of voltages, all plain float64 in SI units
// (volts, amperes, siemens). It knows nothing of circuits.
package device

import "math"

// steepest is the argument above which the exponential goes on as its tangent.
// Exp(300) is 1e130: no current that a circuit carries comes near it, whatever
// the saturation current; but an iterate on its way may ask for it, and must
// get a finite number.
const steepest = 300

// exponential returns exp(u) and its derivative, without overflow.
func exponential(u float64) (e, slope float64) {
	if u > steepest {
		top := math.Exp(steepest)
		return top * (1 + u - steepest), top
	}
	e = math.Exp(u)
	return e, e
}

// exponentialLessOne returns exp(u) − 1 and its derivative, without overflow
// and without loss near u = 0.
func exponentialLessOne(u float64) (e, slope float64) {
	if math.Abs(u) < 1 {
		e = math.Expm1(u)
		return e, e + 1
	}
	e, slope = exponential(u)
	return e - 1, slope
}

// critical returns the voltage at which the exponential law of saturation
// current is and scale n·V_T bends most sharply. The curvature of
// y = is·exp(v/scale) is greatest where y' = 1/√2, here in siemens.
func critical(is, scale float64) float64 {
	return scale * math.Log(scale/(math.Sqrt2*is))
}

// limitRise bounds a step of Newton's method up an exponential with the given
// critical voltage. The tangent at last promises at v the current
// i(last) + i'(last)·(v − last). Where the law is I_S (exp(v/scale) − 1) it
// carries that current not at v but at
//
//	last + scale·ln(1 + (v − last)/scale)
//
// and that is where it is looked at next. Below the critical voltage, and for
// steps shorter than one scale, v stands.
func limitRise(v, last, crit, scale float64) float64 {
	from := max(last, crit)
	if v-from <= scale {
		return v
	}
	return from + scale*math.Log1p((v-from)/scale)
}

// limitFall does the same for a step down, where plain steps would never be
// much longer than one scale however far there is to go. Where the tangent
// promises a current below −I_S, which cannot be had, it goes down by three
// scales, a factor of 20 in the current, but not below half the voltage; and
// in reverse, where an exponential is so flat that it says nothing about the
// way back, to four scales below zero at first and to three times the last
// voltage from there on.
func limitFall(v, last, scale float64) float64 {
	lowest := min(-4*scale, 3*last)
	step := (v - last) / scale
	switch {
	case step > -0.5 || last <= 0:
		return max(v, lowest)
	case step > -1:
		return max(last+scale*math.Log1p(step), lowest)
	}
	return max(min(v, max(last/2, last-3*scale)), lowest)
}
