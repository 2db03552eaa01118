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
	of       string // what is carried
	plan     *plan
	motion   motion
	revision int // after the last command
}

// resume returns the run that goes on, or a new one.
func (e *Editor) resume() *run {
	s := e.Selection()
	of := fmt.Sprint(s) // maps are printed in the order of their keys
	if r := e.run; r != nil && r.of == of && r.revision == e.history.Revision() {
		return r
	}
	return &run{of: of, plan: newPlan(e.sheetNow(), s)}
}

// advance makes the drawing what the run comes to by a motion. One that changes
// nothing is forgotten.
func (e *Editor) advance(r *run, m motion, to *model.Draft, label, merge string) {
	now := e.history.Diagram()
	if looksLike(now, to.Diagram()) {
		return
	}
	f := model.NewDraft(now)
	f.Become(to.Diagram())
	e.commit(f, label, merge)
	e.run = &run{r.of, r.plan, m, e.history.Revision()}
}

// looksLike reports whether the parts and the wires of two diagrams are alike.
func looksLike(a, b *model.Diagram) bool {
	return reflect.DeepEqual(a.Parts, b.Parts) && reflect.DeepEqual(a.Wires, b.Wires)
}

// mostHops is how far a nudge goes on, in grid steps, not to hide a part.
const mostHops = 12

// past returns the motion with by added, and more of it where that would hide a
// part, and what it comes to.
func (r *run) past(by geom.Point) (motion, *model.Draft) {
	first := r.motion.shifted(by)
	for i := range mostHops {
		m := first.shifted(geom.Pt(i*sign(by.X), i*sign(by.Y)))
		if f := r.plan.apply(m); !r.plan.hides(f) {
			return m, f
		}
	}
	return first, r.plan.apply(first)
}

// asideSteps is how far a turned part goes aside to join nothing.
const asideSteps = 3

// applyApart carries everything as the motion says, or the least aside where it
// joins nothing that was not joined and hides no part. It returns nil where that is nowhere near.
func (p *plan) applyApart(m motion) *model.Draft {
	for r := range asideSteps + 1 {
		for _, by := range ring(r) {
			if f := p.apply(m.shifted(by)); len(newJoins(p.sheet, f.Diagram(), nil)) == 0 && !p.hides(f) {
				return f
			}
		}
	}
	return nil
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
