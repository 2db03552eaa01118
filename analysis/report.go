package analysis

import (
	"context"
	"fmt"
	"math"

	"copperglass/analysis/newton"
	"copperglass/model/net"
	"copperglass/model/quantity"
)

// blank fills in nets and parts without figures.
func (r *Result) blank(ctx context.Context, c *circuit) {
	r.Volts = undetermined(len(c.nets.Nets))
	r.Parts = make(map[string]*PartResult, len(c.parts))
	r.ordered = make([]*PartResult, len(c.parts))
	results, pins := make([]PartResult, len(c.parts)), make([]PinResult, 0, c.pins())
	for i := range upTo(ctx, len(c.parts)) {
		p, first := c.parts[i], len(pins)
		for j, pin := range p.pins {
			pins = append(pins, PinResult{pin, p.nets[j], math.NaN()})
		}
		q := &results[i]
		*q = PartResult{Kind: p.Kind, Count: p.Multiple(), Pins: pins[first:len(pins):len(pins)], Power: math.NaN(), ForcedBeta: math.NaN()}
		r.ordered[i], r.Parts[p.Ref] = q, q
	}
	r.ResidualCurrent, r.PowerBalance = math.NaN(), math.NaN()
	r.circuit, r.point = nil, newton.Point{}
}

// pins returns how many pins the parts have.
func (c *circuit) pins() int {
	n := 0
	for _, p := range c.parts {
		n += len(p.pins)
	}
	return n
}

// tally is the workspace of a report.
type tally struct {
	at           state
	flow         flow
	sum, largest []float64 // by net, A
	links        [][2]int  // the nodes that each link joins
	hanging      hanging
	vague        []vaguePart
	rest         []float64 // by junction: what all currents there leave over, A
	around       []float64 // by junction: the sum of their magnitudes, A
	distributor  net.Distributor
}

func newTally(ctx context.Context, c *circuit) *tally {
	most := 0
	for p := range c.partsUntil(ctx) {
		most = max(most, len(p.pins))
	}
	return &tally{
		flow:    flow{pins: make([]float64, most), nodes: make([]float64, c.nodes), moved: make([]float64, c.nodes), open: make([]bool, c.unknowns)},
		sum:     make([]float64, len(c.nets.Nets)),
		largest: make([]float64, len(c.nets.Nets)),
		links:   c.linkEnds(),
		hanging: c.findHanging(ctx),
	}
}

// prepare makes the workspace for the unknowns as they are numbered now, unless
// there is one, and reports whether it was left to.
func (c *circuit) prepare(ctx context.Context) bool {
	if c.tally != nil && len(c.tally.flow.open) == c.unknowns {
		return true
	}
	t := newTally(ctx, c)
	if ctx.Err() != nil {
		return false
	}
	c.tally = t
	return true
}

func (c *circuit) linkEnds() [][2]int {
	ends := make([][2]int, len(c.links))
	for i, l := range c.links {
		ends[i] = [2]int{l.a.node, l.b.node}
	}
	return ends
}

// report fills in the figures of the operating point x. Voltages at the
// unknowns that are open are left out. It returns the largest current that
// devices hold within them, in amperes. Where the context ends the figures are
// not to be used.
func (r *Result) report(ctx context.Context, c *circuit, x newton.Point, open []int) (within float64) {
	r.circuit, r.point = c, x
	if !c.prepare(ctx) {
		return 0
	}
	w := c.tally
	w.at = state{x: x}
	s, f := &w.at, &w.flow
	clear(f.open)
	for _, i := range open {
		f.open[i] = true
	}
	clear(f.nodes)
	clear(f.moved)
	f.largest = 0
	for i := range upTo(ctx, len(c.parts)) {
		clear(f.pins)
		f.watts, f.vague = 0, f.vague[:0]
		for _, e := range c.parts[i].elements {
			e.flow(s, f)
		}
		w.note(i)
		q := r.ordered[i]
		q.Power = f.watts
		for i := range q.Pins {
			q.Pins[i].Amps = f.pins[i]
		}
	}
	r.clarify(ctx, c)
	r.reportLinks(c)
	if ctx.Err() != nil {
		return 0
	}
	for i := range upTo(ctx, len(c.parts)) {
		q := r.ordered[i]
		q.State = transistorState(c.parts[i], s)
		q.ForcedBeta = forcedBeta(q)
	}
	r.findHeld(c, &w.hanging, f.open)
	for n := range upTo(ctx, len(r.Volts)) {
		r.Volts[n] = s.volts(c.place[n], -1)
		if c.floats(n) || c.isOpen(n) {
			r.Volts[n] = math.NaN()
		}
	}
	for i := range upTo(ctx, len(c.parts)) {
		q := r.ordered[i]
		q.Figures = c.figures(q.Figures[:0], c.parts[i], q, s, f.open)
	}
	return f.largest
}

// vague is the current into a terminal that a device knows to within off only.
// What is found better there, the terminal balance carries too.
type vague struct {
	at, balance terminal
	amps, off   float64
}

// vaguePart is a vague current of the part of that place.
type vaguePart struct {
	vague
	part int
}

// note keeps the vague currents of part i that are a pin's own.
func (t *tally) note(i int) {
	if i == 0 {
		t.vague = t.vague[:0]
	}
	for _, v := range t.flow.vague {
		if v.at.pin >= 0 {
			t.vague = append(t.vague, vaguePart{v, i})
		}
	}
}

// clarify takes vague currents from the rest of their junction by Kirchhoff's
// current law, where that is known better: the collector current of a transistor
// that is driven hard is the difference of two that are a billion times larger,
// while the resistor beside it tells it to all digits.
func (r *Result) clarify(ctx context.Context, c *circuit) {
	t := c.tally
	if len(t.vague) == 0 {
		return
	}
	t.sumJunctions(ctx, c)
	const rounding = 1e-15
	for i := range upTo(ctx, len(t.vague)) {
		v := t.vague[i]
		j, other := c.joined.Find(v.at.node), c.joined.Find(v.balance.node)
		if j == other || rounding*(t.around[j]-math.Abs(v.amps)) > v.off || c.isOpen(v.at.node) {
			continue
		}
		amps := t.rest[j]
		t.shift(r, v, v.at, j, -amps)
		t.shift(r, v, v.balance, other, amps)
	}
}

// shift adds amperes to the current into a terminal.
func (t *tally) shift(r *Result, v vaguePart, at terminal, junction int, amps float64) {
	t.flow.nodes[at.node] += amps
	t.rest[junction] += amps
	if at.pin >= 0 {
		r.ordered[v.part].Pins[at.pin].Amps += amps
	}
}

// sumJunctions adds up what flows at each junction.
func (t *tally) sumJunctions(ctx context.Context, c *circuit) {
	if t.rest == nil {
		t.rest, t.around = make([]float64, c.nodes), make([]float64, c.nodes)
	}
	clear(t.rest)
	clear(t.around)
	for n := range upTo(ctx, c.nodes) {
		j := c.joined.Find(n)
		t.rest[j] += t.flow.nodes[n]
		t.around[j] += t.flow.moved[n]
	}
}

// reportLinks adds the currents of links to those of their parts' pins.
// Kirchhoff's current law gives them, from the side of the link where less
// flows; in a ring of links they share as equal resistances would.
func (r *Result) reportLinks(c *circuit) {
	if len(c.links) == 0 {
		return
	}
	t := c.tally
	for i, amps := range t.distributor.Distribute(c.nodes, t.links, t.flow.nodes, t.flow.moved) {
		l := c.links[i]
		q := r.Parts[l.part.Ref]
		if l.a.pin >= 0 {
			q.Pins[l.a.pin].Amps += amps
		}
		if l.b.pin >= 0 {
			q.Pins[l.b.pin].Amps -= amps
		}
	}
}

// openFaults says which nets turned out to float, and which gates.
func (c *circuit) openFaults(open []int) faults {
	isOpen := make(map[int]bool, len(open))
	for _, i := range open {
		isOpen[i] = true
	}
	for _, one := range c.tally.hanging.list {
		for _, n := range one.nodes {
			isOpen[c.place[n]] = isOpen[c.place[n]] && !one.held
		}
	}
	var nets []int
	for n := range c.nets.Nets {
		if isOpen[c.place[n]] {
			nets = append(nets, n)
		}
	}
	found := append(c.heldFaults(), c.gateFaults()...)
	if len(nets) > 0 {
		found.add(c.floating(nets, "nothing that conducts leads"))
	}
	return found
}

// The reported figures must satisfy Kirchhoff's current law at every net, and
// their powers must add up to nothing, within these shares. At no net may more
// be left over than currentShare of the largest current in the circuit and
// leastCurrent; where smaller currents meet, the share is of theirs.
const (
	currentShare  = 1e-9
	leastCurrent  = 1e-15 // A
	roundingError = 1e-13 // of the largest current anywhere, also within devices, which no net is asked to balance beyond
	powerShare    = 1e-9  // of the sum of all powers' magnitudes
)

// verify sums up the reported currents and powers, apart from how they were
// found, and says where they do not balance. within is the largest current
// that devices hold within them.
func (r *Result) verify(within float64) faults {
	sum, largest := r.circuit.tally.sum, r.circuit.tally.largest
	clear(sum)
	clear(largest)
	watts, moved, volts, most := 0.0, 0.0, 1.0, 0.0
	for _, q := range r.ordered {
		for _, pin := range q.Pins {
			sum[pin.Net] += pin.Amps
			largest[pin.Net] = max(largest[pin.Net], math.Abs(pin.Amps))
			most = max(most, math.Abs(pin.Amps))
		}
		watts += q.Power
		moved += math.Abs(q.Power)
	}
	for _, v := range r.point.High[:r.circuit.voltages] {
		volts = max(volts, 1+math.Abs(v))
	}
	rounding := roundingError*max(within, most) + leastCurrent*float64(10+r.circuit.voltages) // all nodes may meet at the reference
	var found faults
	r.ResidualCurrent, r.PowerBalance = 0, watts
	for n, amps := range sum {
		r.ResidualCurrent = max(r.ResidualCurrent, math.Abs(amps))
		if !(math.Abs(amps) <= min(currentShare*largest[n]+rounding, currentShare*most+leastCurrent)) {
			found.add(Fault{Text: fmt.Sprintf("the currents found at net %s do not add up: %s is left over", r.Nets.Nets[n].Name, quantity.Format(amps, quantity.Ampere)), Stops: true, Nets: []int{n}})
		}
	}
	if !(math.Abs(watts) <= powerShare*moved+rounding*volts) {
		found.add(Fault{Text: "the powers found do not add up: " + quantity.Format(watts, quantity.Watt) + " is left over", Stops: true})
	}
	return found
}
