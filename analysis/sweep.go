package analysis

import (
	"context"
	"fmt"
	"math"
	"strconv"
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
	// First is the operating point that it begins at, which tells which of several
	// stable states that is; nil where there are no points.
	First *Result
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
	case first == last:
		return nil, fmt.Errorf("from %v to %v nothing moves: give two ends that differ", first, last)
	case log && !(first*last > 0):
		return nil, fmt.Errorf("from %v to %v there are no equal ratios: both must be above 0", first, last)
	}
	values := make([]float64, n)
	for i := range values {
		t := float64(i) / float64(n-1)
		x, size := first+(last-first)*t, max(math.Abs(first), math.Abs(last))
		if log {
			x = first * math.Pow(last/first, t)
			size = math.Abs(x)
		}
		values[i] = rounded(x, size)
	}
	return values, nil
}

// rounded returns x to twelve digits of a number of that size, so that steps are
// those that somebody would write: 253.15, not 253.14999999999998.
func rounded(x, size float64) float64 {
	decimals := 11 - int(math.Floor(math.Log10(size)))
	if decimals < 0 {
		return x
	}
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'f', decimals, 64), 64)
	if err != nil {
		return x
	}
	return y + 0 // no −0
}

// Sweep solves d for each value of the parameter, each time beginning at the
// solution before, so that a circuit with two states stays in the one it is in
// for as long as it lasts. The error is of a parameter or a quantity that does
// not exist, a mode that the drawing does not have, or the context's.
func Sweep(ctx context.Context, d *model.Diagram, o SweepOptions) (*SweepResult, error) {
	s, err := newSweep(d, &o)
	if err != nil || len(o.Values) == 0 {
		return s, err
	}
	o.Set = withNumber(o.Set, o.Parameter, o.Values[0])
	k, err := Track(ctx, d, o.Options)
	if err != nil {
		return nil, err
	}
	s.First = k.Keep()
	w := &sweeping{tracker: k, diagram: d, of: o.Of}
	w.ref, w.name, _ = strings.Cut(o.Parameter, ".")
	for i := range s.Points {
		p := &s.Points[i]
		if p.There, p.Solved, err = w.at(ctx, p.Value); err != nil {
			return nil, err
		}
	}
	for i := len(s.Points) - 1; i >= 0 && o.Back; i-- {
		p := &s.Points[i]
		if p.Back, _, err = w.at(ctx, p.Value); err != nil {
			return nil, err
		}
	}
	s.Faults = w.faults
	for i, g := range w.gauges {
		s.Units[i] = g.Unit
	}
	return s, nil
}

// newSweep returns the points of a sweep, not solved yet.
func newSweep(d *model.Diagram, o *SweepOptions) (*SweepResult, error) {
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

// sweeping is a sweep on its way.
type sweeping struct {
	tracker   *Tracker
	diagram   *model.Diagram
	ref, name string // of the parameter
	of        []string
	gauges    []*Gauge // of the quantities; nil before the first point that was solved
	faults    []Fault  // of the first point that was not
}

// at moves the parameter to x and returns the quantities there.
func (w *sweeping) at(ctx context.Context, x float64) (values []float64, solved bool, err error) {
	if err := w.tracker.Move(ctx, Move{w.ref, w.name, model.Number(x)}); err != nil {
		return nil, false, err
	}
	r := w.tracker.Result()
	if !r.Solved {
		if w.faults == nil {
			w.faults = r.Faults
		}
		return undetermined(len(w.of)), false, nil
	}
	if w.gauges == nil {
		if w.gauges, err = gauges(r, w.diagram, w.of); err != nil {
			return nil, false, err
		}
	}
	values = make([]float64, len(w.gauges))
	for i, g := range w.gauges {
		values[i] = g.Read(r)
	}
	return values, true, nil
}

// gauges returns the gauges of the quantities of those names.
func gauges(r *Result, d *model.Diagram, names []string) ([]*Gauge, error) {
	list := make([]*Gauge, len(names))
	for i, name := range names {
		var err error
		if list[i], err = NewGauge(r, d, name); err != nil {
			return nil, err
		}
	}
	return list, nil
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
