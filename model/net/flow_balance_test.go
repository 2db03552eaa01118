package net

import (
	"math"
	"testing"
)

// Currents that do not add up must not spoil the rest of the graph: a ring of
// three takes what it can.
func TestDistributeWhatDoesNotAddUp(t *testing.T) {
	edges := [][2]int{{0, 1}, {1, 2}, {2, 0}, {2, 3}}
	for _, out := range [][]float64{{-1, 0, 0, 0.5}, {1e-18, 0, 0, 0}, {-1, 0.25, 0.25, 0.25}} {
		for i, amps := range Distribute(4, edges, out) {
			if math.IsNaN(amps) || math.Abs(amps) > 2 {
				t.Errorf("out %v: edge %d carries %v A", out, i, amps)
			}
		}
	}
}
