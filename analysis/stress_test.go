package analysis

import (
	"fmt"
	"math"
	"testing"
)

// Circuits that are hard on a solver; each is verified by the plain reading of
// its laws, and by what must hold of it.
func TestStress(t *testing.T) {
	diode := func(i int, a, k string) string {
		return fmt.Sprintf(`"ref": "D%d", "kind": "diode", "tags": {"A": %q, "K": %q}`, i, a, k)
	}
	tests := []struct {
		name  string
		parts []string
		check func(t *testing.T, amps func(name string) float64)
	}{
		{"a hundred diodes in a row", chain(100, "v", "GND", diode, supply(80)), func(t *testing.T, amps func(string) float64) {
			near(t, "the last", amps("D99.A.amps"), amps("D0.A.amps"), 1e-9*amps("D0.A.amps"))
		}},
		{"a hundred diodes in a row, reversed", chain(100, "GND", "v", diode, supply(80)), func(t *testing.T, amps func(string) float64) {
			near(t, "the last", amps("D99.A.amps"), amps("D0.A.amps"), 1e-7*math.Abs(amps("D0.A.amps")))
		}},
		{"a ladder of a hundred diodes", diodeLadder(100), func(t *testing.T, amps func(string) float64) {
			for i := 1; i < 100; i++ {
				if a, b := amps(fmt.Sprintf("D%d.A.amps", i-1)), amps(fmt.Sprintf("D%d.A.amps", i)); !(b > 0 && b < a) {
					t.Errorf("D%d carries %g A after %g A", i, b, a)
				}
			}
		}},
		{"six transistors that multiply their gains", darlington(6), func(t *testing.T, amps func(string) float64) {
			if amps("Q5.C.amps") < 1e-3 || amps("Q0.B.amps") > 1e-7 {
				t.Errorf("%g A from a base current of %g A", amps("Q5.C.amps"), amps("Q0.B.amps"))
			}
		}},
		{"mirrors on mirrors", mirrors(8), func(t *testing.T, amps func(string) float64) {
			near(t, "the last mirror", amps("RL.1.amps"), amps("RI.1.amps"), 0.35*amps("RI.1.amps"))
		}},
		{"a bridge of MOSFETs", bridge(5, 0), func(t *testing.T, amps func(string) float64) {
			if i := amps("M1.+.amps"); i < 0.1 {
				t.Errorf("the motor takes %g A", i)
			}
		}},
		{"the bridge the other way", bridge(0, 5), func(t *testing.T, amps func(string) float64) {
			if i := amps("M1.+.amps"); i > -0.1 {
				t.Errorf("the motor takes %g A", i)
			}
		}},
		{"both sides of the bridge half on", bridge(2.5, 2.5), func(t *testing.T, amps func(string) float64) {
			near(t, "the motor", amps("M1.+.amps"), 0, 1e-9)
		}},
		{"a ring of five inverters", ring(5), func(t *testing.T, amps func(string) float64) {
			near(t, "all alike", amps("Q0.C.amps"), amps("Q3.C.amps"), 1e-6*amps("Q3.C.amps"))
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(tt.parts...))
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
			tt.check(t, func(name string) float64 { return figure(t, r, d, name) })
		})
	}
}

// chain is n parts one behind the other.
func chain(n int, from, to string, part func(i int, a, b string) string, parts ...string) []string {
	at := from
	for i := range n {
		next := fmt.Sprint("n", i)
		if i == n-1 {
			next = to
		}
		parts = append(parts, part(i, at, next))
		at = next
	}
	return parts
}

func diodeLadder(n int) []string {
	parts := []string{supply(48)}
	from := "v"
	for i := range n {
		to := fmt.Sprint("n", i)
		parts = append(parts, resistor(fmt.Sprint("R", i), 10, from, to), plainDiode(fmt.Sprint("D", i), to, "GND", 1e-14))
		from = to
	}
	return parts
}

func darlington(n int) []string {
	parts := []string{supply(12), resistor("R1", 1e9, "v", "e-1"), resistor("R2", 100, "v", "c")}
	for i := range n {
		to := fmt.Sprint("e", i)
		if i == n-1 {
			to = "GND"
		}
		parts = append(parts, npn(fmt.Sprint("Q", i), fmt.Sprint("e", i-1), "c", to))
	}
	return parts
}

// mirrors passes a current on, from npn to pnp mirror and back.
func mirrors(n int) []string {
	parts := []string{supply(12), resistor("RI", 10e3, "v", "m0")}
	for i := range n {
		in, out := fmt.Sprint("m", i), fmt.Sprint("m", i+1)
		kind, common := npn, "GND"
		if i%2 == 1 {
			kind, common = pnp, "v"
		}
		parts = append(parts, kind(fmt.Sprint("QA", i), in, in, common), kind(fmt.Sprint("QB", i), in, out, common))
	}
	return append(parts, resistor("RL", 100, fmt.Sprint("m", n), "GND"))
}

func bridge(left, right float64) []string {
	gate := func(ref, net string, volts float64) string {
		return fmt.Sprintf(`"ref": %q, "kind": "supply", "params": {"voltage": %g, "resistance": 10}, "tags": {"+": %q, "-": "GND"}`, ref, volts, net)
	}
	pmos := func(ref, gate, drain string) string {
		return fmt.Sprintf(`"ref": %q, "kind": "pmos", "tags": {"G": %q, "D": %q, "S": "v"}`, ref, gate, drain)
	}
	return []string{supply(5), gate("G2", "gl", 5-left), gate("G3", "gr", 5-right),
		pmos("Q1", "gl", "a"), nmos("Q2", "gl", "a", "GND"), pmos("Q3", "gr", "b"), nmos("Q4", "gr", "b", "GND"),
		`"ref": "M1", "kind": "motor", "params": {"winding_resistance": 10}, "tags": {"+": "a", "-": "b"}`}
}

// ring is inverters in a ring: of an odd number there is one, unstable,
// operating point, with all alike.
func ring(n int) []string {
	parts := []string{supply(5)}
	for i := range n {
		in, out := fmt.Sprint("s", i), fmt.Sprint("s", (i+1)%n)
		parts = append(parts, resistor(fmt.Sprint("RC", i), 1000, "v", out), resistor(fmt.Sprint("RB", i), 10e3, in, fmt.Sprint("b", i)),
			npn(fmt.Sprint("Q", i), fmt.Sprint("b", i), out, "GND"))
	}
	return parts
}
