package analysis

import (
	"fmt"
	"math"
	"testing"
)

// A transistor between supplies of its own that set V_BE (or V_GS) and V_CE
// (or V_DS); those of p kinds are turned.
func biased(kind, extra, control, switched, common string, vControl, vSwitched float64) string {
	return drawing(
		fmt.Sprintf(`"ref": "G1", "kind": "supply", "params": {"voltage": %g}, "tags": {"+": "b", "-": "GND"}`, vControl),
		fmt.Sprintf(`"ref": "G2", "kind": "supply", "params": {"voltage": %g}, "tags": {"+": "c", "-": "GND"}`, vSwitched),
		fmt.Sprintf(`"ref": "Q1", "kind": %q, "params": {%s}, "tags": {%q: "b", %q: "c", %q: "GND"}`, kind, extra, control, switched, common),
	)
}

func TestBipolarStates(t *testing.T) {
	tests := []struct {
		name     string
		vbe, vce float64
		want     State
	}{
		{"at rest", 0, 0, CutOff},
		{"a little", 0.3, 5, CutOff},
		{"linear", 0.65, 5, Active},
		{"as a diode", 0.65, 0.65, Active},
		{"just on the active side", 0.7, 0.66, Active},
		{"just saturated", 0.7, 0.6, Saturated},
		{"saturated", 0.7, 0.1, Saturated},
		{"the wrong way round", 0, -0.65, Reverse},
		{"reversed and off", -3, 5, CutOff},
	}
	ideal := `"saturation_current": 1e-14, "forward_beta": 200, "reverse_beta": 5, "forward_emission": 1, "reverse_emission": 1,
		"base_resistance": 0, "collector_resistance": 0, "emitter_resistance": 0`
	for _, tt := range tests {
		for kind, sign := range map[string]float64{"npn": 1, "pnp": -1} {
			r := solve(t, decode(t, biased(kind, ideal, "B", "C", "E", sign*tt.vbe, sign*tt.vce)), Options{})
			if got := r.Parts["Q1"].State; got != tt.want {
				t.Errorf("%s, %s: %s, want %s", kind, tt.name, got, tt.want)
			}
		}
	}
}

func TestFieldEffectStates(t *testing.T) {
	tests := []struct {
		name     string
		vgs, vds float64
		want     State
	}{
		{"at rest", 0, 0, CutOff},
		{"below threshold", 1.5, 5, CutOff},
		{"sets the current", 3, 5, Active},
		{"beginning to give way", 3, 0.8, Active},
		{"fully on", 5, 0.05, Saturated},
		{"fully on without current", 5, 0, Saturated},
		{"the wrong way round", 5, -0.05, Reverse},
	}
	ideal := `"threshold_voltage": 2, "transconductance": 0.1, "body_diode": false, "subthreshold": false`
	for _, tt := range tests {
		for kind, sign := range map[string]float64{"nmos": 1, "pmos": -1} {
			r := solve(t, decode(t, biased(kind, ideal, "G", "D", "S", sign*tt.vgs, sign*tt.vds)), Options{})
			if got := r.Parts["Q1"].State; got != tt.want {
				t.Errorf("%s, %s: %s, want %s", kind, tt.name, got, tt.want)
			}
		}
	}
}

func TestStateInWords(t *testing.T) {
	for _, tt := range []struct {
		kind  string
		state State
		want  string
	}{{"nmos", Saturated, "fully on"}, {"pmos", Active, "partly on"}, {"nmos", CutOff, "cut-off"}, {"npn", Saturated, "saturated"}, {"resistor", "", ""}} {
		if got := (&PartResult{Kind: tt.kind, State: tt.state}).StateInWords(); got != tt.want {
			t.Errorf("%s %s: %q, want %q", tt.kind, tt.state, got, tt.want)
		}
	}
}

func TestForcedBeta(t *testing.T) {
	d := decode(t, drawing(supply(5), resistor("R1", 4300, "v", "b"), resistor("R2", 100, "v", "c"),
		`"ref": "Q1", "kind": "npn", "tags": {"B": "b", "C": "c", "E": "GND"}`, `"ref": "Q2", "kind": "npn", "tags": {"B": "GND", "C": "v", "E": "GND"}`))
	r := solve(t, d, Options{})
	want := figure(t, r, d, "Q1.C.amps") / figure(t, r, d, "Q1.B.amps")
	near(t, "forced β", r.Parts["Q1"].ForcedBeta, want, 1e-12)
	near(t, "by its name", figure(t, r, d, "Q1.forced_beta"), want, 1e-12)
	for _, ref := range []string{"Q2", "R1"} {
		if b := r.Parts[ref].ForcedBeta; !math.IsNaN(b) {
			t.Errorf("%s has forced β %g", ref, b)
		}
	}
}
