package analysis

import (
	"math"
	"testing"
)

// That nothing takes a source's current is found out before the long ways to a
// solution are gone: these took more than twenty thousand iterations each.
func TestRefusedSoon(t *testing.T) {
	t.Parallel()
	for _, seed := range []uint64{162, 2538, 2601, 2800, 3334, 3908} {
		r, err := Solve(t.Context(), randomCircuit(seed), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if r.Solved || r.Iterations > 2000 {
			t.Errorf("circuit %d: solved %v, %d iterations", seed, r.Solved, r.Iterations)
		}
		checkRefusal(t, randomCircuit(seed), r)
	}
}

// What counts as solved is what is said of it: at no net is more left over than
// 1e-9 of the largest current in the circuit and 1e-15 A. Circuit 2226 lives on
// leakage and once had twice that.
func TestAcceptance(t *testing.T) {
	t.Parallel()
	for _, seed := range []uint64{0, 1, 2, 3, 5, 8, 13, 21, 34, 55, 89, 144, 548, 2226} {
		r, err := Solve(t.Context(), randomCircuit(seed), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !r.Solved {
			continue // refused for a fault of its structure
		}
		most, sum := 0.0, make([]float64, len(r.Volts))
		for _, p := range r.Parts {
			for _, pin := range p.Pins {
				most = max(most, math.Abs(pin.Amps))
				sum[pin.Net] += pin.Amps
			}
		}
		for n, amps := range sum {
			if !(math.Abs(amps) <= 1e-9*most+1e-15) {
				t.Errorf("circuit %d: %g A are left over at %s, where %g A flow at most", seed, amps, r.Nets.Nets[n].Name, most)
			}
		}
		if r.Method == "" || r.Iterations < 1 {
			t.Errorf("circuit %d: found by %q in %d iterations", seed, r.Method, r.Iterations)
		}
	}
}
