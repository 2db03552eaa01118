package model

import (
	"math"
	"testing"
)

// lampCurrent is the current of a lamp and its slope at a voltage.
func lampCurrent(t *testing.T, p *Part, volts float64) (amps, slope float64) {
	t.Helper()
	law, ok := p.LookupKind().Elements(p, resolved(t, p, nil))[0].(Law)
	if !ok {
		t.Fatalf("%+v has no law", p)
	}
	var i [2]float64
	var g [4]float64
	law.Currents([]float64{volts + 7, 7}, i[:], g[:])
	if i[1] != -i[0] || g[1] != -g[0] || g[2] != -g[0] || g[3] != g[0] {
		t.Errorf("at %v V the currents %v and slopes %v do not belong together", volts, i, g)
	}
	return i[0], g[0]
}

func TestLampAtRatedVoltageAndCold(t *testing.T) {
	t.Parallel()
	p := &Part{Ref: "E1", Kind: "lamp", Value: "2.5 V 0.3 A"}
	amps, _ := lampCurrent(t, p, 2.5)
	closeTo(t, "rated current", amps, 0.3, 1e-12)
	_, slope := lampCurrent(t, p, 0)
	closeTo(t, "cold conductance", slope, hotOverCold*0.3/2.5, 1e-12)
	amps, _ = lampCurrent(t, p, -2.5)
	closeTo(t, "current backwards", amps, -0.3, 1e-12)
}

func closeTo(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestLampSlope compares the slope with central differences over eight decades.
func TestLampSlope(t *testing.T) {
	t.Parallel()
	p := &Part{Ref: "E1", Kind: "lamp", Value: "6 V 3 W"}
	for volts := 1e-5; volts < 1e3; volts *= 1.7 {
		h := 1e-4 * volts
		above, _ := lampCurrent(t, p, volts+h)
		below, _ := lampCurrent(t, p, volts-h)
		_, slope := lampCurrent(t, p, volts)
		if difference := (above - below) / (2 * h); math.Abs(slope-difference) > 1e-6*slope {
			t.Errorf("slope %v at %v V, differences give %v", slope, volts, difference)
		}
	}
}

// TestLampExponent is a fact of the trade: near its rated voltage the current
// of a tungsten lamp goes as the voltage to the power of about 0.55 (common
// practice, no source).
func TestLampExponent(t *testing.T) {
	t.Parallel()
	p := &Part{Ref: "E1", Kind: "lamp", Value: "12 V 5 W"}
	amps, slope := lampCurrent(t, p, 12)
	if exponent := slope * 12 / amps; exponent < 0.5 || exponent > 0.6 {
		t.Errorf("the current goes as the voltage to the power %.2f", exponent)
	}
}

// TestLampWithoutHeating is a constant resistance where cold and hot are the
// same, or the wrong way round, and nearly one where they nearly are.
func TestLampWithoutHeating(t *testing.T) {
	t.Parallel()
	for _, cold := range []float64{12, 30} {
		p := &Part{Ref: "E1", Kind: "lamp", Value: "6 V 3 W", Params: Params{"cold_resistance": Number(cold)}}
		if got := p.LookupKind().Elements(p, resolved(t, p, nil)); len(got) != 1 || got[0] != (Resistance{"1", "2", 12}) {
			t.Errorf("cold %v Ω, hot 12 Ω: %v", cold, got)
		}
	}
	p := &Part{Ref: "E1", Kind: "lamp", Value: "6 V 3 W", Params: Params{"cold_resistance": Number(12 * (1 - 1e-9))}}
	for _, volts := range []float64{1e-3, 1, 6} {
		amps, slope := lampCurrent(t, p, volts)
		closeTo(t, "current", amps, volts/12, 1e-8)
		closeTo(t, "slope", slope, 1.0/12, 1e-8)
	}
}

// TestLampFarOut stays finite at any voltage a solver may try.
func TestLampFarOut(t *testing.T) {
	t.Parallel()
	p := &Part{Ref: "E1", Kind: "lamp", Value: "6 V 3 W"}
	for _, volts := range []float64{0, 1e-300, 1e-12, 1e6, 1e30, 1e200} {
		amps, slope := lampCurrent(t, p, volts)
		if math.IsNaN(amps) || math.IsInf(amps, 0) || !(slope > 0) {
			t.Errorf("%v A, slope %v S at %v V", amps, slope, volts)
		}
	}
}
