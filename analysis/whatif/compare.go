package whatif

import (
	"cmp"
	"context"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Difference is a quantity that a variation moves.
type Difference struct {
	Of     string // named as for analysis.Quantity
	Unit   quantity.Unit
	Before float64 // SI; of a stack what the whole has
	After  float64 // SI
	Count  int     // how many alike share it, 1 but for a stack
}

// Relative is the change over what was before; NaN where that was nought.
func (d Difference) Relative() float64 { return (d.After - d.Before) / d.Before }

// Comparison is a circuit beside a variation of itself, in one mode.
type Comparison struct {
	Before, After *analysis.Result
	Supply        [2]float64   // out of all batteries and supplies before and after, A
	Differences   []Difference // as people ask: loads, sources, other parts, nets
	Overloads     []Overload   // of which a figure is above its rating on one side at least
}

// Telling returns the differences that are worth a line for people: of a
// thousandth at least, of what is more than next to nothing.
func (c *Comparison) Telling() []Difference {
	const tiny = 1e-9 // A, V and W below which nobody cares
	var list []Difference
	for _, x := range c.Differences {
		if !(math.Abs(x.Relative()) < telling) && math.Max(math.Abs(x.Before), math.Abs(x.After)) > tiny {
			list = append(list, x)
		}
	}
	return list
}

// Solved reports whether both sides are.
func (c *Comparison) Solved() bool { return c.Before.Solved && c.After.Solved }

// telling is the change that is worth a line, of what was before.
const telling = 1e-3

// least is the relative change from which a difference is told.
const least = 1e-6

// Compare solves d as it is and with the changes put over it. It fails with an
// unknown mode or the context's error; what cannot be solved has its faults in
// Before and After, and there are no differences then.
func Compare(ctx context.Context, d *model.Diagram, o analysis.Options, changes model.Setting) (*Comparison, error) {
	before, err := analysis.Solve(ctx, d, o)
	if err != nil {
		return nil, err
	}
	varied := o
	varied.Set, varied.Start = o.Set.With(changes), before
	after, err := analysis.Solve(ctx, d, varied)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Before: before, After: after}
	if c.Solved() {
		c.compare(ctx, d)
	}
	return c, ctx.Err()
}

// InModes compares in each mode of d, in their order, or once without.
func InModes(ctx context.Context, d *model.Diagram, set, changes model.Setting) ([]*Comparison, error) {
	names := []string{""}
	if len(d.Modes) > 0 {
		names = nil
	}
	for _, m := range d.Modes {
		names = append(names, m.Name)
	}
	var all []*Comparison
	for _, name := range names {
		c, err := Compare(ctx, d, analysis.Options{Mode: name, Set: set}, changes)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
}

func (c *Comparison) compare(ctx context.Context, d *model.Diagram) {
	c.Supply = [2]float64{analysis.Summarise(d, c.Before).SupplyCurrent, analysis.Summarise(d, c.After).SupplyCurrent}
	parts := slices.SortedFunc(slices.Values(d.Parts), func(a, b *model.Part) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), model.NaturalCompare(a.Ref, b.Ref))
	})
	for _, p := range parts {
		c.comparePart(p)
	}
	for i, n := range c.Before.Nets.Nets {
		c.add(Difference{"net." + n.Name + ".volts", quantity.Volt, c.Before.Volts[i], c.After.Volts[i], 1})
	}
	c.Overloads = overloads(review.Rated(ctx, d, c.Before), review.Rated(ctx, d, c.After))
}

// rank is the place of a part among those that people ask about: what the
// circuit is there for, what feeds it, all others.
func rank(p *model.Part) int {
	switch k := p.LookupKind(); {
	case k != nil && k.Load:
		return 0
	case p.Kind == "battery" || p.Kind == "supply" || p.Kind == "current_source":
		return 1
	}
	return 2
}

func (c *Comparison) comparePart(p *model.Part) {
	before, after := c.Before.Parts[p.Ref], c.After.Parts[p.Ref]
	if before == nil || after == nil || len(before.Pins) != len(after.Pins) {
		return
	}
	pins := before.Pins
	if len(pins) == 2 {
		pins = pins[:1] // the other carries the same
	}
	for i, pin := range pins {
		c.add(Difference{p.Ref + "." + pin.Name + ".amps", quantity.Ampere, pin.Amps, after.Pins[i].Amps, p.Multiple()})
	}
	c.add(Difference{p.Ref + ".watts", quantity.Watt, before.Power, after.Power, p.Multiple()})
}

func (c *Comparison) add(x Difference) {
	const nothing = 1e-12 // in any unit
	if math.Abs(x.After-x.Before) > least*max(math.Abs(x.Before), math.Abs(x.After))+nothing {
		c.Differences = append(c.Differences, x)
	}
}
