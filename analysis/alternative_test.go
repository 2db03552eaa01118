package analysis

import (
	"context"
	"fmt"
	"math"
	"testing"

	"copperglass/model"
)

func npn(ref, base, collector, emitter string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "npn", "tags": {"B": %q, "C": %q, "E": %q}`, ref, base, collector, emitter)
}

func pnp(ref, base, collector, emitter string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "pnp", "tags": {"B": %q, "C": %q, "E": %q}`, ref, base, collector, emitter)
}

func nmos(ref, gate, drain, source string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "nmos", "tags": {"G": %q, "D": %q, "S": %q}`, ref, gate, drain, source)
}

func alternatives(t *testing.T, d *model.Diagram, r *Result) []*Result {
	t.Helper()
	found, err := Alternatives(context.Background(), d, r)
	if err != nil {
		t.Fatal(err)
	}
	for _, other := range found {
		checkPlain(t, d, other)
		checkBalance(t, d, other)
	}
	return found
}

// Two transistors that hold each other down: one or the other is on.
func flipFlop() []string {
	return []string{supply(5), resistor("R1", 1000, "v", "c1"), resistor("R2", 1000, "v", "c2"), resistor("R3", 10000, "c1", "b2"),
		resistor("R4", 10000, "c2", "b1"), npn("Q1", "b1", "c1", "GND"), npn("Q2", "b2", "c2", "GND")}
}

// An npn and a pnp that hold each other on, once they are: the thyristor's two
// transistors.
func thyristor() []string {
	return []string{supply(5), resistor("R1", 470, "v", "a"), resistor("R2", 10e3, "g", "GND"), resistor("R3", 10e3, "a", "p"),
		pnp("Q1", "p", "g", "a"), npn("Q2", "g", "p", "GND")}
}

// O. H. Schmitt's trigger (A thermionic trigger, Journal of Scientific
// Instruments 15, 1938, here with transistors) at an input between its two
// thresholds.
func trigger(input float64) []string {
	return []string{supply(9), fmt.Sprintf(`"ref": "G2", "kind": "supply", "params": {"voltage": %g}, "tags": {"+": "in", "-": "GND"}`, input),
		resistor("R1", 4700, "v", "c1"), resistor("R2", 1000, "v", "c2"), resistor("R3", 10e3, "c1", "b2"), resistor("R4", 10e3, "b2", "GND"),
		resistor("R5", 470, "e", "GND"), resistor("R6", 1000, "in", "b1"), npn("Q1", "b1", "c1", "e"), npn("Q2", "b2", "c2", "e")}
}

// Where there are two stable states both are found from either, each is said
// to be another, and a solution that starts at one stays there.
func TestAlternatives(t *testing.T) {
	for _, tt := range []struct {
		name  string
		parts []string
	}{{"flip-flop", flipFlop()}, {"thyristor", thyristor()}, {"trigger", trigger(2.2)}} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(tt.parts...))
			first := alternatives(t, d, solve(t, d, Options{}))
			if len(first) == 0 {
				t.Fatal("no other operating point")
			}
			one := first[0]
			back := alternatives(t, d, one)
			if len(back) != 1 {
				t.Fatalf("%d others from the other side", len(back))
			}
			other := back[0]
			if one.Parts["Q1"].State == other.Parts["Q1"].State && one.Parts["Q2"].State == other.Parts["Q2"].State {
				t.Errorf("both have Q1 %s and Q2 %s", one.Parts["Q1"].State, one.Parts["Q2"].State)
			}
			if f := other.Faults[0]; f.Stops || len(f.Parts) == 0 {
				t.Errorf("said: %+v", other.Faults)
			}
			for _, side := range []*Result{one, other} {
				again := solve(t, d, Options{Start: side})
				for n, v := range side.Volts {
					near(t, side.Nets.Nets[n].Name, again.Volts[n], v, 1e-9+1e-9*math.Abs(v))
				}
			}
		})
	}
}

func TestNoAlternatives(t *testing.T) {
	for name, parts := range map[string][]string{
		"trigger below": trigger(0.5), "trigger above": trigger(6),
		"one transistor": {supply(5), resistor("R1", 1e4, "v", "b"), resistor("R2", 1e3, "v", "c"), npn("Q1", "b", "c", "GND")},
		"a follower":     {supply(5), resistor("R1", 1e4, "v", "b"), resistor("R2", 1e3, "f", "GND"), npn("Q1", "b", "v", "e"), npn("Q2", "e", "v", "f")},
	} {
		d := decode(t, drawing(parts...))
		if found := alternatives(t, d, solve(t, d, Options{})); len(found) > 0 {
			t.Errorf("%s: %q", name, found[0].Faults[0].Text)
		}
	}
}
