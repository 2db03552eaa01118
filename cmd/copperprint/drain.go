package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"copperglass/analysis/drain"
	"copperglass/canvas"
	"copperglass/canvas/chart"
	"copperglass/model"
	"copperglass/model/quantity"
)

// draining is what the flags of drain say.
type draining struct {
	conditions
	day, with settings
	inJSON    bool
	out       string
}

func (c *draining) flags(fs *flag.FlagSet) {
	c.conditions.flags(fs)
	fs.Var(&c.day, "day", "`MODE=HOURS` of each day in that mode, instead of one mode all the time; may be repeated, and the rest of the day no current flows")
	fs.Var(&c.with, "with", "`CELLS` to compare with those of the drawing, as in \"3 × R6\"; may be repeated")
	fs.BoolVar(&c.inJSON, "json", false, "JSON for programs instead of tables for people")
	fs.StringVar(&c.out, "o", "", "`FILE` to write: a chart where it ends in .png or .svg, else what would go to standard output")
}

// discharge is one run with the cells it is of.
type discharge struct {
	cells string
	*drain.Discharge
}

// drain follows the circuit while its batteries run down.
func (p *program) drain(args []string) error {
	var c draining
	fs := p.flags("drain")
	c.flags(fs)
	operands, err := p.parse(fs, args, 1)
	if err != nil {
		return err
	}
	d, err := p.read(operands[0])
	if err != nil {
		return err
	}
	all, err := c.runs(d)
	if err != nil {
		return err
	}
	solved := true
	for _, run := range all {
		for _, f := range run.Faults {
			p.say("error: %s", f.Text)
		}
		for _, note := range run.Notes {
			p.say("note: %s: %s", run.cells, note)
		}
		solved = solved && len(run.Points) > 0
	}
	return p.publish(c.out, faultyOrNot(solved), c.inJSON, func(w io.Writer) error { return c.write(w, d, all) })
}

// runs follows the drawing's own cells and then those to compare with.
func (c *draining) runs(d *model.Diagram) ([]discharge, error) {
	o, err := c.options(d)
	if err != nil {
		return nil, err
	}
	first, err := drain.Run(context.Background(), d, o)
	if err != nil {
		return nil, failure{code: misused, err: err}
	}
	ref := first.Battery
	all := []discharge{{cellsInWords(d, ref, o.Set), first}}
	for _, text := range c.with {
		with := o
		if with.Set, err = otherCells(d, o.Set, ref, text); err != nil {
			return nil, err
		}
		run, err := drain.Run(context.Background(), d, with)
		if err != nil {
			return nil, failure{code: misused, err: err}
		}
		all = append(all, discharge{cellsInWords(d, ref, with.Set), run})
	}
	return all, nil
}

func (c *draining) options(d *model.Diagram) (drain.Options, error) {
	set, err := c.check(d)
	o := drain.Options{Mode: c.mode, Set: set}
	for _, text := range c.day {
		name, hours, ok := strings.Cut(text, "=")
		if !ok || d.Mode(name) == nil {
			return o, misuse("--day %s: write MODE=HOURS with a mode of the drawing", text)
		}
		h, err := quantity.Parse(hours, quantity.Hour)
		if err != nil {
			return o, misuse("--day %s: %v", text, err)
		}
		o.Day = append(o.Day, drain.Phase{Mode: name, Hours: h})
	}
	return o, err
}

// otherCells puts other cells into a battery.
func otherCells(d *model.Diagram, set model.Setting, ref, text string) (model.Setting, error) {
	if ref == "" {
		return set, nil
	}
	params, err := d.Part(ref).LookupKind().FromValue(text)
	if err != nil {
		return nil, misuse("--with %s: %v", text, err)
	}
	return set.With(model.Setting{ref: params}), nil
}

// cellsInWords says which cells a battery has: "3 × LR6 (alkaline)".
func cellsInWords(d *model.Diagram, ref string, set model.Setting) string {
	if ref == "" {
		return "the battery"
	}
	v, _ := d.Resolve(d.Part(ref), set)
	return fmt.Sprintf("%v × %s (%s)", v.Num("cells"), v.Text("size"), v.Text("chemistry"))
}

func (c *draining) write(w io.Writer, d *model.Diagram, all []discharge) error {
	switch extension := strings.ToLower(filepath.Ext(c.out)); {
	case extension == ".png":
		return drainChart(d, all).WritePNG(w)
	case extension == ".svg":
		return drainChart(d, all).WriteSVG(w)
	case c.inJSON:
		o := dischargeJSON(all[0])
		if len(all) > 1 {
			compared := []object{}
			for _, run := range all[1:] {
				compared = append(compared, dischargeJSON(run))
			}
			o.put("compared", compared)
		}
		return writeJSON(w, o)
	}
	var b strings.Builder
	writeHeading(&b, d.Title, all[0].Mode)
	writeEnds(&b, all)
	for _, run := range all {
		writeCourse(&b, run)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func dischargeJSON(run discharge) object {
	points := []object{}
	for _, p := range run.Points {
		points = append(points, object{{"hours", number(p.Hours)}, {"charge_left", number(p.ChargeLeft)},
			{"volts", number(p.Volts)}, {"amps", number(p.Amps)}, {"light", number(p.Light)}})
	}
	faults := []string{}
	for _, f := range run.Faults {
		faults = append(faults, f.Text)
	}
	e := run.Ends
	return object{
		{"mode", orNull(run.Mode)}, {"battery", run.Battery}, {"cells", run.cells},
		{"points", points},
		{"ends", object{{"half_light", number(e.HalfLight)}, {"brown_out", number(e.BrownOut)}, {"end_point", number(e.EndPoint)}}},
		{"stop", string(run.Stop)}, {"faults", faults},
	}
}

// writeEnds compares when what comes to its end.
func writeEnds(b *strings.Builder, all []discharge) {
	t := &table{right: map[int]bool{1: true, 2: true, 3: true, 4: true}}
	t.row("cells", "half the light", "chip stops", "cells' end point", "at first")
	for _, run := range all {
		amps := "–"
		if len(run.Points) > 0 {
			amps = quantity.Format(run.Points[0].Amps, quantity.Ampere)
		}
		e := run.Ends
		t.row(run.cells, reached(e.HalfLight), reached(e.BrownOut), reached(e.EndPoint), amps)
	}
	b.WriteString(t.String())
}

// reached is when something ends, or a dash where it does not.
func reached(hours float64) string {
	if hours != hours {
		return "–"
	}
	return duration(hours)
}

// writeCourse tabulates a run at every tenth of the charge.
func writeCourse(b *strings.Builder, run discharge) {
	if len(run.Points) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s, from %s until %s\n", run.Battery, run.cells, stopInWords(run.Stop))
	t := &table{right: map[int]bool{0: true, 1: true, 2: true, 3: true, 4: true}}
	t.row("time", "charge left", "volts", "amps", "light")
	for i, p := range run.Points {
		if i > 0 && i < len(run.Points)-1 && tenth(p) == tenth(run.Points[i-1]) {
			continue
		}
		t.row(duration(p.Hours), wholePercent(p.ChargeLeft), quantity.Format(p.Volts, quantity.Volt), quantity.Solved(p.Amps, quantity.Ampere), wholePercent(p.Light))
	}
	b.WriteString(t.String())
}

// tenth is the tenth of the charge that the point is in, from 10 when new.
func tenth(p drain.Point) int { return int(math.Ceil(10*p.ChargeLeft - 1e-9)) }

func stopInWords(s drain.Stop) string {
	return map[drain.Stop]string{drain.Empty: "they are empty", drain.Faint: "hardly any current flows", drain.Horizon: "ten years have passed"}[s]
}

func wholePercent(x float64) string {
	if x != x {
		return "–"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}

// drainChart has the current of all runs in one panel, and the volts and the
// light below.
func drainChart(d *model.Diagram, all []discharge) *chart.Chart {
	c := &chart.Chart{Title: d.Title, Axis: "time", Unit: quantity.Hour, Theme: canvas.LightTheme()}
	for _, of := range []struct {
		name string
		unit quantity.Unit
		read func(drain.Point) float64
	}{
		{"current", quantity.Ampere, func(p drain.Point) float64 { return p.Amps }},
		{"voltage", quantity.Volt, func(p drain.Point) float64 { return p.Volts }},
		{"light", quantity.None, func(p drain.Point) float64 { return p.Light }},
	} {
		for _, run := range all {
			curve := chart.Curve{Name: of.name + ", " + run.cells, Unit: of.unit}
			for _, p := range run.Points {
				curve.X, curve.Y = append(curve.X, p.Hours), append(curve.Y, of.read(p))
			}
			c.Curves = append(c.Curves, curve)
		}
	}
	ends := all[0].Ends
	for _, m := range []chart.Mark{{At: ends.HalfLight, Name: "half the light"}, {At: ends.BrownOut, Name: "chip stops"}, {At: ends.EndPoint, Name: "end point"}} {
		if !math.IsNaN(m.At) {
			c.Marks = append(c.Marks, m)
		}
	}
	return c
}
