package device

import (
	"fmt"
	"math"
	"testing"
)

var (
	plainNPN = BipolarLaw{
		Polarity: 1, SaturationCurrent: 1e-14, ForwardBeta: 200, ReverseBeta: 4,
		ForwardEmission: 1, ReverseEmission: 1, ThermalVoltage: thermal,
	}
	fullNPN = BipolarLaw{
		Polarity: 1, SaturationCurrent: 3e-14, ForwardBeta: 250, ReverseBeta: 5,
		ForwardEmission: 1.02, ReverseEmission: 0.98, EarlyVoltage: 60, KneeCurrent: 0.3, ThermalVoltage: thermal,
	}
)

func pnp(l BipolarLaw) BipolarLaw { l.Polarity = -1; return l }

// The forward active transistor has I_C/I_B = β_F and the reversed one
// I_E/I_B = β_R. With collector and base joined the emitter carries
// I_S (1 + 1/β_F)(e^u − 1). With the collector open and V_BE = V_BC both
// junctions' transport cancels.
func TestBipolarValues(t *testing.T) {
	for name, l := range map[string]BipolarLaw{"npn": plainNPN, "pnp": pnp(plainNPN)} {
		s := l.Polarity
		active := l.Currents(BipolarBias{BE: s * 0.65, BC: s * -5})
		near(t, name+" active: I_C", active.Collector, s*1e-14*(math.Exp(0.65/thermal)+1.0/4), 1e-12)
		near(t, name+" active: β", active.Collector/active.Base, 200, 1e-9)

		reverse := l.Currents(BipolarBias{BE: s * -5, BC: s * 0.65})
		near(t, name+" reverse: β", -(reverse.Collector+reverse.Base)/reverse.Base, 4, 1e-9)

		joined := l.Currents(BipolarBias{BE: s * 0.65})
		near(t, name+" as a diode", joined.Collector+joined.Base, s*1e-14*(1+1.0/200)*math.Expm1(0.65/thermal), 1e-12)

		equal := l.Currents(BipolarBias{BE: s * 0.6, BC: s * 0.6})
		near(t, name+" both forward", equal.Collector, -s*1e-14/4*math.Expm1(0.6/thermal), 1e-12)

		if off := l.Currents(BipolarBias{}); off.Collector != 0 || off.Base != 0 {
			t.Errorf("%s at rest carries %g and %g", name, off.Collector, off.Base)
		}
	}
}

// Saturation, from the textbook: V_CE = V_T ln((1 + (β_f + 1)/β_R)/(1 − β_f/β_F))
// at a forced β_f, where the −1 terms are neglected.
func TestBipolarSaturationVoltage(t *testing.T) {
	l := plainNPN
	for _, forced := range []float64{1, 10, 50, 150} {
		vce := thermal * math.Log((1+(forced+1)/l.ReverseBeta)/(1-forced/l.ForwardBeta))
		c := l.Currents(BipolarBias{BE: 0.7, BC: 0.7 - vce})
		near(t, fmt.Sprintf("forced β %g", forced), c.Collector/c.Base, forced, 1e-6)
	}
}

// The Early effect multiplies I_C by 1 − V_BC/V_A; at high injection, where
// I_S e^u = 2 I_K, q_b = ½(1 + √9) = 2.
func TestBipolarRefinements(t *testing.T) {
	early := plainNPN
	early.EarlyVoltage = 50
	a, b := plainNPN.Currents(BipolarBias{0.65, -5}), early.Currents(BipolarBias{0.65, -5})
	near(t, "Early effect", b.Collector, a.Collector*1.1, 1e-9)
	near(t, "Early effect on the base", b.Base, a.Base, 0)

	knee := plainNPN
	knee.KneeCurrent = 0.1
	u := thermal * math.Log(1+2*0.1/1e-14)
	near(t, "knee", knee.Currents(BipolarBias{u, -5}).Collector, 0.1, 1e-9)
}

func TestBipolarSlopes(t *testing.T) {
	for name, l := range map[string]BipolarLaw{"npn": fullNPN, "pnp": pnp(fullNPN), "plain": plainNPN} {
		for _, be := range span(-0.4, 0.95, 46) {
			for _, bc := range span(-2, 0.9, 46) {
				b := BipolarBias{l.Polarity * be, l.Polarity * bc}
				got := l.Currents(b)
				biggest := l.SaturationCurrent * (1 + math.Exp(max(be, bc)/thermal))
				at := fmt.Sprintf("%s V_BE=%.3f V_BC=%.3f", name, b.BE, b.BC)
				byBE := func(f func(BipolarCurrents) float64) func(float64) float64 {
					return func(v float64) float64 { return f(l.Currents(BipolarBias{v, b.BC})) }
				}
				byBC := func(f func(BipolarCurrents) float64) func(float64) float64 {
					return func(v float64) float64 { return f(l.Currents(BipolarBias{b.BE, v})) }
				}
				collector := func(c BipolarCurrents) float64 { return c.Collector }
				base := func(c BipolarCurrents) float64 { return c.Base }
				checkSlope(t, at+" ∂I_C/∂V_BE", byBE(collector), b.BE, got.CollectorBE, thermal, biggest)
				checkSlope(t, at+" ∂I_C/∂V_BC", byBC(collector), b.BC, got.CollectorBC, thermal, biggest)
				checkSlope(t, at+" ∂I_B/∂V_BE", byBE(base), b.BE, got.BaseBE, thermal, biggest)
				checkSlope(t, at+" ∂I_B/∂V_BC", byBC(base), b.BC, got.BaseBC, thermal, biggest)
			}
		}
	}
}

func TestBipolarAlwaysFinite(t *testing.T) {
	l := fullNPN
	l.KneeCurrent = 1e-14 // makes 1 + 4 q_2 negative in reverse
	for _, be := range []float64{-1e4, -5, 0, 5, 1e4} {
		for _, bc := range []float64{-1e4, -5, 0, 5, 1e4} {
			c := l.Currents(BipolarBias{be, bc})
			for _, x := range []float64{c.Collector, c.Base, c.CollectorBE, c.CollectorBC, c.BaseBE, c.BaseBC} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Errorf("V_BE=%g V_BC=%g: %+v", be, bc, c)
				}
			}
		}
	}
}

func TestBipolarLimit(t *testing.T) {
	for name, l := range map[string]BipolarLaw{"npn": plainNPN, "pnp": pnp(plainNPN)} {
		s := l.Polarity
		if be := s * l.LimitBE(s*12, 0); be < 0.5 || be > 1 {
			t.Errorf("%s: V_BE goes to %g", name, be)
		}
		if bc := s * l.LimitBC(s*-12, 0); bc > 0 || bc < -0.2 {
			t.Errorf("%s: V_BC goes to %g", name, bc)
		}
		if be := l.LimitBE(s*0.66, s*0.65); be != s*0.66 {
			t.Errorf("%s: a small step is changed to %v", name, be)
		}
	}
}
