package analysis

import (
	"context"

	"copperglass/analysis/newton"
	"copperglass/model/quantity"
)

// relaxed is a solution with current sources that give way: each drives less
// the more volts it takes, in proportion, and nothing at the compliance
// voltage.
type relaxed struct {
	compliance float64 // V
	x          newton.Point
}

// farthest is the largest compliance voltage that is tried, in volts.
const farthest = 1e4

// yielding solves a system with current sources that give way, at compliance
// voltages from 1 V on, each ten times the last, for as long as there is a
// solution.
type yielding struct {
	system     *system
	series     *newton.Series // nil before the first
	compliance float64        // the next, V
	found      []relaxed
	stuck      bool // whether it has been tried at that voltage
}

func newYielding(s *system) *yielding {
	return &yielding{system: s, compliance: 1}
}

// solve goes on by some ways from where there was no solution by others, and
// returns what has been found. The iterations are the result's.
func (y *yielding) solve(ctx context.Context, r *Result, set newton.Settings) []relaxed {
	defer func() { y.system.yield = 0 }()
	for y.compliance <= farthest {
		y.system.yield = 1 / y.compliance
		x, stats := y.next(ctx, set)
		r.Iterations += stats.Iterations
		if y.stuck = stats.Status != newton.Converged; y.stuck {
			break
		}
		y.found = append(y.found, relaxed{y.compliance, x.Clone()})
		y.compliance *= 10
	}
	return y.found
}

// next solves at the next voltage, from the last solution if there is one.
func (y *yielding) next(ctx context.Context, set newton.Settings) (newton.Point, newton.Stats) {
	if y.stuck {
		return y.series.Resume(ctx, set)
	}
	var start newton.Point
	if n := len(y.found); n > 0 {
		start = y.found[n-1].x
	}
	if y.series == nil {
		y.series = newton.NewSeries(y.system, set)
	}
	y.series.Adopt(set)
	return y.series.Solve(ctx, start)
}

// overtaxed returns the fault of the current sources whose voltage follows the
// compliance voltage: at the last step from one to the tenfold it has become
// more than boundless times as large. Where something takes a source's
// current, the voltage comes to a limit; from a resistance it would still have
// to rise to several times the compliance voltage.
func (c *circuit) overtaxed(found []relaxed) faults {
	const least, boundless = 2, 8
	if len(found) < least {
		return nil
	}
	before, last := &state{x: found[len(found)-2].x}, &state{x: found[len(found)-1].x}
	var names []string
	for _, p := range c.parts {
		for _, e := range p.elements {
			s, ok := e.(*current)
			if !ok || s.feeds || s.amps == 0 {
				continue
			}
			v, w := before.volts(s.va, s.vb), last.volts(s.va, s.vb)
			if w*s.amps > 0 && w/v > boundless {
				names = append(names, p.Ref)
			}
		}
	}
	if names == nil {
		return nil
	}
	names = sortedNames(names)
	return faults{{
		Text:  "nothing in the circuit takes the current of " + list(names) + ", even with " + quantity.Format(found[len(found)-1].compliance, quantity.Volt) + " behind it; give it a way that conducts, such as a resistor across the source",
		Stops: true,
		Parts: names,
	}}
}
