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
	Off   float64 // how far that may be off, as a fraction
	Of    string  // the part whose current it is
	Mode  string  // in which it feels it the most
	Moved float64 // how far that current would be off, as a fraction; 0 where nothing feels it
}

// Guesses ranks the parts of d that are guessed by what hangs on them: the
// influence times the doubt, on the current of every load in every mode, and on
// that of the sources in modes where no load takes any. The first is the one to measure first.
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
	for _, of := range s.keyCurrents() {
		for _, i := range s.influences(of).List {
			ref, name, _ := strings.Cut(i.Parameter, ".")
			p := s.d.Part(ref)
			if p == nil || p.Doubt != model.Guessed {
				continue
			}
			off := misread(name)
			if moved := math.Abs(i.Relative) * off; finite(moved) && moved > worst[ref].Moved*(1+alike) {
				worst[ref] = Guess{ref, name, off, of.Ref, s.r.Mode, moved}
			}
		}
	}
	var all []Guess
	for _, p := range s.d.Parts {
		if g, ok := worst[p.Ref]; ok {
			all = append(all, g)
		}
	}
	return all
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
	case name == "temperature":
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
