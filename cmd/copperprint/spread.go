package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"io"
	"math"
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
	output
}

func (c *spreading) flags(fs *flag.FlagSet) {
	c.conditions.flags(fs)
	c.stateFlag(fs)
	fs.Var(&c.of, "of", aboutOf)
	fs.IntVar(&c.samples, "samples", 1000, "`N` circuits to build at random; 1000 where nothing is said")
	fs.Uint64Var(&c.seed, "seed", 1, "`N` from which the random numbers follow; 1 where nothing is said")
	fs.Var(&c.tolerance, "tolerance", "`REF.param=X` a fraction put over what the drawing and the catalogue say: V1.voltage=2%; may be repeated")
	c.output.flags(fs, "a table for people")
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
	if c.samples < 1 {
		return misuse("spread: --samples %d builds no circuit: give at least 1", c.samples)
	}
	d, err := p.read(operands[0])
	if err != nil {
		return err
	}
	o, err := c.options(d)
	if err != nil {
		return err
	}
	s, err := analysis.Spread(context.Background(), d, o)
	if err != nil {
		return failure{code: misused, err: err}
	}
	apart, err := withBallast(d, o, s)
	if err != nil {
		return failure{code: misused, err: err}
	}
	p.nameFaults(s.Result)
	p.nameStates(s.Result)
	p.nameLeft(s)
	return p.publish(c.output, faultyOrNot(s.Result.Solved), func(w io.Writer) error {
		if c.inJSON {
			return writeJSON(w, spreadJSON(s, apart))
		}
		return writeSpread(w, d, s, apart)
	})
}

// options returns what the flags ask of the drawing, or says what is wrong with
// them.
func (c *spreading) options(d *model.Diagram) (o analysis.SpreadOptions, err error) {
	o = analysis.SpreadOptions{Of: c.of, Samples: c.samples, Seed: c.seed}
	o.Mode, o.State = c.mode, c.state
	if o.Set, err = c.check(d); err != nil {
		return o, err
	}
	o.Own, err = parseTolerances(d, c.tolerance)
	return o, err
}

// nameLeft tells of circuits that are not in the nominal one's stable state.
func (p *program) nameLeft(s *analysis.SpreadResult) {
	if s.Left+s.LeftCorners > 0 {
		p.say("note: %d of %d samples and %d of %d worst cases leave stable state %d, which they are reckoned in; they are not among the figures",
			s.Left, s.Converged, s.LeftCorners, 2*len(s.Quantities), s.Result.Number)
	}
}

// withBallast samples the drawing once more with a resistor for each light of
// the stacks that shine and hang on one, and returns what becomes of those.
func withBallast(d *model.Diagram, o analysis.SpreadOptions, s *analysis.SpreadResult) (map[string]*analysis.Sharing, error) {
	apart := map[string]*analysis.Sharing{}
	for _, one := range s.Sharings {
		if one.Ballast != "" && !math.IsNaN(one.Brightest.Median) {
			apart[one.Ref] = nil
		}
	}
	if len(apart) == 0 {
		return apart, nil
	}
	o.Of, o.Ballast = nil, true
	again, err := analysis.Spread(context.Background(), d, o)
	if err != nil {
		return nil, err
	}
	for _, one := range again.Sharings {
		if _, asked := apart[one.Ref]; asked {
			apart[one.Ref] = one
		}
	}
	return apart, nil
}

func spreadJSON(s *analysis.SpreadResult, apart map[string]*analysis.Sharing) object {
	quantities := object{}
	for _, q := range s.Quantities {
		quantities.put(q.Of, object{
			{"nominal", number(q.Nominal)}, {"p5", number(q.P5)}, {"median", number(q.Median)}, {"p95", number(q.P95)},
			{"low", number(q.Low)}, {"high", number(q.High)},
		})
	}
	o := object{
		{"mode", orNull(s.Result.Mode)},
		{"samples", s.Samples},
		{"converged", s.Converged},
		{"left_state", object{{"samples", s.Left}, {"corners", s.LeftCorners}}},
		{"quantities", quantities},
		{"stacks", stacksJSON(s, apart)},
		{"tolerances", tolerancesJSON(s)},
		{"steady", steadyJSON(s)},
	}
	return append(append(o, statesJSON(s.Result)...), member{"faults", faultsJSON(s.Result)})
}

func tolerancesJSON(s *analysis.SpreadResult) []object {
	list := []object{}
	for _, t := range s.Tolerances {
		list = append(list, object{
			{"parameter", t.Parameter}, {"nominal", number(t.Nominal)}, {"low", number(t.Low)}, {"high", number(t.High)}, {"source", t.Source},
		})
	}
	return list
}

// unknownSpread is why a parameter is steady of which nothing else is known.
const unknownSpread = "the handbook knows no spread of it"

func steadyJSON(s *analysis.SpreadResult) []object {
	list := []object{}
	for _, one := range s.Steady {
		list = append(list, object{{"parameter", one.Parameter}, {"value", number(one.Value)}, {"reason", cmp.Or(one.Reason, unknownSpread)}})
	}
	return list
}

// stacksJSON tells how the lights of each stack share its current, as fractions
// of it, as drawn and each behind a resistor of its own.
func stacksJSON(s *analysis.SpreadResult, apart map[string]*analysis.Sharing) object {
	stacks := object{}
	for _, one := range s.Sharings {
		of := object{{"count", one.Count}, {"brightest", sharesJSON(one.Brightest)}, {"dimmest", sharesJSON(one.Dimmest)}}
		if own := apart[one.Ref]; own != nil {
			of.put("with_ballast", object{
				{"instead_of", own.Ballast}, {"resistance", own.Each},
				{"brightest", sharesJSON(own.Brightest)}, {"dimmest", sharesJSON(own.Dimmest)},
			})
		}
		stacks.put(one.Ref, of)
	}
	return stacks
}

func sharesJSON(s analysis.Shares) object {
	return object{{"p5", number(s.P5)}, {"median", number(s.Median)}, {"p95", number(s.P95)}}
}

// writeSpread writes the distributions as a table for people, and below it how
// stacks share their current and where the tolerances are from.
func writeSpread(w io.Writer, d *model.Diagram, s *analysis.SpreadResult, apart map[string]*analysis.Sharing) error {
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
	fmt.Fprintf(&b, "\n%d of %d samples solved%s.\n", s.Converged, s.Samples, inState(s.Result))
	writeSharings(&b, s, apart)
	b.WriteString("\nTolerances\n" + toleranceTable(d, s).String())
	writeSteady(&b, d, s)
	_, err := io.WriteString(w, b.String())
	return err
}

// writeSharings tells how unequally the lights of each stack are driven.
func writeSharings(b *strings.Builder, s *analysis.SpreadResult, apart map[string]*analysis.Sharing) {
	t := &table{right: map[int]bool{1: true, 2: true, 4: true}}
	t.row("share of the stack's current", "equal", "brightest", "5 % to 95 %", "dimmest", "5 % to 95 %")
	lit := false
	for _, one := range s.Sharings {
		if math.IsNaN(one.Brightest.Median) {
			continue
		}
		lit = true
		name := stackName(one.Ref, one.Count)
		t.row(sharingRow(name+" as drawn", one)...)
		if own := apart[one.Ref]; own != nil {
			t.row(sharingRow(fmt.Sprintf("%s, each on its own %s instead of %s", name, quantity.Format(own.Each, quantity.Ohm), own.Ballast), own)...)
		}
	}
	if lit {
		b.WriteString("\n" + t.String())
	}
}

func sharingRow(name string, s *analysis.Sharing) []string {
	span := func(s analysis.Shares) string { return fmt.Sprintf("%.1f to %.1f %%", 100*s.P5, 100*s.P95) }
	return []string{
		name, fmt.Sprintf("%.1f %%", 100/float64(s.Count)),
		fmt.Sprintf("%.1f %%", 100*s.Brightest.Median), span(s.Brightest),
		fmt.Sprintf("%.1f %%", 100*s.Dimmest.Median), span(s.Dimmest),
	}
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

// writeSteady names the parameters that are the same in every sample: one by
// one where there is a reason, the others together.
func writeSteady(b *strings.Builder, d *model.Diagram, s *analysis.SpreadResult) {
	t, others := &table{}, false
	for _, one := range s.Steady {
		ref, name, _ := strings.Cut(one.Parameter, ".")
		part := d.Part(ref)
		switch {
		case part == nil:
		case one.Reason == "":
			others = true
		default:
			t.row(one.Parameter, quantity.Format(one.Value, part.LookupKind().Param(name).Unit), one.Reason)
		}
	}
	if rows := t.String(); rows != "" {
		b.WriteString("\nTaken as they stand\n" + rows)
	}
	if others {
		b.WriteString("\nOf the other parameters the handbook knows no spread; --tolerance gives one.\n")
	}
}
