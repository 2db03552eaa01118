package analysis

import (
	"context"
	"fmt"
	"strings"
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

// states solves the drawing and checks all stable states that are found.
func states(t *testing.T, d *model.Diagram, o Options) []*Result {
	t.Helper()
	r, err := Solve(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	all := r.States()
	for i, one := range all {
		checkPlain(t, d, one)
		checkBalance(t, d, one)
		if one.Number != i+1 {
			t.Errorf("state %d is number %d", i+1, one.Number)
		}
	}
	return all
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

// Where there are two stable states both are found, in the same order whatever
// one begins with, and a solution that starts at one stays there while values
// move.
func TestTwoStates(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name  string
		parts []string
		want  string
	}{
		{"flip-flop", flipFlop(), "Q1 saturated, Q2 cut-off; Q1 cut-off, Q2 saturated"},
		{"thyristor", thyristor(), "Q1 saturated, Q2 saturated; Q1 cut-off, Q2 cut-off"},
		{"trigger", trigger(2.2), "Q1 saturated, Q2 cut-off; Q1 cut-off, Q2 saturated"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(tt.parts...))
			first := states(t, d, Options{})
			if got := inWords(first); got != tt.want {
				t.Fatalf("got %s", got)
			}
			for i, side := range first {
				from := solve(t, d, Options{Start: side, Survey: true})
				if got := inWords(from.States()); got != tt.want || from.Number != i+1 {
					t.Errorf("from %d: %s", i+1, got)
				}
				near, chosen := solve(t, d, Options{Start: side}), solve(t, d, Options{State: i + 1})
				moved := solve(t, d, Options{Start: side, Set: model.Setting{"R1": {"resistance": model.Number(1.02 * ohms(t, d, "R1"))}}})
				if !isAmong(near, first[i:i+1]) || !isAmong(chosen, first[i:i+1]) || chosen.Number != i+1 || moved.Parts["Q1"].State != side.Parts["Q1"].State {
					t.Errorf("state %d was left: near %v, chosen %d, moved %s", i+1, isAmong(near, first[i:i+1]), chosen.Number, moved.Parts["Q1"].State)
				}
			}
			if _, err := Solve(context.Background(), d, Options{State: 3}); err == nil || err.Error() != "there is no stable state 3: those from 1 to 2 were found" {
				t.Errorf("state 3: %v", err)
			}
		})
	}
}

func ohms(t *testing.T, d *model.Diagram, ref string) float64 {
	values, _ := d.Resolve(d.Part(ref), nil)
	x, ok := values["resistance"].Num()
	if !ok {
		t.Fatalf("%s has no resistance", ref)
	}
	return x
}

func inWords(all []*Result) string { return strings.Join(InWords(all), "; ") }

// Circuits in which no transistor can hold another are not searched, whatever
// else is in them; those that might hold, but do not, are found to have but one
// state.
func TestOneState(t *testing.T) {
	t.Parallel()
	lantern := func(more ...string) []string {
		return append([]string{`"ref": "BT1", "kind": "battery", "params": {"voltage": 4.5, "resistance": 0.6}, "tags": {"+": "v", "-": "GND"}`,
			resistor("R1", 1000, "p", "b1"), resistor("R2", 1e4, "v", "p"), npn("Q1", "b1", "c1", "GND"), resistor("R3", 470, "c1", "b2"), resistor("R4", 1e4, "b2", "v"),
			pnp("Q2", "b2", "o", "v"), resistor("R5", 33, "o", "a"), `"ref": "D1", "kind": "led", "value": "white", "tags": {"A": "a", "K": "GND"}`}, more...)
	}
	for name, tt := range map[string]struct {
		parts  []string
		held   int
		states string
	}{
		"trigger below":     {trigger(0.5), 2, ""},
		"trigger above":     {trigger(6), 2, ""},
		"one transistor":    {[]string{supply(5), resistor("R1", 1e4, "v", "b"), resistor("R2", 1e3, "v", "c"), npn("Q1", "b", "c", "GND")}, 0, ""},
		"a follower":        {[]string{supply(5), resistor("R1", 1e4, "v", "b"), resistor("R2", 1e3, "f", "GND"), npn("Q1", "b", "v", "e"), npn("Q2", "e", "v", "f")}, 0, ""},
		"a lantern":         {lantern(), 0, ""},
		"two switches":      {lantern(resistor("R6", 1000, "p", "b3"), npn("Q3", "b3", "c3", "GND"), resistor("R7", 470, "c3", "b4"), pnp("Q4", "b4", "o2", "v"), resistor("R8", 33, "o2", "GND")), 0, ""},
		"a latched lantern": {lantern(resistor("R9", 1e4, "o", "b1")), 2, ""},
		"a Darlington pair": {[]string{supply(5), resistor("R1", 1e4, "v", "b"), resistor("R2", 100, "v", "c"), npn("Q1", "b", "c", "m"), npn("Q2", "m", "c", "GND")}, 0, ""},
		"a mirror":          {[]string{supply(5), resistor("R1", 1e4, "v", "b"), resistor("R2", 100, "v", "c"), npn("Q1", "b", "b", "GND"), npn("Q2", "b", "c", "GND")}, 0, ""},
		"a differential pair": {[]string{supply(5), resistor("R1", 1e4, "v", "c1"), resistor("R2", 1e4, "v", "c2"), resistor("R3", 1e4, "e", "GND"), resistor("R4", 1e4, "v", "b1"), resistor("R5", 1e4, "b1", "GND"),
			npn("Q1", "b1", "c1", "e"), npn("Q2", "b1", "c2", "e")}, 0, ""},
	} {
		d := decode(t, drawing(tt.parts...))
		r := solve(t, d, Options{})
		if got := refs(r.circuit.feedback()); len(got) != tt.held {
			t.Errorf("%s: %q may hold each other, want %d", name, got, tt.held)
		}
		if got := inWords(r.States()); got != tt.states {
			t.Errorf("%s: %s", name, got)
		}
	}
}

// flipFlops are so many that have nothing to do with each other.
func flipFlops(n int) []string {
	parts := []string{supply(5)}
	for i := range n {
		name := func(s string) string { return fmt.Sprint(s, i) }
		parts = append(parts, resistor(name("RA"), 1000, "v", name("c")), resistor(name("RB"), 1000, "v", name("d")),
			resistor(name("RC"), 10000, name("c"), name("e")), resistor(name("RD"), 10000, name("d"), name("b")),
			npn(name("QA"), name("b"), name("c"), "GND"), npn(name("QB"), name("e"), name("d"), "GND"))
	}
	return parts
}

// Each flip-flop doubles the number of states. Where the search stops before it
// has them all it says so, and only a few are told of, each in words of its own
// and the one that is shown among them.
func TestManyStates(t *testing.T) {
	t.Parallel()
	for n, complete := range map[int]bool{2: true, 3: true, 6: false, 10: false} {
		d := decode(t, drawing(flipFlops(n)...))
		r := solve(t, d, Options{})
		count := len(r.States())
		switch {
		case r.MayBeMore == complete:
			t.Errorf("%d flip-flops: of %d states more may be: %v", n, count, r.MayBeMore)
		case complete && (count != 1<<n || r.StateCount() != fmt.Sprint(count, " stable states")):
			t.Errorf("%d flip-flops: %s", n, r.StateCount())
		case !complete && (count >= 1<<n || r.StateCount() != fmt.Sprint("at least ", count, " stable states")):
			t.Errorf("%d flip-flops: %s", n, r.StateCount())
		}
		for _, one := range r.States() {
			lines, seen, shown := one.StateLines(), map[string]bool{}, false
			for _, line := range lines {
				seen[line.Words] = true
				shown = shown || line.Number == one.Number
			}
			if want := min(count, 8); len(lines) != want || !shown || one.Number == 1 && len(seen) != want {
				t.Errorf("%d flip-flops in state %d: %v", n, one.Number, lines)
			}
		}
	}
}
