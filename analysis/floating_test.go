package analysis

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// What nothing determines is shown as floating and named; the rest of the
// circuit is solved.
func TestFloating(t *testing.T) {
	led := `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}`
	sound := []string{supply(5), resistor("R1", 330, "v", "a"), led}
	tests := []struct {
		name  string
		parts []string
		nets  string
		said  string
	}{
		{"an island behind capacitors", []string{`"ref": "C1", "kind": "capacitor", "value": "100n", "tags": {"1": "v", "2": "x"}`, resistor("R2", 1000, "x", "y"),
			`"ref": "C2", "kind": "capacitor", "value": "100n", "tags": {"1": "y", "2": "GND"}`}, "x y", "nets x and y float"},
		{"the far side of an open switch", []string{`"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "x"}`,
			`"ref": "D2", "kind": "led", "value": "white", "tags": {"A": "x", "K": "y"}`, resistor("R2", 1000, "x", "y")}, "x y", "nets x and y float while S1 is open"},
		{"an unused gate", []string{`"ref": "Q1", "kind": "nmos", "tags": {"D": "v", "S": "GND"}`}, "Q1.G", "Q1's gate (G) goes nowhere"},
		{"an unused base", []string{`"ref": "Q1", "kind": "npn", "tags": {"C": "v", "E": "GND"}`}, "Q1.B", "Q1's base (B) goes nowhere"},
		{"an unused collector", []string{`"ref": "Q1", "kind": "pnp", "tags": {"B": "b", "E": "v"}`, resistor("R2", 1e4, "b", "GND")}, "Q1.C", "Q1's collector (C) goes nowhere"},
		{"a base behind an open button", []string{`"ref": "S1", "kind": "button", "tags": {"1": "v", "2": "x"}`, npn("Q1", "x", "v", "GND")}, "x",
			"net x floats while S1 is open: only the leakage of Q1 leads from there to ground"},
		{"a load behind an open switch", []string{`"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "x"}`, resistor("R2", 1000, "x", "c"), npn("Q1", "GND", "c", "GND")}, "x c",
			"nets c and x float while S1 is open: only the leakage of Q1 leads from there to ground"},
		{"a battery of an island of its own", []string{`"ref": "BT2", "kind": "battery", "value": "9 V", "tags": {"+": "x", "-": "y"}`, resistor("R2", 1000, "x", "y")}, "x y", "nets x and y float"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(append(append([]string{}, sound...), tt.parts...)...))
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
			for _, name := range strings.Fields(tt.nets) {
				if v := r.Volts[r.Nets.Find(name)]; !math.IsNaN(v) {
					t.Errorf("net %s stands at %g V", name, v)
				}
			}
			if said := strings.Join(texts(r.Faults), "\n"); !strings.Contains(said, tt.said) {
				t.Errorf("said: %s", said)
			}
			if amps := figure(t, r, d, "D1.A.amps"); amps < 5e-3 || amps > 15e-3 {
				t.Errorf("the LED carries %g A", amps)
			}
		})
	}
}

// pmos is a p-channel transistor joined by tags.
func pmos(ref, gate, drain, source string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "pmos", "tags": {"G": %q, "D": %q, "S": %q}`, ref, gate, drain, source)
}

// A transistor whose gate nothing determines is taken as off, said to be, and
// has no state; with it are gates that hang on it.
func TestFloatingGates(t *testing.T) {
	load := []string{resistor("R1", 330, "l", "a"), `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}`}
	low := []string{resistor("R1", 330, "v", "a"), `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "l"}`}
	motor := resistor("R9", 10, "l", "r")
	button := `"ref": "S1", "kind": "button", "tags": {"1": "GND", "2": "g"}`
	capacitor := `"ref": "C1", "kind": "capacitor", "value": "100n", "tags": {"1": "v", "2": "g"}`
	chip := `"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "output"}, {"number": "2", "role": "supply"}, {"number": "3", "role": "ground"}], "params": {"1": "off"}, "tags": {"1": "g", "2": "v", "3": "GND"}`
	for _, tt := range []struct {
		name   string
		parts  []string
		floats string
		nets   string
	}{
		{"a p gate behind a button", append([]string{button, pmos("Q1", "g", "l", "v")}, load...), "Q1", "g"},
		{"an n gate behind a button", append([]string{`"ref": "S1", "kind": "button", "tags": {"1": "v", "2": "g"}`, nmos("Q1", "g", "l", "GND")}, low...), "Q1", "g"},
		{"behind a capacitor", append([]string{capacitor, pmos("Q1", "g", "l", "v")}, load...), "Q1", "g"},
		{"at an output that is off", append([]string{chip, pmos("Q1", "g", "l", "v")}, load...), "Q1", "g"},
		{"a bridge", []string{motor, pmos("Q1", "g", "l", "v"), nmos("Q2", "g", "l", "GND"), pmos("Q3", "h", "r", "v"), nmos("Q4", "h", "r", "GND")}, "Q1 Q2 Q3 Q4", "g h l r"},
		{"one after the other", append([]string{pmos("Q1", "g", "m", "v"), nmos("Q2", "g", "m", "GND"), pmos("Q3", "m", "l", "v")}, load...), "Q1 Q2 Q3", "g m"},
		{"at a collector without a resistor, off", append([]string{npn("Q2", "GND", "g", "GND"), pmos("Q1", "g", "l", "v")}, load...), "Q1", "g"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(append([]string{supply(5)}, tt.parts...)...))
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
			said := strings.Join(texts(r.Faults), "\n")
			for _, ref := range strings.Fields(tt.floats) {
				if q := r.Parts[ref]; q.State != "" || math.Abs(q.Pin("D").Amps) > 1e-9 {
					t.Errorf("%s is %q and carries %g A", ref, q.State, q.Pin("D").Amps)
				}
				if !strings.Contains(said, ref+"'s gate floats; it is taken as off here") {
					t.Errorf("of %s nothing is said: %s", ref, said)
				}
			}
			for _, name := range strings.Fields(tt.nets) {
				if v := r.Volts[r.Nets.Find(name)]; !math.IsNaN(v) {
					t.Errorf("net %s stands at %g V", name, v)
				}
			}
		})
	}
}

// Gates that something determines, be it by megohms, by a transistor that
// conducts, or against a source that floats as they do, are none of these.
func TestGatesThatAreDetermined(t *testing.T) {
	load := []string{resistor("R1", 330, "l", "a"), `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}`}
	for _, tt := range []struct {
		name  string
		parts []string
		want  State
	}{
		{"pulled down", append([]string{resistor("R2", 1e7, "g", "GND"), pmos("Q1", "g", "l", "v")}, load...), Saturated},
		{"pulled up", append([]string{resistor("R2", 1e7, "g", "v"), pmos("Q1", "g", "l", "v")}, load...), CutOff},
		{"at a collector without a resistor, on", append([]string{resistor("R2", 1e4, "v", "b"), npn("Q2", "b", "g", "GND"), pmos("Q1", "g", "l", "v")}, load...), Saturated},
		{"an inverter behind one", append([]string{pmos("Q2", "GND", "m", "v"), nmos("Q3", "GND", "m", "GND"), pmos("Q1", "m", "l", "v")}, load...), CutOff},
		{"tied to its source, both behind a switch", append([]string{`"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "s"}`, resistor("R2", 1e5, "g", "s"), pmos("Q1", "g", "l", "s")}, load...), CutOff},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(append([]string{supply(5)}, tt.parts...)...))
			r := solve(t, d, Options{})
			if got := r.Parts["Q1"].State; got != tt.want {
				t.Errorf("Q1 is %q, want %q", got, tt.want)
			}
			if said := strings.Join(texts(r.Faults), "\n"); strings.Contains(said, "gate floats") {
				t.Errorf("said: %s", said)
			}
		})
	}
}

// Behind a gate that floats every stage of a chain floats, and a longer chain
// takes no more rounds to find that out.
func TestChainBehindFloatingGate(t *testing.T) {
	t.Parallel()
	iterations := map[int]int{}
	for _, stages := range []int{20, 80} {
		parts := []string{supply(5)}
		from := "open"
		for i := range stages {
			to := fmt.Sprint("n", i)
			parts = append(parts, complementaryStage(i, from, to)...)
			from = to
		}
		r := solve(t, decode(t, drawing(parts...)), Options{})
		for i := range stages {
			if v := r.Volts[r.Nets.Find(fmt.Sprint("n", i))]; !math.IsNaN(v) {
				t.Errorf("stage %d of %d stands at %g V", i, stages, v)
			}
		}
		iterations[stages] = r.Iterations
	}
	if iterations[80] > 2*iterations[20] {
		t.Errorf("iterations by stages: %v", iterations)
	}
}

// Of a transistor with pins left open, bare or by way of parts that lead nowhere,
// the open nets float, and no others.
func TestOpenPins(t *testing.T) {
	stub := func(net string) string { return resistor("R9", 1000, net, "x") }
	up, down := resistor("R2", 1e4, "v", "b"), resistor("R2", 1e4, "b", "GND")
	load := resistor("R3", 1000, "v", "c")
	for _, tt := range []struct {
		name  string
		parts []string
		nets  string
		said  string
	}{
		{"two bases", []string{npn("Q1", "b", "c", "GND"), npn("Q2", "b", "v", "GND"), load}, "b", "net b floats: only the leakage of Q1 and Q2 leads"},
		{"three bases, one pnp", []string{npn("Q1", "b", "c", "GND"), npn("Q2", "b", "v", "GND"), pnp("Q3", "b", "GND", "v"), load}, "", ""},
		{"two bases and a stub", []string{npn("Q1", "b", "c", "GND"), npn("Q2", "b", "v", "GND"), load, stub("b")}, "b x", "nets b and x float: only the leakage of Q1 and Q2 leads"},
		{"two bases with a way to ground", []string{npn("Q1", "b", "c", "GND"), npn("Q2", "b", "v", "GND"), load, resistor("R9", 1e6, "b", "GND")}, "", ""},
		{"a base with a stub", []string{npn("Q1", "b", "c", "GND"), load, stub("b")}, "b x", "nets b and x float: nothing but Q1 leads"},
		{"a collector with a stub, off", []string{npn("Q1", "b", "c", "GND"), down, stub("c")}, "c x", "nets c and x float: nothing but Q1 leads"},
		{"a collector with a stub, on", []string{npn("Q1", "b", "c", "GND"), up, stub("c")}, "c x", "nets c and x float: nothing but Q1 leads"},
		{"a collector with a long stub", []string{npn("Q1", "b", "c", "GND"), up, stub("c"), `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "y", "K": "x"}`}, "c x y", "nets c, x and y float: nothing but Q1 leads"},
		{"a collector with a stub and a load", []string{npn("Q1", "b", "c", "GND"), up, load, stub("c")}, "", ""},
		{"a pnp collector with a stub, on", []string{pnp("Q1", "b", "c", "v"), down, stub("c")}, "c x", "nets c and x float: nothing but Q1 leads"},
		{"an emitter with a stub", []string{npn("Q1", "b", "v", "e"), up, stub("e")}, "e x", "nets e and x float: nothing but Q1 leads"},
		{"a bare collector, on", []string{`"ref": "Q1", "kind": "npn", "tags": {"B": "b", "E": "GND"}`, up}, "Q1.C", "Q1's collector (C) goes nowhere"},
		{"a bare emitter", []string{`"ref": "Q1", "kind": "npn", "tags": {"B": "b", "C": "v"}`, up}, "Q1.E", "Q1's emitter (E) goes nowhere"},
		{"a collector that switches a gate", []string{npn("Q1", "b", "c", "GND"), up, pmos("Q2", "c", "d", "v"), resistor("R4", 1000, "d", "GND")}, "", ""},
		{"a Darlington pair, off", []string{npn("Q1", "b", "c", "m"), npn("Q2", "m", "c", "GND"), down, load}, "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(append([]string{supply(5)}, tt.parts...)...))
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
			var open []string
			for n, v := range r.Volts {
				if name := r.Nets.Nets[n].Name; math.IsNaN(v) && (!strings.Contains(name, ".") || strings.Contains(tt.nets, name)) {
					open = append(open, name)
				}
			}
			slices.Sort(open)
			if got := strings.Join(open, " "); got != tt.nets {
				t.Errorf("%q float, want %q", got, tt.nets)
			}
			if said := strings.Join(texts(r.Faults), "\n"); !strings.Contains(said, tt.said) || tt.said == "" && strings.Contains(said, "float") {
				t.Errorf("said: %s", said)
			}
		})
	}
}
