package device

import (
	"fmt"
	"math"
	"testing"
)

var plainNMOS = FieldEffectLaw{Polarity: 1, Threshold: 1.5, Transconductance: 0.04, ThermalVoltage: thermal}

func pmos(l FieldEffectLaw) FieldEffectLaw { l.Polarity = -1; return l }

func smooth(l FieldEffectLaw) FieldEffectLaw { l.Subthreshold = true; return l }

func drain(l FieldEffectLaw, b FieldEffectBias) float64 { return l.Current(b).Drain }

// Worked by hand from the square law.
func TestFieldEffectValues(t *testing.T) {
	modulated := plainNMOS
	modulated.ChannelModulation = 0.02
	tests := []struct {
		name string
		law  FieldEffectLaw
		b    FieldEffectBias
		want float64
	}{
		{"beyond the triode region: ½·0.04·1²", plainNMOS, FieldEffectBias{DS: 5, GS: 2.5}, 0.02},
		{"triode region: 0.04·(1·0.5 − 0.125)", plainNMOS, FieldEffectBias{DS: 0.5, GS: 2.5}, 0.015},
		{"where the regions meet", plainNMOS, FieldEffectBias{DS: 1, GS: 2.5}, 0.02},
		{"channel modulation: 0.02·(1 + 0.02·5)", modulated, FieldEffectBias{DS: 5, GS: 2.5}, 0.022},
		{"triode, modulated: 0.015·(1 + 0.02·0.5)", modulated, FieldEffectBias{DS: 0.5, GS: 2.5}, 0.01515},
		{"off", plainNMOS, FieldEffectBias{DS: 5, GS: 1.4}, 0},
		{"drain and source turned: V_GD = 2.5", plainNMOS, FieldEffectBias{DS: -0.5, GS: 2}, -0.015},
		{"no voltage across", plainNMOS, FieldEffectBias{DS: 0, GS: 3}, 0},
	}
	for _, tt := range tests {
		near(t, tt.name, drain(tt.law, tt.b), tt.want, 1e-14)
		near(t, tt.name+", p channel", drain(pmos(tt.law), FieldEffectBias{-tt.b.DS, -tt.b.GS}), -tt.want, 1e-14)
	}
}

// What continues below threshold changes nothing above 1 % from 0.3 V on, at
// any temperature, and falls by a factor e for each V_T far below.
func TestSubthreshold(t *testing.T) {
	for _, vt := range []float64{0.004, thermal, 0.04, 0.086} {
		l := plainNMOS
		l.ThermalVoltage = vt
		for _, excess := range span(0.3, 5, 95) {
			for _, ds := range []float64{1e-3, 0.1, 0.3, 0.31, 1, 5} {
				b := FieldEffectBias{DS: ds, GS: l.Threshold + excess}
				hard, soft := drain(l, b), drain(smooth(l), b)
				if math.Abs(soft/hard-1) > 0.01 {
					t.Errorf("V_T=%g excess=%g V_DS=%g: %g became %g", vt, excess, ds, hard, soft)
				}
			}
		}
	}
	l := smooth(plainNMOS)
	at := func(excess float64) float64 {
		return l.Current(FieldEffectBias{DS: 5, GS: l.Threshold + excess}).Drain
	}
	near(t, "slope below threshold", at(-0.6)/at(-0.6-thermal), math.E, 1e-4)
}

func TestFieldEffectSlopes(t *testing.T) {
	modulated := plainNMOS
	modulated.ChannelModulation = 0.05
	for name, l := range map[string]FieldEffectLaw{
		"plain": plainNMOS, "smooth": smooth(modulated), "modulated": modulated, "p": pmos(smooth(modulated)),
	} {
		for _, ds := range span(-3.005, 3.013, 41) { // clear of the corners of the law
			for _, gs := range span(-1.002, 4.007, 41) {
				b := FieldEffectBias{DS: l.Polarity * ds, GS: l.Polarity * gs}
				got := l.Current(b)
				at := fmt.Sprintf("%s V_DS=%.3f V_GS=%.3f", name, b.DS, b.GS)
				checkSlope(t, at+" ∂I_D/∂V_DS", func(v float64) float64 {
					return l.Current(FieldEffectBias{v, b.GS}).Drain
				}, b.DS, got.DrainDS, thermal, 0)
				checkSlope(t, at+" ∂I_D/∂V_GS", func(v float64) float64 {
					return l.Current(FieldEffectBias{b.DS, v}).Drain
				}, b.GS, got.DrainGS, thermal, 0)
			}
		}
	}
}

// Current and derivatives do not jump where the law changes its form.
func TestFieldEffectContinuous(t *testing.T) {
	l := smooth(plainNMOS)
	for _, b := range []FieldEffectBias{{0, 2.5}, {1, 2.5}, {2, 3.5}} {
		below := l.Current(FieldEffectBias{b.DS - 1e-9, b.GS})
		above := l.Current(FieldEffectBias{b.DS + 1e-9, b.GS})
		for _, d := range []float64{below.Drain - above.Drain, below.DrainDS - above.DrainDS, below.DrainGS - above.DrainGS} {
			if math.Abs(d) > 1e-9 {
				t.Errorf("at %+v: %+v becomes %+v", b, below, above)
			}
		}
	}
}

func TestExcess(t *testing.T) {
	for _, tt := range []struct {
		b    FieldEffectBias
		want float64
	}{{FieldEffectBias{5, 2.5}, 1}, {FieldEffectBias{-0.5, 2}, 1}, {FieldEffectBias{5, 1}, -0.5}} {
		near(t, fmt.Sprint(tt.b), plainNMOS.Excess(tt.b), tt.want, 1e-15)
		p := pmos(plainNMOS)
		near(t, fmt.Sprint("p ", tt.b), p.Excess(FieldEffectBias{-tt.b.DS, -tt.b.GS}), tt.want, 1e-15)
	}
}
