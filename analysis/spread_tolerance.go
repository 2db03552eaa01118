package analysis

import (
	"fmt"
	"math"

	"copperglass/model"
)

// Tolerance is the range in which a parameter lies, SI units. All values in it
// are equally likely; of a saturation current all its logarithms are, which is
// the junction's forward voltage.
type Tolerance struct {
	Parameter          string
	Nominal, Low, High float64
	Source             string // what says so

	ref, name   string
	logarithmic bool
}

// at returns the value at a share of the range, from 0 to 1.
func (t *Tolerance) at(share float64) float64 {
	if t.logarithmic {
		return t.Low * math.Pow(t.High/t.Low, share)
	}
	return t.Low + (t.High-t.Low)*share
}

// towards returns the end of the range to which a slope rises.
func (t *Tolerance) towards(slope float64) float64 {
	switch {
	case slope > 0:
		return t.High
	case slope < 0:
		return t.Low
	}
	return t.Nominal
}

// ranged is a parameter of a kind of part that differs from one part to the
// next: by a fraction of it, or by what shifts the forward voltage.
type ranged struct {
	name     string
	fraction float64 // either way, where the part itself has no tolerance; 0 for none
	volts    float64 // either way, of the forward voltage, instead
	source   string
}

const (
	binSource    = "bins of 0.2 V, usual for LEDs of 20 mA (from memory)"
	betaSource   = "gain 100 to 300 about 200: BL Galaxy MMBT3904 specification BL/SSSTC061"
	cellSource   = "cells of the handbook (estimate)"
	gateSource   = "1.0 to 2.5 V about 1.75 V: makers' sheets of the 2N7002"
	commonSource = "usual where nothing is marked; common practice, no source"
)

// rangedParameter returns what differs from one part of a kind to the next.
func rangedParameter(kind string, v model.Values) (ranged, bool) {
	switch kind {
	case "resistor":
		return ranged{name: "resistance", fraction: 0.05, source: commonSource}, true
	case "potentiometer":
		return ranged{name: "resistance", fraction: 0.2, source: commonSource}, true
	case "capacitor":
		return ranged{name: "capacitance", fraction: 0.2, source: commonSource}, true
	case "inductor":
		return ranged{name: "inductance", fraction: 0.2, source: commonSource}, true
	case "zener":
		return ranged{name: "breakdown_voltage", fraction: 0.05, source: commonSource}, true
	case "supply":
		return ranged{name: "voltage"}, true
	case "led":
		return ranged{name: "saturation_current", volts: 0.1, source: binSource}, true
	case "npn", "pnp":
		return ranged{name: "forward_beta", fraction: 0.5, source: betaSource}, true
	case "nmos", "pmos":
		return ranged{name: "threshold_voltage", fraction: 0.4, source: gateSource}, true
	case "battery":
		return ranged{name: "resistance", fraction: cellSpread(v.Text("chemistry")), source: cellSource}, true
	}
	return ranged{}, false
}

// cellSpread is how far the resistance of cells lies from the handbook's, as a
// fraction: estimates of the handbook's tables.
func cellSpread(chemistry string) float64 {
	if chemistry == "zinc-carbon" {
		return 0.5
	}
	return 0.4
}

// tolerances returns the ranges of all parameters that have one, in the order
// of the parts.
func tolerances(d *model.Diagram, set model.Setting, own map[string]float64) ([]Tolerance, error) {
	var list []Tolerance
	for _, p := range d.Parts {
		if p.LookupKind() == nil {
			continue
		}
		values, _ := d.Resolve(p, set)
		usual, _ := rangedParameter(p.Kind, values)
		for _, q := range p.LookupKind().Params {
			t, ok, err := tolerance(p, &q, values, usual, own)
			if err != nil {
				return nil, err
			}
			if ok {
				list = append(list, t)
			}
		}
	}
	return list, nil
}

// sourceOf tells where a part's tolerance is from.
func sourceOf(p *model.Part, fraction float64) string {
	q := p.LookupKind().Param("tolerance")
	if q == nil || p.Params["tolerance"].IsSet() || !q.Default.Same(model.Number(fraction)) {
		return "as the drawing or the marking says"
	}
	return q.Source
}

// tolerance returns the range of the parameter q of p.
func tolerance(p *model.Part, q *model.Param, v model.Values, usual ranged, own map[string]float64) (Tolerance, bool, error) {
	x, isNumber := v[q.Name].Num()
	t := Tolerance{Parameter: p.Ref + "." + q.Name, Nominal: x, ref: p.Ref, name: q.Name}
	fraction, said := own[t.Parameter]
	switch written, marked := v["tolerance"].Num(); {
	case said:
		t.Source = "as told"
	case q.Name != usual.name || !isNumber || x == 0:
		return t, false, nil
	case usual.volts > 0:
		shift := math.Exp(usual.volts / (v.Num("emission_coefficient") * model.ThermalVoltage(v.Num("reference_temperature"))))
		t.Low, t.High, t.Source, t.logarithmic = x/shift, x*shift, usual.source, true
		return t, true, nil
	case marked:
		fraction, t.Source = written, sourceOf(p, written)
	default:
		fraction, t.Source = usual.fraction, usual.source
	}
	if !(fraction >= 0 && fraction <= 1) {
		return t, false, fmt.Errorf("%s: a tolerance of %v is not between 0 and 1", t.Parameter, fraction)
	}
	if fraction == 0 {
		return t, false, nil
	}
	t.Low, t.High = x-fraction*math.Abs(x), x+fraction*math.Abs(x)
	for _, end := range []float64{t.Low, t.High} {
		if err := q.Check(model.Number(end)); err != nil {
			return t, false, fmt.Errorf("%s: %w", t.Parameter, err)
		}
	}
	return t, true, nil
}
