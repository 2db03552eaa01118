package analysis

import (
	"math"

	"copperglass/analysis/newton"
	"copperglass/analysis/sparse"
)

// element is a law between the currents into its terminals and the voltages at
// them.
type element interface {
	// path returns the terminals between which a direct current can flow.
	path() []terminal

	// wire takes the element's places in the equations.
	wire(w *wiring)

	// load adds the element's currents and slopes to the equations.
	load(s *state)

	// flow tells the current into each terminal and the power absorbed where s
	// stands.
	flow(s *state, f *flow)
}

// ends are the terminals of an element of two.
type ends struct {
	a, b   terminal
	va, vb int // their voltages' places among the unknowns, −1 at a reference
}

func (e *ends) path() []terminal { return []terminal{e.a, e.b} }

func (e *ends) place(w *wiring) { e.va, e.vb = w.voltage(e.a), w.voltage(e.b) }

func (e *ends) flow(f *flow, amps, watts float64) {
	f.into(e.a, amps)
	f.into(e.b, -amps)
	if f.tells(e.va, amps) && f.tells(e.vb, amps) {
		f.watts += watts
	}
}

// leakage is the current in amperes up to which a pin counts as open; where
// nothing else determines the voltage there, there is no power to speak of.
const leakage = 1e-15

// wiring gives elements their places in the equations. Equation i is
// Kirchhoff's current law at the node whose voltage is unknown i, or the law of
// the branch whose current it is.
type wiring struct {
	place   []int // by node
	pattern *sparse.Pattern
}

func (w *wiring) voltage(t terminal) int { return w.place[t.node] }

// entry returns the slot for the derivative of equation row by unknown col, or
// −1 where there is none.
func (w *wiring) entry(row, col int) int {
	if row < 0 || col < 0 {
		return -1
	}
	return w.pattern.Entry(row, col)
}

// transfer is where the derivative of a current from node a to node b by the
// voltage from node c to node d stands in the equations.
type transfer [4]int

func (w *wiring) transfer(a, b, c, d int) transfer {
	return transfer{w.entry(a, c), w.entry(a, d), w.entry(b, c), w.entry(b, d)}
}

// state is where the elements look for voltages and put their currents.
type state struct {
	x   newton.Point
	aid newton.Aid
	eq  *newton.Equations
}

// volts returns the voltage from unknown a to unknown b.
func (s *state) volts(a, b int) float64 {
	high, low := 0.0, 0.0
	if a >= 0 {
		high, low = s.x.High[a], s.x.Low[a]
	}
	if b >= 0 {
		high, low = high-s.x.High[b], low-s.x.Low[b]
	}
	return high + low
}

// current adds a current that leaves node a and enters node b.
func (s *state) current(a, b int, amps float64) {
	s.term(a, amps)
	s.term(b, -amps)
}

// term adds x to equation i.
func (s *state) term(i int, x float64) {
	if i >= 0 {
		s.eq.Add(i, x)
	}
}

// termPair adds the sum of two floats to equation i.
func (s *state) termPair(i int, high, low float64) {
	if i >= 0 {
		s.eq.AddPair(i, high, low)
	}
}

// scale notes the magnitude of something that went into equation i.
func (s *state) scale(i int, x float64) {
	if i >= 0 {
		s.eq.Scale(i, x)
	}
}

func (s *state) slope(slot int, x float64) {
	if slot >= 0 {
		s.eq.Slopes.Values[slot] = x
	}
}

func (s *state) transfer(t transfer, siemens float64) {
	s.slope(t[0], siemens)
	s.slope(t[1], -siemens)
	s.slope(t[2], -siemens)
	s.slope(t[3], siemens)
}

// look returns where a device is looked at when x has it at asked, having
// bounded the step from last, and notes whether that is somewhere else.
func (s *state) look(asked, last float64, limit func(v, last float64) float64) float64 {
	if s.aid.Devices == newton.Exact {
		return asked
	}
	v := limit(asked, last)
	if v != asked {
		s.eq.Limited = true
	}
	return v
}

// flow gathers what flows in one part, and into the links at each node.
type flow struct {
	pins  []float64 // current into the part by pin, A
	nodes []float64 // current out of each node into elements, A
	moved []float64 // sum of the magnitudes of these, A
	vague []vague   // pins whose currents are small differences of large ones
	watts float64   // absorbed
	open  []bool    // the unknowns that nothing determines
	// largest is the largest current that devices hold within them, A.
	largest float64
}

// tells reports whether a current at the voltage of that unknown makes a power.
func (f *flow) tells(unknown int, amps float64) bool {
	return unknown < 0 || !f.open[unknown] || math.Abs(amps) > leakage
}

// absorb adds the power of currents into the terminals whose voltages are
// those unknowns. The currents add up to nothing.
func (f *flow) absorb(s *state, unknowns []int, amps []float64) {
	base := -2
	for i, u := range unknowns {
		if !f.tells(u, amps[i]) {
			continue
		}
		if base == -2 {
			base = u
		}
		f.watts += amps[i] * s.volts(u, base)
	}
}

func (f *flow) into(t terminal, amps float64) {
	f.nodes[t.node] += amps
	f.moved[t.node] += math.Abs(amps)
	if t.pin >= 0 {
		f.pins[t.pin] += amps
	}
}
