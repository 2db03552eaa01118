package analysis

import (
	"context"
	"maps"
	"math"
	"slices"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// bench solves samples: it keeps one circuit and changes constants in it, for
// the joins are the same in every sample.
type bench struct {
	batch  *batch
	result *Result // of the last sample; its setting holds the sample's values
	series *newton.Series
	start  newton.Point // the nominal solution
	open   []bool       // by net: whether nothing determines its voltage there
	varied []variedPart
}

// variedPart is a part with parameters that have a tolerance.
type variedPart struct {
	part       *part
	parameters []int // places among the batch's tolerances
	values     model.Values
}

// newBench sets up for the batch. It owns its circuit.
func newBench(ctx context.Context, b *batch) (*bench, error) {
	o := b.options
	o.Set = model.Setting{}.With(o.Set)
	r, err := Solve(ctx, b.diagram, o)
	if err != nil || !r.Solved {
		return nil, err
	}
	w := &bench{batch: b, result: r, start: r.point, open: openNets(r)}
	fixed, _ := r.circuit.reference()
	w.series = newton.NewSeries(newSystem(r.circuit, fixed), newton.Settings{})
	at := map[string]int{}
	for i, t := range b.tolerances {
		p := r.circuit.byRef[t.ref]
		if p == nil || p.kind.Equation == nil || p.leftOpen {
			continue
		}
		k, ok := at[t.ref]
		if !ok {
			k = len(w.varied)
			at[t.ref] = k
			w.varied = append(w.varied, variedPart{part: p})
		}
		w.varied[k].parameters = append(w.varied[k].parameters, i)
	}
	for i := range w.varied {
		w.varied[i].values = w.ownValues(&w.varied[i])
	}
	return w, nil
}

// ownValues returns the part's values for samples to be written into, or nil
// where others of them follow from those that vary.
func (w *bench) ownValues(v *variedPart) model.Values {
	d, nominal := w.batch.diagram, v.part.values
	for _, i := range v.parameters {
		t := &w.batch.tolerances[i]
		moved, _ := d.Resolve(v.part.Part, withNumber(w.result.Set, t.Parameter, t.High))
		for name, x := range moved {
			if name != t.name && !x.Same(nominal[name]) {
				return nil
			}
		}
	}
	return maps.Clone(nominal)
}

// valuesOf returns the part's values in the sample.
func (w *bench) valuesOf(v *variedPart, at []float64) model.Values {
	if v.values == nil {
		values, _ := w.batch.diagram.Resolve(v.part.Part, w.result.Set)
		return values
	}
	for _, i := range v.parameters {
		v.values[w.batch.tolerances[i].name] = model.Number(at[i])
	}
	return v.values
}

// solve returns the result with the parameters at the given values. It is good
// until the next sample. Where the circuit at hand does not do, the sample is
// solved as any drawing is.
func (w *bench) solve(ctx context.Context, at []float64) (*Result, error) {
	for i, t := range w.batch.tolerances {
		w.result.Set.Set(t.ref, t.name, model.Number(at[i]))
	}
	if w.change(at) && w.operate(ctx) {
		return w.result, nil
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	o := w.batch.options
	o.Set = model.Setting{}.With(w.result.Set)
	return Solve(ctx, w.batch.diagram, o)
}

// change puts the sample's constants into the circuit.
func (w *bench) change(at []float64) bool {
	for k := range w.varied {
		p := w.varied[k].part
		equation := p.kind.Equation(p.Part, w.valuesOf(&w.varied[k], at))
		if len(equation) != len(p.elements) {
			return false
		}
		for i, e := range equation {
			like, ok := withConstants(p.elements[i], e, float64(p.Multiple()))
			if !ok || isSenseless(e) {
				return false
			}
			p.elements[i] = like
		}
	}
	return true
}

// operate finds the operating point from the nominal one. It is not taken where
// other nets float: then a fresh look is due.
func (w *bench) operate(ctx context.Context) bool {
	x, stats := w.series.Solve(ctx, w.start)
	if stats.Status != newton.Converged {
		return false
	}
	within := w.result.report(w.result.circuit, x, stats.Open)
	return slices.Equal(w.open, openNets(w.result)) && !w.result.verify(within).stop()
}

func openNets(r *Result) []bool {
	open := make([]bool, len(r.Volts))
	for i, v := range r.Volts {
		open[i] = math.IsNaN(v)
	}
	return open
}
