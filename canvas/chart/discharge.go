package chart

import (
	"math"

	"copperglass/analysis/drain"
	"copperglass/canvas"
	"copperglass/model/quantity"
)

// Discharges has the current of all runs in one panel, and below the light, over
// the first light of the first run. In full it has the voltage, too, and marks
// what comes to its end in the first run. The courses end where a chip stops.
func Discharges(all []drain.Course, name func(drain.Course) string, full bool, theme canvas.Theme) *Chart {
	axis, unit, step := Times(longest(all), len(all[0].Day) > 0)
	c := &Chart{Axis: axis, Unit: unit, Theme: theme}
	add := func(what string, unit quantity.Unit, read func(drain.Course, drain.Point) float64) {
		for _, run := range all {
			curve := Curve{Name: what + ", " + name(run), Unit: unit}
			for _, p := range run.Course() {
				curve.X, curve.Y = append(curve.X, p.Hours/step), append(curve.Y, read(run, p))
			}
			c.Curves = append(c.Curves, curve)
		}
	}
	add("current", quantity.Ampere, func(_ drain.Course, p drain.Point) float64 { return p.Amps })
	if full {
		add("voltage", quantity.Volt, func(_ drain.Course, p drain.Point) float64 { return p.Volts })
		c.Marks = endMarks(all[0].Ends, longest(all), step)
	}
	add("light", quantity.Percent, func(run drain.Course, p drain.Point) float64 { return 100 * run.LightBeside(p, all[0].Discharge) })
	return c
}

// longest is how many hours the courses go to.
func longest(all []drain.Course) float64 {
	hours := 0.0
	for _, run := range all {
		if course := run.Course(); len(course) > 0 {
			hours = max(hours, course[len(course)-1].Hours)
		}
	}
	return hours
}

// endMarks are where something comes to its end within so many hours.
func endMarks(ends drain.Ends, within, step float64) []Mark {
	if ends.WithChip { // it is told where the chip stops
		ends.HalfLight = math.NaN()
	}
	var marks []Mark
	for _, m := range []Mark{{ends.HalfLight, "half the light"}, {ends.BrownOut, "chip stops"}, {ends.EndPoint, "end point"}} {
		if m.At <= within {
			marks = append(marks, Mark{m.At / step, m.Name})
		}
	}
	return marks
}
