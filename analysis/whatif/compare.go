package whatif

import (
	"context"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Difference is a quantity that a variation moves.
type Difference struct {
	Of     string // named as for analysis.Quantity
	Unit   quantity.Unit
	Before float64 // SI
	After  float64 // SI
}

// Relative is the change over what was before; NaN where that was nought.
func (d Difference) Relative() float64 { return (d.After - d.Before) / d.Before }

// Comparison is a circuit beside a variation of itself.
type Comparison struct {
	Before, After *analysis.Result
	Differences   []Difference // nets first, then currents and powers part by part
}

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
	if before.Solved && after.Solved {
		c.compareNets()
		c.compareParts(d)
	}
	return c, nil
}

func (c *Comparison) compareNets() {
	for i, n := range c.Before.Nets.Nets {
		c.add("net."+n.Name+".volts", quantity.Volt, c.Before.Volts[i], c.After.Volts[i])
	}
}

func (c *Comparison) compareParts(d *model.Diagram) {
	refs := make([]string, 0, len(d.Parts))
	for _, p := range d.Parts {
		refs = append(refs, p.Ref)
	}
	slices.SortFunc(refs, model.NaturalCompare)
	for _, ref := range refs {
		before, after := c.Before.Parts[ref], c.After.Parts[ref]
		if before == nil || after == nil || len(before.Pins) != len(after.Pins) {
			continue
		}
		pins := before.Pins
		if len(pins) == 2 {
			pins = pins[:1] // the other carries the same
		}
		for i, pin := range pins {
			c.add(ref+"."+pin.Name+".amps", quantity.Ampere, pin.Amps, after.Pins[i].Amps)
		}
		c.add(ref+".watts", quantity.Watt, before.Power, after.Power)
	}
}

func (c *Comparison) add(of string, unit quantity.Unit, before, after float64) {
	const nothing = 1e-12 // in any unit
	if math.Abs(after-before) > least*max(math.Abs(before), math.Abs(after))+nothing {
		c.Differences = append(c.Differences, Difference{of, unit, before, after})
	}
}
