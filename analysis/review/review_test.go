package review

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/model"
	"copperglass/model/file"
)

func decode(t testing.TB, parts []string, modes string) *model.Diagram {
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

// kneed is a transistor with a gain of 170 that falls from about 300 mA on, a
// load and the current in its base.
func kneed(load, base string) []string {
	return []string{source("5 V"), transistor("npn", "c", "b", "GND") + `, "params": {"forward_beta": 170, "knee_current": 0.3, "power_rating": 5}`,
		resistor("R1", "p", "c", load), two("G1", "current_source", "b", "GND", fmt.Sprintf(`"value": %q`, base))}
}

// fieldEffect is a transistor that is fully on and carries a current.
func fieldEffect(amps, more string) []string {
	return []string{source("10 V"), two("G1", "current_source", "c", "GND", fmt.Sprintf(`"value": %q`, amps)), transistor("nmos", "c", "p", "GND") + ", " + more}
}

// squareLaw is one that sets 25 mA at 5 V.
func squareLaw(more string) []string {
	return []string{source("5 V"), two("V2", "supply", "g", "GND", `"value": "3 V"`),
		transistor("nmos", "p", "g", "GND") + `, "params": {"threshold_voltage": 2, "transconductance": 0.05, "channel_modulation": 0, ` + more + `}`}
}

// potentiometer has a tenth of its track, 100 Ω, between its supply and ground.
func potentiometer(volts string) []string {
	return []string{source(volts), `"ref": "RV1", "kind": "potentiometer", "value": "1k", "params": {"position": 0.1, "power_rating": 1}, "tags": {"1": "p", "W": "GND"}`}
}

// beside is a transistor that carries some 2 mA of the 9 mA that 1 kΩ would let it
// have, led by its base resistor or by a diode beside it.
func beside(base string, more ...string) []string {
	return append([]string{source("9 V"), resistor("R1", "p", "b", base), transistor("npn", "c", "b", "GND"), resistor("R2", "p", "c", "1k")}, more...)
}

// darlington is a pair of transistors that switches 47 Ω.
func darlington(base string) []string {
	first := strings.Replace(transistor("npn", "c", "b", "m"), "Q1", "Q2", 1)
	return []string{source("5 V"), first, transistor("npn", "c", "m", "GND"), resistor("R1", "p", "b", base), resistor("R2", "p", "c", "47")}
}

// inPack are two half full lithium cells in series behind 10 Ω.
func inPack(volts string) []string {
	half := `"value": "18650", "params": {"charge_left": 0.5}`
	return []string{source(volts), resistor("R1", "p", "q", "10"), two("BT1", "battery", "q", "m", half), two("BT2", "battery", "m", "GND", half)}
}

// choke is a coil whose wire has so many ohms, switched by a transistor.
func choke(ohms string) []string {
	return []string{cells("3 × LR6"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "b", "470"),
		two("L1", "inductor", "p", "c", `"value": "100 mH", "params": {"series_resistance": `+ohms+`}`)}
}

// latch is a transistor that carries 100 Ω and opens another, which leads its base
// to the rail through a resistor.
func latch(base string) []string {
	back := strings.Replace(transistor("pnp", "d", "a", "p"), "Q1", "Q2", 1)
	return []string{source("9 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "c", "a", "4k7"), back,
		resistor("R3", "d", "b", base), resistor("R4", "b", "x", "1M"), two("V2", "supply", "x", "GND", `"value": "3 V"`)}
}

// behindDiode is a transistor whose load and base hang on a rail behind a diode.
func behindDiode(base string) []string {
	return []string{source("9 V"), two("D1", "diode", "p", "r", ""), transistor("npn", "c", "b", "GND"), resistor("R1", "r", "b", base), resistor("R2", "r", "c", "2k2")}
}

// follower is a transistor that leads 100 Ω to 5 V, with what is at its base.
func follower(base ...string) []string {
	return append([]string{source("5 V"), transistor("npn", "p", "b", "e"), resistor("R2", "e", "GND", "100")}, base...)
}

// dropped are two rows of an LED and a plain diode.
func dropped(one, other string) []string {
	return []string{source("12 V"), two("D1", "led", one, "a", `"value": "red"`), two("D2", "diode", "a", "GND", ""), two("D3", "led", other, "b", `"value": "red"`), two("D4", "diode", "b", "GND", "")}
}

// track is an LED behind a part of a potentiometer's 1 kΩ.
func track(position string) []string {
	return []string{cells("3 × LR6"), `"ref": "RV1", "kind": "potentiometer", "value": "1k", "params": {"position": ` + position + `}, "tags": {"1": "p", "W": "q"}`, two("D1", "led", "q", "GND", `"value": "white"`)}
}

// inRow are LEDs in series at 20 mA.
func inRow(count int) []string {
	all := []string{two("G1", "current_source", "n0", "GND", `"value": "20 mA"`)}
	for i := range count {
		to := fmt.Sprintf("n%d", i+1)
		if i == count-1 {
			to = "GND"
		}
		all = append(all, two(fmt.Sprintf("D%d", i+1), "led", fmt.Sprintf("n%d", i), to, ""))
	}
	return all
}

// outputs is a chip with outputs at pins 2 and 4.
func outputs(one, other string) string {
	return `"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "supply"}, {"number": "2", "role": "output"}, {"number": "3", "role": "ground"}, {"number": "4", "role": "output"}],
		"tags": {"1": "p", "2": "` + one + `", "3": "GND", "4": "` + other + `"}`
}

// halfBridge is two transistors in a row, the upper on, the lower with its gate at
// the net given.
func halfBridge(gate string) []string {
	lower := strings.Replace(transistor("nmos", "m", gate, "GND"), "Q1", "Q2", 1)
	return []string{cells("3 × LR6"), transistor("pmos", "m", "GND", "p"), lower, two("M1", "motor", "m", "GND", `"value": "47 Ω"`)}
}

// held is a transistor that is off, held so by a resistor.
func held(kind, pull string) []string {
	return []string{source("5 V"), transistor(kind, "c", "b", "GND"), resistor("R1", "p", "c", "1k"), resistor("R2", "b", "GND", pull)}
}

// fed is a chip of a known name with its supply and ground at these pins.
func fed(supply, ground string) string {
	return fmt.Sprintf(`"ref": "IC1", "kind": "chip", "value": "ATtiny13A", "pins": [{"number": %q, "role": "supply"}, {"number": %q, "role": "ground"}], "tags": {%[1]q: "p", %[2]q: "GND"}`, supply, ground)
}

// rows are two rows of two red LEDs on 12 V.
func rows(one, other string) []string {
	red := func(ref, from, to string) string { return two(ref, "led", from, to, `"value": "red"`) }
	return []string{source("12 V"), red("D1", one, "a"), red("D2", "a", "GND"), red("D3", other, "b"), red("D4", "b", "GND")}
}

// charging is a battery that a current flows into.
func charging(amps, value string) []string {
	return []string{two("G1", "current_source", "p", "GND", fmt.Sprintf(`"value": %q`, amps)), cells(value)}
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
	// 150 V is what size 0805 stands, 200 V what 1206 does.
	{"resistor-over-voltage", []string{source("160 V"), resistor("R1", "p", "GND", "10M")}, []string{source("140 V"), resistor("R1", "p", "GND", "10M")}, "", "R1"},
	{"resistor-over-voltage", []string{source("160 V"), resistor("R1", "p", "GND", "10M")},
		[]string{source("160 V"), resistor("R1", "p", "GND", "10M") + `, "params": {"case_size": "1206"}`}, "", "R1"},
	// 0402 stands 1/16 W: 2.6 V on 100 Ω are 68 mW, 2.4 V 58 mW.
	{"resistor-over-power", []string{source("2.6 V"), resistor("R1", "p", "GND", "100") + `, "params": {"case_size": "0402"}`},
		[]string{source("2.4 V"), resistor("R1", "p", "GND", "100") + `, "params": {"case_size": "0402"}`}, "", "R1"},
	// 1 W of a whole track of 1 kΩ are 31.6 mA: on a tenth of it 3.3 V make 33 mA, 3 V 30 mA.
	{"potentiometer-over-current", potentiometer("3.3 V"), potentiometer("3 V"), "", "RV1"},
	// A lamp for 6 V stands 6.6 V.
	{"lamp-over-voltage", []string{source("6.7 V"), two("E1", "lamp", "p", "GND", `"value": "6 V 2 W"`)}, []string{source("6.5 V"), two("E1", "lamp", "p", "GND", `"value": "6 V 2 W"`)}, "", "E1"},
	// Three new cells, 4.8 V, give 4.8 V/120 Ω = 40 mA, and those half used about 33 mA: 192 mW and 130 mW of 150 mW.
	{"over-when-new", []string{cells("3 × LR6") + `, "params": {"charge_left": 0.5}`, resistor("R1", "p", "GND", "120") + `, "params": {"power_rating": 0.15}`},
		[]string{cells("3 × LR6") + `, "params": {"charge_left": 0.5}`, resistor("R1", "p", "GND", "120") + `, "params": {"power_rating": 0.2}`}, "", "R1"},
	// 25 mA is the white LED's rating.
	{"led-over-current", []string{two("G1", "current_source", "p", "GND", `"value": "26 mA"`), two("D1", "led", "p", "GND", `"value": "white"`)},
		[]string{two("G1", "current_source", "p", "GND", `"value": "24 mA"`), two("D1", "led", "p", "GND", `"value": "white"`)}, "", "D1"},
	// 150 mA is the rating of a 1N4148.
	{"diode-over-current", []string{two("G1", "current_source", "p", "GND", `"value": "160 mA"`), two("D1", "diode", "p", "GND", `"value": "1N4148"`)},
		[]string{two("G1", "current_source", "p", "GND", `"value": "140 mA"`), two("D1", "diode", "p", "GND", `"value": "1N4148"`)}, "", "D1"},
	// 75 V is the working voltage of a 1N4148, 50 V that of a 1N4001.
	{"diode-over-voltage", []string{source("80 V"), two("D1", "diode", "GND", "p", "")}, []string{source("70 V"), two("D1", "diode", "GND", "p", "")}, "", "D1"},
	{"diode-over-voltage", []string{source("70 V"), two("D1", "diode", "GND", "p", `"value": "1N4001"`)}, []string{source("80 V"), two("D1", "diode", "GND", "p", `"value": "1N4002"`)}, "", "D1"},
	// 5 V is what a base stands the wrong way; at 4.5 V it does.
	{"base-reversed", []string{source("5.5 V"), transistor("npn", "GND", "GND", "p")}, []string{source("4.5 V"), transistor("npn", "GND", "GND", "p")}, "", "Q1"},
	{"base-reversed", []string{source("5.5 V"), transistor("pnp", "p", "p", "GND")}, []string{source("4.5 V"), transistor("pnp", "p", "p", "GND")}, "", "Q1"},
	// 12 V is the rating of the gate of an AO3401A, either way.
	{"gate-over-voltage", []string{source("13 V"), transistor("pmos", "c", "GND", "p"), resistor("R1", "c", "GND", "1k")},
		[]string{source("11 V"), transistor("pmos", "c", "GND", "p"), resistor("R1", "c", "GND", "1k")}, "", "Q1"},
	// 5.1 V at 70 mA are 357 mW, at 50 mA 255 mW; the rating is 300 mW.
	{"zener-over-power", []string{two("G1", "current_source", "p", "GND", `"value": "70 mA"`), two("D1", "zener", "GND", "p", `"value": "5.1 V"`)},
		[]string{two("G1", "current_source", "p", "GND", `"value": "50 mA"`), two("D1", "zener", "GND", "p", `"value": "5.1 V"`)}, "", "D1"},
	// 500 mA is the rating of a general-purpose transistor.
	{"transistor-over-current", []string{two("G2", "current_source", "c", "GND", `"value": "510 mA"`), transistor("npn", "c", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "25 mA"`)},
		[]string{two("G2", "current_source", "c", "GND", `"value": "490 mA"`), transistor("npn", "c", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "25 mA"`)}, "", "Q1"},
	{"transistor-over-current", fieldEffect("210 mA", `"params": {"drain_current_rating": 0.2}`), fieldEffect("190 mA", `"params": {"drain_current_rating": 0.2}`), "", "Q1"},
	// 410 µA at a gain of 130 would be 53.3 mA and are 50.7 mA by the knee of 1 A: 254 mW at 5 V, of 250; 395 µA make 245 mW.
	{"transistor-over-power", []string{source("5 V"), transistor("npn", "p", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "410 µA"`)},
		[]string{source("5 V"), transistor("npn", "p", "b", "GND"), two("G1", "current_source", "b", "GND", `"value": "395 µA"`)}, "", "Q1"},
	// ½ k (V_GS − V_t)² with 50 mA/V² and 2 V at the gate's 3 V is 25 mA: at 5 V 125 mW.
	{"transistor-over-power", squareLaw(`"power_rating": 0.12`), squareLaw(`"power_rating": 0.13`), "", "Q1"},
	{"transistor-over-voltage", []string{source("51 V"), transistor("nmos", "p", "GND", "GND") + `, "params": {"voltage_rating": 50}`},
		[]string{source("49 V"), transistor("nmos", "p", "GND", "GND") + `, "params": {"voltage_rating": 50}`}, "", "Q1"},
	// 40 V is the rating of a general-purpose transistor.
	{"transistor-over-voltage", []string{source("41 V"), transistor("npn", "p", "GND", "GND")}, []string{source("39 V"), transistor("npn", "p", "GND", "GND")}, "", "Q1"},
	{"fuse-over-current", []string{source("5 V"), two("F1", "fuse", "p", "q", `"value": "100 mA"`), resistor("R1", "q", "GND", "40")},
		[]string{source("5 V"), two("F1", "fuse", "p", "q", `"value": "100 mA"`), resistor("R1", "q", "GND", "60")}, "", "F1"},
	{"capacitor-over-voltage", []string{source("12 V"), two("C1", "capacitor", "p", "GND", `"value": "10 µF 10 V"`)},
		[]string{source("9 V"), two("C1", "capacitor", "p", "GND", `"value": "10 µF 10 V"`)}, "", "C1"},
	{"led-reversed", []string{source("6 V"), two("D1", "led", "GND", "p", "")}, []string{source("4.5 V"), two("D1", "led", "GND", "p", "")}, "", "D1"},

	// 20 mA from 100 µA ask for 200, and the usual gain is 130; 215 µA could carry
	// 27 mA, less by the knee of 1 A.
	{"switch-not-fully-on", []string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "240"), resistor("R2", "p", "b", "43k")},
		[]string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "240"), resistor("R2", "p", "b", "20k")}, "", "Q1"},
	// Near the knee of 300 mA: 3.9 mA at a gain of 170 would be 663 mA and are
	// 2·663/(1 + √(1 + 4·663/300)) = 321 mA; 5 V on 15 Ω ask for 330 mA, on 18 Ω for 270 mA.
	{"switch-marginal", kneed("15", "3.9 mA"), kneed("27", "3.9 mA"), "", "Q1"},
	// With half the gain 3.9 mA carry 200 mA: 4.9 V on 22 Ω ask for 220 mA, on 27 Ω for 180 mA.
	{"switch-marginal", kneed("22", "3.9 mA"), kneed("27", "3.9 mA"), "", "Q1"},
	// An NPN that leads 47 Ω to 5 V from a base at 5 V leaves it 4.2 V; from the low side it leaves it all.
	{"follower-leaves", []string{source("5 V"), transistor("npn", "p", "b", "e"), resistor("R1", "p", "b", "1k"), resistor("R2", "e", "GND", "47")},
		[]string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "b", "1k"), resistor("R2", "p", "c", "47")}, "", "Q1"},
	{"follower-leaves", []string{source("5 V"), transistor("nmos", "p", "p", "s"), resistor("R2", "s", "GND", "47")},
		[]string{source("5 V"), transistor("pmos", "d", "GND", "p"), resistor("R2", "d", "GND", "47")}, "", "Q1"},
	// Half the rail at the base, or a Zener diode there, is what a follower is for; a chip that drives it to its 3 V of 5 V is not.
	{"follower-leaves", follower(resistor("R1", "p", "b", "1k"), resistor("R3", "b", "GND", "100k")), follower(resistor("R1", "p", "b", "10k"), resistor("R3", "b", "GND", "10k")), "", "Q1"},
	{"follower-leaves", follower(two("V2", "supply", "q", "GND", `"value": "3 V"`), chip("o", "q"), resistor("R1", "o", "b", "1k")),
		follower(chip("o", "p"), resistor("R1", "p", "b", "1k"), two("D1", "zener", "GND", "b", `"value": "3.3 V"`)), mode("On", `"IC1.2": "high"`), "Q1"},
	// ½ k (V_GS − V_t)² with 50 mA/V² and 2.1 V is 20.3 mA at 3 V, which leave 0.98 V behind 100 Ω and 0.42 V
	// behind 180 Ω: with less than half of V_GS − V_t = 0.9 V across it it is fully on.
	{"switch-not-fully-on", []string{source("3 V"), transistor("nmos", "c", "p", "GND") + `, "params": {"threshold_voltage": 2.1, "transconductance": 0.05}`, resistor("R1", "p", "c", "100")},
		[]string{source("3 V"), transistor("nmos", "c", "p", "GND") + `, "params": {"threshold_voltage": 2.1, "transconductance": 0.05}`, resistor("R1", "p", "c", "180")}, "", "Q1"},
	// 5 mA from 4.2 mA are needless, from 0.4 mA not.
	// A current mirror sets a current on purpose; without the diode beside it the same is a switch that is not on.
	{"switch-not-fully-on", beside("560k"), beside("3k9", strings.Replace(transistor("npn", "b", "b", "GND"), "Q1", "Q2", 1)), "", "Q1"},
	// A base fed from its own collector sets a current on purpose; fed from the rail, behind a diode too, it does not.
	{"switch-not-fully-on", []string{source("9 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "b", "560k"), resistor("R2", "p", "c", "2k2")},
		[]string{source("9 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "c", "b", "470k"), resistor("R2", "p", "c", "2k2")}, "", "Q1"},
	{"switch-not-fully-on", behindDiode("560k"), behindDiode("47k"), "", "Q1"},
	// Two that hold each other on are to be fully on.
	{"switch-not-fully-on", latch("100k"), latch("10k"), "", "Q1"},
	// One transistor that senses what another carries and holds its base is no switch; the same without the sensed one is.
	{"switch-not-fully-on", []string{source("9 V"), transistor("npn", "b", "e", "GND"), resistor("R1", "p", "b", "4k7"), resistor("R2", "p", "e", "1M")},
		[]string{source("9 V"), strings.Replace(transistor("npn", "c", "b", "e"), "Q1", "Q2", 1), transistor("npn", "b", "e", "GND"), resistor("R1", "p", "b", "4k7"), resistor("R2", "e", "GND", "47"), two("D1", "led", "p", "c", "")}, "", "Q1"},
	// Two transistors as a pair are as on as they get once the first is saturated.
	{"switch-not-fully-on", darlington("3.3M"), darlington("47k"), "", "Q1"},
	// 47 Ω in the way is a load; straight across the poles, and over a coil, it is a short.
	{"short-through-transistors", []string{cells("3 × LR6"), transistor("npn", "p", "b", "GND"), resistor("R1", "p", "b", "1k")},
		[]string{cells("3 × LR6"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "b", "1k"), resistor("R2", "p", "c", "47")}, "", "BT1 Q1"},
	{"short-through-transistors", []string{cells("3 × LR6"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "b", "1k"), two("L1", "inductor", "p", "c", `"value": "100 µH"`)},
		[]string{cells("3 × LR6"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "b", "1k"), two("M1", "motor", "p", "c", `"value": "10 Ω"`)}, "", "BT1 L1 Q1"},
	{"short-through-transistors", halfBridge("p"), halfBridge("GND"), "", "BT1 Q1 Q2"},
	// The wire of a relay's coil is a load, 0.1 Ω of a choke are none beside the cells' own 0.5 Ω.
	{"short-through-transistors", choke("0.1"), choke("100"), "", "BT1 L1 Q1"},
	{"switch-driven-hard", []string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "1k"), resistor("R2", "p", "b", "1k")},
		[]string{source("5 V"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "1k"), resistor("R2", "p", "b", "10k")}, "", "Q1"},
	{"base-without-resistor", []string{source("3 V"), chip("b", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100")},
		[]string{source("3 V"), chip("o", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k")}, mode("On", `"IC1.2": "high"`), "IC1 Q1"},
	{"floating-control", []string{source("3 V"), chip("o", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k")},
		[]string{source("3 V"), chip("o", "p"), transistor("npn", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k"), resistor("R3", "b", "GND", "47k")}, mode("Off", `"IC1.2": "off"`), "Q1"},
	{"floating-control", []string{source("3 V"), chip("o", "p"), transistor("nmos", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k")},
		[]string{source("3 V"), chip("o", "p"), transistor("nmos", "c", "b", "GND"), resistor("R1", "p", "c", "100"), resistor("R2", "o", "b", "1k"), resistor("R3", "b", "GND", "47k")}, mode("Off", `"IC1.2": "off"`), "Q1"},
	// 50 nA through 10 MΩ are 0.5 V, through 4.7 MΩ 0.24 V; 100 nA through 22 MΩ 2.2 V, which opens a gate.
	{"floating-control", held("npn", "10M"), held("npn", "4M7"), "", "Q1"},
	{"floating-control", held("nmos", "22M"), held("nmos", "1M"), "", "Q1"},
	// A chip on 3 V cannot pull the base of a PNP up to 5 V.
	{"cannot-turn-off", []string{source("5 V"), two("V2", "supply", "q", "GND", `"value": "3 V"`), chip("o", "q"), transistor("pnp", "c", "b", "p"), resistor("R1", "c", "GND", "100"), resistor("R2", "o", "b", "1k")},
		[]string{source("5 V"), chip("o", "p"), transistor("pnp", "c", "b", "p"), resistor("R1", "c", "GND", "100"), resistor("R2", "o", "b", "1k")}, mode("Off", `"IC1.2": "high"`), "IC1 Q1"},

	{"leds-without-ballast", []string{source("5 V"), resistor("R1", "p", "q", "100"), two("D1", "led", "q", "GND", `"value": "red"`), two("D2", "led", "q", "GND", `"value": "red"`)},
		[]string{source("5 V"), resistor("R1", "p", "q", "100"), two("D1", "led", "q", "GND", `"value": "red"`), resistor("R2", "p", "r", "100"), two("D2", "led", "r", "GND", `"value": "red"`)}, "", "D1 D2"},
	{"cells-set-current", []string{cells("CR2032"), two("D1", "led", "p", "GND", `"value": "red"`)},
		[]string{cells("CR2032"), resistor("R1", "p", "q", "470"), two("D1", "led", "q", "GND", `"value": "red"`)}, "", "BT1 D1"},
	{"link-for-resistor", []string{cells("3 × LR6"), resistor("R1", "p", "q", "0"), two("D1", "led", "q", "GND", `"value": "white"`)},
		[]string{cells("3 × LR6"), resistor("R1", "p", "q", "47"), two("D1", "led", "q", "GND", `"value": "white"`)}, "", "D1 R1"},
	{"led-without-resistor", []string{cells("3 × LR6"), two("D1", "led", "p", "GND", `"value": "white"`)},
		[]string{cells("3 × LR6"), resistor("R1", "p", "q", "47"), two("D1", "led", "q", "GND", `"value": "white"`)}, "", "D1"},
	// Two rows of two share what one resistor lets through, or have one each.
	{"leds-without-ballast", append(rows("q", "q"), resistor("R1", "p", "q", "100")),
		append(rows("q", "r"), resistor("R1", "p", "q", "100"), resistor("R2", "p", "r", "100")), "", "D1 D2 D3 D4"},
	// A plain diode in each row takes nothing of it off; a resistor in each does.
	{"leds-without-ballast", append(dropped("x", "x"), resistor("R1", "p", "x", "330")),
		append(dropped("x", "y"), resistor("R1", "p", "x", "330"), resistor("R2", "p", "y", "330")), "", "D1 D2 D3 D4"},
	// 0.5 Ω are some 2 % of what limits it, 4.7 Ω a fifth; so with the track of a potentiometer.
	{"led-without-resistor", []string{cells("3 × LR6"), resistor("R1", "p", "q", "0.5"), two("D1", "led", "q", "GND", `"value": "white"`)},
		[]string{cells("3 × LR6"), resistor("R1", "p", "q", "4.7"), two("D1", "led", "q", "GND", `"value": "white"`)}, "", "D1 R1"},
	{"led-without-resistor", track("0.0005"), track("0.02"), "", "D1 RV1"},
	{"zener-out-of-regulation", []string{source("5 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`)},
		[]string{source("9 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`)}, "", "D1"},
	// Across a gate, a switched path or a supply it is a clamp that is not to conduct.
	{"zener-out-of-regulation", []string{source("9 V"), resistor("R1", "p", "g", "1k"), two("D1", "zener", "GND", "g", `"value": "12 V"`), transistor("nmos", "p", "g", "s"), resistor("R2", "s", "GND", "1k")},
		[]string{source("9 V"), resistor("R1", "p", "g", "1k"), two("D1", "zener", "GND", "g", `"value": "12 V"`), transistor("nmos", "c", "g", "GND"), resistor("R2", "p", "c", "1k")}, "", "D1"},
	{"zener-out-of-regulation", []string{source("5 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`), resistor("R2", "q", "GND", "10k")},
		[]string{source("5 V"), two("D1", "zener", "GND", "p", `"value": "5.6 V"`), resistor("R2", "p", "GND", "10k")}, "", "D1"},
	{"zener-out-of-regulation", []string{source("5 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`)},
		[]string{source("5 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`), transistor("npn", "q", "GND", "GND")}, "", "D1"},
	// A chip that it is to feed makes no clamp of it, one whose output it lies at does.
	{"zener-out-of-regulation", []string{source("5 V"), resistor("R1", "p", "q", "100"), two("D1", "zener", "GND", "q", `"value": "5.6 V"`), chip("o", "q")},
		[]string{source("5 V"), resistor("R1", "p", "o", "1k"), two("D1", "zener", "GND", "o", `"value": "5.6 V"`), chip("o", "p")}, "", "D1"},

	// The wrong way round it holds 0.7 V; two against each other are a clamp.
	{"zener-reversed", []string{source("9 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "q", "GND", `"value": "5.1 V"`)},
		[]string{source("9 V"), resistor("R1", "p", "q", "1k"), two("D1", "zener", "q", "z", `"value": "5.1 V"`), two("D2", "zener", "GND", "z", `"value": "5.1 V"`)}, "", "D1"},

	// 3 V on 10 Ω are 300 mA; with 2 V of its own 100 mA.
	{"motor-held-still", []string{source("3 V"), two("M1", "motor", "p", "GND", `"value": "10 Ω"`)},
		[]string{source("3 V"), two("M1", "motor", "p", "GND", `"value": "10 Ω 2 V"`)}, "", "M1"},

	// 3.15 V on 1 kΩ and 18 Ω are 3.1 mA, on 1.1 kΩ 2.8 mA.
	{"cell-over-current", []string{cells("CR2032"), resistor("R1", "p", "GND", "1k")}, []string{cells("CR2032"), resistor("R1", "p", "GND", "1k1")}, "", "BT1"},
	// Three R03, 4.95 V behind 2.3 Ω, give 309 mA into 13.7 Ω, 244 mA into 18 Ω and 109 mA into 43 Ω,
	// of 150 mA; LR03 give 247 mA of 350 mA.
	{"cell-over-current", []string{cells("3 × R03"), resistor("R1", "p", "GND", "13.7")}, []string{cells("3 × R03"), resistor("R1", "p", "GND", "43")}, "", "BT1"},
	{"cell-over-current", []string{cells("3 × R03"), resistor("R1", "p", "GND", "18")}, []string{cells("3 × LR03"), resistor("R1", "p", "GND", "18")}, "", "BT1"},
	// A CR2032 is 3.15 V behind 18 Ω: into 33 Ω it gives 62 mA and loses 35 %, into 120 Ω 23 mA and 13 %.
	{"coin-cell-sags", []string{cells("CR2032"), resistor("R1", "p", "GND", "33")}, []string{cells("CR2032"), resistor("R1", "p", "GND", "120")}, "", "BT1"},
	// 3.05 Ah in ten years are 35 µA, 4.8 V on 138 kΩ.
	{"drained-while-off", []string{cells("3 × LR6"), two("D1", "led", "q", "GND", ""), resistor("R1", "p", "GND", "130k")},
		[]string{cells("3 × LR6"), two("D1", "led", "q", "GND", ""), resistor("R1", "p", "GND", "150k")}, "", "BT1"},
	// An LED of 10 µA gives some light, 100 MΩ leave it next to none.
	{"drained-while-off", []string{cells("3 × LR6"), two("D1", "led", "q", "GND", `"value": "red"`), resistor("R2", "p", "q", "100M"), resistor("R1", "p", "GND", "10k")},
		[]string{cells("3 × LR6"), two("D1", "led", "q", "GND", `"value": "red"`), resistor("R2", "p", "q", "4k7"), resistor("R1", "p", "GND", "10k")}, "", "BT1"},
	{"charging-primary", []string{source("5 V"), resistor("R1", "p", "q", "1k"), two("BT1", "battery", "q", "GND", `"value": "2 × LR6"`)},
		[]string{source("5 V"), resistor("R1", "p", "q", "1k"), two("BT1", "battery", "q", "GND", `"value": "2 × AA NiMH"`)}, "", "BT1"},
	{"cell-over-current", []string{cells("6LR61"), resistor("R1", "p", "GND", "82")}, []string{cells("6LR61"), resistor("R1", "p", "GND", "100")}, "", "BT1"},
	{"cell-over-current", []string{cells("3 × LR20"), resistor("R1", "p", "GND", "1")}, []string{cells("3 × LR20"), resistor("R1", "p", "GND", "2.2")}, "", "BT1"},
	{"cell-over-current", []string{cells("14500"), resistor("R1", "p", "GND", "2.2")}, []string{cells("14500"), resistor("R1", "p", "GND", "3.3")}, "", "BT1"},
	// A tenth of the capacity of 2 Ah is 200 mA.
	{"charged-too-fast", charging("210 mA", "2 × HR6"), charging("190 mA", "2 × HR6"), "", "BT1"},
	{"charged-too-fast", charging("2.7 A", "18650"), charging("2.5 A", "18650"), "", "BT1"},
	// A full cell of 4.18 V behind 75 mΩ is at 4.22 V with 0.5 A into it, at 4.20 V with 0.25 A.
	{"overcharged", charging("0.5 A", "18650"), []string{source("4.2 V"), resistor("R1", "p", "q", "1"), two("BT1", "battery", "q", "GND", `"value": "18650", "params": {"charge_left": 0.5}`)}, "", "BT1"},
	// 5 V through 10 Ω drive 80 mA into a full one yet; into one that is half full they drive more, and nothing ends that. A source of 4.2 V does.
	{"overcharged", []string{source("5 V"), resistor("R1", "p", "q", "10"), two("BT1", "battery", "q", "GND", `"value": "18650", "params": {"charge_left": 0.5}`)},
		[]string{source("4.2 V"), resistor("R1", "p", "q", "10"), two("BT1", "battery", "q", "GND", `"value": "18650", "params": {"charge_left": 0.5}`)}, "", "BT1"},
	// Two in a row on 8.4 V end at 4.2 V each, on 9 V they do not.
	{"overcharged", inPack("9 V"), inPack("8.4 V"), "", "BT1"},
	// What a chip gives them it may end as well.
	{"overcharged", []string{source("5 V"), chip("o", "p"), resistor("R1", "p", "q", "10"), two("BT1", "battery", "q", "GND", `"value": "18650", "params": {"charge_left": 0.5}`)},
		[]string{source("5 V"), chip("q", "p"), two("BT1", "battery", "q", "GND", `"value": "18650", "params": {"charge_left": 0.5}`)}, mode("Charge", `"IC1.2": "high"`), "BT1"},
	// 5 V that a resistor of 1 MΩ leads to it are no charger worth the name.
	{"overcharged", []string{source("5 V"), resistor("R1", "p", "q", "1k"), two("BT1", "battery", "q", "GND", `"value": "18650"`)},
		[]string{source("5 V"), resistor("R1", "p", "q", "1M"), two("BT1", "battery", "q", "GND", `"value": "18650"`)}, "", "BT1"},
	// An ideal supply keeps its 5 V over 10 mΩ of contacts.
	{"short-through-switch", []string{source("5 V"), two("S1", "switch", "p", "GND", `"params": {"state": "closed", "closed_resistance": 0.01}`)},
		[]string{source("5 V"), resistor("R1", "q", "GND", "10"), two("S1", "switch", "p", "q", `"params": {"state": "closed", "closed_resistance": 0.01}`)}, "", "S1 V1"},
	{"short-through-switch", []string{cells("LR6"), two("S1", "switch", "p", "GND", `"params": {"state": "closed", "closed_resistance": 0.02}`)},
		[]string{cells("LR6"), resistor("R1", "q", "GND", "10"), two("S1", "switch", "p", "q", `"params": {"state": "closed", "closed_resistance": 0.02}`)}, "", "BT1 S1"},
	{"unlike-cells-in-parallel", []string{cells("3 × LR6"), two("BT2", "battery", "p", "GND", `"value": "3 × R6"`), resistor("R1", "p", "GND", "100")},
		[]string{cells("3 × LR6"), two("BT2", "battery", "p", "GND", `"value": "3 × LR6"`), resistor("R1", "p", "GND", "100")}, "", "BT1 BT2"},

	// 70 Ω in the chip: 3 V through 0 Ω more are 43 mA, through 22 Ω 33 mA.
	{"chip-pin-over-current", []string{source("3 V"), chip("o", "p"), resistor("R1", "o", "GND", "1")}, []string{source("3 V"), chip("o", "p"), resistor("R1", "o", "GND", "22")}, mode("On", `"IC1.2": "high"`), "IC1"},
	// 6 V is what a small microcontroller stands; a chip known to be none may stand more.
	{"chip-over-voltage", []string{source("6.1 V"), chip("o", "p") + `, "value": "PMS150C"`}, []string{source("5.9 V"), chip("o", "p") + `, "value": "PMS150C"`}, "", "IC1"},
	{"chip-over-voltage", []string{source("6.1 V"), chip("o", "p") + `, "params": {"supply_voltage_rating": 6}`}, []string{source("6.1 V"), chip("o", "p")}, "", "IC1"},
	{"chip-perhaps-over-voltage", []string{source("6.1 V"), chip("o", "p")}, []string{source("5.9 V"), chip("o", "p")}, "", "IC1"},
	{"chip-perhaps-over-voltage", []string{source("9 V"), chip("o", "p")}, []string{source("9 V"), chip("o", "p") + `, "value": "LM358"`}, "", "IC1"},
	// One output high and one low, joined, or with 10 kΩ between them, by which less than 1 mA flows.
	{"chip-outputs-fight", []string{source("3 V"), outputs("o", "o")}, []string{source("3 V"), outputs("o", "q"), resistor("R1", "o", "q", "10k")}, mode("On", `"IC1.2": "high", "IC1.4": "low"`), "IC1"},
	{"chip-outputs-fight", []string{source("3 V"), outputs("o", "o")}, []string{source("3 V"), outputs("o", "q"), resistor("R1", "o", "q", "10k")}, mode("On", `"IC1.2": "low", "IC1.4": "high"`), "IC1"},
	// 70 Ω in the chip beside the few of the LED, or 220 Ω besides.
	{"led-on-chip-pin", []string{source("3 V"), chip("o", "p"), two("D1", "led", "o", "GND", `"value": "red"`)},
		[]string{source("3 V"), chip("o", "p"), resistor("R1", "o", "q", "220"), two("D1", "led", "q", "GND", `"value": "red"`)}, mode("On", `"IC1.2": "high"`), "D1 IC1"},
	{"led-on-chip-pin", []string{source("3 V"), chip("o", "p"), two("D1", "led", "p", "o", `"value": "red"`)},
		[]string{source("3 V"), chip("o", "p"), resistor("R1", "p", "q", "220"), two("D1", "led", "q", "o", `"value": "red"`)}, mode("On", `"IC1.2": "low"`), "D1 IC1"},
	{"chip-over-voltage", []string{source("12 V"), chip("o", "p") + `, "value": "PMS150C"`}, []string{source("12 V"), chip("o", "p") + `, "value": "LM358"`}, "", "IC1"},
	// 1.8 V is where a small microcontroller stops.
	{"chip-below-brown-out", []string{source("1.7 V"), chip("o", "p")}, []string{source("1.9 V"), chip("o", "p")}, "", "IC1"},
	{"chip-below-brown-out", []string{source("2.1 V"), chip("o", "p") + `, "params": {"brown_out_voltage": 2.7}`}, []string{source("0 V"), chip("o", "p") + `, "params": {"brown_out_voltage": 2.7}`}, "", "IC1"},
	{"chip-reversed", []string{two("V1", "supply", "GND", "p", `"value": "0.4 V"`), chip("o", "p")}, []string{two("V1", "supply", "GND", "p", `"value": "0.2 V"`), chip("o", "p")}, "", "IC1"},
	// An output that is off follows what pulls it: 0.4 V above 3 V, or 0.2 V.
	{"chip-pin-beyond-supply", []string{source("3 V"), two("V2", "supply", "q", "GND", `"value": "3.4 V"`), chip("o", "p"), resistor("R1", "q", "o", "1k")},
		[]string{source("3 V"), two("V2", "supply", "q", "GND", `"value": "3.2 V"`), chip("o", "p"), resistor("R1", "q", "o", "1k")}, "", "IC1"},
	{"chip-pin-beyond-supply", []string{source("3 V"), two("V2", "supply", "GND", "q", `"value": "0.4 V"`), chip("o", "p"), resistor("R1", "q", "o", "1k")},
		[]string{source("3 V"), two("V2", "supply", "GND", "q", `"value": "0.2 V"`), chip("o", "p"), resistor("R1", "q", "o", "1k")}, "", "IC1"},
	{"chip-supply-resistor", []string{source("3 V"), resistor("R1", "p", "q", "47"), chip("o", "q")}, []string{source("3 V"), chip("o", "p")}, "", "IC1 R1"},

	{"chip-unnamed", []string{source("3 V"), chip("o", "p")}, []string{source("3 V"), chip("o", "p") + `, "value": "PMS150C"`}, "", "IC1"},

	{"off-series", []string{source("3 V"), resistor("R1", "p", "GND", "505")}, []string{source("3 V"), resistor("R1", "p", "GND", "510")}, "", "R1"},
	{"off-series", []string{source("3 V"), two("C1", "capacitor", "p", "GND", `"value": "105 nF"`)}, []string{source("3 V"), two("C1", "capacitor", "p", "GND", `"value": "110 nF"`)}, "", "C1"},
	{"off-series", []string{source("3 V"), two("L1", "inductor", "p", "q", `"value": "11.5 µH"`), resistor("R1", "q", "GND", "1k")},
		[]string{source("3 V"), two("L1", "inductor", "p", "q", `"value": "12 µH"`), resistor("R1", "q", "GND", "1k")}, "", "L1"},
	{"guess-matters", []string{source("5 V"), two("R1", "resistor", "p", "q", `"value": "100", "doubt": "guessed"`), two("D1", "led", "q", "GND", "")},
		[]string{source("5 V"), two("R1", "resistor", "p", "q", `"value": "100", "doubt": "read"`), two("D1", "led", "q", "GND", "")}, "", "D1 R1"},
	{"marking-contradicts", []string{source("3 V"), two("R1", "resistor", "p", "GND", `"value": "100", "marking": "102"`)},
		[]string{source("3 V"), two("R1", "resistor", "p", "GND", `"value": "1k", "marking": "102"`)}, "", "R1"},
	// 5C is the BC807-40; ATtiny13A have their supply at 8 and their ground at 4.
	{"marking-contradicts", []string{source("3 V"), transistor("pnp", "GND", "p", "p") + `, "value": "BC807-25", "marking": "5C"`},
		[]string{source("3 V"), transistor("pnp", "GND", "p", "p") + `, "value": "BC807-25", "marking": "5B"`}, "", "Q1"},
	{"marking-contradicts", []string{source("3 V"), fed("1", "8")}, []string{source("3 V"), fed("8", "4")}, "", "IC1"},
	// 0.5 Ω is made for measuring currents, 0.53 Ω is not.
	{"off-series", []string{source("0.1 V"), resistor("R1", "p", "GND", "0.53")}, []string{source("0.1 V"), resistor("R1", "p", "GND", "0.5")}, "", "R1"},
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
	// Six in a row at 20 mA give as much light as six side by side, four less than what is asked about.
	{"mind-your-eyes", inRow(6), inRow(4), "", "D1 D2 D3 D4 D5 D6"},
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
	for _, r := range rules() {
		if !tested[r.id] {
			t.Errorf("%s has no circuit that raises it", r.id)
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

// The pair of pins is looked up among the families that have as many outputs,
// and "none" is an answer.
func TestFamiliesOfAnUnnamedChip(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		supply, ground string
		outputs        int
		says, not      string
	}{
		{"8", "4", 0, "two operational amplifiers", "none"},
		{"8", "4", 4, "ATtiny13", "operational amplifier"}, // which have two outputs at most
		{"1", "8", 0, "PIC12F508", "none"},
		{"1", "8", 5, "PIC12F508", "none"},
		{"1", "4", 0, "DS1302", "LP2951"}, // whose input is pin 8
		{"1", "4", 3, "no family in the catalogue fits that", "DS1302"},
		{"3", "6", 0, "no family in the catalogue fits that", "so have"},
	} {
		pins := fmt.Sprintf(`{"number": %q, "role": "supply"}, {"number": %q, "role": "ground"}`, tt.supply, tt.ground)
		for n := range tt.outputs {
			pins += fmt.Sprintf(`, {"number": "%c", "role": "output"}`, 'A'+n)
		}
		d := decode(t, []string{source("3 V"), fmt.Sprintf(`"ref": "IC1", "kind": "chip", "pins": [%s], "tags": {%q: "p", %q: "GND"}`, pins, tt.supply, tt.ground)}, "")
		f, _ := finding(t, d, "chip-unnamed")
		switch {
		case f == nil || !strings.Contains(f.Text, tt.says) || strings.Contains(f.Text, tt.not):
			t.Errorf("%+v: %v", tt, f)
		case strings.Contains(tt.says, "no family"):
		case !strings.Contains(f.Source, "from memory"):
			t.Errorf("%+v does not say where its pins are from: %s", tt, f.Source)
		}
	}
}

// Where the case is known the families in others are not listed: 5 and 2 are
// the pins of a small amplifier in five leads and of a sensor in six.
func TestFamiliesInACase(t *testing.T) {
	t.Parallel()
	for leads, tt := range map[int][2]string{5: {"LMV321", "TTP223"}, 6: {"TTP223", "LMV321"}, 8: {"no family in the catalogue fits that", "TTP223"}} {
		d := decode(t, []string{source("3 V"), fmt.Sprintf(`"ref": "IC1", "kind": "chip", "params": {"package_pins": %d},
			"pins": [{"number": "5", "role": "supply"}, {"number": "2", "role": "ground"}], "tags": {"5": "p", "2": "GND"}`, leads)}, "")
		f, _ := finding(t, d, "chip-unnamed")
		if f == nil || !strings.Contains(f.Text, tt[0]) || strings.Contains(f.Text, tt[1]) || !strings.Contains(f.Text, fmt.Sprintf("%d leads", leads)) {
			t.Errorf("%d leads: %v", leads, f)
		}
	}
}

// Where its drive cannot turn a transistor off, that is all that is said of its
// drive.
func TestStuckOnIsSaidOnce(t *testing.T) {
	t.Parallel()
	for _, volts := range []string{"3 V", "3.5 V", "3.8 V"} {
		d := decode(t, []string{source("4.5 V"), two("V2", "supply", "q", "GND", fmt.Sprintf(`"value": %q`, volts)), chip("o", "q"),
			transistor("pnp", "c", "b", "p"), resistor("R1", "c", "GND", "180"), resistor("R2", "o", "b", "1k")}, mode("Off", `"IC1.2": "high"`))
		if f, _ := finding(t, d, "cannot-turn-off"); f == nil {
			t.Errorf("%s: does not stay on", volts)
		}
		for _, rule := range []string{"switch-not-fully-on", "switch-marginal", "switch-driven-hard"} {
			if f, _ := finding(t, d, rule); f != nil {
				t.Errorf("%s: %s", volts, f.Text)
			}
		}
	}
}

// A filter of 100 Ω and 100 nF, 10 µs, lets pass how the cells sag for as long
// as a load is on; one of 100 µF, 10 ms, does not at once.
func TestPurposeOfSupplyFilter(t *testing.T) {
	t.Parallel()
	for value, says := range map[string]string{"100 nF": "10 µs, likely against the short spikes", "100 µF": "10 ms, likely so that a short sag"} {
		d := decode(t, []string{cells("3 × LR6"), resistor("R1", "p", "q", "100"), chip("o", "q"), two("C1", "capacitor", "q", "GND", fmt.Sprintf(`"value": %q`, value))}, "")
		if f, _ := finding(t, d, "chip-supply-resistor"); f == nil || !strings.Contains(f.Text, says) {
			t.Errorf("%s: %v, want %q", value, f, says)
		}
	}
}

// A finding tells in which modes it holds, with the figures of each: 180 Ω give
// off 139 mW at 5 V and 12.3 W at 47 V, and next to nothing behind an open switch.
func TestShowsInModes(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), two("V2", "supply", "r", "GND", `"value": "47 V"`), two("S1", "switch", "p", "q", ""), two("S2", "switch", "r", "q", ""),
		resistor("R1", "q", "GND", "180"), resistor("R2", "p", "GND", "505")},
		strings.Join([]string{mode("Off", `"S1": "open"`), mode("On", `"S1": "closed"`), mode("High", `"S1": "open", "S2": "closed"`)}, ", "))
	f, r := finding(t, d, "resistor-over-power")
	if f == nil || f.Mode != "High" || !slices.Equal(f.Modes(), []string{"On", "High"}) {
		t.Fatalf("%+v, want it in On and High and most in High; faults %v", f, r.Faults)
	}
	on, holds := f.In("On")
	if high, _ := f.In("High"); !holds || !strings.Contains(on, "139 mW") || high != f.Text || !strings.Contains(high, "12.3 W") {
		t.Errorf("says %q in On and %q in High", on, high)
	}
	if text, holds := f.In("Off"); holds {
		t.Errorf("holds in Off: %s", text)
	}
	// 5 V on 47 Ω give off 532 mW whatever the switches do.
	d.Parts = append(d.Parts, &model.Part{Ref: "R3", Kind: "resistor", Value: "47", Tags: map[string]string{"1": "p", "2": "GND"}})
	if _, r := finding(t, d, "resistor-over-power"); !slices.ContainsFunc(r.Findings, func(f Finding) bool {
		return slices.Equal(f.Parts, []string{"R3"}) && f.Mode == "" && f.Modes() == nil && strings.Contains(f.Text, "532 mW")
	}) {
		t.Errorf("%+v, want R3 in any mode", r.Findings)
	}
	if f, _ := finding(t, d, "off-series"); f == nil || f.Modes() != nil {
		t.Errorf("%+v, want it in any mode", f)
	} else if text, holds := f.In("Off"); !holds || text != f.Text {
		t.Errorf("does not hold in Off: %q", text)
	}
}

// How long a battery stands while nothing is lit is what a discharge comes to: the
// 2 mA of a chip behind 1 kΩ stop it long before the charge is gone.
func TestDrainedAsFollowed(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{cells("3 × LR6"), resistor("R1", "p", "q", "1k"), chip("o", "q") + `, "params": {"supply_current": 0.002}`, two("D1", "led", "o", "GND", "")}, "")
	f, _ := finding(t, d, "drained-while-off")
	run, err := drain.Run(context.Background(), d, drain.Options{})
	if err != nil || f == nil {
		t.Fatalf("%v, %v", f, err)
	}
	hours, end := run.Lasts()
	if years := figureOf(f, "years"); end != drain.ChipStops || math.Abs(years*8766/hours-1) > 0.005 || !strings.HasSuffix(f.Text, ", and a chip stops.") {
		t.Errorf("%s, by %g years; %g hours until %s", f.Text, years, hours, end)
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

// 5 V on 220 Ω give off 114 mW, 91 % of 125 mW, and on 1 kΩ 25 mW, 20 %; they are
// 50 % of what a capacitor for 10 V stands.
func TestMostStrained(t *testing.T) {
	t.Parallel()
	d := decode(t, []string{source("5 V"), resistor("R1", "p", "GND", "1k"), resistor("R2", "p", "GND", "220"), two("C1", "capacitor", "p", "GND", `"value": "10 µF 10 V"`)}, "")
	r, err := analysis.Solve(context.Background(), d, analysis.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := MostStrained(context.Background(), d, r); got.Part != "R2" || got.Of != "power" || math.Abs(got.Share-0.909) > 1e-3 {
		t.Errorf("%+v", got)
	}
	d.Parts = slices.DeleteFunc(d.Parts, func(p *model.Part) bool { return p.Ref == "R2" })
	if r, err = analysis.Solve(context.Background(), d, analysis.Options{}); err != nil {
		t.Fatal(err)
	}
	if got := MostStrained(context.Background(), d, r); got.Part != "C1" || got.Of != "voltage" || math.Abs(got.Share-0.5) > 1e-9 {
		t.Errorf("%+v", got)
	}
}

// LEDs in series are told of with the current that each of them has, which no
// source gives twice.
func TestEyesSayTheCurrentOfEach(t *testing.T) {
	t.Parallel()
	f, _ := finding(t, decode(t, inRow(6), ""), "mind-your-eyes")
	if f == nil || !strings.HasPrefix(f.Text, "6 LEDs (D1, D2, D3, D4, D5 and D6) shine at 20 mA each:") || figureOf(f, "each") > 0.0201 {
		t.Errorf("%v", f)
	}
}

// A resistor that stands in the way and does not matter is not said to be missing.
func TestResistorTooSmall(t *testing.T) {
	t.Parallel()
	for _, ohms := range []string{"0.33", "0.5", "1"} {
		d := decode(t, []string{cells("3 × LR6"), resistor("R1", "p", "q", ohms), two("D1", "led", "q", "GND", `"value": "white"`)}, "")
		if f, _ := finding(t, d, "led-without-resistor"); f == nil || !strings.HasSuffix(f.Text, "R1 is too small to matter.") {
			t.Errorf("%s: %v", ohms, f)
		}
	}
	if f, _ := finding(t, decode(t, []string{cells("3 × LR6"), two("D1", "led", "p", "GND", `"value": "white"`)}, ""), "led-without-resistor"); f == nil || !strings.HasSuffix(f.Text, "no resistor stands in their way.") {
		t.Errorf("%v", f)
	}
}
