package analysis

import (
	"context"
	"math"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

// Each circuit's shares are reckoned by hand beside it.
func TestLimits(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		parts, ref, pin string
		want            map[string]float64
		within          float64
	}{
		// 1 Ω, 2 Ω and 7 Ω in a ring.
		"ring": {`{"ref": "BT1", "kind": "battery", "params": {"voltage": 10, "resistance": 1}, "tags": {"+": "p", "-": "GND"}},
			{"ref": "R1", "kind": "resistor", "value": "2", "tags": {"1": "p", "2": "q"}},
			{"ref": "R2", "kind": "resistor", "value": "7", "tags": {"1": "q", "2": "GND"}}`,
			"R2", "1", map[string]float64{"BT1": 0.1, "R1": 0.2, "R2": 0.7}, 1e-9},
		// Two ways of 8 Ω each behind 2 Ω: with I in each, 2 Ω drop 2·2·I and each way 8·I, 12·I in all. What the
		// other way takes off is ∂I/∂E₂ = −2/(8·12) against 10/(8·12) of its own: 8/12 are 80/96 of R1 less 16/96 of R2.
		"two ways": {`{"ref": "BT1", "kind": "battery", "params": {"voltage": 12, "resistance": 2}, "tags": {"+": "p", "-": "GND"}},
			{"ref": "R1", "kind": "resistor", "value": "8", "tags": {"1": "p", "2": "GND"}},
			{"ref": "R2", "kind": "resistor", "value": "8", "tags": {"1": "p", "2": "GND"}}`,
			"R1", "1", map[string]float64{"BT1": 32. / 96, "R1": 80. / 96, "R2": -16. / 96}, 1e-9},
		// A source of current has it all.
		"source of current": {`{"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
			{"ref": "R1", "kind": "resistor", "value": "47", "tags": {"1": "p", "2": "q"}},
			{"ref": "G1", "kind": "current_source", "value": "20 mA", "tags": {"+": "q", "-": "GND"}}`,
			"R1", "1", map[string]float64{"G1": 1, "R1": 0}, 1e-9},
		// A field-effect transistor that sets its current has next to all.
		"gate": {`{"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
			{"ref": "V2", "kind": "supply", "value": "2.5 V", "tags": {"+": "g", "-": "GND"}},
			{"ref": "R1", "kind": "resistor", "value": "10", "tags": {"1": "p", "2": "q"}},
			{"ref": "Q1", "kind": "nmos", "params": {"threshold_voltage": 2, "transconductance": 0.05, "channel_modulation": 0}, "tags": {"D": "q", "G": "g", "S": "GND"}}`,
			"R1", "1", map[string]float64{"Q1": 1, "R1": 0}, 1e-6},
		// The base current sets the collector's: 100 kΩ at the base against 26 mV/I_B, 0.6 % of the 4.3 V there.
		"base": {`{"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
			{"ref": "R2", "kind": "resistor", "value": "100k", "tags": {"1": "p", "2": "b"}},
			{"ref": "R1", "kind": "resistor", "value": "10", "tags": {"1": "p", "2": "q"}},
			{"ref": "Q1", "kind": "npn", "tags": {"C": "q", "B": "b", "E": "GND"}}`,
			"R1", "1", map[string]float64{"R2": 0.99, "Q1": 0.01, "R1": 0}, 0.03},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d, r := solvedText(t, tt.parts)
			got := Limits(d, r, []string{tt.ref + "." + tt.pin + ".amps"})[0]
			sum := 0.0
			for _, share := range got {
				sum += share
			}
			for ref, want := range tt.want {
				if !(math.Abs(got[ref]-want) <= tt.within) {
					t.Errorf("%s has %.9f, want %.9f", ref, got[ref], want)
				}
			}
			if math.Abs(sum-1) > 1e-9 {
				t.Errorf("the shares make up %v", sum)
			}
		})
	}
}

// What an LED adds is the slope of its curve: the current falls as the solved
// circuit says if a little resistance is put in its place.
func TestLimitsAreSlopes(t *testing.T) {
	t.Parallel()
	parts := func(ohms string) string {
		return `{"ref": "BT1", "kind": "battery", "value": "3 × LR6", "tags": {"+": "p", "-": "GND"}},
			{"ref": "R1", "kind": "resistor", "value": "` + ohms + `", "tags": {"1": "p", "2": "q"}},
			{"ref": "D1", "kind": "led", "value": "white", "tags": {"A": "q", "K": "GND"}}`
	}
	d, r := solvedText(t, parts("10"))
	_, moved := solvedText(t, parts("10.001"))
	now, then := r.Parts["D1"].Pins[0].Amps, moved.Parts["D1"].Pins[0].Amps
	all := Limits(d, r, []string{"D1.A.amps"})[0]
	if want := (1 - then/now) / 1e-4; !(math.Abs(all["R1"]-want) <= 1e-4) {
		t.Errorf("R1 has %v, want %v", all["R1"], want)
	}
}

func solvedText(t *testing.T, parts string) (*model.Diagram, *Result) {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [` + parts + `]}`))
	if err != nil {
		t.Fatal(err)
	}
	r, err := Solve(context.Background(), d, Options{})
	if err != nil || !r.Solved {
		t.Fatalf("%v, %v", err, r.Faults)
	}
	return d, r
}
