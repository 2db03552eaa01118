package analysis

import (
	"context"

	"copperglass/analysis/newton"
)

// operation is the search for an operating point. Each of its steps reports
// whether that was the end of it: there is one, a fault says why there is none, or
// the context has ended.
type operation struct {
	*Result
	ctx      context.Context
	circuit  *circuit
	system   *system
	series   *newton.Series // knows which ways have been gone
	yielding *yielding
	begun    int    // how many solutions of yielding have been begun at
	faults   faults // found by the last step
}

// newOperation makes ready for a search with junctions in fixed as the references
// of their islands.
func newOperation(ctx context.Context, r *Result, c *circuit, fixed []int) (*operation, error) {
	s := newSystemUntil(ctx, c, fixed)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return &operation{Result: r, ctx: ctx, circuit: c, system: s, series: newton.NewSeries(s, newton.Settings{}), yielding: newYielding(s)}, nil
}

// approach begins at the operating point of a similar circuit. What it finds is not
// taken where leakage, or little more, determines an unknown: where that ends
// depends on where it began, and the outcome is to be that of a search without near.
func (o *operation) approach(near *Result) (ended bool) {
	o.series.Adopt(newton.Settings{Quick: true})
	ended = o.begin(o.circuit.startAt(near)) && o.ctx.Err() == nil && len(o.open) == 0 && !o.circuit.isLoose()
	if !ended {
		o.circuit.floatGates() // as they are before anything is known
		o.Iterations = 0
	}
	return ended
}

// operate finds the operating point. Where something drives a current it goes the
// short ways first and then looks whether there is a current that nothing takes,
// which is found out soon that way.
func (o *operation) operate(start *Result) (ended bool) {
	driven, full := o.circuit.hasCurrentSource(), newton.Settings{}
	o.series.Adopt(newton.Settings{Brief: driven})
	if o.begin(o.circuit.startAt(start)) {
		return true
	}
	if driven && (o.giveWay(newton.Settings{Brief: newton.IsLarge(o.system)}) || o.resume(full)) {
		return true
	}
	return o.giveWay(full) || o.resume(full)
}

func (o *operation) begin(start newton.Point) (ended bool) {
	x, stats := o.series.Solve(o.ctx, start)
	return o.accept(o.series, x, stats)
}

// resume goes ways that have not been gone.
func (o *operation) resume(set newton.Settings) (ended bool) {
	x, stats := o.series.Resume(o.ctx, set)
	return o.accept(o.series, x, stats)
}

// giveWay lets current sources give way, looks whether nothing takes their current,
// and begins where they give way least.
func (o *operation) giveWay(set newton.Settings) (ended bool) {
	found := o.yielding.solve(o.ctx, o.Result, set)
	if more := o.circuit.overtaxed(found); more != nil || o.ctx.Err() != nil {
		o.faults = more
		return true
	}
	if len(found) == o.begun {
		return false
	}
	o.begun = len(found)
	last := found[o.begun-1].x
	if o.system.reachBeyond(last) { // farther than any way has gone
		o.series = newton.NewSeries(o.system, newton.Settings{})
	}
	near := newton.NewSeries(o.system, newton.Settings{Near: true})
	x, stats := near.Solve(o.ctx, last)
	return o.accept(near, x, stats)
}

// accept reports a solution if it is one. Where more gates turn out to float by
// that, what others have found is of other equations.
func (o *operation) accept(by *newton.Series, x newton.Point, stats newton.Stats) (ended bool) {
	gates := o.circuit.floatingGates()
	o.faults, ended = o.Result.accept(o.ctx, o.circuit, by, x, stats)
	if o.circuit.floatingGates() > gates {
		o.yielding, o.begun = newYielding(o.system), 0
		if by != o.series {
			o.series = newton.NewSeries(o.system, newton.Settings{})
		}
	}
	return ended || o.ctx.Err() != nil
}
