package analysis

import (
	"math"
	"strings"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// Limits tells whose share of what limits a current is how large, as fractions
// that make up 1: for each of the currents, named REF.PIN.amps, by reference, of
// those that have any. It is nil for a current that nothing determines or that is
// none. r is an operating point of d.
//
// About its operating point every part is a voltage and a resistance in a row,
// V = E + R·I, or the like in more pins. A part's share is how far the current
// falls, as a fraction of how far the part's R grows: for a ring of resistors its
// resistance in that of the ring. As R·δε·I in a row is the same as I·δε side by
// side, that is had for all parts from one solution λ of the adjoint (see
// Influence) and the currents I_k into their pins, whatever their laws:
//
//	∂I/∂ε = Σ_k λ_k I_k
//
// The whole is 1 as all resistances that grow alike divide all currents alike. A
// source of current that sets I has all of it, a source of voltage none, and a
// part beside the way of the current, which takes some of it off, a share below 0.
func Limits(d *model.Diagram, r *Result, currents []string) []map[string]float64 {
	all := make([]map[string]float64, len(currents))
	var probes []probe
	var places []int // by probe, in currents
	if r = r.whole(d); r == nil {
		return all
	}
	for i, name := range currents {
		if p, err := r.probe(d, name); err == nil && len(p.pins) == 1 && strings.HasSuffix(name, ".amps") {
			probes, places = append(probes, p), append(places, i)
		}
	}
	if len(probes) == 0 {
		return all
	}
	t, _ := newTangent(d, r, probes...)
	if t == nil {
		return all
	}
	for i, p := range probes {
		if amps := r.Parts[p.ref].Pin(p.pins[0]).Amps; amps != 0 && len(t.adjoints[i].High) > 0 {
			all[places[i]] = t.limits(r, p.ref, t.adjoints[i], amps)
		}
	}
	return all
}

// leastShare is the share below which a part has none.
const leastShare = 1e-12

// limits are the shares of the parts in what limits the current of a part,
// whose own is what is left: its λ stands behind the meter.
func (t *tangent) limits(r *Result, ref string, adjoint newton.Point, amps float64) map[string]float64 {
	shares, rest := map[string]float64{}, 1.0
	for _, p := range t.circuit.parts {
		if p.Ref == ref || p.leftOpen {
			continue
		}
		sum := total{}
		for _, pin := range r.Parts[p.Ref].Pins {
			if i := t.circuit.place[pin.Net]; i >= 0 {
				sum.addProduct(-adjoint.High[i], pin.Amps)
				sum.addProduct(-adjoint.Low[i], pin.Amps)
			}
		}
		if share := sum.value() / amps; math.Abs(share) > leastShare {
			shares[p.Ref] = share
			rest -= share
		}
	}
	shares[ref] = rest
	return shares
}
