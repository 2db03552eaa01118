package analysis

import (
	"context"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// sampler solves samples, each from the nominal operating point: a sample's
// figures then do not depend on those before it.
type sampler struct {
	batch   *batch
	tracker *Tracker
	moves   []Move     // one for each of the batch's tolerances
	sums    [][]*Gauge // by quantity: what adds up to it
	values  []float64  // by quantity, of the last sample
	side    *side      // the nominal stable state; nil where there is no other
	left    bool       // whether the last sample was not in it
}

// newSampler sets up for a batch whose nominal operating point is r.
func newSampler(ctx context.Context, b *batch, r *Result, of []string) (*sampler, error) {
	o := b.options
	o.Start = r
	t, err := Track(ctx, b.diagram, o)
	if err != nil {
		return nil, err
	}
	w := &sampler{batch: b, tracker: t, moves: make([]Move, len(b.tolerances)), values: make([]float64, len(of)), side: sideOf(r)}
	if t.result.Solved {
		t.home = newton.NewPoint(len(t.at.High))
		t.home.CopyFrom(t.at)
	}
	for i, tol := range b.tolerances {
		w.moves[i] = Move{Ref: tol.ref, Name: tol.name}
	}
	for _, name := range of {
		sum, err := gauges(r, b.diagram, b.summands(name))
		if err != nil {
			return nil, err
		}
		w.sums = append(w.sums, sum)
	}
	return w, nil
}

// solve returns the result with the parameters at the given values. It is good
// until the next sample. Where the circuit at hand does not do, the sample is
// solved as any drawing is; the circuit does for the next, into which all
// constants that vary are written again.
func (w *sampler) solve(ctx context.Context, at []float64) (*Result, error) {
	t := w.tracker
	for i := range w.moves {
		w.moves[i].Value = model.Number(at[i])
		t.set(&w.moves[i])
	}
	if t.resume(ctx) {
		return t.result, nil
	}
	t.usable = t.result.canBeFollowed()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	o := t.options
	o.Set = model.Setting{}.With(t.options.Set)
	return Solve(ctx, w.batch.diagram, o)
}

// read returns the quantities of a result. They are good until the next.
func (w *sampler) read(r *Result) []float64 {
	for i, sum := range w.sums {
		w.values[i] = 0
		for _, g := range sum {
			w.values[i] += g.Read(r)
		}
	}
	return w.values
}
