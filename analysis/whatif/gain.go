package whatif

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Gain is a transistor whose gain the quantity goes with where an aim is met: its
// base is the limit there, or would be for a weaker one. Parts of one type differ
// in it.
type Gain struct {
	Part        string
	Low, High   float64 // the gain of the weakest and of the strongest of its type
	Least, Most float64 // the quantity with these, SI
	Source      string  // of the range
}

// rests is the part by which a quantity has to move with the gains of a type to
// be said to rest on it.
const rests = 0.1

// mostAsked bounds how many transistors are asked.
const mostAsked = 16

// gains are the transistors on whose gain the quantity rests at the present point.
// How long a battery lasts is not asked: that takes a discharge for each.
func (t *target) gains(reached float64) ([]Gain, error) {
	if strings.HasSuffix(t.aim.Of, LastsSuffix) {
		return nil, nil
	}
	var list []Gain
	for _, p := range t.conducting() {
		g, err := t.gain(p)
		if err != nil {
			return nil, err
		}
		if math.Abs(g.Most-g.Least) > rests*math.Abs(reached) {
			list = append(list, g)
		}
	}
	return list, nil
}

// conducting are the first of the bipolar transistors that carry a current now.
func (t *target) conducting() []*model.Part {
	var list []*model.Part
	for _, p := range t.d.Parts {
		if r := t.k.Result().Parts[p.Ref]; r != nil && (p.Kind == "npn" || p.Kind == "pnp") && (r.State == analysis.Active || r.State == analysis.Saturated) {
			list = append(list, p)
		}
	}
	return list[:min(len(list), mostAsked)]
}

// gain moves a transistor's gain to both ends of the catalogue's range and back.
func (t *target) gain(p *model.Part) (Gain, error) {
	v, _ := t.d.Resolve(p, t.k.Result().Set)
	usual := v.Num("forward_beta")
	spreads := p.Spreads(v)
	i := slices.IndexFunc(spreads, func(s model.Spread) bool { return s.Param == "forward_beta" && s.Varies() })
	if i < 0 {
		return Gain{}, nil
	}
	g := Gain{Part: p.Ref, Low: usual * spreads[i].Low, High: usual * spreads[i].High, Source: spreads[i].Foundation()}
	for _, to := range []struct{ gain, reached *float64 }{{&g.Low, &g.Least}, {&g.High, &g.Most}, {&usual, new(float64)}} {
		if err := t.k.Move(t.ctx, analysis.Move{Ref: p.Ref, Name: "forward_beta", Value: model.Number(*to.gain)}); err != nil {
			return g, err
		}
		var err error
		if *to.reached, err = t.read(nil); err != nil {
			return g, err
		}
	}
	return g, nil
}

// GainWords say of each transistor on whose gain the answer rests how far it goes
// with that, and where the sound place for such a value is. Of writes the
// quantity.
func (h *Hit) GainWords(of func(float64) string) []string {
	var words []string
	for _, g := range h.Gains {
		words = append(words, fmt.Sprintf("That rests on the gain of %s, which differs from part to part: one of %s gives %s, one of %s %s (%s). A resistor in the load’s own path, with %s fully on, is the sound place.",
			g.Part, quantity.Short(g.Low, quantity.None), of(g.Least), quantity.Short(g.High, quantity.None), of(g.Most), g.Source, g.Part))
	}
	return words
}
