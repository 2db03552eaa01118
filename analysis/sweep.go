package analysis

import (
	"context"
	"fmt"
	"math"
	"strings"

	"copperglass/model"
	"copperglass/model/quantity"
)

// SweepOptions say what a sweep moves and what it looks at.
type SweepOptions struct {
	Options
	Parameter string    // REF.NAME or drawing.NAME: a number
	Values    []float64 // that it takes one after the other, SI
	Of        []string  // quantities, named as for Quantity
	Back      bool      // whether to come back the same way
}

// SweepResult is what the quantities do while a parameter moves.
type SweepResult struct {
	Parameter string
	Unit      quantity.Unit // of the parameter
	Of        []string
	Units     []quantity.Unit // of the quantities
	Points    []SweepPoint
	Faults    []Fault // of the first point that could not be solved
}

// SweepPoint is one step of a sweep. What could not be solved or is not
// determined there is NaN.
type SweepPoint struct {
	Value  float64   // of the parameter, SI
	There  []float64 // the quantities on the way there, SI
	Back   []float64 // and on the way back; nil where that was not asked for
	Solved bool
}

// Solved returns how many points were solved.
func (s *SweepResult) Solved() int {
	count := 0
	for _, p := range s.Points {
		if p.Solved {
			count++
		}
	}
	return count
}

// Spaced returns n values from first to last, both included, evenly spaced or,
// for log, in equal ratios. It fails where that makes no sense.
func Spaced(first, last float64, n int, log bool) ([]float64, error) {
	const most = 1_000_000
	switch {
	case n < 2 || n > most:
		return nil, fmt.Errorf("%d steps: there must be from 2 to %d", n, most)
	case log && !(first*last > 0):
		return nil, fmt.Errorf("from %v to %v there are no equal ratios: both must be above 0", first, last)
	}
	values := make([]float64, n)
	for i := range values {
		t := float64(i) / float64(n-1)
		values[i] = first + (last-first)*t
		if log {
			values[i] = first * math.Pow(last/first, t)
		}
	}
	values[n-1] = last
	return values, nil
}

// Sweep solves d for each value of the parameter, each time beginning at the
// solution before, so that a circuit with two states stays in the one it is in
// for as long as it lasts. The error is of a parameter or a quantity that does
// not exist, a mode that the drawing does not have, or the context's.
func Sweep(ctx context.Context, d *model.Diagram, o SweepOptions) (*SweepResult, error) {
	q, err := parameter(d, o.Parameter)
	if err != nil {
		return nil, err
	}
	s := &SweepResult{Parameter: o.Parameter, Unit: q.Unit, Of: o.Of, Units: make([]quantity.Unit, len(o.Of))}
	for _, x := range o.Values {
		if err := q.Check(model.Number(x)); err != nil {
			return nil, fmt.Errorf("%s: %w", o.Parameter, err)
		}
		s.Points = append(s.Points, SweepPoint{Value: x})
	}
	for i := range s.Points {
		p := &s.Points[i]
		if p.There, p.Solved, err = s.at(ctx, d, &o, p.Value); err != nil {
			return nil, err
		}
	}
	for i := len(s.Points) - 1; i >= 0 && o.Back; i-- {
		p := &s.Points[i]
		if p.Back, _, err = s.at(ctx, d, &o, p.Value); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// parameter returns the description of the number called REF.NAME.
func parameter(d *model.Diagram, name string) (*model.Param, error) {
	ref, what, _ := strings.Cut(name, ".")
	q := model.DrawingParam(what)
	if ref != model.Drawing {
		p := d.Part(ref)
		if p == nil || p.LookupKind() == nil {
			return nil, fmt.Errorf("%s: there is no part %s", name, ref)
		}
		q = p.LookupKind().Param(what)
	}
	if q == nil || q.Type() != model.NumberType {
		return nil, fmt.Errorf("%s has no number %q to be set", ref, what)
	}
	return q, nil
}

// at returns the quantities with the parameter at x, and moves o's start there.
func (s *SweepResult) at(ctx context.Context, d *model.Diagram, o *SweepOptions, x float64) (values []float64, solved bool, err error) {
	one := o.Options
	one.Set = withNumber(o.Set, o.Parameter, x)
	r, err := Solve(ctx, d, one)
	if err != nil {
		return nil, false, err
	}
	if !r.Solved {
		if s.Faults == nil {
			s.Faults = r.Faults
		}
		return undetermined(len(o.Of)), false, nil
	}
	o.Start = r
	values = make([]float64, len(o.Of))
	for i, name := range o.Of {
		if values[i], err = Quantity(r, d, name); err != nil {
			return nil, false, err
		}
		s.Units[i] = r.unit(d, name)
	}
	return values, true, nil
}

// withNumber puts one parameter over a setting.
func withNumber(s model.Setting, name string, x float64) model.Setting {
	ref, what, _ := strings.Cut(name, ".")
	over := model.Setting{}
	over.Set(ref, what, model.Number(x))
	return s.With(over)
}

func undetermined(n int) []float64 {
	values := make([]float64, n)
	for i := range values {
		values[i] = math.NaN()
	}
	return values
}

// unit returns the unit of a quantity that exists.
func (r *Result) unit(d *model.Diagram, name string) quantity.Unit {
	switch {
	case strings.HasSuffix(name, ".volts"):
		return quantity.Volt
	case strings.HasSuffix(name, ".amps"):
		return quantity.Ampere
	case strings.HasSuffix(name, ".watts"):
		return quantity.Watt
	}
	if q, err := parameter(d, name); err == nil {
		return q.Unit
	}
	ref, what, _ := strings.Cut(name, ".")
	if p := r.Parts[ref]; p != nil {
		for _, f := range p.Figures {
			if f.Name == what {
				return f.Unit
			}
		}
	}
	return quantity.None
}
