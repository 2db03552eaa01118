package analysis

import (
	"context"
	"math"

	"copperglass/model"
)

// side is one of the stable states of a circuit, as far as it can be told from
// the others when values differ a little: by which of the transistors that tell
// the states apart conduct or, where none does, by which of the states the
// voltages are nearest to.
type side struct {
	state *Result
	tell  []string
}

// sideOf returns the side on which r is, nil where there is no other.
func sideOf(r *Result) *side {
	if len(r.Others) == 0 {
		return nil
	}
	s := &side{state: r}
	for _, ref := range TellApart(r.States()) {
		for _, other := range r.Others {
			if conducts(r, ref) != conducts(other, ref) {
				s.tell = append(s.tell, ref)
				break
			}
		}
	}
	return s
}

func conducts(r *Result, ref string) bool { return r.Parts[ref].State != CutOff }

// leftIn reports whether r, of the same drawing with other values, is on
// another side.
func (s *side) leftIn(r *Result) bool {
	if s == nil || !r.Solved {
		return false
	}
	for _, ref := range s.tell {
		if conducts(r, ref) != conducts(s.state, ref) {
			return true
		}
	}
	if len(s.tell) > 0 {
		return false
	}
	here := distance(r, s.state)
	for _, other := range s.state.Others {
		if distance(r, other) < here {
			return true
		}
	}
	return false
}

// distance is the sum of the voltages by which two results of a drawing differ.
func distance(r, q *Result) float64 {
	sum := 0.0
	for n, v := range r.Volts {
		if d := math.Abs(v - q.Volts[n]); !math.IsNaN(d) {
			sum += d
		}
	}
	return sum
}

// walkSteps is in how many steps values are led to where a sample has them.
const walkSteps = 16

// walk solves a sample by leading the values there from the nominal ones, each
// step from the solution before, for as long as the state lasts: at once, the
// solver may come out at another although this one is still there.
func (w *sampler) walk(ctx context.Context, at []float64) (*Result, error) {
	o := w.tracker.options
	o.Start, o.State, o.Survey = w.side.state, 0, false
	var r *Result
	for k := 1; k <= walkSteps; k++ {
		o.Set = model.Setting{}.With(w.tracker.options.Set)
		for i, t := range w.batch.tolerances {
			value := t.Nominal + (at[i]-t.Nominal)*float64(k)/walkSteps
			if k == walkSteps {
				value = at[i]
			}
			o.Set.Set(t.ref, t.name, model.Number(value))
		}
		var err error
		if r, err = Solve(ctx, w.batch.diagram, o); err != nil || !r.Solved || w.side.leftIn(r) {
			return r, err
		}
		o.Start = r
	}
	return r, nil
}
