package ui

import (
	"math"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/quantity"
)

// MouseDown begins a gesture.
func (s *surface) MouseDown(e *desktop.MouseEvent) {
	s.tips.hide()
	s.keys(s)
	s.hand.at = e.Position
	switch {
	case e.Button == desktop.MouseButtonTertiary, e.Button == desktop.MouseButtonPrimary && s.hand.space:
		s.hand.panning = true
	case e.Button == desktop.MouseButtonPrimary:
		s.hand.pressed = true
		add := e.Modifier&(fyne.KeyModifierShift|fyne.KeyModifierShortcutDefault) != 0
		s.edit(func(h *tool.Editor) { h.Press(s.toSheet(e.Position), tool.Modifiers{Add: add}) })
	}
}

// MouseUp ends it. The toolkit does not always send one.
func (s *surface) MouseUp(e *desktop.MouseEvent) {
	if e.Button == desktop.MouseButtonSecondary {
		s.secondary(e)
		return
	}
	s.letGo(e.Position)
}

// letGo ends whatever the button held.
func (s *surface) letGo(at fyne.Position) {
	s.hand.panning = false
	if !s.hand.pressed {
		return
	}
	s.hand.pressed = false
	placing := s.doc.editor.Placing()
	wasBusy := placing != nil || s.doc.editor.DrawingWires()
	before := s.doc.history.Revision()
	s.edit(func(h *tool.Editor) { h.Release(s.toSheet(at)) })
	switch same := s.doc.history.Revision() == before; {
	case same && !wasBusy:
		s.clicked(at)
	case !same && placing != nil:
		s.name(placing)
	}
}

// name opens the field of a new part that is nothing without its words.
func (s *surface) name(k *model.Kind) {
	if k.Name == "tag" || k.Name == "note" {
		s.open()
	}
}

// clicked looks for the second of two clicks: it opens what is under the
// pointer, or throws a switch.
func (s *surface) clicked(at fyne.Position) {
	now := time.Now()
	twice := now.Sub(s.hand.click) < fyne.CurrentApp().Driver().DoubleTapDelay() &&
		math.Hypot(float64(at.X-s.hand.clickAt.X), float64(at.Y-s.hand.clickAt.Y)) < 5
	s.hand.click, s.hand.clickAt = now, at
	if !twice {
		return
	}
	s.hand.click = time.Time{}
	t := tool.Hit(s.doc.Diagram(), s.toSheet(at))
	switch {
	case t.Ref != "" && s.doc.throw(t.Ref):
	case !t.None():
		s.open()
	}
}

// secondary opens the menu of what is under the pointer.
func (s *surface) secondary(e *desktop.MouseEvent) {
	if s.doc.editor.Busy() || s.doc.editor.DrawingWires() {
		s.edit((*tool.Editor).Cancel)
		return
	}
	if t := tool.Hit(s.doc.Diagram(), s.toSheet(e.Position)); t.Ref != "" && !s.doc.Selected().Parts[t.Ref] {
		s.doc.Select(t.Ref)
	}
	s.menu(e.AbsolutePosition)
}

// MouseIn is called when the pointer comes onto the sheet.
func (s *surface) MouseIn(e *desktop.MouseEvent) { s.MouseMoved(e) }

// MouseOut is called when it leaves.
func (s *surface) MouseOut() {
	s.hand.inside = false
	s.tips.hide()
	s.bringOut("")
}

// MouseMoved follows the pointer.
func (s *surface) MouseMoved(e *desktop.MouseEvent) {
	s.hand.inside = true
	if e.Button&desktop.MouseButtonPrimary == 0 && s.hand.pressed {
		s.letGo(e.Position) // the release went elsewhere
	}
	s.moved(e.Position)
	if !s.hand.pressed && !s.hand.panning {
		s.point(e)
	}
}

// Dragged follows the pointer while the button is held, off the sheet as well.
func (s *surface) Dragged(e *fyne.DragEvent) { s.moved(e.Position) }

// DragEnd lets go.
func (s *surface) DragEnd() { s.letGo(s.hand.at) }

func (s *surface) moved(to fyne.Position) {
	by := to.Subtract(s.hand.at)
	s.hand.at = to
	switch {
	case s.hand.panning:
		s.pan(fyne.NewDelta(by.X, by.Y))
	case s.hand.pressed || s.doc.editor.Busy():
		s.edit(func(h *tool.Editor) { h.Move(s.toSheet(to)) })
	default:
		s.doc.editor.Move(s.toSheet(to))
	}
}

// point explains what is under the pointer, and brings its net out.
func (s *surface) point(e *desktop.MouseEvent) {
	if s.doc.editor.Busy() {
		s.tips.hide()
		s.bringOut("")
		return
	}
	t := tool.Hit(s.doc.Diagram(), s.toSheet(e.Position))
	net, says := s.describe(t)
	s.bringOut(net)
	if says != s.tips.text {
		s.tips.after(says, e.AbsolutePosition)
	}
}

func (s *surface) bringOut(net string) {
	if net != s.hover {
		s.hover = net
		s.redraw()
	}
}

// describe returns the name of the net that t is on, for a wire or a pin, and
// a few words about t.
func (s *surface) describe(t tool.Target) (net, says string) {
	r := s.doc.Result()
	if t.None() || r == nil || r.Nets == nil {
		return "", ""
	}
	n := -1
	if t.Wire != 0 {
		n = r.Nets.Wire(s.doc.Diagram().WireIndex(t.Wire))
	} else if t.Pin != "" {
		n = r.Nets.Pin(t.Ref, t.Pin)
	}
	if n < 0 {
		return "", s.describePart(t.Ref)
	}
	net = r.Nets.Nets[n].Name
	says = netWords(r.Nets, n)
	if r.Solved && !math.IsNaN(r.Volts[n]) {
		says += ", " + quantity.Format(r.Volts[n], quantity.Volt)
	}
	if t.Pin == "" {
		return net, sentenceCase(says)
	}
	says = t.Ref + "’s pin " + t.Pin + ", " + says + ". Drag from here to draw a wire."
	return net, says
}

func (s *surface) describePart(ref string) string {
	p := s.doc.Diagram().Part(ref)
	if p == nil {
		return ""
	}
	says := ref + ", " + kindTitle(p.Kind)
	if p.Note != "" {
		says += ". " + p.Note
	}
	return says
}

// Scrolled zooms about the pointer; sideways it moves the sheet.
func (s *surface) Scrolled(e *fyne.ScrollEvent) {
	const perUnit = 0.0056 // a notch of the wheel is 25 units: 15 %
	if e.Scrolled.DX != 0 {
		s.pan(fyne.NewDelta(e.Scrolled.DX, 0))
	}
	if e.Scrolled.DY != 0 {
		s.zoomAbout(math.Exp(float64(e.Scrolled.DY)*perUnit), e.Position)
	}
}

// Cursor tells what a press would do.
func (s *surface) Cursor() desktop.Cursor {
	h := s.doc.editor
	if s.hand.panning || s.hand.space {
		return desktop.PointerCursor
	}
	t := tool.Hit(s.doc.Diagram(), s.toSheet(s.hand.at))
	switch {
	case h.Placing() != nil || h.DrawingWires() || h.Busy() && s.hand.pressed, t.Pin != "":
		return desktop.CrosshairCursor
	case !t.None():
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// FocusGained is called when the keyboard comes to the sheet.
func (s *surface) FocusGained() {}

// FocusLost is called when it goes.
func (s *surface) FocusLost() { s.hand.space = false }

// KeyDown notes the space bar, which makes the mouse move the sheet.
func (s *surface) KeyDown(e *fyne.KeyEvent) {
	if e.Name == fyne.KeySpace {
		s.hand.space = true
	}
}

// KeyUp notes that it is let go.
func (s *surface) KeyUp(e *fyne.KeyEvent) {
	if e.Name == fyne.KeySpace {
		s.hand.space = false
	}
}

// TypedRune takes the letters of the parts and the other signs.
func (s *surface) TypedRune(r rune) {
	switch r {
	case '.':
		s.edit((*tool.Editor).Turn)
	case ',':
		s.edit((*tool.Editor).TurnBack)
	case '/':
		s.edit((*tool.Editor).Mirror)
	case 'w', 'W':
		s.edit(func(h *tool.Editor) { h.DrawWires(!h.DrawingWires()) })
	case '+', '=':
		s.Zoom(zoomStep)
	case '-':
		s.Zoom(1 / zoomStep)
	default:
		s.edit(func(h *tool.Editor) { h.PlaceByKey(r) })
	}
}

// zoomStep is one step of the zoom by menu or key.
const zoomStep = 1.25

// TypedKey takes the keys that are no letters.
func (s *surface) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyDelete, fyne.KeyBackspace:
		s.edit((*tool.Editor).Delete)
	case fyne.KeyEscape:
		s.edit((*tool.Editor).Cancel)
	case fyne.KeyReturn, fyne.KeyEnter:
		s.open()
	case fyne.KeyLeft:
		s.nudge(-1, 0)
	case fyne.KeyRight:
		s.nudge(1, 0)
	case fyne.KeyUp:
		s.nudge(0, -1)
	case fyne.KeyDown:
		s.nudge(0, 1)
	}
}

func (s *surface) nudge(x, y int) {
	s.edit(func(h *tool.Editor) { h.Nudge(geom.Pt(x, y)) })
}

// place hangs a new part of the kind on the pointer.
func (s *surface) place(begin func(*tool.Editor)) {
	s.edit(begin)
	s.keys(s)
}

// carry moves a part that was dragged from the palette; at is on the window.
func (s *surface) carry(at fyne.Position) {
	p, _ := s.fromWindow(at)
	s.hand.at = p
	s.edit(func(h *tool.Editor) { h.Move(s.toSheet(p)) })
}

// setDown places it where it was let go, or drops it off the sheet.
func (s *surface) setDown(at fyne.Position) {
	p, on := s.fromWindow(at)
	if !on {
		s.edit((*tool.Editor).Cancel)
		return
	}
	s.hand.pressed = true
	s.edit(func(h *tool.Editor) { h.Press(s.toSheet(p), tool.Modifiers{}) })
	s.letGo(p)
}
