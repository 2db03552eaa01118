package net

import (
	"math"
	"testing"
)

// Currents round long rings settle in few steps for each loop, however many
// pieces it has.
func TestLoopsTakeFewSteps(t *testing.T) {
	t.Parallel()
	for _, n := range []int{100, 10_000} {
		for chords := range 4 {
			edges, out := ring(n, chords)
			var f forest
			amps := f.distribute(n, edges, out)
			if f.loops.steps > 10+2*chords { // with rounding
				t.Errorf("%d vertices, %d chords: %d steps", n, chords, f.loops.steps)
			}
			checkShares(t, n, edges, out, amps)
		}
	}
}

// ring is a ring of n vertices with chords across it, through which 1 A flows
// from vertex 0 to the one a third of the way round.
func ring(n, chords int) (edges [][2]int, out []float64) {
	for v := range n {
		edges = append(edges, [2]int{v, (v + 1) % n})
	}
	for c := range chords {
		edges = append(edges, [2]int{n / 10 * (c + 1), n - n/20*(c+1)})
	}
	out = make([]float64, n)
	out[0], out[n/3] = -1, 1
	return edges, out
}

// checkShares checks Kirchhoff's current law at every vertex and, along the
// ring, that the voltage comes back to where it began.
func checkShares(t *testing.T, n int, edges [][2]int, out, amps []float64) {
	t.Helper()
	left := make([]float64, n)
	copy(left, out)
	round := 0.0
	for i, e := range edges {
		left[e[0]] += amps[i]
		left[e[1]] -= amps[i]
		if i < n {
			round += amps[i]
		}
	}
	for v, x := range left {
		if math.Abs(x) > 1e-9 {
			t.Fatalf("%d vertices: %g A are left at vertex %d", n, x, v)
		}
	}
	if math.Abs(round) > 1e-9*float64(n) {
		t.Errorf("%d vertices: the voltage round the ring is off by %g", n, round)
	}
}
