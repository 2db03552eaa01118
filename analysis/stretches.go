package analysis

import (
	"context"
	"strings"

	"copperglass/model"
)

// Stretch is a part of a parameter's way in which a transistor stays in one
// state.
type Stretch struct {
	From, To float64 // of the parameter, SI
	State    string  // in words
}

// Stretches are the states that the transistor which changes most goes through
// while a parameter takes one value after the other, and its reference; none
// where no state changes. What cannot be solved belongs to none.
func Stretches(ctx context.Context, d *model.Diagram, o Options, parameter string, values []float64) (ref string, list []Stretch, err error) {
	moved, name, _ := strings.Cut(parameter, ".")
	o.Set = o.Set.With(model.Setting{moved: {name: model.Number(values[0])}})
	k, err := Track(ctx, d, o)
	if err != nil {
		return "", nil, err
	}
	all := map[string][]Stretch{}
	for i, x := range values {
		if err := k.Move(ctx, Move{Ref: moved, Name: name, Value: model.Number(x)}); err != nil {
			return "", nil, err
		}
		r := k.Result()
		for _, p := range d.Parts {
			if q := r.Parts[p.Ref]; r.Solved && q != nil && q.State != "" {
				all[p.Ref] = extended(all[p.Ref], values[max(i-1, 0)], x, q.StateInWords())
			}
		}
	}
	ref = richest(all)
	return ref, all[ref], nil
}

// extended is a list with one more part of the way.
func extended(list []Stretch, from, to float64, state string) []Stretch {
	if n := len(list); n > 0 && list[n-1].State == state {
		list[n-1].To = to
		return list
	}
	return append(list, Stretch{from, to, state})
}

// richest is the part that has most stretches, the first by name among equals; ""
// where nothing changes.
func richest(all map[string][]Stretch) (best string) {
	for ref, list := range all {
		most := len(all[best])
		if len(list) > 1 && (len(list) > most || len(list) == most && model.NaturalLess(ref, best)) {
			best = ref
		}
	}
	return best
}
