package tool

import (
	"fmt"
	"reflect"

	"copperglass/model"
	"copperglass/model/geom"
)

// run is what commands in a row do to the same things: how these were carried
// since before the first. Each command lays the wires anew from there, so that
// a place which is only passed leaves nothing behind.
type run struct {
	of       Selection // what is carried
	plan     *plan
	motion   motion
	f        *model.Draft // what the last command came to, nil before any
	aside    int          // steps that it laid things aside
	stuck    bool         // whether it found no room
	revision int          // after it
}

// resume returns the run that goes on, or a new one.
func (e *Editor) resume() *run {
	if r := e.runNow(); r != nil {
		return r
	}
	return &run{of: e.sel.clone(), plan: newPlan(e.sheetNow(), e.Selection())}
}

// runNow returns the run that would go on, or nil.
func (e *Editor) runNow() *run {
	r := e.run
	if r == nil || r.revision != e.history.Revision() || !r.of.same(e.sel) {
		return nil
	}
	return r
}

// merge is the same for whatever is done to the same things.
func (r *run) merge() string { return "nudge " + fmt.Sprint(r.of) } // maps are printed in the order of their keys

// advance makes the drawing what the run comes to. What changes nothing is
// forgotten.
func (e *Editor) advance(next run, label, merge string) {
	now := e.history.Diagram()
	switch alike := next.f == nil || looksLike(now, next.f.Diagram()); {
	case !alike:
		f := model.NewDraft(now)
		f.Become(next.f.Diagram())
		e.commit(f, label, merge)
	case !next.stuck:
		return
	}
	next.revision = e.history.Revision()
	e.run = &next
}

// tellRun adds what the commands done last have joined and covered, as long as
// what they carried is selected.
func (e *Editor) tellRun(o *Overlay) {
	r := e.runNow()
	if r == nil {
		return
	}
	if r.f != nil {
		e.foresee(r.plan.sheet, r.f, r.plan).tell(o)
	}
	o.Done, o.Aside, o.Stuck = true, r.aside, r.stuck
}

// looksLike reports whether the parts and the wires of two diagrams are alike.
func looksLike(a, b *model.Diagram) bool {
	return reflect.DeepEqual(a.Parts, b.Parts) && reflect.DeepEqual(a.Wires, b.Wires)
}

// mostHops is how far a nudge goes on, in grid steps, not to hide a part.
const mostHops = 12

// past returns the run gone on by so much, and by more of it where a part would be
// hidden, or bridged by a wire under it. Where it comes to no such place it stays.
func (r *run) past(by geom.Point) run {
	next := run{of: r.of, plan: r.plan}
	for i := range mostHops {
		next.motion = r.motion.shifted(by.Add(geom.Pt(i*sign(by.X), i*sign(by.Y))))
		if next.f = r.plan.moved(next.motion); !r.plan.refuses(next.f) {
			return next
		}
	}
	return r.stay()
}

// stay returns the run as it is, with the mark that there was no room.
func (r *run) stay() run {
	next := *r
	next.aside, next.stuck = 0, true
	return next
}

// asideSteps is how far a turned part goes aside to join and to cover nothing.
const asideSteps = 3

// turned returns the run gone on to a motion, or the least aside where nothing
// joins that was not joined, and nothing covers anything; where things lay over
// others before, they may do so again. Where that is nowhere near it stays.
func (r *run) turned(m motion) run {
	next := r.stay()
	mayCover := !r.plan.isClear(r.draft())
	for steps := range asideSteps + 1 {
		for _, by := range ring(steps) {
			f := r.plan.apply(m.shifted(by))
			if !r.plan.isApart(f) {
				continue
			}
			found := run{of: r.of, plan: r.plan, motion: m, f: f, aside: steps}
			if r.plan.coverOf(r.plan, f.Diagram()).Empty() {
				return found
			}
			if mayCover && next.stuck {
				next = found
			}
		}
	}
	return next
}

// draft returns what the run has come to.
func (r *run) draft() *model.Draft {
	if r.f == nil {
		return r.plan.apply(r.motion)
	}
	return r.f
}

// isApart reports whether nothing is joined in the draft that was not before, and
// nothing is hidden.
func (p *plan) isApart(f *model.Draft) bool {
	return len(newJoins(p.sheet, f.Diagram(), nil)) == 0 && !p.refuses(f)
}

// isClear reports whether, besides, nothing is covered.
func (p *plan) isClear(f *model.Draft) bool {
	return p.isApart(f) && p.coverOf(p, f.Diagram()).Empty()
}

// ring returns the displacements of that many steps of the grid.
func ring(steps int) []geom.Point {
	if steps == 0 {
		return []geom.Point{{}}
	}
	var all []geom.Point
	for i := range steps {
		j := steps - i
		all = append(all, geom.Pt(j, i), geom.Pt(-i, j), geom.Pt(-j, -i), geom.Pt(i, -j))
	}
	return all
}
