package review

import (
	"context"
	"fmt"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// freshRules look at the circuit as it is with new cells, where those drawn are
// not.
func freshRules() []rule {
	return []rule{
		{"over-when-new", Caution, "the ratings that the other rules go by, and the catalogue's voltage and resistance of new cells", overWhenNew},
	}
}

// overWhenNew finds figures that go over a rating with new cells, or much
// further over than with those drawn.
func overWhenNew(s *sight) []remark {
	fresh := s.renewed()
	if fresh == nil {
		return nil
	}
	const more = 1.25 // of what it is now, to be told twice
	var found []remark
	for _, l := range limits() {
		for _, p := range fresh.parts(l.kinds...) {
			x, now, most := l.figure(fresh, p), l.figure(s, p), l.rating(fresh, p)
			if !(most > 0 && x > most && (now <= most || x > more*now)) {
				continue
			}
			found = append(found, remark{
				parts: []string{p.Ref}, about: p.Ref + " " + l.id, weight: x / most, figures: []Figure{{"value", x}, {"limit", most}, {"now", now}},
				text: fmt.Sprintf("%s %s with new cells, %s its limit of %s; with those drawn it is %s.",
					one(p), fmt.Sprintf(l.word, quantity.Short(x, l.unit)), beyond(x/most), quantity.Short(most, l.unit), quantity.Short(now, l.unit)),
			})
		}
	}
	return found
}

// renewed is the operating point with new cells, nil where they are new as
// drawn.
func (s *sight) renewed() *sight {
	set, used := s.set.With(nil), false
	for _, p := range s.kinds["battery"] {
		if s.values[p.Ref].Num("charge_left") < 1 {
			set.Set(p.Ref, "charge_left", model.Number(1))
			used = true
		}
	}
	if !used {
		return nil
	}
	r, err := analysis.Solve(s.ctx, s.d, analysis.Options{Mode: s.r.Mode, Set: set, Start: s.r})
	if err != nil || !r.Solved {
		return nil
	}
	return newSight(s.ctx, s.d, r, set)
}

// Overdriven says in words what is over its rating in a mode of d under a
// setting: "D1 carries 49 mA, 96 % over its limit of 25 mA"; none where nothing
// is. The error is of a mode that the drawing does not have, or the context's.
func Overdriven(ctx context.Context, d *model.Diagram, mode string, set model.Setting) ([]string, error) {
	r, err := analysis.Solve(ctx, d, analysis.Options{Mode: mode, Set: set})
	if err != nil || !r.Solved {
		return nil, err
	}
	s := newSight(ctx, d, r, set)
	var words []string
	for _, l := range limits() {
		for _, p := range s.parts(l.kinds...) {
			if x, most := l.figure(s, p), l.rating(s, p); most > 0 && x > most {
				words = append(words, l.over(p, x, most))
			}
		}
	}
	return words, nil
}
