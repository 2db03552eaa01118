package analysis

import (
	"context"
	"math"

	"copperglass/analysis/newton"
	"copperglass/analysis/sparse"
)

// system is a circuit's equations: Kirchhoff's current law at every junction
// but one of each island, then the laws of the branches.
type system struct {
	ctx     context.Context // until which the system is set up and evaluated
	circuit *circuit
	leaks   []int   // slot of the leak, by node voltage
	highest float64 // bound on the node voltages, V
	yield   float64 // see newton.Aid
	at      state   // where the elements look while they are loaded
}

var _ newton.System = (*system)(nil)

// newSystem numbers the unknowns. Junctions in fixed, by name, are the
// references of their islands.
func newSystem(c *circuit, fixed []int) *system {
	return newSystemUntil(context.Background(), c, fixed)
}

// newSystemUntil does the same until the context ends. What it says of itself
// after that is not to be used.
func newSystemUntil(ctx context.Context, c *circuit, fixed []int) *system {
	c.place = make([]int, c.nodes)
	for _, n := range fixed {
		c.place[n] = -1
	}
	c.voltages = 0
	for n := range c.place {
		if n%(4*askEvery) == 0 && ctx.Err() != nil {
			break
		}
		switch j := c.joined.Find(n); {
		case j != n:
			c.place[n] = c.place[j]
		case c.place[n] == 0:
			c.place[n] = c.voltages
			c.voltages++
		}
	}
	c.unknowns = c.voltages
	for p := range c.partsUntil(ctx) {
		for _, e := range p.elements {
			if b, isBranch := e.(*branch); isBranch {
				b.j = c.unknowns
				c.unknowns++
			}
		}
	}
	return &system{ctx: ctx, circuit: c, highest: c.highest()}
}

// highest returns a bound on the voltage between any two junctions. Networks
// of transistors, diodes and resistors have no node beyond those of the sources
// (A. N. Willson, The no-gain property for networks containing three-terminal
// elements, IEEE Trans. Circuits and Systems 22, 1975; from memory), so that
// the sum of all sources bounds it; a current source may raise it by what all
// resistors in series would drop.
func (c *circuit) highest() float64 {
	volts, amps, ohms := 1.0, 0.0, 0.0
	for _, p := range c.parts {
		for _, e := range p.elements {
			switch e := e.(type) {
			case *branch:
				volts += math.Abs(e.volts)
				ohms += e.ohms
			case *current:
				amps += math.Abs(e.amps)
			case *conductor:
				ohms += 1 / e.siemens
			case *junction:
				volts += e.law.BreakdownVoltage
			}
		}
	}
	return 2 * (volts + amps*(ohms+1e6))
}

// Size returns the number of unknowns.
func (s *system) Size() int { return s.circuit.unknowns }

// Nodes returns how many unknowns are voltages.
func (s *system) Nodes() int { return s.circuit.voltages }

// Pattern lets each element take its places.
func (s *system) Pattern(p *sparse.Pattern) {
	w := &wiring{place: s.circuit.place, pattern: p}
	s.leaks = make([]int, s.circuit.voltages)
	for i := range s.leaks {
		s.leaks[i] = p.Entry(i, i)
	}
	for p := range s.circuit.partsUntil(s.ctx) {
		for _, e := range p.elements {
			e.wire(w)
		}
	}
}

// Evaluate adds up what the elements say.
func (s *system) Evaluate(x newton.Point, a newton.Aid, e *newton.Equations) {
	e.Clear()
	a.Yield = s.yield
	s.at = state{x, a, e}
	at := &s.at
	for i, slot := range s.leaks {
		e.Slopes.Values[slot] = a.Leak
		if a.Leak > 0 {
			at.term(i, a.LeakCurrent(x, i))
		}
	}
	for i, p := range s.circuit.parts {
		if i%askEvery == 0 && s.ctx.Err() != nil {
			return
		}
		for _, e := range p.elements {
			e.load(at)
		}
	}
	e.Close()
}

// Reach bounds the voltages.
func (s *system) Reach(i int) float64 {
	switch {
	case i >= s.circuit.voltages:
		return math.Inf(1)
	case s.yield > 0:
		return s.highest + 2/s.yield
	}
	return s.highest
}

// reachBeyond raises the bound well above the voltages of x, if it is not: a
// current source on a transistor may need more than any resistor would. It reports
// whether it has.
func (s *system) reachBeyond(x newton.Point) bool {
	before := s.highest
	for _, v := range x.High[:s.circuit.voltages] {
		s.highest = max(s.highest, 100*math.Abs(v))
	}
	return s.highest > before
}

// Floor is 1 mV for a voltage and 1 µA for a current.
func (s *system) Floor(i int) float64 {
	if i < s.circuit.voltages {
		return 1e-3
	}
	return 1e-6
}
