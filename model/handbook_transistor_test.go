package model

import (
	"math"
	"testing"
)

// testedTransistor is one bipolar transistor with its leads, measured as data sheets say.
// It works the transport equations out by itself, in the form they are printed
// in: I_C and I_B as functions of V_BE and V_BC.
type testedTransistor struct {
	law     BipolarLaw
	b, c, e float64 // resistances, Ω
}

func testBipolar(t *testing.T, kind, value string) testedTransistor {
	t.Helper()
	v := resolved(t, &Part{Ref: "Q1", Kind: kind, Value: value}, nil)
	return testedTransistor{bipolarLaw(v, 1), v.Num("base_resistance"), v.Num("collector_resistance"), v.Num("emitter_resistance")}
}

func (q testedTransistor) currents(vbe, vbc float64) (ic, ib float64) {
	l := q.law
	forward := l.SaturationCurrent * math.Expm1(vbe/(l.ForwardEmission*l.ThermalVoltage))
	reverse := l.SaturationCurrent * math.Expm1(vbc/(l.ReverseEmission*l.ThermalVoltage))
	charge := 0.5 * (1 + math.Sqrt(1+4*forward/l.KneeCurrent))
	return (forward-reverse)/charge - reverse/l.ReverseBeta, forward/l.ForwardBeta + reverse/l.ReverseBeta
}

// root finds where a rising function crosses 0 by halving.
func root(low, high float64, f func(float64) float64) float64 {
	for range 200 {
		if middle := (low + high) / 2; f(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// gain is I_C/I_B at a collector current and a voltage from collector to
// emitter, and the voltage from base to emitter there.
func (q testedTransistor) gain(ic, vce float64) (beta, vbe float64) {
	inner := vce - ic*(q.c+q.e)
	vbe = root(0, 2, func(x float64) float64 { i, _ := q.currents(x, x-inner); return i - ic })
	_, ib := q.currents(vbe, vbe-inner)
	return ic / ib, vbe + ib*q.b + (ic+ib)*q.e
}

// saturated gives the voltages at a collector current and a base current.
func (q testedTransistor) saturated(ic, ib float64) (vce, vbe float64) {
	// The base current fixes V_BE for each V_BC; the collector current falls
	// as V_BC rises.
	base := func(vbc float64) float64 {
		return root(-1, 2, func(x float64) float64 { _, i := q.currents(x, vbc); return i - ib })
	}
	limit := q.law.ReverseEmission * q.law.ThermalVoltage * math.Log(ib*q.law.ReverseBeta/q.law.SaturationCurrent)
	vbc := root(-5, limit, func(x float64) float64 { i, _ := q.currents(base(x), x); return ic - i })
	inner := base(vbc)
	return inner - vbc + ic*q.c + (ic+ib)*q.e, inner + ib*q.b + (ic+ib)*q.e
}

// TestGains holds the gains inside the ranges of data sheets.
func TestGains(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, value string
		amps, volts float64
		least, most float64
		source      string
	}{
		{"npn", "2N3904", 0.0001, 1, 60, 300, sheet3904},
		{"npn", "2N3904", 0.001, 1, 80, 300, sheet3904},
		{"npn", "2N3904", 0.010, 1, 100, 300, sheet3904},
		{"npn", "2N3904", 0.050, 1, 60, 300, sheet3904},
		{"npn", "2N3904", 0.100, 1, 30, 300, sheet3904},
		{"pnp", "2N3906", 0.010, 1, 100, 300, sheet3906},
		{"pnp", "2N3906", 0.100, 1, 30, 300, sheet3906},
		{"npn", "BC817-16", 0.100, 1, 100, 250, sheet817},
		{"npn", "BC817-25", 0.100, 1, 160, 400, sheet817},
		{"npn", "BC817-40", 0.100, 1, 250, 600, sheet817},
		{"npn", "BC817-16", 0.300, 1, 60, 250, sheet817},
		{"npn", "BC817-25", 0.300, 1, 100, 400, sheet817},
		{"npn", "BC817-40", 0.300, 1, 170, 600, sheet817},
		{"pnp", "BC807-16", 0.500, 1, 40, 250, sheet807},
		{"pnp", "BC807-25", 0.100, 1, 160, 400, sheet807},
		{"pnp", "BC807-40", 0.100, 1, 250, 600, sheet807},
		{"npn", "BC547A", 0.002, 5, 110, 220, sheet547},
		{"npn", "BC547B", 0.002, 5, 200, 450, sheet547},
		{"pnp", "BC557C", 0.002, 5, 420, 800, sheet547},
		{"npn", "BC847B", 0.002, 5, 200, 450, sheet847},
		{"npn", "2N2222A", 0.010, 10, 75, 300, sheet2222},
		{"npn", "2N2222A", 0.150, 10, 100, 300, sheet2222},
		{"npn", "2N2222A", 0.500, 10, 40, 300, sheet2222},
		{"pnp", "MMBT2907A", 0.150, 10, 100, 300, sheet2907},
		{"pnp", "unknown", 0.050, 1, 60, 250, genericBipolar.source},
		{"npn", "", 0.100, 1, 60, 250, genericBipolar.source},
	} {
		if got, _ := testBipolar(t, c.kind, c.value).gain(c.amps, c.volts); got < c.least || got > c.most {
			t.Errorf("%s: gain %.0f at %v A and %v V, want %v to %v: %s", c.value, got, c.amps, c.volts, c.least, c.most, c.source)
		}
	}
}

// TestSaturation holds the voltages of driven transistors inside the ranges of
// data sheets; 0 to a limit where only that is given.
func TestSaturation(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, value string
		ic, ib      float64
		vce, vbe    [2]float64
		source      string
	}{
		{"npn", "2N3904", 0.010, 0.001, [2]float64{0, 0.20}, [2]float64{0.65, 0.85}, sheet3904},
		{"npn", "2N3904", 0.050, 0.005, [2]float64{0, 0.30}, [2]float64{0, 0.95}, sheet3904},
		{"pnp", "2N3906", 0.010, 0.001, [2]float64{0, 0.25}, [2]float64{0.65, 0.85}, sheet3906},
		{"pnp", "2N3906", 0.050, 0.005, [2]float64{0, 0.40}, [2]float64{0, 0.95}, sheet3906},
		{"npn", "BC817-25", 0.100, 0.010, [2]float64{0.05, 0.15}, [2]float64{0, 1.2}, "curves of Nexperia's sheets (from memory)"},
		{"npn", "BC817-25", 0.500, 0.050, [2]float64{0.25, 0.35}, [2]float64{0, 1.2}, "curves of Nexperia's sheets (from memory)"},
		{"pnp", "BC807-40", 0.500, 0.050, [2]float64{0.2, 0.7}, [2]float64{0, 1.2}, sheet807},
		{"npn", "BC547B", 0.010, 0.0005, [2]float64{0, 0.25}, [2]float64{0, 0.9}, sheet547 + " (from memory)"},
		{"npn", "BC547B", 0.100, 0.005, [2]float64{0, 0.60}, [2]float64{0, 1.1}, sheet547 + " (from memory)"},
		{"npn", "2N2222A", 0.150, 0.015, [2]float64{0, 0.3}, [2]float64{0.6, 1.2}, sheet2222},
		{"npn", "2N2222A", 0.500, 0.050, [2]float64{0, 1.0}, [2]float64{0, 2.0}, sheet2222},
		{"pnp", "2N2907A", 0.150, 0.015, [2]float64{0, 0.4}, [2]float64{0, 1.3}, sheet2907},
		{"pnp", "2N2907A", 0.500, 0.050, [2]float64{0, 1.6}, [2]float64{0, 2.6}, sheet2907},
		{"npn", "8050SS", 0.800, 0.080, [2]float64{0, 0.5}, [2]float64{0, 1.2}, sheet8050},
		{"pnp", "", 0.050, 0.005, [2]float64{0.05, 0.15}, [2]float64{0.7, 0.9}, genericBipolar.source},
		{"pnp", "", 0.300, 0.030, [2]float64{0.2, 0.4}, [2]float64{0.7, 1.2}, genericBipolar.source},
	} {
		vce, vbe := testBipolar(t, c.kind, c.value).saturated(c.ic, c.ib)
		if vce < c.vce[0] || vce > c.vce[1] {
			t.Errorf("%s: %.3f V saturated at %v/%v A, want %v: %s", c.value, vce, c.ic, c.ib, c.vce, c.source)
		}
		if vbe < c.vbe[0] || vbe > c.vbe[1] {
			t.Errorf("%s: %.3f V from base to emitter at %v/%v A, want %v: %s", c.value, vbe, c.ic, c.ib, c.vbe, c.source)
		}
	}
}

// TestBaseEmitterVoltages holds V_BE of transistors that are on.
func TestBaseEmitterVoltages(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, value string
		amps, volts float64
		low, high   float64
		source      string
	}{
		{"npn", "BC547B", 0.002, 5, 0.58, 0.70, "Fairchild BC547 datasheet (from memory)"},
		{"npn", "BC847B", 0.002, 5, 0.58, 0.70, "Nexperia BC847 datasheet (from memory)"},
		{"npn", "BC817-25", 0.500, 1, 0.7, 1.2, sheet817},
		{"pnp", "", 0.010, 1, 0.67, 0.73, genericBipolar.source},
		{"pnp", "", 0.100, 1, 0.77, 0.83, genericBipolar.source},
	} {
		if _, got := testBipolar(t, c.kind, c.value).gain(c.amps, c.volts); got < c.low || got > c.high {
			t.Errorf("%s: V_BE %.3f V at %v A, want %v to %v: %s", c.value, got, c.amps, c.low, c.high, c.source)
		}
	}
}

// TestOnResistances holds field-effect transistors against typical values and
// below limits of data sheets.
func TestOnResistances(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		value       string
		gate        float64 // V
		least, most float64 // Ω
		source      string
	}{
		{"2N7002", 5, 1, 7.5, "DC Components 2N7002 datasheet"},
		{"2N7002", 10, 1, 7.5, "DC Components 2N7002 datasheet"},
		{"2N7002K", 4.5, 0.8, 2.5, "onsemi 2N7002K datasheet"},
		{"2N7002K", 10, 0.5, 1.6, "onsemi 2N7002K datasheet"},
		{"BSS138", 10, 1.35, 1.45, "Diodes BSS138W datasheet, 1.4 Ω typical"},
		{"AO3400A", 4.5, 0.016, 0.032, "AOS AO3400A datasheet (from memory)"},
		{"AO3400A", 2.5, 0.024, 0.048, "AOS AO3400A datasheet (from memory)"},
		{"AO3401A", 10, 0.040, 0.042, "AOS AO3401A datasheet, 41 mΩ typical"},
		{"AO3401A", 4.5, 0.046, 0.048, "AOS AO3401A datasheet, 47 mΩ typical"},
		{"AO3401A", 2.5, 0.058, 0.062, "AOS AO3401A datasheet, 60 mΩ typical"},
	} {
		kind := transistorNamed()[c.value].kind
		v := resolved(t, &Part{Ref: "Q1", Kind: kind, Value: c.value}, nil)
		got := v.Num("drain_resistance") + 1/(v.Num("transconductance")*(c.gate-v.Num("threshold_voltage")))
		if got < c.least || got > c.most {
			t.Errorf("%s: %.3g Ω at %v V, want %v to %v: %s", c.value, got, c.gate, c.least, c.most, c.source)
		}
	}
}
