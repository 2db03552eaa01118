package review

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
)

// whatLimits says what limits the current of a part.
func whatLimits(t *testing.T, d *model.Diagram, of string) string {
	t.Helper()
	all, err := analysis.Influence(context.Background(), d, analysis.Options{}, of)
	if err != nil || !all.Result.Solved {
		t.Fatalf("%v, %v", err, all.Result.Faults)
	}
	ref, _, _ := strings.Cut(of, ".")
	return Limiting(context.Background(), d, all, ref)
}

// What limits a current is told from the slopes of what it flows through,
// whatever the quantities are called that those hang on.
func TestWhatLimits(t *testing.T) {
	t.Parallel()
	gate := func(volts string) *model.Diagram {
		return decode(t, []string{cells("3 × LR6"), two("D1", "led", "p", "c", `"value": "white"`), transistor("nmos", "c", "g", "GND") + `, "value": "2N7002"`,
			two("V2", "supply", "g", "GND", `"value": "`+volts+`"`)}, "")
	}
	for name, tt := range map[string]struct {
		d    *model.Diagram
		of   string
		want string
	}{
		// 9 Ω, 0.5 Ω and 0.5 Ω in a row.
		"a load": {decode(t, []string{two("BT1", "battery", "p", "GND", `"params": {"voltage": 3, "resistance": 0.5}`), resistor("R1", "p", "q", "0.5"), two("M1", "motor", "q", "GND", `"value": "9 Ω"`)}, ""),
			"M1.+.amps", "the resistance of M1 (90 %), the cells of BT1 (5 %) and R1 (5 %)"},
		"a source of current": {decode(t, []string{source("5 V"), two("D1", "led", "p", "q", ""), two("G1", "current_source", "GND", "q", `"value": "20 mA"`)}, ""),
			"D1.A.amps", "the source of current G1 (100 %)"},
		"a gate": {gate("1.9 V"), "D1.A.amps", "Q1 by the voltage at its gate (100 %)"},
		// What lies beside takes current off and limits nothing: 100 Ω before 50 Ω, with 1 kΩ beside those.
		"a way beside": {decode(t, []string{source("5 V"), resistor("R1", "p", "q", "100"), resistor("R2", "q", "GND", "1k"), two("M1", "motor", "q", "GND", `"value": "50 Ω"`)}, ""),
			"M1.+.amps", "R1 (65 %) and the resistance of M1 (35 %)"},
	} {
		if got := whatLimits(t, tt.d, tt.of); got != tt.want {
			t.Errorf("%s: %q, want %q", name, got, tt.want)
		}
	}
	if got := whatLimits(t, gate("4.5 V"), "D1.A.amps"); strings.Contains(got, "gate") {
		t.Errorf("fully on: %q", got)
	}
}

// A lamp straight on cells is not said to be limited by them: they have 0.61 Ω
// beside its 9 Ω, of which more current makes more.
func TestLampOnCells(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{cells("2 × LR6"), two("E1", "lamp", "p", "GND", `"value": "2.5 V 0.3 A"`)}, "")
	if f, _ := finding(t, d, "cells-set-current"); f != nil {
		t.Error(f.Text)
	}
	if got := whatLimits(t, d, "E1.1.amps"); !strings.HasPrefix(got, "the resistance of E1 (9") {
		t.Errorf("%q", got)
	}
}

// Two links side by side stand each in the way of its own LED, and LEDs behind
// one link are told of with what each takes.
func TestEachLinkHasItsLED(t *testing.T) {
	t.Parallel()
	led := func(ref, from, colour string) string {
		return two(ref, "led", from, "GND", fmt.Sprintf(`"value": %q`, colour))
	}
	d := decode(t, []string{cells("3 × LR6"), resistor("R1", "p", "a", "0"), led("D1", "a", "white"), resistor("R2", "p", "b", "0"), led("D2", "b", "white")}, "")
	r, err := Run(context.Background(), d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]string{}
	for _, f := range r.Findings {
		if f.Rule == "link-for-resistor" {
			of[f.Parts[1]] = f.Parts[0]
		}
	}
	if of["R1"] != "D1" || of["R2"] != "D2" {
		t.Errorf("%v", of)
	}
	d = decode(t, []string{cells("3 × LR6"), resistor("R1", "p", "a", "0"), led("D1", "a", "white"), led("D2", "a", "white")}, "")
	if f, _ := finding(t, d, "link-for-resistor"); f == nil || !strings.Contains(f.Text, " through it, ") || !strings.Contains(f.Text, " of them through D1,") {
		t.Errorf("%v", f)
	}
}

// A source of current needs no resistor beside it.
func TestLinkBeforeASource(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{cells("3 × LR6"), resistor("R1", "p", "a", "0"), two("D1", "led", "a", "b", `"value": "white"`), two("G1", "current_source", "GND", "b", `"value": "20 mA"`)}, "")
	for _, rule := range []string{"link-for-resistor", "led-without-resistor"} {
		if f, _ := finding(t, d, rule); f != nil {
			t.Error(f.Text)
		}
	}
}

// A motor in the way limits an LED's current as a resistor would.
func TestLoadAsBallast(t *testing.T) {
	t.Parallel()
	led := func(from string) string { return two("D1", "led", from, "GND", `"value": "red"`) }
	if f, _ := finding(t, decode(t, []string{cells("3 × LR6"), two("M1", "motor", "p", "a", `"value": "150 Ω"`), led("a")}, ""), "led-without-resistor"); f != nil {
		t.Error(f.Text)
	}
	if f, _ := finding(t, decode(t, []string{cells("3 × LR6"), led("p")}, ""), "led-without-resistor"); f == nil {
		t.Error("not told of an LED straight on cells")
	}
}

// What one LED of a lower voltage takes of what two share is that of the circuit
// with the two drawn one by one and solved.
func TestOneLower(t *testing.T) {
	t.Parallel()
	red := two("D1", "led", "q", "GND", `"value": "red"`)
	stack := decode(t, []string{source("9 V"), resistor("R1", "p", "q", "470"), red + `, "count": 2`}, "")
	f, _ := finding(t, stack, "leds-without-ballast")
	if f == nil {
		t.Fatal("not found")
	}
	apart := decode(t, []string{source("9 V"), resistor("R1", "p", "q", "470"), red, two("D2", "led", "q", "GND", `"value": "red"`)}, "")
	v, _ := apart.Resolve(apart.Part("D2"), nil)
	lower := v.Num("saturation_current") * math.Exp(0.1/(v.Num("emission_coefficient")*model.ThermalVoltage(v.Num("temperature"))))
	r, err := analysis.Solve(context.Background(), apart, analysis.Options{Set: model.Setting{"D2": {"saturation_current": model.Number(lower)}}})
	if err != nil || !r.Solved {
		t.Fatal(err)
	}
	one, other := r.Parts["D2"].Pin("A").Amps, r.Parts["D1"].Pin("A").Amps
	if got := figureOf(f, "most"); math.Abs(got-one) > 1e-9 || math.Abs(figureOf(f, "of")-one-other) > 1e-9 {
		t.Errorf("%g of %g, want %g of %g", got, figureOf(f, "of"), one, one+other)
	}
	if !strings.Contains(words(t, stack, "")["D1"], "with usual bins one may carry "+amps(one)+", "+percent(one/(one+other))) {
		t.Errorf("%q", words(t, stack, "")["D1"])
	}
}

// LEDs of two colours are not alike, and the mean means nothing.
func TestUnlikeShare(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{cells("3 × LR6"), resistor("R1", "p", "q", "10"), two("D1", "led", "q", "GND", `"value": "white"`), two("D2", "led", "q", "GND", `"value": "red"`)}, "")
	f, _ := finding(t, d, "leds-without-ballast")
	if f == nil || !strings.Contains(f.Text, "D2, which needs the least voltage, takes nearly all of it") || strings.Contains(f.Text, "alike;") {
		t.Fatalf("%v", f)
	}
	if each := figureOf(f, "each"); math.Abs(each-0.1055) > 0.001 { // the half of 211 mA
		t.Errorf("%g each", each)
	}
}

func figureOf(f *Finding, name string) float64 {
	for _, x := range f.Figures {
		if x.Name == name {
			return x.Value
		}
	}
	return math.NaN()
}
