package ui

import (
	"context"
	"sync"
	"time"

	"copperglass/analysis"
	"copperglass/model"
)

// trackers follow the drawing, one in each of its modes: where nothing but a
// value has changed since the last question, the circuit is not compiled again,
// and the solution begins at the present operating point. A circuit with several
// stable states therefore stays in the one it is in, while parts and wires
// change, too, as long as it has such a state.
type trackers struct {
	busy   sync.Mutex // held by the goroutine that works
	byMode map[string]*analysis.Tracker
}

// solve returns the operating point of d in a mode. A mode that is new begins
// at another one's operating point, if there is one.
func (t *trackers) solve(ctx context.Context, d *model.Diagram, mode string, like *analysis.Result) (*analysis.Result, error) {
	k, err := t.byMode[mode], error(nil)
	if k != nil {
		err = k.Redraw(ctx, d)
	} else {
		if like != nil && len(like.Others) > 0 {
			like = nil // a latch would stay in the state it has in the other mode
		}
		k, err = analysis.Track(ctx, d, analysis.Options{Mode: mode, Start: like, Alone: true})
	}
	if err != nil {
		return nil, err
	}
	if t.byMode == nil {
		t.byMode = map[string]*analysis.Tracker{}
	}
	t.byMode[k.Result().Mode] = k
	return k.Keep(), nil
}

// modes returns what d does in each of its modes, of which one has been solved.
func (t *trackers) modes(ctx context.Context, d *model.Diagram, solved *analysis.Result) ([]analysis.ModeSummary, error) {
	t.forget(d)
	if len(d.Modes) == 0 {
		return []analysis.ModeSummary{t.summary(d, solved)}, nil
	}
	var all []analysis.ModeSummary
	for _, m := range d.Modes {
		r := solved
		if m.Name != solved.Mode {
			var err error
			if r, err = t.solve(ctx, d, m.Name, t.present(solved.Mode)); err != nil {
				return nil, err
			}
		}
		all = append(all, t.summary(d, r))
	}
	return all, nil
}

// summary returns what d does in the mode of r.
func (t *trackers) summary(d *model.Diagram, r *analysis.Result) analysis.ModeSummary {
	if k := t.byMode[r.Mode]; k != nil && k.Keep() == r {
		return k.Summary()
	}
	return analysis.Summarise(d, r)
}

// survey looks for the other stable states of what is followed in a mode, once
// nothing else has been asked for a moment. It returns nil where there are none.
func (t *trackers) survey(ctx context.Context, mode string) *analysis.Result {
	k := t.byMode[mode]
	if k == nil || !k.MayHaveOthers() {
		return nil
	}
	select {
	case <-ctx.Done():
		return nil
	case <-time.After(atRest):
	}
	if k.Survey(ctx) != nil || k.MayHaveOthers() {
		return nil
	}
	return k.Keep()
}

// atRest is how long nothing may have moved before other states are looked for.
const atRest = 150 * time.Millisecond

// present returns the operating point that is followed in a mode, nil where none
// is.
func (t *trackers) present(mode string) *analysis.Result {
	if k := t.byMode[mode]; k != nil {
		return k.Result()
	}
	return nil
}

// forget drops what follows modes that d does not have.
func (t *trackers) forget(d *model.Diagram) {
	for mode := range t.byMode {
		if d.Mode(mode) == nil && !(mode == "" && len(d.Modes) == 0) {
			delete(t.byMode, mode)
		}
	}
}
