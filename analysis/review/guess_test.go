package review

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"copperglass/analysis"
)

func guessed(ref, from, to, ohms string) string {
	return two(ref, "resistor", from, to, `"value": "`+ohms+`", "doubt": "guessed"`)
}

// 5 V on R1 of 100 Ω and R2 of 300 Ω in a row with a lamp of next to nothing:
// the current is 5/(R1 + R2). With 150 Ω of R2 it is 400/250 = 1.6 times what it
// is, with 50 Ω of R1 400/350 = 1.143 times. R3 hangs on nothing.
func TestGuesses(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), guessed("R1", "p", "q", "100"), guessed("R2", "q", "r", "300"), guessed("R3", "x", "GND", "1k"),
		two("M1", "motor", "r", "GND", `"params": {"winding_resistance": 1e-6, "back_voltage": 0}`), resistor("R4", "x", "GND", "10")}, "")
	all, err := Guesses(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		part  string
		moved float64
	}{{"R2", 0.6}, {"R1", 0.142857}, {"R3", 0}}
	if len(all) != len(want) {
		t.Fatalf("%v", all)
	}
	for i, w := range want {
		if g := all[i]; g.Part != w.part || math.Abs(g.Moved-w.moved) > 1e-5 || w.moved > 0 && g.Of != "M1" {
			t.Errorf("%d: %+v, want %s by %g of M1", i, g, w.part, w.moved)
		}
	}
	if words := all[0].Words(); words != "its resistance 50 % off would put the current of M1 about 60 % off" {
		t.Errorf("%q", words)
	}
	if all[2].Words() != "" {
		t.Errorf("%q", all[2].Words())
	}
}

// A guess is tried within what is possible: new cells cannot have half more than
// all their charge. A link that is guessed may be a resistor: 10 Ω and 30 Ω let
// through 3/4 of what 30 Ω do.
func TestGuessesAreTried(t *testing.T) {
	t.Parallel()
	lit := []string{cells("3 × LR6") + `, "doubt": "guessed"`, resistor("R1", "p", "x", "47"), two("D1", "led", "x", "GND", `"value": "white"`)}
	all, err := Guesses(context.Background(), decode(t, lit, ""))
	if err != nil || len(all) != 1 || all[0].Name != "charge_left" {
		t.Fatalf("%+v, %v", all, err)
	}
	lit[0] = cells("3 × LR6") + `, "params": {"charge_left": 0.5}`
	half, full := ledAmps(t, lit), ledAmps(t, append([]string{cells("3 × LR6")}, lit[1:]...))
	if want := 1 - half/full; math.Abs(all[0].Moved-want) > 1e-6 {
		t.Errorf("%g off, want %g", all[0].Moved, want)
	}
	linked := decode(t, []string{source("3 V"), guessed("R1", "p", "q", "0"), two("M1", "motor", "q", "GND", `"value": "30 Ω"`)}, "")
	all, err = Guesses(context.Background(), linked)
	if err != nil || len(all) != 1 || math.Abs(all[0].Moved-0.25) > 1e-9 || all[0].Words() != "10 Ω in its place would put the current of M1 about 25 % off" {
		t.Errorf("%+v, %v", all, err)
	}
}

func ledAmps(t *testing.T, parts []string) float64 {
	t.Helper()
	r, err := analysis.Solve(context.Background(), decode(t, parts, ""), analysis.Options{})
	if err != nil || !r.Solved {
		t.Fatal(err, r.Faults)
	}
	return r.Parts["D1"].Pin("A").Amps
}

// A guess that matters in another mode than the first, or for another load than
// the heaviest, counts; each is told of once, and one is to be measured first.
func TestGuessesOfEveryModeAndLoad(t *testing.T) {
	t.Parallel()
	red := func(ref, from string) string { return two(ref, "led", from, "GND", `"value": "red"`) }
	d := decode(t, []string{source("5 V"),
		two("S1", "switch", "p", "a", ""), guessed("R1", "a", "b", "1k"), red("D1", "b"),
		resistor("R2", "p", "c", "100"), red("D2", "c"), guessed("R3", "p", "e", "10k"), two("D3", "led", "e", "f", `"value": "red"`), resistor("R5", "f", "GND", "1k5")},
		mode("Dark", `"S1": "open"`)+","+mode("Lit", `"S1": "closed"`))
	all, err := Guesses(context.Background(), d)
	if err != nil || len(all) != 2 || all[0].Part != "R1" || all[0].Mode != "Lit" || all[0].Of != "D1" {
		t.Fatalf("%+v, %v", all, err)
	}
	r, err := Run(context.Background(), d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, f := range r.Findings {
		if f.Rule == guessRule {
			texts = append(texts, f.Text)
		}
	}
	first := func(text string) bool { return strings.HasSuffix(text, " Measure R1 first.") }
	if len(texts) != 1 || !slices.ContainsFunc(texts, first) {
		t.Errorf("%q", texts)
	}
}

// A link in the place of a resistor is told of in every state of the cells,
// and in what the link does.
func TestLinkInEveryState(t *testing.T) {
	t.Parallel()
	for _, left := range []float64{1, 0.9, 0.7, 0.3, 0.05} {
		d := decode(t, []string{fmt.Sprintf(`"ref": "BT1", "kind": "battery", "value": "3 × LR6", "tags": {"+": "p", "-": "GND"}, "params": {"charge_left": %g}`, left),
			transistor("pnp", "c", "b", "p"), resistor("R1", "b", "GND", "680"), resistor("R4", "c", "q", "0"),
			two("D1", "led", "q", "GND", `"value": "white", "count": 12`)}, "")
		f, r := finding(t, d, "link-for-resistor")
		if f == nil {
			t.Errorf("%g left: %v", left, r.Findings)
			continue
		}
		if says := strings.Contains(f.Text, percent(left)+" left"); says == (left == 1) {
			t.Errorf("%g left: %s", left, f.Text)
		}
		if want := ""; left == 1 && r.Cells != want || left < 1 && r.Cells != "BT1 "+percent(left)+" left" {
			t.Errorf("%g left: %q", left, r.Cells)
		}
		if says := words(t, d, "")["R4"]; !strings.Contains(says, "nothing limits them but ") || !strings.Contains(says, "the cells of BT1") {
			t.Errorf("%g left: %s", left, says)
		}
	}
}

// Branches with a resistor each behind a common link have their ballast.
func TestLinkBeforeBallast(t *testing.T) {
	t.Parallel()
	parts := []string{source("5 V"), resistor("R9", "p", "q", "0")}
	for i := range 4 {
		parts = append(parts, two(fmt.Sprintf("D%d", i), "led", "q", fmt.Sprintf("k%d", i), `"value": "red"`), resistor(fmt.Sprintf("R%d", i), fmt.Sprintf("k%d", i), "GND", "150"))
	}
	if f, _ := finding(t, decode(t, parts, ""), "link-for-resistor"); f != nil {
		t.Error(f.Text)
	}
}

// How a figure stands to its limit is said in figures that mean something.
func TestBeyond(t *testing.T) {
	t.Parallel()
	for ratio, want := range map[float64]string{1.001: "just over", 1.2: "20 % over", 1.996: "100 % over", 3.21: "3.2 times", 123: "123 times"} {
		if got := beyond(ratio); got != want {
			t.Errorf("%g: %q, want %q", ratio, got, want)
		}
	}
}

// A hot resistor's limit is the lower, and the sentence says at which
// temperature: at 112.5 °C half of 125 mW (from 70 °C to 155 °C, straight).
func TestHotResistor(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), two("R1", "resistor", "p", "GND", `"value": "270", "params": {"temperature": 385.65}`)}, "")
	f, _ := finding(t, d, "resistor-over-power")
	if f == nil || !strings.HasSuffix(f.Text, "48 % over its limit of 62.5 mW at 112 °C.") {
		t.Errorf("%v", f) // 25/270 W are 92.6 mW
	}
}

// A value of E192 alone is told with the nearest of E96.
func TestOffSeriesNearest(t *testing.T) {
	t.Parallel()
	f, _ := finding(t, decode(t, []string{source("3 V"), resistor("R1", "p", "GND", "505")}, ""), "off-series")
	if f == nil || !strings.Contains(f.Text, "the nearest is 511 Ω") {
		t.Errorf("%v", f)
	}
}
