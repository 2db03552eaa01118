package review

import (
	"context"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
)

func words(t *testing.T, d *model.Diagram, mode string) map[string]string {
	t.Helper()
	r, err := analysis.Solve(context.Background(), d, analysis.Options{Mode: mode})
	if err != nil || !r.Solved {
		t.Fatalf("not solved: %v, %v", err, r.Faults)
	}
	return Words(context.Background(), d, r)
}

// The sentences of a circuit whose figures are reckoned by hand: 5 V on 1 kΩ
// and a red LED, and a switch that is open.
func TestWords(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{
		source("5 V"), resistor("R1", "p", "GND", "1k"), resistor("R2", "p", "q", "0"),
		two("S1", "switch", "q", "GND", ""), two("C1", "capacitor", "p", "GND", `"value": "100 nF"`),
		two("D1", "diode", "GND", "p", ""), two("D2", "zener", "GND", "z", `"value": "3.3 V"`), two("G1", "current_source", "z", "GND", `"value": "1 mA"`),
		chip("o", "p"), resistor("R3", "o", "GND", "430"),
	}, mode("On", `"IC1.2": "high"`))
	for ref, want := range map[string]string{
		"R1":  "R1 drops 5 V at 5 mA and turns 25 mW into heat, 20 % of its limit.",
		"R2":  "R2 is a link and carries nothing.",
		"S1":  "S1 is open and holds back 5 V.",
		"C1":  "C1 holds 5 V and lets nothing through at rest.",
		"D1":  "D1 blocks 5 V.",
		"IC1": "IC1 takes 10.5 mA; pin 2 is high and gives 10 mA.", // 5 V on 70 Ω + 430 Ω, and 0.5 mA for itself
		"V1":  "V1 gives 15.5 mA at 5 V.",
	} {
		if got := words(t, d, "On")[ref]; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestWordsOfTransistors(t *testing.T) {
	t.Parallel()
	saturated := decode(t, []string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "500"), two("G1", "current_source", "b", "GND", `"value": "1 mA"`)}, "")
	saturated.Parts[1].Params = model.Params{"forward_beta": model.Number(100)}
	for _, tt := range []struct {
		d    *model.Diagram
		want string
	}{
		{saturated, "Q1 is saturated: 1 mA in its base could carry 100 mA, and the circuit lets it have 9."},
		{decode(t, []string{source("5 V"), transistor("npn", "p", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "10 µA"`)}, ""), "Q1 is active: its base sets the current, 10 µA in it make "},
		{decode(t, []string{source("5 V"), transistor("pnp", "GND", "p", "p")}, ""), "Q1 is off: 0 V between base and emitter are too few, and it holds back 5 V."},
		{decode(t, []string{source("5 V"), transistor("nmos", "c", "p", "GND"), resistor("R1", "p", "c", "1k")}, ""), "Q1 is fully on: 5 V at its gate are "},
		{decode(t, []string{source("5 V"), transistor("pmos", "GND", "p", "p")}, ""), "Q1 is off: 0 V at its gate stay below its threshold of "},
	} {
		got := words(t, tt.d, "")["Q1"]
		if len(got) < len(tt.want) || got[:len(tt.want)] != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// Where nothing determines a part's figures the sentence says that, and has no
// gaps.
func TestWordsWithoutFigures(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), resistor("R1", "p", "GND", "1k"),
		two("C1", "capacitor", "a", "b", `"value": "1 µF"`), two("D1", "led", "c", "d", ""), transistor("npn", "x", "y", "z")}, "")
	for ref, text := range words(t, d, "") {
		if strings.Contains(text, "–") || strings.Contains(text, "NaN") {
			t.Errorf("%s: %q", ref, text)
		}
	}
	if got := words(t, d, "")["C1"]; got != "C1 hangs where nothing determines what it does." {
		t.Errorf("%q", got)
	}
}

func TestSpans(t *testing.T) {
	t.Parallel()
	for seconds, want := range map[float64]string{7200: "2 hours", 86400 * 19: "19 days", 86400 * 180: "6 months", 8766 * 3600 * 6: "6 years"} {
		if got := span(seconds); got != want {
			t.Errorf("%v s: %q, want %q", seconds, got, want)
		}
	}
	if got := list([]string{"D1", "D2", "D3", "D4", "D5", "D6", "D7"}); got != "D1, D2 … D7" {
		t.Errorf("%q", got)
	}
}
