package analysis

import (
	"math"
	"strings"
	"testing"
)

// What nothing determines is shown as floating and named; the rest of the
// circuit is solved.
func TestFloating(t *testing.T) {
	led := `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}`
	sound := []string{supply(5), resistor("R1", 330, "v", "a"), led}
	tests := []struct {
		name  string
		parts []string
		nets  string
		said  string
	}{
		{"an island behind capacitors", []string{`"ref": "C1", "kind": "capacitor", "value": "100n", "tags": {"1": "v", "2": "x"}`, resistor("R2", 1000, "x", "y"),
			`"ref": "C2", "kind": "capacitor", "value": "100n", "tags": {"1": "y", "2": "GND"}`}, "x y", "nets x and y float"},
		{"the far side of an open switch", []string{`"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "x"}`,
			`"ref": "D2", "kind": "led", "value": "white", "tags": {"A": "x", "K": "y"}`, resistor("R2", 1000, "x", "y")}, "x y", "nets x and y float while S1 is open"},
		{"an unused gate", []string{`"ref": "Q1", "kind": "nmos", "tags": {"D": "v", "S": "GND"}`}, "Q1.G", "Q1's gate (G) goes nowhere"},
		{"an unused base", []string{`"ref": "Q1", "kind": "npn", "tags": {"C": "v", "E": "GND"}`}, "", "Q1's base (B) goes nowhere"},
		{"an unused collector", []string{`"ref": "Q1", "kind": "pnp", "tags": {"B": "b", "E": "v"}`, resistor("R2", 1e4, "b", "GND")}, "", "Q1's collector (C) goes nowhere"},
		{"a battery of an island of its own", []string{`"ref": "BT2", "kind": "battery", "value": "9 V", "tags": {"+": "x", "-": "y"}`, resistor("R2", 1000, "x", "y")}, "x y", "nets x and y float"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(append(append([]string{}, sound...), tt.parts...)...))
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
			for _, name := range strings.Fields(tt.nets) {
				if v := r.Volts[r.Nets.Find(name)]; !math.IsNaN(v) {
					t.Errorf("net %s stands at %g V", name, v)
				}
			}
			if said := strings.Join(texts(r.Faults), "\n"); !strings.Contains(said, tt.said) {
				t.Errorf("said: %s", said)
			}
			if amps := figure(t, r, d, "D1.A.amps"); amps < 5e-3 || amps > 15e-3 {
				t.Errorf("the LED carries %g A", amps)
			}
		})
	}
}
