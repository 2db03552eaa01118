package tool

import (
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// slack is how far a pressed pointer may tremble, in sheet units, before it
// counts as moved.
const slack = 0.2 * canvas.Grid

// grab is a press on a part or a wire: a click selects it, a drag moves it
// with everything selected.
type grab struct {
	from   canvas.Point
	target Target
	moved  bool
	turned motion // before it is shifted
	loose  bool   // whether wires stay behind
	shift  geom.Point
	plan   *plan    // nil until it moves
	stops  []string // parts that keep a wire from sliding on
	f      *model.Draft
}

func newGrab(e *Editor, t Target, p canvas.Point) *grab {
	if !e.sel.has(t) {
		e.click(t)
	}
	return &grab{from: p, target: t}
}

func (g *grab) move(e *Editor, p canvas.Point) {
	if !g.moved && distance(p, g.from) < slack {
		return
	}
	g.moved = true
	shift := Snap(p.Sub(g.from))
	if shift == g.shift {
		return
	}
	g.shift = shift
	g.redraw(e)
}

func (g *grab) redraw(e *Editor) {
	if g.plan == nil {
		g.plan = g.makePlan(e)
	}
	if g.plan.slide != nil {
		g.f, g.stops = g.plan.slideBy(g.plan.slide.across(g.shift))
		return
	}
	g.f, g.stops = nil, nil
	if m := g.turned.shifted(g.shift); m != (motion{}) {
		g.f = g.plan.moved(m)
	}
}

func (g *grab) turn(e *Editor, way about) {
	if refs := e.placedRefs(); len(refs) > 0 {
		s := e.sheetNow()
		first := g.turned.lay(s.d.Part(refs[0]).Orient)
		g.turned = g.turned.then(way(twiceMiddle(newPlan(s, e.Selection()).apply(g.turned).Diagram(), refs), first.Turn))
		g.redraw(e)
	}
}

// LeaveWires lets what is being dragged leave its wires behind, or take them
// along again.
func (e *Editor) LeaveWires() {
	if g, ok := e.under().(*grab); ok && g.moved {
		g.loose, g.plan = !g.loose, nil
		g.redraw(e)
	}
}

// Dragging reports whether something is being dragged, and whether its wires
// stay behind.
func (e *Editor) Dragging() (dragging, loose bool) {
	g, ok := e.under().(*grab)
	return ok && g.moved, ok && g.loose
}

// Sliding reports whether that is a piece of a wire which slides between what it
// is joined to.
func (e *Editor) Sliding() bool {
	g, ok := e.under().(*grab)
	return ok && g.plan != nil && g.plan.slide != nil
}

// Carried returns what hangs on the pointer, or what is being dragged.
func (e *Editor) Carried() Selection {
	if dragging, _ := e.Dragging(); dragging {
		return e.Selection()
	}
	return e.Hanging()
}

// makePlan lets a wire that is grabbed alone slide; all else moves as it is.
func (g *grab) makePlan(e *Editor) *plan {
	s, sel := e.sheetNow(), e.Selection()
	if g.loose {
		return newLoose(s, sel)
	}
	if i := s.d.WireIndex(g.target.Wire); i >= 0 && len(sel.Parts) == 0 && len(sel.Wires) == 1 && !s.touchesNothing(i) {
		return newSlide(s, i, g.from)
	}
	return newPlan(s, sel)
}

// release puts down what is carried, or back where it would hide a part.
func (g *grab) release(e *Editor) bool {
	if !g.moved {
		e.click(g.target)
	}
	if g.f != nil && !e.Refused() {
		e.commit(g.f, "move", "")
	}
	return true
}

func (g *grab) lasts(*Editor) bool { return false }

func (g *grab) draft() *model.Draft { return g.f }

func (g *grab) overlay(_ *Editor, o *Overlay) {
	o.Stops = g.stops
	if g.loose { // pins that leave their nets do not join these with others
		o.Nets = nil
	}
}

func (g *grab) carried(ref string) bool { return g.plan != nil && g.plan.carried(ref) }

func (g *grab) carriesWire(id model.WireID) bool { return g.plan != nil && g.plan.carriesWire(id) }

// endPress is a press on a pin, or where wires end or meet: a click selects the
// part or the wire, a drag draws a wire from there.
type endPress struct {
	from   canvas.Point
	target Target
}

func (g *endPress) move(e *Editor, p canvas.Point) {
	if distance(p, g.from) >= slack {
		w := newWire(e.sheetNow(), g.target.At)
		e.begin(w)
		w.move(e, p)
	}
}

func (g *endPress) release(e *Editor) bool {
	e.click(g.target)
	return true
}

func (g *endPress) lasts(*Editor) bool { return false }

func (g *endPress) draft() *model.Draft { return nil }

func (g *endPress) overlay(*Editor, *Overlay) {}

// box is a press on bare paper: a click selects nothing, a drag selects what
// lies wholly inside.
type box struct {
	from, to canvas.Point
	base     Selection // what was selected before, when adding to it
}

func newBox(e *Editor, p canvas.Point, m Modifiers) *box {
	base := newSelection()
	if m.Add {
		base = e.Selection()
	}
	return &box{p, p, base}
}

func (g *box) rect() canvas.Rect { return canvas.EmptyRect().Include(g.from).Include(g.to) }

func (g *box) move(e *Editor, p canvas.Point) {
	g.to = p
	e.sel = within(e.history.Diagram(), g.rect(), g.base)
}

func (g *box) release(*Editor) bool { return true }

func (g *box) lasts(*Editor) bool { return false }

func (g *box) draft() *model.Draft { return nil }

func (g *box) overlay(_ *Editor, o *Overlay) {
	if distance(g.from, g.to) >= slack {
		r := g.rect()
		o.Box = &r
	}
}
