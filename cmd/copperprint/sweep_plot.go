package main

import (
	"io"
	"math"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/chart"
	"copperglass/model"
)

// plotSweep draws a sweep as a chart.
func plotSweep(w io.Writer, d *model.Diagram, s *analysis.SweepResult, log, svg bool) error {
	c := sweepChart(d, s, log)
	if svg {
		return c.WriteSVG(w)
	}
	return c.WritePNG(w)
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
