package review

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

func decode(t *testing.T, parts []string, modes string) *model.Diagram {
	t.Helper()
	text := `{"format": "copperglass", "version": 1, "parts": [{` + strings.Join(parts, "}, {") + `}], "modes": [` + modes + `]}`
	d, err := file.Decode(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func two(ref, kind, from, to, more string) string {
	a, b := "1", "2"
	switch kind {
	case "battery", "supply", "motor", "current_source":
		a, b = "+", "-"
	case "led", "diode", "zener":
		a, b = "A", "K"
	}
	if more != "" {
		more = ", " + more
	}
	return fmt.Sprintf(`"ref": %q, "kind": %q, "tags": {%q: %q, %q: %q}%s`, ref, kind, a, from, b, to, more)
}

func source(volts string) string { return two("V1", "supply", "p", "GND", `"value": "`+volts+`"`) }
func resistor(ref, from, to, ohms string) string {
	return two(ref, "resistor", from, to, `"value": "`+ohms+`"`)
}
func cells(value string) string { return two("BT1", "battery", "p", "GND", `"value": "`+value+`"`) }

func transistor(kind, c, b, e string) string {
	pins := [3]string{"C", "B", "E"}
	if strings.HasSuffix(kind, "mos") {
		pins = [3]string{"D", "G", "S"}
	}
	return fmt.Sprintf(`"ref": "Q1", "kind": %q, "tags": {%q: %q, %q: %q, %q: %q}`, kind, pins[0], c, pins[1], b, pins[2], e)
}

func chip(out, supply string) string {
	return `"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "supply"}, {"number": "2", "role": "output"}, {"number": "3", "role": "ground"}],
		"tags": {"1": "` + supply + `", "2": "` + out + `", "3": "GND"}`
}

func mode(name, set string) string { return fmt.Sprintf(`{"name": %q, "set": {%s}}`, name, set) }

// Each rule has a circuit that raises it and one that just does not.
var cases = []struct {
	rule          string
	raises, quiet []string
	modes         string
	parts         string // that the finding is about
}{
	// 5 V on 220 Ω give 114 mW, on 180 Ω 139 mW, and 0805 stands 125 mW.
	{"resistor-over-power", []string{source("5 V"), resistor("R1", "p", "GND", "180")}, []string{source("5 V"), resistor("R1", "p", "GND", "220")}, "", "R1"},
	// 25 mA is the white LED's rating.
	{"led-over-current", []string{two("G1", "current_source", "p", "GND", `"value": "26 mA"`), two("D1", "led", "p", "GND", `"value": "white"`)},
		[]string{two("G1", "current_source", "p", "GND", `"value": "24 mA"`), two("D1", "led", "p", "GND", `"value": "white"`)}, "", "D1"},
	{"diode-over-current", []string{two("G1", "current_source", "p", "GND", `"value": "400 mA"`), two("D1", "diode", "p", "GND", `"value": "1N4148"`)},
		[]string{two("G1", "current_source", "p", "GND", `"value": "50 mA"`), two("D1", "diode", "p", "GND", `"value": "1N4148"`)}, "", "D1"},
	// 5.1 V at 70 mA are 357 mW, at 50 mA 255 mW; the rating is 300 mW.
	{"zener-over-power", []string{two("G1", "current_source", "p", "GND", `"value": "70 mA"`), two("D1", "zener", "GND", "p", `"value": "5.1 V"`)},
		[]string{two("G1", "current_source", "p", "GND", `"value": "50 mA"`), two("D1", "zener", "GND", "p", `"value": "5.1 V"`)}, "", "D1"},
	{"transistor-over-current", []string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "4.7"), resistor("R2", "p", "b", "47")},
		[]string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "50"), resistor("R2", "p", "b", "1k")}, "", "Q1"},
	// Active at 100 times 1 mA and 5 V: 0.5 W.
	{"transistor-over-power", []string{source("5 V"), transistor("npn", "p", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "1 mA"`)},
		[]string{source("5 V"), transistor("npn", "p", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "50 µA"`)}, "", "Q1"},
	{"transistor-over-voltage", []string{source("50 V"), transistor("npn", "p", "GND", "GND")}, []string{source("12 V"), transistor("npn", "p", "GND", "GND")}, "", "Q1"},
	{"fuse-over-current", []string{source("5 V"), two("F1", "fuse", "p", "q", `"value": "100 mA"`), resistor("R1", "q", "GND", "40")},
		[]string{source("5 V"), two("F1", "fuse", "p", "q", `"value": "100 mA"`), resistor("R1", "q", "GND", "60")}, "", "F1"},
	{"capacitor-over-voltage", []string{source("12 V"), two("C1", "capacitor", "p", "GND", `"value": "10 µF 10 V"`)},
		[]string{source("9 V"), two("C1", "capacitor", "p", "GND", `"value": "10 µF 10 V"`)}, "", "C1"},
	{"led-reversed", []string{source("6 V"), two("D1", "led", "GND", "p", "")}, []string{source("4.5 V"), two("D1", "led", "GND", "p", "")}, "", "D1"},

	// 20 mA from 100 µA ask for 200, from 1 mA for 20.
	{"switch-not-fully-on", []string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "240"), resistor("R2", "p", "b", "43k")},
		[]string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "240"), resistor("R2", "p", "b", "4k3")}, "", "Q1"},
	// 5 mA from 4.2 mA are needless, from 0.4 mA not.
	{"switch-driven-hard", []string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "1k"), resistor("R2", "p", "b", "1k")},
		[]string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "1k"), resistor("R2", "p", "b", "10k")}, "", "Q1"},
	{"base-without-resistor", []string{source("3 V"), chip("b", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100")},
		[]string{source("3 V"), chip("o", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k")}, mode("On", `"IC1.2": "high"`), "IC1 Q1"},
	{"floating-control", []string{source("3 V"), chip("o", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k")},
		[]string{source("3 V"), chip("o", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k"), resistor("R3", "b", "GND", "47k")}, mode("Off", `"IC1.2": "off"`), "Q1"},
	// A chip on 3 V cannot pull the base of a PNP up to 5 V.
	{"cannot-turn-off", []string{source("5 V"), two("V2", "supply", "q", "GND", `"value": "3 V"`), chip("o", "q"), transistor("pnp", "c", "b", "p"), resistor("R1", "c", "GND", "100"), resistor("R2", "o", "b", "1k")},
		[]string{source("5 V"), chip("o", "p"), transistor("pnp", "c", "b", "p"), resistor("R1", "c", "GND", "100"), resistor("R2", "o", "b", "1k")}, mode("Off", `"IC1.2": "high"`), "IC1 Q1"},

	{"leds-without-ballast", []string{source("5 V"), resistor("R1", "p", "q", "100"), two("D1", "led", "q", "GND", `"value": "red"`), two("D2", "led", "q", "GND", `"value": "red"`)},
		[]string{source("5 V"), resistor("R1", "p", "q", "100"), two("D1", "led", "q", "GND", `"value": "red"`), resistor("R2", "p", "r", "100"), two("D2", "led", "r", "GND", `"value": "red"`)}, "", "D1 D2"},
	{"cells-set-current", []string{cells("CR2032"), two("D1", "led", "p", "GND", `"value": "red"`)},
		[]string{cells("CR2032"), resistor("R1", "p", "q", "470"), two("D1", "led", "q", "GND", `"value": "red"`)}, "", "BT1 D1"},
	{"link-for-resistor", []string{cells("3 × LR6"), resistor("R1", "p", "q", "0"), two("D1", "led", "q", "GND", `"value": "white"`)},
		[]string{cells("3 × LR6"), resistor("R1", "p", "q", "47"), two("D1", "led", "q", "GND", `"value": "white"`)}, "", "D1 R1"},
	{"zener-out-of-regulation", []string{source("5 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`)},
		[]string{source("9 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`)}, "", "D1"},

	{"cell-over-current", []string{cells("CR2032"), resistor("R1", "p", "GND", "470")}, []string{cells("CR2032"), resistor("R1", "p", "GND", "1k2")}, "", "BT1"},
	{"drained-while-off", []string{cells("3 × LR6"), two("D1", "led", "q", "GND", ""), resistor("R1", "p", "GND", "100k")},
		[]string{cells("3 × LR6"), two("D1", "led", "q", "GND", ""), resistor("R1", "p", "GND", "10M")}, "", "BT1"},
	{"charging-primary", []string{source("5 V"), resistor("R1", "p", "q", "1k"), two("BT1", "battery", "q", "GND", `"value": "2 × LR6"`)},
		[]string{source("5 V"), resistor("R1", "p", "q", "1k"), two("BT1", "battery", "q", "GND", `"value": "2 × AA NiMH"`)}, "", "BT1"},
	{"short-through-switch", []string{cells("LR6"), two("S1", "switch", "p", "GND", `"params": {"state": "closed", "closed_resistance": 0.02}`)},
		[]string{cells("LR6"), resistor("R1", "q", "GND", "10"), two("S1", "switch", "p", "q", `"params": {"state": "closed", "closed_resistance": 0.02}`)}, "", "BT1 S1"},
	{"unlike-cells-in-parallel", []string{cells("3 × LR6"), two("BT2", "battery", "p", "GND", `"value": "3 × R6"`), resistor("R1", "p", "GND", "100")},
		[]string{cells("3 × LR6"), two("BT2", "battery", "p", "GND", `"value": "3 × LR6"`), resistor("R1", "p", "GND", "100")}, "", "BT1 BT2"},

	// 70 Ω in the chip: 3 V through 0 Ω more are 43 mA, through 22 Ω 33 mA.
	{"chip-pin-over-current", []string{source("3 V"), chip("o", "p"), resistor("R1", "o", "GND", "1")}, []string{source("3 V"), chip("o", "p"), resistor("R1", "o", "GND", "22")}, mode("On", `"IC1.2": "high"`), "IC1"},
	{"chip-supply-resistor", []string{source("3 V"), resistor("R1", "p", "q", "47"), chip("o", "q")}, []string{source("3 V"), chip("o", "p")}, "", "IC1 R1"},

	{"chip-unnamed", []string{source("3 V"), chip("o", "p")}, []string{source("3 V"), chip("o", "p") + `, "value": "PMS150C"`}, "", "IC1"},

	{"off-series", []string{source("3 V"), resistor("R1", "p", "GND", "505")}, []string{source("3 V"), resistor("R1", "p", "GND", "510")}, "", "R1"},
	{"guess-matters", []string{source("5 V"), two("R1", "resistor", "p", "q", `"value": "100", "doubt": "guessed"`), two("D1", "led", "q", "GND", "")},
		[]string{source("5 V"), two("R1", "resistor", "p", "q", `"value": "100", "doubt": "read"`), two("D1", "led", "q", "GND", "")}, "", "D1 R1"},
	{"marking-contradicts", []string{source("3 V"), two("R1", "resistor", "p", "GND", `"value": "100", "marking": "102"`)},
		[]string{source("3 V"), two("R1", "resistor", "p", "GND", `"value": "1k", "marking": "102"`)}, "", "R1"},
	{"capacitor-reversed", []string{source("3 V"), `"ref": "C1", "kind": "capacitor", "value": "10 µF", "tags": {"+": "GND", "-": "p"}`},
		[]string{source("3 V"), `"ref": "C1", "kind": "capacitor", "value": "10 µF", "tags": {"+": "p", "-": "GND"}`}, "", "C1"},

	{"mind-lithium", []string{cells("18650"), resistor("R1", "p", "GND", "1k")}, []string{cells("LR6"), resistor("R1", "p", "GND", "1k")}, "", "BT1"},
	{"mind-button-cells", []string{cells("CR2032"), resistor("R1", "p", "GND", "10k")}, []string{cells("LR6"), resistor("R1", "p", "GND", "10k")}, "", "BT1"},
	{"mind-the-voltage", []string{source("61 V"), resistor("R1", "p", "GND", "1M")}, []string{source("60 V"), resistor("R1", "p", "GND", "1M")}, "", "V1"},
	// 1 J: 500 µF at 63 V are too high; 4700 µF hold 1.5 J at 25 V, 0.3 J at 12 V.
	{"mind-stored-charge", []string{source("25 V"), two("C1", "capacitor", "p", "GND", `"value": "4700 µF"`)},
		[]string{source("12 V"), two("C1", "capacitor", "p", "GND", `"value": "4700 µF"`)}, "", "C1"},
	{"mind-your-eyes", []string{two("G1", "current_source", "p", "GND", `"value": "120 mA"`), two("D1", "led", "p", "GND", `"count": 6`)},
		[]string{two("G1", "current_source", "p", "GND", `"value": "80 mA"`), two("D1", "led", "p", "GND", `"count": 6`)}, "", "D1"},
}

func TestEachRule(t *testing.T) {
	t.Parallel()
	tested := map[string]bool{}
	for _, tt := range cases {
		tested[tt.rule] = true
		t.Run(tt.rule, func(t *testing.T) {
			t.Parallel()
			f, r := finding(t, decode(t, tt.raises, tt.modes), tt.rule)
			switch {
			case f == nil:
				t.Fatalf("not raised; %v, faults %v", r.Findings, r.Faults)
			case strings.Join(f.Parts, " ") != tt.parts:
				t.Errorf("about %v, want %s", f.Parts, tt.parts)
			case f.Source == "" || !strings.HasSuffix(f.Text, ".") || strings.Contains(f.Text, "NaN"):
				t.Errorf("says %q by %q", f.Text, f.Source)
			}
			for _, part := range f.Parts {
				if !strings.Contains(f.Text, part) {
					t.Errorf("does not name %s: %s", part, f.Text)
				}
			}
			if f, r := finding(t, decode(t, tt.quiet, tt.modes), tt.rule); f != nil || len(r.Faults) > 0 {
				t.Errorf("raised without need: %v, faults %v", f, r.Faults)
			}
		})
	}
	for _, r := range Rules() {
		if !tested[r.ID] {
			t.Errorf("%s has no circuit that raises it", r.ID)
		}
	}
}

func finding(t *testing.T, d *model.Diagram, rule string) (*Finding, *Review) {
	t.Helper()
	r, err := Run(context.Background(), d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if i := slices.IndexFunc(r.Findings, func(f Finding) bool { return f.Rule == rule }); i >= 0 {
		return &r.Findings[i], r
	}
	return nil, r
}

// The pair of pins is looked up among the families, and "none" is an answer.
func TestFamiliesOfAnUnnamedChip(t *testing.T) {
	t.Parallel()
	for pins, want := range map[[2]string]string{
		{"8", "4"}: "two operational amplifiers",
		{"1", "8"}: "PIC12F508",
		{"3", "6"}: "no family in the catalogue has that pair",
	} {
		d := decode(t, []string{source("3 V"), fmt.Sprintf(`"ref": "IC1", "kind": "chip", "pins": [{"number": %q, "role": "supply"}, {"number": %q, "role": "ground"}], "tags": {%q: "p", %q: "GND"}`, pins[0], pins[1], pins[0], pins[1])}, "")
		if f, _ := finding(t, d, "chip-unnamed"); f == nil || !strings.Contains(f.Text, want) {
			t.Errorf("%v: %v, want %q", pins, f, want)
		}
	}
}

// A muted finding is still there, with the reason.
func TestMuted(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), resistor("R1", "p", "GND", "180")}, "")
	d.Muted = []*model.Mute{{Rule: "resistor-over-power", Parts: []string{"R1"}, Reason: "a bigger case"}}
	if f, _ := finding(t, d, "resistor-over-power"); f == nil || f.Muted != "a bigger case" {
		t.Errorf("%v, want it muted", f)
	}
}
