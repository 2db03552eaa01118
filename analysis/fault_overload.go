package analysis

import (
	"context"
	"math"
)

// tooMuch is the current in amperes from which a junction across ideal sources
// is refused: a million amperes tell of a resistance that was forgotten.
const tooMuch = 1e6

// bound says that one node stands at most so many volts above another: as an
// ideal source has it, or as a junction's bound that carries less than tooMuch.
type bound struct {
	above, below int
	volts        float64
	part         *part
}

// overloads finds a loop of ideal sources and junctions in which nothing
// limits the current to less than tooMuch. Voltages that satisfy all bounds
// exist unless the bounds along a loop add up to less than nothing (R. Bellman,
// On a routing problem, Quarterly of Applied Mathematics 16, 1958).
func (c *circuit) overloads(ctx context.Context) faults {
	bounds := c.bounds(ctx)
	if bounds == nil {
		return nil
	}
	volts, by := make([]float64, c.nodes), make([]int, c.nodes)
	for i := range by {
		by[i] = -1
	}
	for range c.nodes {
		last := -1
		for i := range upTo(ctx, len(bounds)) {
			b := &bounds[i]
			if v := volts[b.below] + b.volts; v < volts[b.above]-1e-9 {
				volts[b.above], by[b.above], last = v, i, b.above
			}
		}
		if last < 0 || ctx.Err() != nil {
			return nil
		}
		if loop := loopBehind(last, bounds, by); loop != nil {
			return faults{overload(loop)}
		}
	}
	return nil
}

// bounds lists what ideal sources and junctions demand; nothing where no
// source is ideal.
func (c *circuit) bounds(ctx context.Context) []bound {
	var list []bound
	for p := range c.partsUntil(ctx) {
		for _, b := range p.ideal {
			plus, minus := c.joined.Find(b.plus), c.joined.Find(b.minus)
			list = append(list, bound{plus, minus, b.volts, p}, bound{minus, plus, -b.volts, p})
		}
	}
	if list == nil {
		return nil
	}
	for p := range c.partsUntil(ctx) {
		for _, e := range p.elements {
			j, isJunctions := e.(junctions)
			if !isJunctions {
				continue
			}
			for _, d := range j.drops(tooMuch) {
				list = append(list, bound{c.joined.Find(d.above.node), c.joined.Find(d.below.node), d.volts, p})
			}
		}
	}
	return list
}

// junctions is an element that holds p-n junctions.
type junctions interface {
	// drops returns the voltages at which its junctions carry so many amperes.
	drops(amps float64) []drop
}

// drop is a voltage from one terminal down to another.
type drop struct {
	above, below terminal
	volts        float64
}

func (j *junction) drops(amps float64) []drop {
	l := j.law
	list := []drop{{j.a, j.b, voltsAt(amps, l.SaturationCurrent, l.Emission*l.ThermalVoltage)}}
	if l.BreakdownVoltage > 0 {
		list = append(list, drop{j.b, j.a, l.BreakdownVoltage + voltsAt(amps, l.BreakdownCurrent, l.BreakdownEmission*l.ThermalVoltage)})
	}
	return list
}

func (q *bipolar) drops(amps float64) []drop {
	l := q.law
	be := drop{q.base, q.emitter, voltsAt(amps, l.SaturationCurrent, l.ForwardEmission*l.ThermalVoltage)}
	bc := drop{q.base, q.collector, voltsAt(amps, l.SaturationCurrent, l.ReverseEmission*l.ThermalVoltage)}
	if l.Polarity < 0 {
		be.above, be.below = be.below, be.above
		bc.above, bc.below = bc.below, bc.above
	}
	return []drop{be, bc}
}

// voltsAt is where is·(exp(V/scale) − 1) reaches so many amperes.
func voltsAt(amps, is, scale float64) float64 { return scale * math.Log1p(amps/is) }

// loopBehind follows the bounds that set each node's voltage back from node n
// and returns the loop that they run into, if they do.
func loopBehind(n int, bounds []bound, by []int) []bound {
	seen := make(map[int]bool)
	for by[n] >= 0 && !seen[n] {
		seen[n] = true
		n = bounds[by[n]].below
	}
	if by[n] < 0 {
		return nil
	}
	var loop []bound
	for at := n; ; {
		b := bounds[by[at]]
		loop = append(loop, b)
		if at = b.below; at == n {
			return loop
		}
	}
}

func overload(loop []bound) Fault {
	var names []string
	for _, b := range loop {
		names = append(names, b.part.Ref)
	}
	names = sortedNames(names)
	return Fault{
		Text:  list(names) + " form a loop in which nothing has resistance, and more than a million amperes would flow; put a resistor into it",
		Stops: true,
		Parts: names,
	}
}
