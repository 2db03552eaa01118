package main

import (
	"context"
	"slices"
	"testing"

	"copperglass/analysis"
)

// The script is given the very samples that the engine solves.
func TestJobHasTheEnginesSamples(t *testing.T) {
	t.Parallel()
	d, err := lantern()
	if err != nil {
		t.Fatal(err)
	}
	const samples = 50
	of := []string{"R1.resistance", "D1#12.saturation_current", "BT1.voltage"}
	s, err := analysis.Spread(context.Background(), d, analysis.SpreadOptions{Options: analysis.Options{Mode: mode}, Of: of, Samples: samples, Seed: seed})
	if err != nil {
		t.Fatal(err)
	}
	j := job(d, s, samples)
	for i, name := range of {
		column := slices.Index(j.Columns, name)
		if column < 0 {
			t.Fatalf("no column %s", name)
		}
		var values []float64
		for _, row := range j.Samples {
			values = append(values, row[column])
		}
		slices.Sort(values)
		if !slices.Equal(values, s.Quantities[i].Samples) {
			t.Errorf("%s: the job has %v, the engine %v", name, values, s.Quantities[i].Samples)
		}
	}
	if len(j.Nominal) < 50 || j.Nominal["IC1.output_resistance_low"] == 0 || j.Nominal["D1#2.saturation_current"] == 0 {
		t.Errorf("parameters are missing: %v", j.Nominal)
	}
}

// What the script says counts only where our engine has the same solution.
func TestRight(t *testing.T) {
	t.Parallel()
	a := answer{Converged: []bool{true, true, false, true}, Amps: []float64{0.1, 0.2, 0.3, 0.25}}
	if right := a.right([]float64{-0.3, -0.2, -0.1 * (1 + 1e-9)}); right != 2 || a.converged() != 3 {
		t.Errorf("%d right of %d", right, a.converged())
	}
}
