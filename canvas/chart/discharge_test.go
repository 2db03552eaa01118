package chart

import (
	"math"
	"testing"

	"copperglass/analysis/drain"
	"copperglass/canvas"
)

// Two runs of 30 mA and 20 mA of light: the second begins at two thirds of the
// first's. A run of 240 h is drawn over ten days.
func TestDischarges(t *testing.T) {
	t.Parallel()
	run := func(first float64) drain.Course {
		return drain.Course{Cells: "cells", Discharge: &drain.Discharge{FirstLight: first,
			Points: []drain.Point{{Amps: first, Volts: 3, Light: 1}, {Hours: 240, Amps: first / 2, Volts: 2, Light: 0.5}},
			Ends:   drain.Ends{HalfLight: 240, BrownOut: math.NaN(), EndPoint: 120}}}
	}
	all := []drain.Course{run(0.03), run(0.02)}
	name := func(c drain.Course) string { return c.Cells }
	c := Discharges(all, name, true, canvas.LightTheme())
	if len(c.Curves) != 6 || c.Panels() != 3 || len(c.Marks) != 2 || c.Marks[1].At != 5 {
		t.Fatalf("%d curves in %d panels, marks %v", len(c.Curves), c.Panels(), c.Marks)
	}
	all[0].Ends = drain.Ends{HalfLight: 120, BrownOut: 120, EndPoint: math.NaN(), WithChip: true}
	if marks := Discharges(all, name, true, canvas.LightTheme()).Marks; len(marks) != 1 || marks[0].Name != "chip stops" {
		t.Errorf("where the light ends with the chip the marks are %v", marks)
	}
	light := c.Curves[5]
	if light.X[1] != 10 || math.Abs(light.Y[0]-200.0/3) > 1e-9 || math.Abs(light.Y[1]-100.0/3) > 1e-9 {
		t.Errorf("light %v over %v", light.Y, light.X)
	}
	if c := Discharges(all, name, false, canvas.LightTheme()); c.Panels() != 2 || c.Marks != nil {
		t.Errorf("in brief %d panels and %v", c.Panels(), c.Marks)
	}
}
