package chart

import (
	"testing"

	"copperglass/model/quantity"
)

func TestTimes(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		hours float64
		daily bool
		unit  quantity.Unit
		last  float64 // of the axis
	}{{3, false, quantity.Hour, 3}, {96, false, quantity.Hour, 96}, {48, true, quantity.None, 2}, {240, false, quantity.None, 10}, {87660, true, quantity.None, 10}} {
		axis, unit, step := Times(tt.hours, tt.daily)
		if axis == "" || unit != tt.unit || tt.hours/step != tt.last {
			t.Errorf("%g h go to %g on %q", tt.hours, tt.hours/step, axis)
		}
	}
}

// A current that never moves has an axis from nothing to a little above it,
// one that hardly moves has not the same figure at every tick, and one that
// moves has one from nothing, too, unless it stays far away.
func TestAxisOfALevelCurve(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ y, from, to []float64 }{
		"level":        {[]float64{1e-6, 1e-6}, []float64{0, 0}, []float64{1e-6, 1.5e-6}},
		"below":        {[]float64{-2, -2}, []float64{-3, -2}, []float64{0, 0}},
		"hardly moved": {[]float64{1, 1.0001}, []float64{0, 0}, []float64{1, 1.5}},
		"moved":        {[]float64{1, 1.9}, []float64{0, 0}, []float64{2, 2}},
		"far away":     {[]float64{10.1, 11.9}, []float64{10, 10}, []float64{12, 12}},
		"either way":   {[]float64{-1, 3.9}, []float64{-1, -1}, []float64{4, 4}},
	} {
		c := Chart{Unit: quantity.Hour, Curves: []Curve{{Name: "I", Unit: quantity.Ampere, X: []float64{0, 1}, Y: tt.y}}}
		panels, err := c.panels(c.paper())
		if err != nil {
			t.Fatal(err)
		}
		y := panels[0].plot.Y
		if y.Min < tt.from[0] || y.Min > tt.from[1] || y.Max < tt.to[0] || y.Max > tt.to[1] {
			t.Errorf("%s: from %g to %g", name, y.Min, y.Max)
		}
	}
}
