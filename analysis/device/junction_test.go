package device

import (
	"fmt"
	"math"
	"testing"
)

var junctions = map[string]JunctionLaw{
	"silicon diode":  {SaturationCurrent: 2.5e-9, Emission: 1.8, ThermalVoltage: thermal},
	"white LED":      {SaturationCurrent: 2.5e-20, Emission: 2.75, ThermalVoltage: thermal},
	"5.1 V Zener":    {SaturationCurrent: 1e-14, Emission: 1.1, BreakdownVoltage: 5.1, BreakdownCurrent: 5e-3, BreakdownEmission: 1.5, ThermalVoltage: thermal},
	"leaky and cold": {SaturationCurrent: 1e-6, Emission: 1, ThermalVoltage: 0.006},
}

// From the definition of the logarithm: at V = n V_T ln 2 the current is I_S,
// at V = n V_T ln 1001 it is 1000 I_S, far in reverse it is −I_S; in
// breakdown, at V = −V_BV, it is −I_BV more.
func TestJunctionValues(t *testing.T) {
	for name, l := range junctions {
		scale := l.Emission * l.ThermalVoltage
		for _, tt := range []struct{ v, want float64 }{
			{0, 0},
			{scale * math.Ln2, l.SaturationCurrent},
			{scale * math.Log(1001), 1000 * l.SaturationCurrent},
			{scale * math.Log(0.5), -l.SaturationCurrent / 2},
		} {
			i, _ := l.Current(tt.v)
			if l.BreakdownVoltage > 0 {
				tt.want -= l.BreakdownCurrent * math.Exp(-(tt.v+l.BreakdownVoltage)/(l.BreakdownEmission*l.ThermalVoltage))
			}
			near(t, fmt.Sprintf("%s at %g V", name, tt.v), i, tt.want, 1e-12)
		}
	}
	z := junctions["5.1 V Zener"]
	i, _ := z.Current(-5.1)
	near(t, "Zener at its knee", i, -5e-3-1e-14, 1e-14)
	d := junctions["silicon diode"]
	i, _ = d.Current(-5)
	near(t, "diode in reverse", i, -2.5e-9, 1e-15)
}

func TestJunctionSlope(t *testing.T) {
	for name, l := range junctions {
		scale := min(1, l.Emission) * l.ThermalVoltage
		lo, hi := -30*scale, 60*scale
		if l.BreakdownVoltage > 0 {
			lo = -l.BreakdownVoltage - 0.5
		}
		for _, v := range span(lo, hi, 501) {
			_, slope := l.Current(v)
			checkSlope(t, name, func(v float64) float64 { i, _ := l.Current(v); return i }, v, slope, scale, l.SaturationCurrent)
		}
	}
}

// Whatever is asked for, a limited junction carries a current that is finite
// and not wild: it is looked at between where it was and where it is asked for,
// or, on the way down, at a voltage without much current. Asking again and
// again gets there.
func TestJunctionLimit(t *testing.T) {
	asked := []float64{-1000, -6, -5.1, -0.3, 0, 0.01, 0.4, 0.7, 3.5, 12, 1000}
	for name, l := range junctions {
		for _, from := range asked {
			from = settle(&l, from, 0, 1)
			for _, to := range asked {
				v := l.Limit(to, from)
				if v < min(from, to, -4*l.Emission*l.ThermalVoltage) || v > max(from, to) {
					t.Errorf("%s: from %g towards %g the limit leads to %g", name, from, to, v)
				}
				if got := settle(&l, to, from, 200); to > -5 && to < 0.7 && got != to {
					t.Errorf("%s: from %g to %g one only gets to %g", name, from, to, got)
				}
			}
		}
		if v := l.Limit(1000, 0); v > 0.7+l.Emission*l.ThermalVoltage*math.Log1p(1/l.SaturationCurrent)+20*l.Emission*l.ThermalVoltage {
			t.Errorf("%s: one step leads to %g V", name, v)
		}
	}
}

func settle(l *JunctionLaw, to, from float64, steps int) float64 {
	for range steps {
		from = l.Limit(to, from)
	}
	return from
}
