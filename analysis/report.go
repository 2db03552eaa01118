package analysis

import (
	"fmt"
	"math"
	"slices"

	"copperglass/analysis/newton"
	"copperglass/model/net"
	"copperglass/model/quantity"
)

// blank fills in nets and parts without figures.
func (r *Result) blank(c *circuit) {
	r.Volts = make([]float64, len(c.nets.Nets))
	for i := range r.Volts {
		r.Volts[i] = math.NaN()
	}
	r.Parts = make(map[string]*PartResult, len(c.parts))
	for _, p := range c.parts {
		q := &PartResult{Kind: p.Kind, Count: p.Multiple(), Power: math.NaN(), ForcedBeta: math.NaN()}
		for _, pin := range p.pins {
			q.Pins = append(q.Pins, PinResult{pin, c.nets.Pin(p.Ref, pin), math.NaN()})
		}
		r.Parts[p.Ref] = q
	}
	r.ResidualCurrent, r.PowerBalance = math.NaN(), math.NaN()
	r.circuit, r.point = nil, newton.Point{}
}

// report fills in the figures of the operating point x. Voltages at the
// unknowns that are open are left out.
func (r *Result) report(c *circuit, x newton.Point, open []int) {
	r.circuit, r.point = c, x
	s := &state{x: x}
	isOpen := make([]bool, c.unknowns)
	for _, i := range open {
		isOpen[i] = true
	}
	for n := range r.Volts {
		switch i := c.place[n]; {
		case c.floats(n) || i >= 0 && isOpen[i]:
			r.Volts[n] = math.NaN()
		default:
			r.Volts[n] = s.volts(i, -1)
		}
	}
	nodes := make([]float64, c.nodes)
	for _, p := range c.parts {
		f := &flow{pins: make([]float64, len(p.pins)), nodes: nodes}
		for _, e := range p.elements {
			e.flow(s, f)
		}
		q := r.Parts[p.Ref]
		q.Power = f.watts
		for i, amps := range f.pins {
			q.Pins[i].Amps = amps
		}
	}
	r.reportLinks(c, nodes)
	for _, p := range c.parts {
		q := r.Parts[p.Ref]
		q.State = transistorState(p, s)
		q.ForcedBeta = forcedBeta(q)
		q.Figures = c.figures(p, q, s, isOpen)
	}
}

// reportLinks adds the currents of links to those of their parts' pins.
// Kirchhoff's current law gives them; in a ring of links they share as equal
// resistances would.
func (r *Result) reportLinks(c *circuit, nodes []float64) {
	if len(c.links) == 0 {
		return
	}
	edges := make([][2]int, len(c.links))
	for i, l := range c.links {
		edges[i] = [2]int{l.a.node, l.b.node}
	}
	for i, amps := range net.Distribute(c.nodes, edges, nodes) {
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

// openFaults says which nets turned out to float.
func (c *circuit) openFaults(open []int) faults {
	var nets []int
	for n := range c.nets.Nets {
		if slices.Contains(open, c.place[n]) {
			nets = append(nets, n)
		}
	}
	if len(nets) == 0 {
		return nil
	}
	return faults{c.floating(nets)}
}

// The reported figures must satisfy Kirchhoff's current law at every net, and
// their powers must add up to nothing, within these shares.
const (
	currentShare  = 1e-9  // of the largest current at the net
	roundingError = 1e-14 // of the largest current anywhere, which devices may hold within them
	powerShare    = 1e-9  // of the sum of all powers' magnitudes
	leastCurrent  = 1e-14 // A, always small enough; times the largest voltage plus 1 V for a power
)

// verify sums up the reported currents and powers, apart from how they were
// found, and says where they do not balance.
func (r *Result) verify() faults {
	sum := make([]float64, len(r.Nets.Nets))
	largest := make([]float64, len(sum))
	watts, moved, volts := 0.0, 0.0, 1.0
	for _, p := range r.circuit.parts {
		q := r.Parts[p.Ref]
		for _, pin := range q.Pins {
			sum[pin.Net] += pin.Amps
			largest[pin.Net] = max(largest[pin.Net], math.Abs(pin.Amps))
		}
		watts += q.Power
		moved += math.Abs(q.Power)
	}
	rounding := roundingError*slices.Max(append(largest, 0)) + leastCurrent
	var found faults
	r.ResidualCurrent, r.PowerBalance = 0, watts
	for n, amps := range sum {
		r.ResidualCurrent = max(r.ResidualCurrent, math.Abs(amps))
		if v := math.Abs(r.Volts[n]); v > volts-1 {
			volts = v + 1
		}
		if !(math.Abs(amps) <= currentShare*largest[n]+rounding) {
			found.add(Fault{Text: fmt.Sprintf("the currents found at net %s do not add up: %s is left over", r.Nets.Nets[n].Name, quantity.Format(amps, quantity.Ampere)), Stops: true, Nets: []int{n}})
		}
	}
	if !(math.Abs(watts) <= powerShare*moved+rounding*volts) {
		found.add(Fault{Text: "the powers found do not add up: " + quantity.Format(watts, quantity.Watt) + " is left over", Stops: true})
	}
	return found
}
