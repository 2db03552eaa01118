package main

import (
	"context"
	"io"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/chart"
	"copperglass/model"
	"copperglass/model/quantity"
)

// plotSweep draws a sweep as a chart, as the window does: with the states of the
// transistor that changes most, and the value as drawn.
func plotSweep(w io.Writer, d *model.Diagram, o analysis.SweepOptions, s *analysis.SweepResult, log, svg bool) error {
	c := sweepChart(d, s, log)
	if err := addStates(c, d, o); err != nil {
		return err
	}
	markDrawn(c, d, o)
	if svg {
		return c.WriteSVG(w)
	}
	return c.WritePNG(w)
}

// addStates shades what the transistor that changes most does on the way there.
func addStates(c *chart.Chart, d *model.Diagram, o analysis.SweepOptions) error {
	ref, states, err := analysis.Stretches(context.Background(), d, o.Options, o.Parameter, o.Values)
	for _, s := range states {
		from, to := min(s.From, s.To), max(s.From, s.To)
		c.Bands = append(c.Bands, chart.Band{From: from, To: to, Name: ref + " " + s.State})
	}
	return err
}

// markDrawn marks where the drawing, and what is set, is now.
func markDrawn(c *chart.Chart, d *model.Diagram, o analysis.SweepOptions) {
	r, err := analysis.Solve(context.Background(), d, o.Options)
	if err != nil {
		return
	}
	now, err := analysis.Quantity(r, d, o.Parameter)
	if err == nil && now >= slices.Min(o.Values) && now <= slices.Max(o.Values) {
		c.Marks = []chart.Mark{{At: now, Name: quantity.Short(now, c.Unit)}}
	}
}

// sweepChart has the way back dashed.
func sweepChart(d *model.Diagram, s *analysis.SweepResult, log bool) *chart.Chart {
	c := &chart.Chart{Title: d.Title, Axis: s.Parameter, Unit: s.Unit, Log: log, Theme: canvas.LightTheme()}
	var x []float64
	for _, p := range s.Points {
		x = append(x, p.Value)
	}
	for i, name := range s.Of {
		there, back := make([]float64, len(x)), make([]float64, len(x))
		for k, p := range s.Points {
			there[k], back[k] = p.There[i], math.NaN()
			if p.Back != nil {
				back[k] = p.Back[i]
			}
		}
		c.Curves = append(c.Curves, chart.Curve{Name: name, Unit: s.Units[i], X: x, Y: there})
		if s.Points[0].Back != nil {
			c.Curves = append(c.Curves, chart.Curve{Name: name + ", on the way back", Unit: s.Units[i], X: x, Y: back, Dashed: true})
		}
	}
	return c
}
