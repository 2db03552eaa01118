package main

import (
	"context"
	"encoding/csv"
	"flag"
	"io"
	"math"
	"strconv"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// sweeping is what the flags and operands of sweep say.
type sweeping struct {
	conditions
	of names
	output
	log, back           bool
	parameter           string
	first, last, points string
}

func (c *sweeping) flags(fs *flag.FlagSet) {
	c.conditions.flags(fs)
	c.stateFlag(fs)
	fs.Var(&c.of, "of", aboutOf)
	fs.BoolVar(&c.log, "log", false, "space the steps in equal ratios")
	fs.BoolVar(&c.back, "back", false, "come back the same way, to show hysteresis")
	c.output.flags(fs, "CSV")
	fs.Lookup("o").Usage = "`FILE` to write: a plot where it ends in .png or .svg, figures where it ends in .csv or .json"
}

// sweep tabulates quantities while a parameter moves.
func (p *program) sweep(args []string) error {
	var c sweeping
	fs := p.flags("sweep")
	c.flags(fs)
	operands, err := p.parse(fs, guarded(args), 5)
	if err != nil {
		return err
	}
	c.parameter, c.first, c.last, c.points = operands[1], unguarded(operands[2]), unguarded(operands[3]), operands[4]
	if err := c.of.need("sweep"); err != nil {
		return err
	}
	if err := c.checkEnding("sweep", ".csv"); err != nil {
		return err
	}
	d, err := p.read(operands[0])
	if err != nil {
		return err
	}
	o, err := c.options(d)
	if err != nil {
		return err
	}
	s, err := analysis.Sweep(context.Background(), d, o)
	if err != nil {
		return failure{code: misused, err: err}
	}
	p.nameStatesWhere("at the first step ", s.First)
	p.nameGaps(s)
	return p.publish(c.output, faultyOrNot(s.Solved() > 0), func(w io.Writer) error { return c.write(w, d, o, s) })
}

// guarded keeps negative numbers from being taken for flags: a true minus
// stands in for the hyphen.
func guarded(args []string) []string {
	out := make([]string, len(args))
	for i, a := range args {
		out[i] = a
		if len(a) > 1 && a[0] == '-' && (a[1] == '.' || a[1] >= '0' && a[1] <= '9') {
			out[i] = "−" + a[1:]
		}
	}
	return out
}

func unguarded(text string) string { return strings.Replace(text, "−", "-", 1) }

// options reads the operands.
func (c *sweeping) options(d *model.Diagram) (analysis.SweepOptions, error) {
	o := analysis.SweepOptions{Parameter: c.parameter, Of: c.of, Back: c.back}
	set, err := c.check(d)
	if err != nil {
		return o, err
	}
	o.Options = analysis.Options{Mode: c.mode, Set: set, State: c.state}
	ref, name, dotted := strings.Cut(c.parameter, ".")
	if !dotted {
		return o, misuse("%q is no parameter; write REF.param, such as R1.resistance", c.parameter)
	}
	q, err := describe(d, ref, name)
	if err != nil {
		return o, misuse("%s: %v", c.parameter, err)
	}
	first, err := quantity.Parse(c.first, q.Unit)
	if err != nil {
		return o, misuse("FROM: %v", err)
	}
	last, err := quantity.Parse(c.last, q.Unit)
	if err != nil {
		return o, misuse("TO: %v", err)
	}
	n, err := strconv.Atoi(c.points)
	if err != nil {
		return o, misuse("STEPS: %q is no whole number", c.points)
	}
	if o.Values, err = analysis.Spaced(first, last, n, c.log); err != nil {
		return o, failure{code: misused, err: err}
	}
	return o, nil
}

// nameGaps tells of points that could not be solved, and why the first could
// not.
func (p *program) nameGaps(s *analysis.SweepResult) {
	if missing := len(s.Points) - s.Solved(); missing > 0 {
		p.say("note: %d of %d steps could not be solved; of the first of them:", missing, len(s.Points))
		p.nameFaults(&analysis.Result{Faults: s.Faults})
	}
}

func (c *sweeping) write(w io.Writer, d *model.Diagram, o analysis.SweepOptions, s *analysis.SweepResult) error {
	switch ending := c.ending(); {
	case ending == ".png" || ending == ".svg":
		return plotSweep(w, d, o, s, c.log, ending == ".svg")
	case c.inJSON:
		return writeJSON(w, sweepJSON(s))
	}
	return writeSweepCSV(w, s)
}

// sweepJSON has the stable states that there are at the first step.
func sweepJSON(s *analysis.SweepResult) object {
	points := []object{}
	for _, p := range s.Points {
		point := object{{"value", number(p.Value)}, {"quantities", byName(s.Of, p.There)}}
		if p.Back != nil {
			point.put("back", byName(s.Of, p.Back))
		}
		points = append(points, point)
	}
	faults := []string{}
	for _, f := range s.Faults {
		faults = append(faults, f.Text)
	}
	o := object{{"parameter", s.Parameter}, {"points", points}}
	return append(append(o, statesJSON(s.First)...), member{"faults", faults})
}

func byName(names []string, values []float64) object {
	o := object{}
	for i, name := range names {
		o.put(name, number(values[i]))
	}
	return o
}

// writeSweepCSV writes a table for spreadsheets (RFC 4180), all in SI units.
// What could not be solved is empty.
func writeSweepCSV(w io.Writer, s *analysis.SweepResult) error {
	table := csv.NewWriter(w)
	heading := append([]string{s.Parameter}, s.Of...)
	if s.Points[0].Back != nil {
		for _, name := range s.Of {
			heading = append(heading, name+" on the way back")
		}
	}
	if err := table.Write(heading); err != nil {
		return err
	}
	for _, p := range s.Points {
		row := []string{cell(p.Value)}
		for _, x := range append(append([]float64{}, p.There...), p.Back...) {
			row = append(row, cell(x))
		}
		if err := table.Write(row); err != nil {
			return err
		}
	}
	table.Flush()
	return table.Error()
}

func cell(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}
