package quantity

import (
	"math"
	"testing"
)

// What stands behind a marking, as makers print it: common practice, no source.
func TestWhatStandsBehindAMarking(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text                  string
		part                  Part
		value, percent, rated float64
	}{
		{"2n2 100V", Capacitor, 2.2e-9, 0, 100},
		{"104K 50V", Capacitor, 100e-9, 10, 50},
		{"47µF/16V", Capacitor, 47e-6, 0, 16},
		{"104 1kV", Capacitor, 100e-9, 0, 1000},
		{"10uF 6,3 V", Capacitor, 10e-6, 0, 6.3},
		{"220 25VDC", Capacitor, 22e-12, 0, 25},
		{"2k2 1/4W", Resistor, 2200, 0, 0.25},
		{"0R1 5W 5%", Resistor, 0.1, 5, 5},
		{"4k7 ±1 %", Resistor, 4700, 1, 0},
		{"471 500mW", Resistor, 470, 5, 0.5},
		{"brown black orange 2%", Resistor, 10e3, 2, 0},
		{"100 2A", Inductor, 10e-6, 0, 2},
	} {
		got, err := ReadMarking(c.text, c.part)
		if err != nil || math.Abs(got[0].Value-c.value) > 1e-9*c.value || got[0].TolerancePercent.Plus != c.percent || math.Abs(got[0].Rated-c.rated) > 1e-12 {
			t.Errorf("%q: %+v, %v; want %v, %v %%, %v", c.text, got, err, c.value, c.percent, c.rated)
		}
	}
	for text, part := range map[string]Part{"104 2A": Capacitor, "4k7 16V": Resistor, "16V": Capacitor, "4k7 1/0W": Inductor, "1% 2% 3% 4%": Resistor} {
		if got, err := ReadMarking(text, part); err == nil {
			t.Errorf("%q on a %s: %+v", text, part, got)
		}
	}
}
