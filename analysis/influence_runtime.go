package analysis

import (
	"context"
	"fmt"
	"math"

	"copperglass/model"
	"copperglass/model/quantity"
)

// runTimeSuffix ends the name of how long a battery lasts at what it gives now:
// BT1.run_time_hours, in hours.
const runTimeSuffix = ".run_time_hours"

// influenceOnRunTime tells what sets how long a battery lasts. With t(I, c) for
// the handbook's time at a current I from a share c of its charge,
//
//	dt/dp = ∂t/∂I · dI/dp + ∂t/∂c · dc/dp
//
// where dI/dp are the influences on the battery's current; ∂t/∂I is taken by a
// central difference of the handbook's curve, good to about eight digits
// between the points of its table.
func influenceOnRunTime(ctx context.Context, d *model.Diagram, o Options, ref string) (*Influences, error) {
	p := d.Part(ref)
	if p == nil || p.Kind != "battery" {
		return nil, fmt.Errorf("%s is no battery that could run down", ref)
	}
	all, err := Influence(ctx, d, o, ref+".+.amps")
	if err != nil {
		return nil, err
	}
	all.Of, all.Unit = ref+runTimeSuffix, quantity.Hour
	if !all.Result.Solved {
		return all, nil
	}
	values, _ := d.Resolve(p, all.Result.Set)
	hours, slope, err := runTimeAt(values, -all.Value/float64(p.Multiple()))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", all.Of, err)
	}
	all.Value = hours
	left := ref + ".charge_left"
	for i := range all.List {
		s := &all.List[i]
		s.Derivative *= -slope / float64(p.Multiple())
		if s.Parameter == left && s.Value > 0 {
			s.Derivative += hours / s.Value
		}
	}
	all.List = ranked(all.List, hours)
	return all, nil
}

// runTimeAt returns the hours that cells last at a current in amperes, and by
// how many hours an ampere more changes them.
func runTimeAt(v model.Values, amps float64) (hours, slope float64, err error) {
	const step = 1e-5 // of the current
	low, lowKnown := model.RunTime(v, amps*(1-step))
	high, highKnown := model.RunTime(v, amps*(1+step))
	now, known := model.RunTime(v, amps)
	if !known || !lowKnown || !highKnown || math.IsNaN(now) {
		return 0, 0, fmt.Errorf("the handbook does not know how long these cells last at %s", quantity.Short(amps, quantity.Ampere))
	}
	return now / 3600, (high - low) / (2 * step * amps) / 3600, nil
}
