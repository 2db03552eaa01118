package review

import (
	"context"
	"strings"
	"testing"

	"copperglass/analysis"
)

// A transistor that protects against reversed cells is told so, with the way that
// the current takes through it; one that merely lies backwards is told that.
func TestWordsOfReversedTransistors(t *testing.T) {
	t.Parallel()
	const protects = "Q1 is wired as a protection against reversed cells, and so carries its current backwards: "
	low := two("R1", "resistor", "p", "s", `"value": "100"`)
	for _, tt := range []struct {
		name  string
		parts []string
		want  string
		way   string
	}{
		{"pmos", []string{cells("3 × LR6"), transistor("pmos", "p", "GND", "s"), resistor("R1", "s", "GND", "100")}, protects, " mA flow from drain to source, and it loses "},
		{"its gate through a resistor", []string{cells("3 × LR6"), transistor("pmos", "p", "g", "s"), resistor("R2", "g", "GND", "10k"), resistor("R1", "s", "GND", "100")}, protects, "from drain to source"},
		{"nmos", []string{two("BT1", "battery", "p", "n", `"value": "3 × LR6"`), transistor("nmos", "n", "p", "s"), low}, protects, " mA flow from source to drain, and it loses "},
		{"pmos with its gate at its source", []string{cells("3 × LR6"), transistor("pmos", "p", "s", "s"), resistor("R1", "s", "GND", "100")}, "Q1 works the wrong way round: ", "from drain to source"},
		{"pnp", []string{source("5 V"), transistor("pnp", "p", "b", "e"), resistor("R1", "e", "GND", "1k"), resistor("R2", "b", "GND", "1k")}, "Q1 works the wrong way round: ", "from collector to emitter"},
	} {
		d := decode(t, tt.parts, "")
		got := words(t, d, "")["Q1"]
		if !strings.HasPrefix(got, tt.want) || !strings.Contains(got, tt.way) {
			t.Errorf("%s: %q, want %q and %q", tt.name, got, tt.want, tt.way)
		}
	}
}

// A track of 1 kΩ at a quarter of its way, across 4 V: 4 mA through it and 1 V on
// the first part; with one pin alone it is a resistor of 250 Ω.
func TestWordsOfPotentiometers(t *testing.T) {
	t.Parallel()
	pot := func(tags string) string {
		return `"ref": "RV1", "kind": "potentiometer", "value": "1k", "params": {"position": 0.25}, "tags": {` + tags + `}`
	}
	for _, tt := range []struct {
		parts []string
		want  string
	}{
		{[]string{source("4 V"), pot(`"1": "p", "W": "w", "2": "GND"`), `"ref": "P1", "kind": "meter", "tags": {"+": "w", "-": "GND"}`},
			"RV1 has its wiper 25 % of the way from pin 1 to pin 2 and divides 4 V into 1 V and 3 V: 4 mA flow through pin 1, 4 mA through pin 2, and nothing is taken at the wiper."},
		{[]string{source("4 V"), pot(`"1": "p", "W": "w", "2": "GND"`), resistor("R1", "w", "GND", "750")},
			"RV1 has its wiper 25 % of the way from pin 1 to pin 2 and divides 4 V into 1.6 V and 2.4 V: 6.4 mA flow through pin 1, 3.2 mA through pin 2 and 3.2 mA through the wiper."},
		{[]string{source("4 V"), pot(`"1": "p", "W": "w"`), resistor("R1", "w", "GND", "750")},
			"RV1 has its wiper 25 % of the way from pin 1 to pin 2 and works as a resistor of 250 Ω between pin 1 and the wiper: it drops 1 V at 4 mA and turns 4 mW into heat."},
		{[]string{source("4 V"), pot(`"2": "p", "W": "w"`), resistor("R1", "w", "GND", "250")},
			"RV1 has its wiper 25 % of the way from pin 1 to pin 2 and works as a resistor of 750 Ω between pin 2 and the wiper: it drops 3 V at 4 mA and turns 12 mW into heat."},
		{[]string{source("4 V"), pot(`"1": "p", "W": "p"`), resistor("R1", "p", "GND", "1k")},
			"RV1 has its wiper 25 % of the way from pin 1 to pin 2 and carries no current to speak of."},
	} {
		if got := words(t, decode(t, tt.parts, ""), "")["RV1"]; got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// 5 V over two resistors of 1 kΩ: half of it at the meter, and 5 mA through the
// one in the way of one.
func TestWordsOfMeters(t *testing.T) {
	t.Parallel()
	meter := func(from, to, params string) string {
		return `"ref": "P1", "kind": "meter", "params": {` + params + `}, "tags": {"+": "` + from + `", "-": "` + to + `"}`
	}
	for _, tt := range []struct {
		parts []string
		want  string
	}{
		{[]string{source("5 V"), resistor("R1", "p", "q", "1k"), resistor("R2", "q", "GND", "1k"), meter("q", "GND", "")}, "P1 reads 2.5 V."},
		{[]string{source("5 V"), resistor("R1", "p", "q", "1k"), resistor("R2", "q", "GND", "1k"), meter("GND", "q", `"resistance": 500`)}, "P1 reads −1.25 V, and draws 2.5 mA for it."},
		{[]string{source("5 V"), resistor("R1", "p", "q", "1k"), meter("q", "GND", `"measures": "amps"`)}, "P1 reads 5 mA."},
		{[]string{source("5 V"), resistor("R1", "p", "q", "1k"), meter("GND", "q", `"measures": "amps", "resistance": 250`)}, "P1 reads −4 mA, and takes 1 V for it."},
	} {
		if got := words(t, decode(t, tt.parts, ""), "")["P1"]; got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// flasher is two transistors that switch each other by capacitors, which lie as
// they should; base is the resistance at each base.
func flasher(base string) []string {
	npn := func(ref, c, b string) string {
		return `"ref": "` + ref + `", "kind": "npn", "tags": {"C": "` + c + `", "B": "` + b + `", "E": "GND"}`
	}
	capacitor := func(ref, plus, minus string) string {
		return `"ref": "` + ref + `", "kind": "capacitor", "value": "10 µF", "tags": {"+": "` + plus + `", "-": "` + minus + `"}`
	}
	return []string{source("9 V"), resistor("R1", "p", "c1", "1k"), resistor("R2", "p", "c2", "1k"), resistor("R3", "p", "b1", base), resistor("R4", "p", "b2", base),
		npn("Q1", "c1", "b1"), npn("Q2", "c2", "b2"), capacitor("C1", "c1", "b2"), capacitor("C2", "c2", "b1")}
}

// Of what swings the review says that first, and nothing that only a circuit at
// rest has; of one so driven that it rests it does.
func TestReviewOfWhatSwings(t *testing.T) {
	t.Parallel()
	for base, swings := range map[string]bool{"47k": true, "2k": false} {
		d := decode(t, flasher(base), "")
		r, err := Run(context.Background(), d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		said := len(r.Notes) == 1 && strings.Contains(r.Notes[0].Text, "swings without end")
		reversed := false
		for _, f := range r.Findings {
			reversed = reversed || f.Rule == "capacitor-reversed"
		}
		if said != swings || reversed == swings {
			t.Errorf("%s: notes %v, said to be reversed: %v", base, r.Notes, reversed)
		}
		one, err := analysis.Solve(context.Background(), d, analysis.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := Words(context.Background(), d, one)["C1"]; strings.Contains(got, "swings about") != swings {
			t.Errorf("%s: %q", base, got)
		}
	}
}

// The base current of a PNP transistor flows out of it.
func TestBareBaseTellsTheWay(t *testing.T) {
	t.Parallel()
	for want, parts := range map[string][]string{
		"flow straight into V1.-": {source("2 V"), transistor("pnp", "c", "GND", "p"), resistor("R1", "c", "GND", "100")},
		"flow straight from V1.+": {source("2 V"), transistor("npn", "c", "p", "GND"), resistor("R1", "p", "c", "100")},
	} {
		r, err := Run(context.Background(), decode(t, parts, ""), Options{})
		if err != nil {
			t.Fatal(err)
		}
		text := ""
		for _, f := range r.Findings {
			if f.Rule == "base-without-resistor" {
				text = f.Text
			}
		}
		if !strings.Contains(text, want) {
			t.Errorf("%q, want %q", text, want)
		}
	}
}

// A chip that has not enough from the beginning has stopped already, and does not
// last for days.
func TestDrainedAfterTheChipStopped(t *testing.T) {
	t.Parallel()
	parts := []string{two("BT1", "battery", "p", "GND", `"value": "2 × LR6", "params": {"charge_left": 0.05}`), chip("o", "p") + `, "params": {"brown_out_voltage": 2.7, "supply_current": 0.001}`,
		resistor("R1", "o", "a", "220"), two("D1", "led", "a", "GND", `"value": "red"`)}
	r, err := Run(context.Background(), decode(t, parts, mode("Off", `"IC1.2": "low"`)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, f := range r.Findings {
		if f.Rule == "drained-while-off" {
			text = f.Text
		}
	}
	if !strings.HasSuffix(text, "while nothing is lit, and the chip has stopped already.") {
		t.Errorf("%q", text)
	}
}
