package tool

import (
	"slices"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// Modifiers are the keys held while the pointer acts.
type Modifiers struct {
	Add bool // add to, or take out of, what is selected
}

// Editor is the hand on the sheet: what is selected, and the gesture that is
// under way. Nothing in the history changes until a gesture is finished.
type Editor struct {
	history *model.History
	sel     Selection
	wiring  bool // every press begins a wire
	pointer canvas.Point

	gesture gesture
	began   int  // revision the gesture began from
	down    bool // whether the button went down in this gesture

	run      *run   // the commands done last, or nil
	sheet    *sheet // of the diagram at the revision
	sheetOf  int
	foreseen foreseen
	memory   memory
}

// foreseen is what letting go would do, as found last, and for which draft.
type foreseen struct {
	of            *model.Draft
	joins, breaks []geom.Point
	nets          []string
	cover         Cover
}

// gesture is something the hand has begun and not finished.
type gesture interface {
	// move follows the pointer to p.
	move(e *Editor, p canvas.Point)
	// release lets go. It returns whether the gesture is over.
	release(e *Editor) (over bool)
	// lasts reports whether the gesture outlives the button.
	lasts(e *Editor) bool
	// draft returns what would be done, or nil.
	draft() *model.Draft
	// overlay adds what to show besides the draft's diagram.
	overlay(e *Editor, o *Overlay)
}

// Overlay is what a gesture shows on top of the drawing.
type Overlay struct {
	Box    *canvas.Rect // the box being drawn around what is to be selected
	Joins  []geom.Point // places where letting go would join something new
	Nets   []string     // names of the nets that it would join with each other
	Breaks []geom.Point // places where it would part what is joined
	Cover  Cover        // what it would lay something over
	Stops  []string     // parts that keep a wire from sliding on with the pointer

	Done  bool // whether it is done already, by keys: it can be gone on with, or taken back
	Aside int  // how many steps aside things were laid in being turned, to join and to cover nothing
	Stuck bool // whether they stayed as they were, as there was no room
}

// NewEditor returns an editor of the history's diagram.
func NewEditor(h *model.History) *Editor { return &Editor{history: h, sel: newSelection()} }

// under returns the gesture under way, or nil. One that began from a drawing
// that is no more, because the history was changed beside the editor, is
// dropped.
func (e *Editor) under() gesture {
	if e.gesture != nil && e.began != e.history.Revision() {
		e.drop()
	}
	return e.gesture
}

func (e *Editor) begin(g gesture) { e.gesture, e.began = g, e.history.Revision() }

func (e *Editor) drop() { e.gesture, e.down = nil, false }

// sheetNow returns what joins in the diagram as it is in the history.
func (e *Editor) sheetNow() *sheet {
	if e.sheet == nil || e.sheetOf != e.history.Revision() {
		e.sheet, e.sheetOf = newSheetIn(e.history.Diagram(), &e.memory), e.history.Revision()
	}
	return e.sheet
}

// Diagram returns the diagram to show: as it would be if the hand let go now.
func (e *Editor) Diagram() *model.Diagram {
	if f := e.draft(); f != nil {
		return f.Diagram()
	}
	return e.history.Diagram()
}

func (e *Editor) draft() *model.Draft {
	if g := e.under(); g != nil {
		return g.draft()
	}
	return nil
}

// Busy reports whether a gesture is under way.
func (e *Editor) Busy() bool { return e.under() != nil }

// Overlay returns what to show on top of the diagram.
func (e *Editor) Overlay() Overlay {
	var o Overlay
	g := e.under()
	if g == nil {
		e.tellRun(&o)
		return o
	}
	if f := g.draft(); f != nil {
		e.foresee(e.sheetNow(), f, g).tell(&o)
	}
	g.overlay(e, &o)
	return o
}

func (seen *foreseen) tell(o *Overlay) {
	o.Joins, o.Nets, o.Breaks, o.Cover = slices.Clone(seen.joins), seen.nets, slices.Clone(seen.breaks), seen.cover
}

// foresee returns what doing the draft would join, part and cover of what is on
// the sheet; by is the gesture, or the plan, that made it.
func (e *Editor) foresee(s *sheet, f *model.Draft, by any) *foreseen {
	seen := &e.foreseen
	if seen.of == f {
		return seen
	}
	d := f.Diagram()
	*seen = foreseen{of: f}
	seen.joins, seen.nets = joinsIn(s, d, e.Hanging().Wires)
	l := newLater(s, d)
	seen.breaks = l.breaks()
	if c, ok := by.(carrier); ok {
		seen.cover = s.coverOf(c, d)
		s.addBridges(&seen.cover, c, d, l.nets)
	}
	return seen
}

// Refused reports whether letting go now would do nothing, as it would hide a
// part, or a wire under one.
func (e *Editor) Refused() bool {
	f, g := e.draft(), e.under()
	return f != nil && e.foresee(e.sheetNow(), f, g).cover.Refuses()
}

// Cancel drops the gesture under way, then the wire tool, then the selection:
// one of them for each call.
func (e *Editor) Cancel() {
	switch {
	case e.under() != nil:
		e.drop()
	case e.wiring:
		e.wiring = false
	default:
		e.sel = newSelection()
	}
}

// DrawWires turns on, or off, that every press begins a wire.
func (e *Editor) DrawWires(on bool) {
	e.drop()
	e.wiring = on
}

// DrawingWires reports whether every press begins a wire.
func (e *Editor) DrawingWires() bool { return e.wiring }

// Press is the primary button going down at p. A gesture that was waiting for
// a release which went elsewhere is dropped.
func (e *Editor) Press(p canvas.Point, m Modifiers) {
	e.pointer = p
	if g := e.under(); g != nil && g.lasts(e) {
		e.down = true
		g.move(e, p)
		return
	}
	e.drop()
	e.down = true
	e.press(p, m)
}

func (e *Editor) press(p canvas.Point, m Modifiers) {
	s := e.sheetNow()
	t := Hit(s.d, p)
	switch {
	case e.wiring:
		g := newWire(s, t.At)
		g.hangs = true
		e.begin(g)
	case m.Add && !t.None():
		e.sel.toggle(t)
	case e.TakeHandle(p):
	case s.beginsWire(t):
		e.begin(&endPress{p, t})
	case t.None():
		e.begin(newBox(e, p, m))
	default:
		e.begin(newGrab(e, t, p))
	}
}

// Move is the pointer coming to p, whether or not a button is down.
func (e *Editor) Move(p canvas.Point) {
	e.pointer = p
	if g := e.under(); g != nil {
		g.move(e, p)
	}
}

// Release is the primary button going up at p. Whatever the gesture has made
// is done. A release does nothing where the press that began it was before the
// gesture, or was cancelled.
func (e *Editor) Release(p canvas.Point) {
	e.Move(p)
	g := e.under()
	if g == nil || !e.down {
		return
	}
	e.down = false
	if g.release(e) {
		e.drop()
	}
}

// Do carries out an edit, such as one typed into the inspector. A gesture under
// way is dropped: it began from a drawing that is no more.
func (e *Editor) Do(edit model.Edit) error {
	e.drop()
	return e.history.Do(edit)
}

// Undo takes the last edit back and returns what it was.
func (e *Editor) Undo() (label string, ok bool) {
	e.drop()
	return e.history.Undo()
}

// Redo does the last undone edit again.
func (e *Editor) Redo() (label string, ok bool) {
	e.drop()
	return e.history.Redo()
}

// commit does what the draft has made. Edits in a row with the same merge, not
// empty, are undone together.
func (e *Editor) commit(f *model.Draft, label, merge string) {
	edit := f.Edit(label)
	edit.Merge = merge
	if err := e.history.Do(edit); err != nil {
		panic("tool: " + err.Error()) // a draft fits the diagram it was made from
	}
}
