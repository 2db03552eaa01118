package analysis

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"copperglass/assets"
	"copperglass/model"
)

func bipolarPart(ref, kind, c, b, e string) string {
	return fmt.Sprintf(`"ref": %q, "kind": %q, "tags": {"C": %q, "B": %q, "E": %q}`, ref, kind, c, b, e)
}

func capacitor(ref, value, a, b string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "capacitor", "value": %q, "tags": {"1": %q, "2": %q}`, ref, value, a, b)
}

func zenerTo(ref, value, k string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "zener", "value": %q, "tags": {"A": "GND", "K": %q}`, ref, value, k)
}

// complementaryRing returns inverters of two field-effect transistors each, of
// which each drives the next and the last the first.
func complementaryRing(n int) []string {
	parts := []string{supply(5)}
	for i := range n {
		in, out := fmt.Sprint("a", i), fmt.Sprint("a", (i+1)%n)
		parts = append(parts,
			fmt.Sprintf(`"ref": "QN%d", "kind": "nmos", "tags": {"G": %q, "D": %q, "S": "GND"}`, i, in, out),
			fmt.Sprintf(`"ref": "QP%d", "kind": "pmos", "tags": {"G": %q, "D": %q, "S": "v"}`, i, in, out))
	}
	return parts
}

// astable is two transistors that switch each other by capacitors.
func astable(base float64) []string {
	return []string{
		supply(9), resistor("R1", 1000, "v", "c1"), resistor("R2", 1000, "v", "c2"), resistor("R3", base, "v", "b1"), resistor("R4", base, "v", "b2"),
		bare("Q1", "b1", "c1"), bare("Q2", "b2", "c2"), capacitor("C1", "10u", "c1", "b2"), capacitor("C2", "10u", "c2", "b1"),
	}
}

// regulator is a pass transistor with those before it, held by one that compares
// a share of the output with a Zener diode.
func regulator(pass ...string) []string {
	return append([]string{
		supply(12), zenerTo("D1", "5.1 V", "z"), resistor("R1", 2200, "v", "c"), resistor("R2", 1000, "out", "z"), resistor("R3", 4700, "out", "s"),
		resistor("R4", 10e3, "s", "GND"), resistor("R5", 100, "out", "GND"), bipolarPart("Q9", "npn", "c", "s", "z"),
	}, pass...)
}

// What cannot rest is said not to, by its transistors alone or with capacitors,
// few or many; what can rest is shown without a word, whether it amplifies,
// regulates, mirrors, holds or triggers.
func TestWhatSwings(t *testing.T) {
	t.Parallel()
	darlington := []string{bipolarPart("Q1", "npn", "v", "d", "out"), bipolarPart("Q2", "npn", "v", "c", "d")}
	for _, tt := range []struct {
		name   string
		parts  []string
		swings bool
	}{
		{"three complementary inverters", complementaryRing(3), true},
		{"five", complementaryRing(5), true},
		{"forty-five", complementaryRing(45), true},
		{"three bipolar ones", inverterRing(3), true},
		{"two transistors across capacitors, at the edge of saturation", astable(100e3), true},
		{"the same well saturated", astable(10e3), true},
		{"the same in the linear range", astable(470e3), true},
		{"the same saturated so hard that neither amplifies", astable(2e3), false},
		{"two complementary inverters", complementaryRing(2), false},
		{"six", complementaryRing(6), false},
		{"a latch", append([]string{supply(5)}, crossed("x", 1000, 10e3)...), false},
		{"a latch with capacitors that speed it up", append([]string{supply(5), capacitor("C1", "100p", "xc1", "xb2"), capacitor("C2", "100p", "xc2", "xb1")}, crossed("x", 1000, 10e3)...), false},
		{"a trigger", []string{supply(9), resistor("R8", 10e3, "v", "in"), resistor("R9", 10e3, "in", "GND"), resistor("R1", 10e3, "v", "c1"), resistor("R2", 10e3, "c1", "b2"),
			resistor("R3", 10e3, "b2", "GND"), resistor("R4", 2200, "v", "out"), resistor("R5", 1000, "e", "GND"), bipolarPart("Q1", "npn", "c1", "in", "e"), bipolarPart("Q2", "npn", "out", "b2", "e")}, false},
		{"a mirror of three", []string{supply(9), resistor("R1", 4700, "v", "i"), resistor("R2", 1000, "v", "o"),
			bipolarPart("Q1", "npn", "m", "m", "GND"), bipolarPart("Q2", "npn", "i", "m", "GND"), bipolarPart("Q3", "npn", "o", "i", "m")}, false},
		{"an LED's current held by two", []string{supply(9), `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "v", "K": "k"}`,
			resistor("R1", 10e3, "v", "b"), resistor("R2", 33, "e", "GND"), bipolarPart("Q1", "npn", "k", "b", "e"), bipolarPart("Q2", "npn", "b", "e", "GND")}, false},
		{"an amplifier of two with feedback", []string{supply(9), resistor("R1", 47e3, "v", "c1"), resistor("R2", 1000, "v", "c2"), resistor("R3", 470, "e2", "GND"),
			resistor("R4", 100e3, "e2", "b1"), resistor("R5", 10e3, "in", "GND"), bipolarPart("Q1", "npn", "c1", "b1", "GND"), bipolarPart("Q2", "npn", "c2", "c1", "e2"), capacitor("C1", "100n", "b1", "in")}, false},
		{"a follower of both polarities", []string{supply(9), resistor("R1", 10e3, "v", "b"), resistor("R2", 100, "out", "GND"), resistor("R3", 1000, "v", "c"),
			bipolarPart("Q1", "npn", "c", "b", "out"), bipolarPart("Q2", "pnp", "out", "c", "v")}, false},
		{"a difference amplifier that follows", []string{supply(9), resistor("R1", 10e3, "v", "m"), resistor("R2", 10e3, "m", "GND"), resistor("R3", 4700, "v", "c1"), resistor("R4", 4700, "e", "GND"), resistor("R5", 1000, "out", "GND"),
			bipolarPart("Q1", "npn", "c1", "m", "e"), bipolarPart("Q2", "npn", "v", "out", "e"), bipolarPart("Q3", "pnp", "out", "c1", "v")}, false},
		{"a regulator", regulator(bipolarPart("Q1", "npn", "v", "c", "out")), false},
		{"a regulator with two in a row", regulator(darlington...), false},
		{"the same with a capacitor", regulator(append(darlington, capacitor("C1", "100u", "out", "GND"))...), false},
	} {
		r := solve(t, decode(t, drawing(tt.parts...)), Options{})
		if got := slices.ContainsFunc(texts(r.Faults), func(s string) bool { return strings.Contains(s, "swings without end (oscillates)") }); got != tt.swings || len(r.Faults) > 0 != tt.swings {
			t.Errorf("%s: %q", tt.name, texts(r.Faults))
		}
	}
}

// No example swings, in whichever mode.
func TestExamplesRest(t *testing.T) {
	t.Parallel()
	for _, name := range assets.Examples() {
		text, err := assets.Example(name)
		if err != nil {
			t.Fatal(err)
		}
		d := decode(t, string(text))
		for _, m := range append([]*model.Mode{{}}, d.Modes...) {
			if r := solve(t, d, Options{Mode: m.Name}); r.swings || len(r.Faults) > 0 {
				t.Errorf("%s %s: %q", name, m.Name, texts(r.Faults))
			}
		}
	}
}

// The note comes and goes with the values: a load that lets an inverter amplify
// too little calms the ring.
func TestSwingIsFollowed(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(inverterRing(3)...))
	k := track(t, d, Options{})
	said := map[bool]int{}
	for _, ohms := range []float64{1000, 1100, 0.1, 0.2, 1000} {
		r := move(t, k, Move{"R0", "resistance", model.Number(ohms)})
		fresh := solve(t, d, Options{Set: model.Setting{"R0": {"resistance": model.Number(ohms)}}})
		if got, want := texts(r.Faults), texts(fresh.Faults); !slices.Equal(got, want) {
			t.Errorf("at %g Ω: %q, afresh %q", ohms, got, want)
		}
		said[r.swings]++
	}
	if said[true] != 3 || said[false] != 2 {
		t.Errorf("it swings %d times and rests %d times", said[true], said[false])
	}
}
