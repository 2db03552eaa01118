package analysis

import (
	"fmt"
	"math"
	"strings"

	"copperglass/model"
)

// Tolerance is the range in which a parameter lies, SI units. All values in it
// are equally likely, or all their logarithms: those of a saturation current
// are the junction's forward voltage.
type Tolerance struct {
	Parameter          string
	Nominal, Low, High float64
	Source             string // what says so

	ref, name   string
	logarithmic bool
}

// Steady is a parameter that is the same in every sample.
type Steady struct {
	Parameter string
	Value     float64 // SI
	Reason    string  // why it has no range; empty where the handbook knows none
}

// At returns the value at a share of the range, from 0 to 1.
func (t *Tolerance) At(share float64) float64 {
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

// ranges are the parameters of a drawing by whether they have a range, in the
// order of the parts.
type ranges struct {
	varied []Tolerance
	steady []Steady
}

// rangesOf gathers the parameters of all parts; own are the person's
// tolerances, as fractions.
func rangesOf(d *model.Diagram, set model.Setting, own map[string]float64) (ranges, error) {
	var r ranges
	for _, p := range d.Parts {
		if k := p.LookupKind(); k == nil || k.Equation == nil {
			continue
		}
		values, _ := d.Resolve(p, set)
		if err := r.add(p, values, own); err != nil {
			return ranges{}, err
		}
	}
	return r, nil
}

// add puts the parameters of a part into the lists.
func (r *ranges) add(p *model.Part, values model.Values, own map[string]float64) error {
	known := spreadsOf(p, values)
	for _, q := range p.LookupKind().Params {
		x, isNumber := values[q.Name].Num()
		s := known[q.Name]
		fraction, said := own[p.Ref+"."+q.Name]
		if said {
			s = model.Spread{Low: 1 - fraction, High: 1 + fraction, Source: "as told"}
		}
		switch {
		case !isNumber, !said && !mayVary(q.Name):
		case x == 0 && s.Varies():
			r.steady = append(r.steady, Steady{p.Ref + "." + q.Name, x, "it is nought"})
		case s.Varies():
			t, err := tolerance(p, &q, x, s, said)
			if err != nil {
				return err
			}
			r.varied = append(r.varied, t)
		default:
			r.steady = append(r.steady, Steady{p.Ref + "." + q.Name, x, s.Source})
		}
	}
	return nil
}

// mayVary reports whether a quantity is one that makes a circuit what it is:
// not a limit, a count, or the conditions it is looked at in.
func mayVary(name string) bool {
	switch name {
	case "tolerance", "cells", "temperature", "reference_temperature", "initial_voltage", "initial_current":
		return false
	}
	return !strings.HasSuffix(name, "_rating")
}

// spreadsOf are the part's ranges by parameter, with a marked tolerance in the
// place of the first.
func spreadsOf(p *model.Part, v model.Values) map[string]model.Spread {
	known := map[string]model.Spread{}
	for i, s := range p.Spreads(v) {
		if marked, ok := v["tolerance"].Num(); ok && i == 0 {
			s.Low, s.High = 1-marked, 1+marked
			s.Source, s.Status = sourceOf(p, marked), ""
		}
		known[s.Param] = s
	}
	return known
}

// sourceOf tells where a part's tolerance is from.
func sourceOf(p *model.Part, fraction float64) string {
	q := p.LookupKind().Param("tolerance")
	if p.Params["tolerance"].IsSet() || !q.Default.Same(model.Number(fraction)) {
		return "as the drawing or the marking says"
	}
	if isThreeDigits(p.Marking) && strings.TrimSpace(p.Value) == "" {
		return "usual with three-digit markings; common practice, no source"
	}
	return q.Source
}

func isThreeDigits(marking string) bool {
	marking = strings.TrimSpace(marking)
	return len(marking) == 3 && strings.Trim(marking, "0123456789") == ""
}

// tolerance returns the range of the parameter q of p about x. What the
// handbook says of a range ends where the parameter's own limits are; what the
// person says must be within them.
func tolerance(p *model.Part, q *model.Param, x float64, s model.Spread, said bool) (Tolerance, error) {
	t := Tolerance{Parameter: p.Ref + "." + q.Name, Nominal: x, Source: s.Foundation(), ref: p.Ref, name: q.Name, logarithmic: s.Logarithmic}
	t.Low, t.High = min(x*s.Low, x*s.High), max(x*s.Low, x*s.High)
	if !said && q.Max > q.Min {
		t.Low, t.High = max(t.Low, q.Min), min(t.High, q.Max)
	}
	if !(s.Low >= 0 && s.Low <= 1) {
		return t, fmt.Errorf("%s: a tolerance of %.3g is not between 0 and 1", t.Parameter, 1-s.Low)
	}
	for _, end := range []float64{t.Low, t.High} {
		if err := q.Check(model.Number(end)); err != nil {
			return t, fmt.Errorf("%s: %w", t.Parameter, err)
		}
	}
	return t, nil
}
