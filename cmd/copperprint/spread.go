package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// spreading is what the flags of spread say.
type spreading struct {
	conditions
	of        names
	samples   int
	seed      uint64
	tolerance settings
	inJSON    bool
	out       string
}

func (c *spreading) flags(fs *flag.FlagSet) {
	c.conditions.flags(fs)
	fs.Var(&c.of, "of", aboutOf)
	fs.IntVar(&c.samples, "samples", 1000, "`N` circuits to build at random; 1000 where nothing is said")
	fs.Uint64Var(&c.seed, "seed", 1, "`N` from which the random numbers follow; 1 where nothing is said")
	fs.Var(&c.tolerance, "tolerance", "`REF.param=X` a fraction put over what the drawing and the catalogue say: V1.voltage=2%; may be repeated")
	fs.BoolVar(&c.inJSON, "json", false, "JSON for programs instead of a table for people")
	fs.StringVar(&c.out, "o", "", "`FILE` to write instead of standard output")
}

// spread tells how far circuits built to the drawing lie apart.
func (p *program) spread(args []string) error {
	var c spreading
	fs := p.flags("spread")
	c.flags(fs)
	operands, err := p.parse(fs, args, 1)
	if err != nil {
		return err
	}
	if err := c.of.need("spread"); err != nil {
		return err
	}
	d, err := p.read(operands[0])
	if err != nil {
		return err
	}
	o := analysis.SpreadOptions{Of: c.of, Samples: c.samples, Seed: c.seed}
	o.Mode = c.mode
	if o.Set, err = c.check(d); err != nil {
		return err
	}
	if o.Own, err = parseTolerances(d, c.tolerance); err != nil {
		return err
	}
	s, err := analysis.Spread(context.Background(), d, o)
	if err != nil {
		return failure{code: misused, err: err}
	}
	p.nameFaults(s.Result)
	return p.publish(c.out, faultyOrNot(s.Result.Solved), c.inJSON, func(w io.Writer) error {
		if c.inJSON {
			return writeJSON(w, spreadJSON(s))
		}
		return writeSpread(w, d, s)
	})
}

func spreadJSON(s *analysis.SpreadResult) object {
	quantities := object{}
	for _, q := range s.Quantities {
		quantities.put(q.Of, object{
			{"nominal", number(q.Nominal)}, {"p5", number(q.P5)}, {"median", number(q.Median)}, {"p95", number(q.P95)},
			{"low", number(q.Low)}, {"high", number(q.High)},
		})
	}
	tolerances := []object{}
	for _, t := range s.Tolerances {
		tolerances = append(tolerances, object{
			{"parameter", t.Parameter}, {"nominal", number(t.Nominal)}, {"low", number(t.Low)}, {"high", number(t.High)}, {"source", t.Source},
		})
	}
	return object{
		{"mode", orNull(s.Result.Mode)},
		{"samples", s.Samples},
		{"converged", s.Converged},
		{"quantities", quantities},
		{"tolerances", tolerances},
		{"faults", faultsJSON(s.Result)},
	}
}

// writeSpread writes the distributions as a table for people, and below it
// where the tolerances are from.
func writeSpread(w io.Writer, d *model.Diagram, s *analysis.SpreadResult) error {
	var b strings.Builder
	writeHeading(&b, d.Title, s.Result.Mode)
	t := &table{right: map[int]bool{1: true, 2: true, 3: true, 4: true, 5: true, 6: true}}
	t.row("quantity", "nominal", "5 %", "median", "95 %", "lowest", "highest")
	for _, q := range s.Quantities {
		row := []string{q.Of}
		for _, x := range []float64{q.Nominal, q.P5, q.Median, q.P95, q.Low, q.High} {
			row = append(row, quantity.Solved(x, q.Unit))
		}
		t.row(row...)
	}
	b.WriteString(t.String())
	fmt.Fprintf(&b, "\n%d of %d samples solved.\n\nTolerances\n", s.Converged, s.Samples)
	b.WriteString(toleranceTable(d, s).String())
	_, err := io.WriteString(w, b.String())
	return err
}

// toleranceTable lists the ranges, of a stack only the first part's.
func toleranceTable(d *model.Diagram, s *analysis.SpreadResult) *table {
	t := &table{right: map[int]bool{1: true, 2: true}}
	for _, tol := range s.Tolerances {
		ref, name, _ := strings.Cut(tol.Parameter, ".")
		part := d.Part(ref)
		if part == nil {
			continue
		}
		unit := part.LookupKind().Param(name).Unit
		t.row(tol.Parameter, quantity.Format(tol.Low, unit), quantity.Format(tol.High, unit), tol.Source)
	}
	return t
}
