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

// giveWay solves the system with current sources that give way, at compliance
// voltages from 1 V on, each ten times the last, for as long as there is a
// solution. Without such sources these are second tries, each from the last
// solution.
func (r *Result) giveWay(ctx context.Context, s *system, set newton.Settings) []relaxed {
	defer func() { s.yield = 0 }()
	series := newton.NewSeries(s, set)
	var found []relaxed
	var last newton.Point
	for volts := 1.0; volts <= farthest; volts *= 10 {
		s.yield = 1 / volts
		x, stats := series.Solve(ctx, last)
		r.Iterations += stats.Iterations
		if stats.Status != newton.Converged {
			break
		}
		last = x.Clone()
		found = append(found, relaxed{volts, last})
	}
	return found
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
