package main

import (
	"context"
	"fmt"
	"io"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/model"
)

// solve finds the operating point and prints it.
func (p *program) solve(args []string) error {
	var c conditions
	fs := p.flags("solve")
	c.flags(fs)
	c.stateFlag(fs)
	var out output
	out.flags(fs, "tables for people")
	inWords := fs.Bool("words", false, "say in a sentence what each part does")
	d, _, err := p.open(fs, args, 1)
	if err != nil {
		return err
	}
	r, err := p.operatingPoint(d, &c)
	if err != nil {
		return err
	}
	p.nameStates(r)
	return p.publish(out, faultyOrNot(r.Solved), func(w io.Writer) error {
		words := review.Words(context.Background(), d, r)
		switch {
		case out.inJSON:
			return writeJSON(w, solutionJSON(r, words))
		case *inWords:
			return writeWords(w, d, r, words)
		}
		if err := writeSolution(w, d, r); err != nil {
			return err
		}
		return writeCautions(w, d, r)
	})
}

// writeCautions tells how many cautions there are about the operating point.
func writeCautions(w io.Writer, d *model.Diagram, r *analysis.Result) error {
	n, err := review.Cautions(context.Background(), d, r, r.Set)
	if err != nil || n == 0 {
		return err
	}
	things := "1 caution"
	if n > 1 {
		things = itoa(n) + " cautions"
	}
	_, err = fmt.Fprintf(w, "%s; see copperprint review.\n", things)
	return err
}

// operatingPoint solves under the conditions and names the faults on standard
// error.
func (p *program) operatingPoint(d *model.Diagram, c *conditions) (*analysis.Result, error) {
	set, err := c.check(d)
	if err != nil {
		return nil, err
	}
	r, err := analysis.Solve(context.Background(), d, analysis.Options{Mode: c.mode, Set: set, State: c.state})
	if err != nil {
		return nil, failure{code: misused, err: err}
	}
	p.nameFaults(r)
	return r, nil
}

func (p *program) nameFaults(r *analysis.Result) {
	for _, f := range r.Faults {
		if f.Stops {
			p.say("fault: %s", f.Text)
		} else {
			p.say("note: %s", f.Text)
		}
	}
}

// faultyOrNot is what the program ends with after an analysis.
func faultyOrNot(solved bool) error {
	if solved {
		return nil
	}
	return failure{code: stopped}
}

// publish writes a result. Of a circuit that could not be solved only the
// machine form is written, which holds the faults, and to standard output alone,
// so that no file is mistaken for a result.
func (p *program) publish(o output, outcome error, fill func(io.Writer) error) error {
	if outcome != nil && (!o.inJSON || o.file != "" && o.file != "-") {
		return outcome
	}
	if err := p.write(o.file, fill); err != nil {
		return err
	}
	return outcome
}
