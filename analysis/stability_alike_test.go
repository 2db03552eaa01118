package analysis

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/model"
)

// likeLatches returns latches on one supply, the same but for a part of the loads by
// which each differs from the last, of which each is coupled to the next; and their
// names.
func likeLatches(n int, coupling, mismatch float64) (parts, names []string) {
	parts = []string{supply(5)}
	for i := range n {
		name := fmt.Sprintf("x%dx", i)
		parts = append(parts, crossed(name, 1000*(1+mismatch*float64(i)), 10e3)...)
		if i > 0 {
			parts = append(parts, resistor(fmt.Sprint("RX", i), coupling, names[i-1]+"c1", name+"c1"))
		}
		names = append(names, name)
	}
	return parts, names
}

// likeInverterPairs returns latches on one supply, each of two inverters of field-effect
// transistors, of which each is coupled to the next.
func likeInverterPairs(n int, coupling float64) []string {
	parts := []string{supply(5)}
	inverter := func(k, in, out string) []string {
		return []string{
			nmos("QN"+k, in, out, "GND"),
			fmt.Sprintf(`"ref": "QP%s", "kind": "pmos", "tags": {"G": %q, "D": %q, "S": "v"}`, k, in, out),
		}
	}
	for i := range n {
		a, b := fmt.Sprint("a", i), fmt.Sprint("b", i)
		parts = slices.Concat(parts, inverter(a, a, b), inverter(b, b, a))
		if i > 0 {
			parts = append(parts, resistor(fmt.Sprint("RX", i), coupling, fmt.Sprint("a", i-1), a))
		}
	}
	return parts
}

// Like latches that know little of each other have as many stable states as
// they would have alone, multiplied, although the disturbances of those that are
// balanced grow almost alike; and what Alone comes to first is one of these.
func TestLikeLatches(t *testing.T) {
	t.Parallel()
	bipolars := func(n int, coupling, mismatch float64) []string {
		parts, _ := likeLatches(n, coupling, mismatch)
		return parts
	}
	for _, tt := range []struct {
		name  string
		parts []string
		want  int
	}{
		{"two, 100 kΩ between", bipolars(2, 100e3, 0), 4},
		{"two, 1 MΩ between", bipolars(2, 1e6, 0), 4},
		{"two, 100 MΩ between", bipolars(2, 100e6, 0), 4},
		{"two 0.01 % apart", bipolars(2, 100e3, 1e-4), 4},
		{"three", bipolars(3, 100e3, 0), 8},
		{"three 0.01 % apart", bipolars(3, 1e6, 1e-4), 8},
		{"two of field-effect transistors", likeInverterPairs(2, 100e3), 4},
		{"three of field-effect transistors", likeInverterPairs(3, 1e6), 8},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, drawing(tt.parts...))
			all := states(t, d, Options{})
			if len(all) != tt.want {
				t.Fatalf("%d states were found: %s", len(all), InWords(all))
			}
			first := solve(t, d, Options{Alone: true})
			if !isAmong(first, all) || len(texts(first.Faults)) > 0 {
				t.Errorf("first %v, %q", first.Volts, texts(first.Faults))
			}
		})
	}
}

// Any number of like latches counts as stable where none is balanced, and only there.
func TestBalanceAmongLikeLatches(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(3, 8))
	balance := folded(t, 1000, 10e3)
	for _, n := range []int{2, 3, 5, 12, 40} {
		for _, coupling := range []float64{100e3, 1e6, 100e6} {
			for _, mismatch := range []float64{0, 1e-4, 1e-3, 1e-2} {
				parts, names := likeLatches(n, coupling, mismatch)
				checkBalances(t, fmt.Sprint(n, " ", coupling, " ", mismatch), decode(t, drawing(parts...)), names, balance, random)
			}
		}
	}
}

func checkBalances(t *testing.T, name string, d *model.Diagram, latches []string, balance *Result, random *rand.Rand) {
	t.Helper()
	b := newBench(t, d)
	for try := range 4 {
		volts := map[string]float64{"v": 5}
		balanced := 0
		for _, l := range latches {
			state := []int{1, random.IntN(3), random.IntN(3), 2 * random.IntN(2)}[try]
			put(volts, l, state, balance)
			balanced += state % 2
		}
		r := b.from(volts)
		if r == nil {
			t.Fatalf("%s, %d balanced: no operating point", name, balanced)
		}
		if left := countBalanced(r, latches); left != balanced {
			t.Fatalf("%s: %d balanced of %d", name, left, balanced)
		}
		if got := b.growth(r.point) == nil; got != (balanced == 0) {
			t.Errorf("%s, %d balanced: stable is %v", name, balanced, got)
		}
	}
}

func countBalanced(r *Result, latches []string) int {
	n := 0
	for _, l := range latches {
		if r.Parts["Q"+l+"1"].State == r.Parts["Q"+l+"2"].State {
			n++
		}
	}
	return n
}

// Latches of a pmos and a pnp with a capacitor across the pmos settle back into
// their balance however they are pushed, and leave it once forced.
func TestStubbornBalance(t *testing.T) {
	t.Parallel()
	parts := []string{supply(5)}
	for _, k := range []string{"0", "1"} {
		parts = append(parts,
			fmt.Sprintf(`"ref": "Q0%s", "kind": "pmos", "tags": {"G": "g%s", "D": "n%s", "S": "v"}`, k, k, k), resistor("RN"+k, 470, "n"+k, "GND"),
			pnp("Q1"+k, "n"+k, "o"+k, "v"), resistor("RO"+k, 445, "o"+k, "GND"), resistor("RG"+k, 1e6, "o"+k, "g"+k), capacitor("C"+k, "100n", "n"+k, "g"+k))
	}
	parts = append(parts, resistor("RX", 10e3, "n0", "n1"))
	if all := states(t, decode(t, drawing(parts...)), Options{}); len(all) != 4 {
		t.Errorf("%d states: %s", len(all), InWords(all))
	}
}
