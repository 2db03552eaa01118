package device

import "math"

// JunctionLaw holds the constants of a p-n junction at its temperature:
//
//	I = I_S (exp(V/(n V_T)) − 1) − I_BV exp(−(V + V_BV)/(n_BV V_T))
//
// with the second term only where V_BV > 0. The first term is W. Shockley's
// (Bell System Technical Journal 28, 1949) with an emission coefficient.
type JunctionLaw struct {
	SaturationCurrent float64 // I_S, A
	Emission          float64 // n
	BreakdownVoltage  float64 // V_BV, V; 0 for none
	BreakdownCurrent  float64 // I_BV, A
	BreakdownEmission float64 // n_BV
	ThermalVoltage    float64 // V_T = kT/q, V
}

// Current returns the current in amperes from anode to cathode and its
// derivative in siemens at v volts from anode to cathode.
func (l *JunctionLaw) Current(v float64) (amps, slope float64) {
	scale := l.Emission * l.ThermalVoltage
	e, d := exponentialLessOne(v / scale)
	amps, slope = l.SaturationCurrent*e, l.SaturationCurrent/scale*d
	if l.BreakdownVoltage > 0 {
		scale = l.BreakdownEmission * l.ThermalVoltage
		e, d = exponential(-(v + l.BreakdownVoltage) / scale)
		amps -= l.BreakdownCurrent * e
		slope += l.BreakdownCurrent / scale * d
	}
	return amps, slope
}

// Limit returns where the junction is to be looked at when Newton's method
// asks for v after it was last looked at.
func (l *JunctionLaw) Limit(v, last float64) float64 {
	scale := l.Emission * l.ThermalVoltage
	switch step := v - last; {
	case step > scale:
		v = limitRise(v, last, critical(l.SaturationCurrent, scale), scale)
	case !(step > 0):
		v = limitFall(v, last, scale)
	}
	if l.BreakdownVoltage > 0 && l.BreakdownCurrent > 0 {
		v = l.limitBreakdown(v, last)
	}
	return v
}

// limitBreakdown does the same for the breakdown, whose exponential rises with
// the voltage beyond V_BV.
func (l *JunctionLaw) limitBreakdown(v, last float64) float64 {
	scale := l.BreakdownEmission * l.ThermalVoltage
	beyond, before := -l.BreakdownVoltage-v, -l.BreakdownVoltage-last
	step, limited := (beyond-before)/scale, beyond
	switch {
	case step > 0:
		limited = limitRise(beyond, before, critical(l.BreakdownCurrent, scale), scale)
	case step > -0.5:
	case step > -1:
		limited = max(before+scale*math.Log1p(step), min(beyond, -4*scale))
	case before > 0:
		limited = min(beyond, before/2)
	}
	if limited == beyond {
		return v
	}
	return -l.BreakdownVoltage - limited
}
