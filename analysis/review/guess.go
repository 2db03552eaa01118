package review

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
)

// Guess is what hangs on a part whose value is a guess: how far the current that
// feels it the most might be off.
type Guess struct {
	Part  string
	Name  string  // of its quantity, as in "resistance"
	Off   float64 // how far that may be off, as a fraction; 0 for a link, of which there is no fraction
	Of    string  // the part whose current it is
	Mode  string  // in which it feels it the most
	Moved float64 // how far that current would be off, as a fraction; 0 where nothing feels it
}

// Guesses ranks the parts of d that are guessed by what hangs on them: how far
// the current of a load would be off in any mode, or that of a source where no load
// takes any, if the quantity of the part that it feels the most, by influence times
// doubt, were at an end of its doubt. The circuit is solved again for both ends,
// within what is possible for the quantity; in very large drawings it is the
// influence times the doubt. The first is the one to measure first.
func Guesses(ctx context.Context, d *model.Diagram) ([]Guess, error) {
	worst := map[string]Guess{}
	for _, p := range d.Parts {
		if k := p.LookupKind(); p.Doubt == model.Guessed && k != nil && !k.Sign {
			worst[p.Ref] = Guess{Part: p.Ref}
		}
	}
	if len(worst) == 0 {
		return nil, nil
	}
	for _, mode := range (Options{}).modes(d) {
		r, err := analysis.Solve(ctx, d, analysis.Options{Mode: mode})
		if err != nil {
			return nil, err
		}
		if !r.Solved {
			continue
		}
		for _, g := range newSight(ctx, d, r, r.Set).guesses() {
			if g.Moved > worst[g.Part].Moved {
				worst[g.Part] = g
			}
		}
	}
	var all []Guess
	for _, g := range worst {
		all = append(all, g)
	}
	slices.SortFunc(all, func(a, b Guess) int {
		return cmp.Or(cmp.Compare(b.Moved, a.Moved), model.NaturalCompare(a.Part, b.Part))
	})
	return all, ctx.Err()
}

// Words says what a guess could do: "its resistance 50 % off would put the
// current of D2 about 18 % off". It is empty where nothing feels it.
func (g Guess) Words() string {
	if g.Moved == 0 {
		return ""
	}
	if g.Off == 0 {
		return fmt.Sprintf("%s in its place would put the current of %s about %s off", ohms(likelyInstead), g.Of, roughly(g.Moved))
	}
	return fmt.Sprintf("its %s %s off would put the current of %s about %s off", strings.ReplaceAll(g.Name, "_", " "), percent(g.Off), g.Of, roughly(g.Moved))
}

// guesses are what hangs on each guessed part at one operating point, by the
// part, in the order in which the currents feel them.
func (s *sight) guesses() []Guess {
	if !slices.ContainsFunc(s.d.Parts, func(p *model.Part) bool { return p.Doubt == model.Guessed }) {
		return nil
	}
	const alike = 1e-3 // of currents that feel it alike the heaviest is told
	worst := map[string]Guess{}
	key := s.keyCurrents()
	for k, all := range s.influences(key, s.isGuessed) {
		for _, i := range all.List {
			ref, name, _ := strings.Cut(i.Parameter, ".")
			off, moved := misread(name), math.Abs(i.Relative)*misread(name)
			if s.d.Part(ref).Kind == "resistor" && i.Value <= linkOhms {
				off, moved = 0, math.Abs(i.Derivative*likelyInstead/all.Value)
			}
			if finite(moved) && moved > worst[ref].Moved*(1+alike) {
				worst[ref] = Guess{ref, name, off, key[k].Ref, s.r.Mode, moved}
			}
		}
	}
	var all []Guess
	for _, p := range s.d.Parts {
		if g, ok := worst[p.Ref]; ok {
			all = append(all, s.tried(g, p))
		}
	}
	return all
}

// likelyInstead is the resistance in ohms that a part might have of which somebody
// only guesses that it is a link. Our judgement.
const likelyInstead = 10

// tried is a guess with what the circuit does at the ends of its doubt.
func (s *sight) tried(g Guess, p *model.Part) Guess {
	moved, known := 0.0, false
	first, _ := s.ends(s.d.Part(g.Of))
	now := s.r.Parts[g.Of].Pin(first).Amps
	for _, x := range s.endsOfDoubt(g, p) {
		if !s.mayResolve() {
			return g
		}
		set := s.set.With(model.Setting{p.Ref: {g.Name: model.Number(x)}})
		r, err := analysis.Solve(s.ctx, s.d, analysis.Options{Mode: s.r.Mode, Set: set, Start: s.r})
		if err != nil || !r.Solved {
			continue
		}
		moved, known = max(moved, math.Abs(r.Parts[g.Of].Pin(first).Amps/now-1)), true
	}
	if known {
		g.Moved = moved
	}
	return g
}

// endsOfDoubt are the values between which the quantity of a guess may be.
func (s *sight) endsOfDoubt(g Guess, p *model.Part) []float64 {
	if g.Off == 0 {
		return []float64{likelyInstead}
	}
	x, q := s.values[p.Ref].Num(g.Name), p.LookupKind().Param(g.Name)
	low, high := min(x*(1-g.Off), x*(1+g.Off)), max(x*(1-g.Off), x*(1+g.Off))
	if q.Min != 0 || q.Max != 0 {
		low, high = max(low, min(q.Min, x)), min(high, max(q.Max, x))
	}
	return []float64{low, high}
}

// isGuessed reports whether the parameter is one of a guessed part.
func (s *sight) isGuessed(parameter string) bool {
	ref, name, _ := strings.Cut(parameter, ".")
	p := s.d.Part(ref)
	return p != nil && p.Doubt == model.Guessed && misread(name) > 0
}

// keyCurrents are the parts whose currents matter: the loads, the heaviest
// first, or the sources where nothing is lit.
func (s *sight) keyCurrents() []*model.Part {
	const most = 40 // of the loads: a wall of LEDs is one answer many times
	all := s.mainLoads()
	slices.SortStableFunc(all, func(a, b *model.Part) int { return cmp.Compare(s.through(b), s.through(a)) })
	if len(all) > 0 {
		return all[:min(len(all), most)]
	}
	for _, p := range s.parts("battery", "supply") {
		if s.through(p) >= leastLoad {
			all = append(all, p)
		}
	}
	return all
}

// misread is how far a guessed quantity may be from the true one, as a fraction:
// half for a value that a marking would tell, less for what all parts of a kind
// have about alike. Common practice, no source.
func misread(name string) float64 {
	switch {
	case strings.Contains(name, "temperature"), name == "cells":
		return 0
	case strings.Contains(name, "voltage"), strings.Contains(name, "emission"), strings.Contains(name, "energy_gap"):
		return 0.1
	}
	return 0.5
}

// roughly is a fraction that is an estimate: more than the half of it means
// nothing.
func roughly(x float64) string {
	if x >= 1 {
		return "100 % or more"
	}
	return fmt.Sprintf("%.2g %%", 100*x)
}

// measureFirst tells of the guess on which the most hangs to measure it first.
func measureFirst(found map[string]Finding) {
	first := ""
	for key, f := range found {
		if f.Rule != guessRule {
			continue
		}
		if g := found[first]; first == "" || f.weight > g.weight || f.weight == g.weight && key < first {
			first = key
		}
	}
	if f, ok := found[first]; ok {
		advice := fmt.Sprintf(" Measure %s first.", f.about)
		f.Text += advice
		for i := range f.Shows {
			f.Shows[i].Text += advice
		}
		found[first] = f
	}
}
