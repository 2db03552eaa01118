package review

import (
	"context"
	"math"
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
		"IC1": "IC1 takes 10.5 mA; pin 2 is high and gives 10 mA, which pulls it 700 mV below supply.", // 5 V on 70 Ω + 430 Ω, and 0.5 mA for itself
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
		// 100 mA, less by the knee of 1 A: 200 mA/(1 + √1.4).
		{saturated, "Q1 is saturated: 1 mA in its base could carry 91.6 mA, and the circuit lets it have 9."},
		{decode(t, []string{source("5 V"), transistor("npn", "p", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "10 µA"`)}, ""), "Q1 is active: its base sets the current, 10 µA in it make "},
		{decode(t, []string{source("5 V"), transistor("pnp", "GND", "p", "p")}, ""), "Q1 is off: 0 V between base and emitter is too little to turn it on, and it holds back 5 V."},
		{decode(t, []string{source("5 V"), transistor("nmos", "c", "p", "GND"), resistor("R1", "p", "c", "1k")}, ""), "Q1 is fully on: 5 V at its gate are "},
		{decode(t, []string{source("5 V"), transistor("pmos", "GND", "p", "p")}, ""), "Q1 is off: 0 V at its gate stay below its threshold of "},
	} {
		got := words(t, tt.d, "")["Q1"]
		if len(got) < len(tt.want) || got[:len(tt.want)] != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// A motor without a back voltage is told to stand still: 3 V on 10 Ω are 300 mA.
// With 2 V of its own it is 100 mA.
func TestWordsOfMotors(t *testing.T) {
	t.Parallel()
	for value, want := range map[string]string{
		"10 Ω":     "M1 takes 300 mA at 3 V, 900 mW, worked out as if held still: turning, it makes a back voltage and takes less.",
		"10 Ω 2 V": "M1 takes 100 mA at 3 V, 300 mW.",
	} {
		d := decode(t, []string{source("3 V"), two("M1", "motor", "p", "GND", `"value": "`+value+`"`)}, "")
		if got := words(t, d, "")["M1"]; got != want {
			t.Errorf("%s: %q, want %q", value, got, want)
		}
	}
}

// Shares that limit a current make up the whole, the largest first.
func TestLimitsMakeUpTheWhole(t *testing.T) {
	t.Parallel()
	s := &sight{values: map[string]model.Values{"BT1": {}}}
	for _, tt := range []struct {
		shares map[string]float64
		want   string
	}{
		{map[string]float64{"led": 0.61, "pnp": 0.13, "fuse": 0.015, "switch": 0.015, "resistor": 0.23}, "the LEDs' own resistance (61 %), R1 (23 %), Q1 (13 %) and others (3 %)"},
		{map[string]float64{"led": 0.61, "pnp": 0.39}, "the LEDs' own resistance (61 %) and Q1 (39 %)"},
	} {
		by := map[string]limiter{}
		for kind, share := range tt.shares {
			by[kind] = limiter{share, []string{map[string]string{"resistor": "R1", "pnp": "Q1"}[kind]}}
		}
		if got := s.limitsInWords(by); got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// A transistor that is saturated only as long as its gain is the usual is not
// said to be off, and the sentence about it says how near that is: 190 µA in a
// base with a gain of 130 could carry 24.1 mA, 49.4 mA/(1 + √1.0988) by the knee
// of 1 A, with half the gain 12.2 mA; 240 Ω let it have 20 mA at 5 V.
func TestWordsOfBarelySaturated(t *testing.T) {
	t.Parallel()
	driven := func(base string) *model.Diagram {
		return decode(t, []string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "240"), two("G1", "current_source", "b", "GND", `"value": "`+base+`"`)}, "")
	}
	f, _ := finding(t, driven("190 µA"), "switch-marginal")
	if f == nil || !strings.HasPrefix(f.Text, "Q1 is on, losing ") || !strings.HasSuffix(f.Text, "with 190 µA into its base such a one carries up to 24.1 mA, one of half that gain 12.2 mA.") {
		t.Errorf("%v", f)
	}
	if got := words(t, driven("190 µA"), "")["Q1"]; !strings.HasPrefix(got, "Q1 is only just saturated: 190 µA in its base could carry 24.1 mA") {
		t.Errorf("%q", got)
	}
	if f, _ := finding(t, driven("120 µA"), "switch-not-fully-on"); f == nil || !strings.Contains(f.Text, "Q1 is not fully on: 120 µA into its base let") {
		t.Errorf("%v", f)
	}
}

// The current of an emitter follower is set by the resistor in its emitter, that
// of a transistor whose emitter is held by its base: 3 V less 0.75 V over 47 Ω and
// a 126th of the base's 1 kΩ are 41 mA.
func TestWordsOfAFollower(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), two("V2", "supply", "q", "GND", `"value": "3 V"`), transistor("npn", "p", "b", "e"),
		resistor("R1", "q", "b", "1k"), resistor("R2", "e", "GND", "47")}, "")
	if got := words(t, d, "")["Q1"]; !strings.HasPrefix(got, "Q1 is active and its emitter follows its base: the 40.6 mA through it hang on R2 (1 % more of it moves them by about 0.85 %) more than on its own gain") {
		t.Errorf("%q", got)
	}
	all, err := analysis.Influence(context.Background(), d, analysis.Options{}, "Q1.C.amps")
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range all.List {
		if i.Parameter == "R2.resistance" && math.Abs(-i.Relative-0.85) > 0.02 {
			t.Errorf("by the solved circuit it is %v", i.Relative)
		}
	}
}

// A transistor whose base is the limit is said to be so though it is nearly
// saturated: 3.9 mA at a gain of 170 carry 321 mA by the knee of 300 mA, and 5 V
// on 15 Ω ask for no less.
func TestWordsAtTheEdge(t *testing.T) {
	t.Parallel()
	if got := words(t, decode(t, kneed("15", "3.9 mA"), ""), "")["Q1"]; strings.Contains(got, "the circuit lets it have") {
		t.Errorf("%q", got)
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

// What is said of a stack is said of each or of the whole, of a hot resistor by the
// limit it has there, and of a Zener diode below its voltage what it lets through.
func TestWordsOfEachAndAll(t *testing.T) {
	t.Parallel()
	for ref, tt := range map[string]struct {
		parts []string
		want  string
	}{
		"R1": {[]string{source("5 V"), resistor("R1", "p", "GND", "100") + `, "count": 4`}, "R1 drops 5 V at 50 mA each, 200 mA in all, and turns 250 mW each into heat, over its limit of 125 mW."},
		// A 0402 stands 62.5 mW up to 70 °C and 30/85 of that at 125 °C.
		"R2": {[]string{source("5 V"), resistor("R2", "p", "GND", "470") + `, "params": {"case_size": "0402", "temperature": 398.15}`}, "R2 drops 5 V at 10.6 mA and turns 53.2 mW into heat, over its limit of 22.1 mW at 125 °C."},
		"BT1": {[]string{two("BT1", "battery", "p", "GND", `"count": 2, "params": {"voltage": 4.5, "resistance": 1}`), resistor("R1", "p", "GND", "4")},
			"The 2 of BT1 give 1 A, 500 mA each, at 4 V; 500 mV of its 4.5 V are lost in its own 1 Ω."},
		"D1": {[]string{source("4.6 V"), two("D1", "zener", "GND", "p", `"value": "5.1 V"`)}, "D1 stands at 4.6 V, below its 5.1 V, and lets "},
	} {
		if got := words(t, decode(t, tt.parts, ""), "")[ref]; !strings.HasPrefix(got, tt.want) {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// A gain that falls at large currents is told beside what the part gives at small
// ones: 4 mA at 340 would be 1.36 A and are by the knee of 300 mA
// 2·1.36/(1 + √(1 + 4·1.36/0.3)) = 506 mA, a gain of 127.
func TestWordsOfAFallenGain(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), transistor("npn", "c", "b", "GND") + `, "params": {"forward_beta": 340, "knee_current": 0.3}`,
		resistor("R1", "p", "c", "20"), two("G1", "current_source", "b", "GND", `"value": "4 mA"`)}, "")
	if got := words(t, d, "")["Q1"]; !strings.Contains(got, "could carry 506 mA (a gain of 127: its 340 falls at large currents)") {
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

// What limits a current is told for the values that were set, as if they were
// drawn.
func TestWordsOfWhatIsSet(t *testing.T) {
	t.Parallel()
	lit := func(ohms string) *model.Diagram {
		return decode(t, []string{two("BT1", "battery", "p", "GND", `"value": "3 × AA alkaline"`), resistor("R1", "b", "GND", ohms), transistor("pnp", "c", "b", "p"),
			resistor("R2", "c", "a", "0"), two("D1", "led", "a", "GND", `"value": "white", "count": 12`)}, "")
	}
	r, err := analysis.Solve(context.Background(), lit("330"), analysis.Options{Set: model.Setting{"R1": {"resistance": model.Number(1500)}}})
	if err != nil || !r.Solved {
		t.Fatalf("%v, %v", err, r.Faults)
	}
	got, want := Words(context.Background(), lit("330"), r)["R2"], words(t, lit("1k5"), "")["R2"]
	if got != want || !strings.Contains(want, "the base current through R1") || want == words(t, lit("330"), "")["R2"] {
		t.Errorf("%q, drawn so it is %q", got, want)
	}
}
