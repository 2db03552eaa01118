package ui

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model/geom"
)

// cursor is where the keys act on the sheet. The arrow keys bring it up, the
// mouse sends it away.
type cursor struct {
	at    geom.Point
	shown bool
	used  bool   // whether it has been anywhere in this drawing
	held  bool   // whether the keys carry what is selected
	put   string // the part that the keys have just set down: they go on from there without it
}

// farSteps is how far an arrow key goes with Shift.
const farSteps = 5

// sheetActions are what the keys alone do on the sheet.
func sheetActions() actions {
	list := actions{
		{name: "act", title: "Place, join or select at the cursor", group: sheetGroup, keys: []stroke{key(fyne.KeyReturn), key(fyne.KeyEnter)},
			do:   func(w *Window) { w.surface.act(false) },
			help: "Sets down the part that hangs there; begins a wire at a pin or where wires end, bends it on bare paper, and ends it on what it meets or the second time at one place; selects what is under the cursor; of what is selected it opens the fields, or takes an arrow by its end."},
		{name: "act too", title: "Add to what is selected, or take out", group: sheetGroup, keys: []stroke{shifted(fyne.KeyReturn), shifted(fyne.KeyEnter)},
			do: func(w *Window) { w.surface.act(true) }, help: "Selects what is under the cursor beside what is selected."},
		{name: "cancel", title: "Stop what is begun", group: sheetGroup, keys: []stroke{key(fyne.KeyEscape)},
			do: func(w *Window) { w.surface.cancel() }, help: "Drops what is begun; then stops drawing wires; then selects nothing, so that the arrow keys move the cursor."},
	}
	list = append(list,
		action{name: "panel", title: "To the panel", group: sheetGroup, keys: []stroke{key(fyne.KeyTab)},
			do: func(w *Window) { w.win.Canvas().FocusNext() }, help: "From field to field of the panel; Escape comes back to the sheet."},
		action{name: "title", title: "To the drawing’s name", group: sheetGroup, keys: []stroke{shifted(fyne.KeyTab)},
			do: func(w *Window) { w.focus(w.bar.box) }, help: "Changes what the drawing is called; Escape comes back to the sheet."})
	for _, way := range []struct {
		word string
		key  fyne.KeyName
		by   geom.Point
	}{
		{"left", fyne.KeyLeft, geom.Pt(-1, 0)}, {"right", fyne.KeyRight, geom.Pt(1, 0)},
		{"up", fyne.KeyUp, geom.Pt(0, -1)}, {"down", fyne.KeyDown, geom.Pt(0, 1)},
	} {
		far := geom.Pt(way.by.X*farSteps, way.by.Y*farSteps)
		list = append(list,
			action{name: way.word, title: "Cursor or selection " + way.word, group: sheetGroup, keys: []stroke{key(way.key)},
				do: func(w *Window) { w.surface.step(way.by) }, help: "One step of the grid: what is selected where something is, else the cursor."},
			action{name: "far " + way.word, title: "Five steps " + way.word, group: sheetGroup, keys: []stroke{shifted(way.key)},
				do: func(w *Window) { w.surface.step(far) }, help: "Five steps of the grid."},
			action{name: "next " + way.word, title: "Cursor to the next pin " + way.word, group: sheetGroup, keys: []stroke{control(way.key)},
				do: func(w *Window) { w.surface.jump(way.by) }, help: "Brings the cursor to the nearest pin or end of a wire that way."})
	}
	return list
}

// keyStroke is the stroke of a key that is no sign.
func keyStroke(name fyne.KeyName) stroke {
	if shiftHeld() {
		return shifted(name)
	}
	return key(name)
}

// step moves what the hand holds, else what is selected, else the cursor.
func (s *surface) step(by geom.Point) {
	e := s.doc.editor
	s.leavePut()
	if !e.Busy() && !e.DrawingWires() && !s.doc.Selected().Empty() {
		s.edit(func(e *tool.Editor) { e.Nudge(by) })
		s.cursor.at = s.cursor.at.Add(by)
		s.follow(canvas.OnGrid(tool.Anchor(s.doc.Diagram(), s.doc.Selected())))
		return
	}
	known := e.Busy() || s.cursor.used && s.within(s.cursor.at)
	if !s.raise() && !known {
		return // it has just come up where nobody has seen it yet
	}
	s.moveCursor(s.cursor.at.Add(by))
}

// leavePut selects nothing where nothing is selected but the part that the keys
// have just set down.
func (s *surface) leavePut() {
	ref, sel := s.cursor.put, s.doc.Selected()
	s.cursor.put = ""
	if s.cursor.shown && sel.Parts[ref] && len(sel.Parts) == 1 && len(sel.Wires) == 0 && !s.doc.editor.Busy() {
		s.edit(func(e *tool.Editor) { e.Select() })
	}
}

// raise shows the cursor. It returns whether it was there already.
func (s *surface) raise() (was bool) {
	if s.cursor.shown {
		return true
	}
	s.settleView()
	s.tips.hide()
	s.bringOut("")
	s.cursor.shown = true
	if !s.cursor.used || !s.within(s.cursor.at) || s.doc.editor.Busy() {
		s.cursor.at = s.pointed()
	}
	s.cursor.used = true
	s.moveCursor(s.cursor.at)
	return false
}

// readyKeys shows the cursor where the mouse is elsewhere: what is begun has to
// be somewhere.
func (s *surface) readyKeys() {
	if !s.hand.inside {
		s.raise()
	}
}

// sink takes the cursor away.
func (s *surface) sink() {
	if s.cursor.shown {
		s.cursor.shown = false
		s.tips.hide()
		s.raster.Refresh()
	}
}

// within reports whether a point of the grid is in view.
func (s *surface) within(p geom.Point) bool { return s.visible().Contains(canvas.OnGrid(p)) }

// moveCursor brings the cursor to a point, into view, and whatever the hand
// holds along.
func (s *surface) moveCursor(to geom.Point) {
	s.cursor.at = to
	s.follow(canvas.OnGrid(to))
	s.edit(func(e *tool.Editor) { e.Move(canvas.OnGrid(to)) })
	s.bringOutAt(to)
}

// followMargin is how near the edge of the sheet the cursor comes before the
// sheet is moved, in units of the toolkit.
const followMargin = 48

// follow moves the sheet so that a place is in view.
func (s *surface) follow(p canvas.Point) {
	at := s.view.ToPixel(p)
	size := s.Size()
	dx, dy := beyond(at.X, float64(size.Width)), beyond(at.Y, float64(size.Height))
	if dx != 0 || dy != 0 {
		s.pan(fyne.NewDelta(float32(math.Round(-dx)), float32(math.Round(-dy))))
	}
}

// beyond is how far x is outside what lies between the margins.
func beyond(x, room float64) float64 {
	margin := math.Min(followMargin, room/3)
	switch {
	case x < margin:
		return x - margin
	case x > room-margin:
		return x - (room - margin)
	}
	return 0
}

// bringOutAt shows the net under the cursor, as under the pointer.
func (s *surface) bringOutAt(p geom.Point) {
	if s.doc.editor.Busy() || s.doc.editor.DrawingWires() {
		s.tips.hide()
		s.bringOut("")
		return
	}
	net, says := s.describe(tool.Hit(s.doc.Diagram(), canvas.OnGrid(p)))
	s.bringOut(net)
	at := s.view.ToPixel(canvas.OnGrid(p))
	s.tips.after(says, fyne.CurrentApp().Driver().AbsolutePositionForObject(s).AddXY(float32(at.X), float32(at.Y)))
}

// act is Enter on the sheet: what a click does, at the cursor, but where a drag
// would draw a wire it lets one hang there.
func (s *surface) act(add bool) {
	e := s.doc.editor
	s.cursor.put = ""
	if !s.cursor.shown && !e.Busy() && !e.DrawingWires() && !s.doc.Selected().Empty() {
		s.open()
		return
	}
	s.raise()
	s.tips.hide()
	t := tool.Hit(s.doc.Diagram(), canvas.OnGrid(s.cursor.at))
	sel := s.doc.Selected()
	switch {
	case s.holding():
		s.putDown()
	case e.Busy() || e.DrawingWires():
		s.clickHere(add)
	case add:
		s.clickHere(true)
	case e.HandleAt(s.here()) >= 0:
		s.cursor.held = true
		s.edit(func(e *tool.Editor) { e.TakeHandle(s.here()) })
	case sel.Parts[t.Ref] || sel.Wires[t.Wire]:
		s.open()
	case e.BeginsWire(t):
		s.edit(func(e *tool.Editor) { e.BeginWire(s.here()) })
	default:
		s.clickHere(false)
	}
	s.state()
}

// here is the cursor on the sheet.
func (s *surface) here() canvas.Point { return canvas.OnGrid(s.cursor.at) }

func (s *surface) pressHere(add bool) {
	s.edit(func(e *tool.Editor) { e.Press(s.here(), tool.Modifiers{Add: add}) })
}

func (s *surface) clickHere(add bool) {
	placing := s.doc.editor.Placing()
	before := s.doc.history.Revision()
	s.pressHere(add)
	s.edit(func(e *tool.Editor) { e.Release(s.here()) })
	if placing != nil && s.doc.history.Revision() != before {
		s.cursor.put = s.doc.selectedRefs()[0]
		s.name(placing)
	}
}

// putDown lets go what the keys hold.
func (s *surface) putDown() {
	s.cursor.held = false
	s.edit(func(e *tool.Editor) { e.Release(s.here()) })
}

// pickUp takes what is selected into the hand, or puts it down.
func (s *surface) pickUp() {
	if s.holding() {
		s.putDown()
		return
	}
	if s.doc.editor.Busy() || s.doc.Selected().Empty() {
		return
	}
	s.tips.hide()
	s.cursor = cursor{at: tool.Anchor(s.doc.Diagram(), s.doc.Selected()), shown: true, used: true, held: true}
	s.follow(s.here())
	s.edit(func(e *tool.Editor) { e.PickUp(s.here()) })
}

// holding reports whether the keys still hold what they took: whatever else is
// begun or undone meanwhile drops it.
func (s *surface) holding() bool {
	e := s.doc.editor
	return s.cursor.held && e.Busy() && e.Placing() == nil && !e.DrawingWires()
}

// holds says what the keys hold and how to go on, or is "".
func (s *surface) holds(t actions) string {
	if !s.holding() {
		return ""
	}
	end, drop := t.named("act").told(), t.named("cancel").told()
	return "in the hand · the arrow keys carry it, " + end + " puts it down, " + drop + " puts it back"
}

// cancel drops what is begun; where nothing is, the cursor goes.
func (s *surface) cancel() {
	e := s.doc.editor
	idle := !e.Busy() && !e.DrawingWires() && s.doc.Selected().Empty()
	s.cursor.held = false
	s.edit((*tool.Editor).Cancel)
	if idle {
		s.sink()
	}
}

// jump brings the cursor to the nearest pin or wire's end that lies more that
// way than aside.
func (s *surface) jump(way geom.Point) {
	s.raise()
	at, best, found := s.cursor.at, math.Inf(1), geom.Point{}
	for _, p := range tool.Joints(s.doc.Diagram()) {
		d := p.Sub(at)
		along := d.X*way.X + d.Y*way.Y
		aside := d.X*way.Y - d.Y*way.X
		if r := math.Hypot(float64(along), 2*float64(aside)); along > 0 && along >= abs(aside) && r < best {
			best, found = r, p
		}
	}
	if !math.IsInf(best, 1) {
		s.moveCursor(found)
	}
}

func abs(x int) int { return max(x, -x) }

// cursorMark draws the cursor: four ticks about a point of the grid.
func (s *surface) cursorMark() []canvas.Item {
	if !s.cursor.shown {
		return nil
	}
	c, near, far := s.here(), 0.2*canvas.Grid, 0.62*canvas.Grid
	ground := (&canvas.Path{Style: canvas.Style{Fill: withAlpha(s.look.Accent, 40)}}).Circle(c, far)
	ticks := &canvas.Path{Style: canvas.Style{Stroke: s.look.Accent, Width: 2 / math.Min(1, s.view.Scale)}}
	for _, d := range []canvas.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		ticks.MoveTo(c.X+d.X*near, c.Y+d.Y*near).LineTo(c.X+d.X*far, c.Y+d.Y*far)
	}
	return []canvas.Item{ground, ticks}
}

// steady is how far a mouse that is not meant to move may shake.
const steady = 3

// mouseTakes sends the cursor of the keys away when the mouse is used. It
// returns false where the mouse has only been shaken.
func (s *surface) mouseTakes(e *desktop.MouseEvent) bool {
	d := e.Position.Subtract(s.hand.at)
	if !s.cursor.shown {
		return true
	}
	if s.hand.inside && e.Button == 0 && math.Hypot(float64(d.X), float64(d.Y)) <= steady {
		return false
	}
	s.cursor.held = false
	s.sink()
	return true
}
