package ui

import (
	"math"
	"slices"
	"strconv"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model"
)

// MouseDown begins a gesture.
func (s *surface) MouseDown(e *desktop.MouseEvent) {
	s.tips.hide()
	s.hand.typed, s.hand.asks = "", ""
	s.mouseTakes(e)
	s.hand.at, s.hand.inside = e.Position, true
	s.goOn()
	s.keys(s)
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
	hangs, _ := s.doc.editor.HangingWire()
	wasBusy := placing != nil || hangs || s.doc.editor.DrawingWires()
	before := s.doc.history.Revision()
	why := s.goesBack()
	s.edit(func(h *tool.Editor) { h.Release(s.toSheet(at)) })
	if why != "" {
		s.tell("nothing has moved: " + why)
	}
	switch same := s.doc.history.Revision() == before; {
	case same && !wasBusy:
		s.clicked(at)
	case !same && placing != nil:
		s.name(placing)
	}
}

// goesBack says why what is dragged may not lie where it is, or nothing.
func (s *surface) goesBack() string {
	if dragging, _ := s.doc.editor.Dragging(); dragging && s.doc.editor.Refused() {
		return refusal(s.doc.editor.Overlay().Cover)
	}
	return ""
}

// name opens the fields of a new part that is nothing without its words, and of
// any other the one for its value.
func (s *surface) name(k *model.Kind) {
	if k.Name == "tag" || k.Name == "note" || k.Name == "arrow" {
		s.open()
		return
	}
	s.value()
	s.state()
}

// clicked asks what sets the figure that was clicked on, and looks for the second
// of two clicks: it opens what is under the pointer, throws a switch, or presses
// the button that steps through the modes.
func (s *surface) clicked(at fyne.Position) {
	now := time.Now()
	twice := now.Sub(s.hand.click) < fyne.CurrentApp().Driver().DoubleTapDelay() &&
		math.Hypot(float64(at.X-s.hand.clickAt.X), float64(at.Y-s.hand.clickAt.Y)) < 5
	s.hand.click, s.hand.clickAt = now, at
	if !twice {
		if _, of := s.figureAt(at); of != "" {
			s.ask(of)
		}
		return
	}
	s.hand.click = time.Time{}
	t := tool.Hit(s.doc.Diagram(), s.toSheet(at))
	switch {
	case s.doc.steps(t.Ref):
		s.doc.stepMode(1)
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
	_, s.hand.asks = s.figureAt(e.Position)
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
	if !s.mouseTakes(e) {
		return
	}
	s.hand.inside = true
	s.goes(e.Position)
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

// carries reports whether the hand shows a drawing that is not made yet.
func (doc *Document) carries() bool {
	return doc.editor.Busy() && doc.editor.Diagram() != doc.history.Diagram()
}

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
	if flag := s.flagWords(s.toSheet(e.Position)); flag != "" {
		net, says = "", flag
	} else if l, of := s.figureAt(e.Position); of != "" {
		says = figureWords(l, of)
	}
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
	case s.overFigure():
		return desktop.PointerCursor
	case !h.Hanging().Empty() || h.DrawingWires() || h.Busy() && s.hand.pressed, h.BeginsWire(t), h.HandleAt(s.toSheet(s.hand.at)) >= 0:
		return desktop.CrosshairCursor
	case !t.None():
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// FocusGained is called when the keyboard comes to the sheet.
func (s *surface) FocusGained() {}

// FocusLost is called when it goes.
func (s *surface) FocusLost() {
	s.hand.space = false
	s.tips.hide()
}

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
	if s.counts(r) || s.values(r) {
		return
	}
	s.struck(sign(r))
}

// TypedKey takes the keys that are no letters.
func (s *surface) TypedKey(e *fyne.KeyEvent) {
	if len(e.Name) > 1 { // a key that types a sign comes here before its sign does
		s.hand.typed = ""
	}
	s.struck(keyStroke(e.Name))
}

// mostFigures is how many figures the count of a stack has at most.
const mostFigures = 4

// counts takes the signs of a count, as in x12, which makes stacks of the
// selected parts. The letter alone does what it does otherwise, until a figure
// follows.
func (s *surface) counts(r rune) bool {
	begun := s.hand.typed
	s.hand.typed = ""
	switch {
	case !slices.ContainsFunc(s.doc.selectedRefs(), s.doc.stacks):
	case r == 'x' || r == 'X':
		if !s.doc.editor.Busy() {
			s.hand.typed = "x"
		}
	case r == '×' || r == '*':
		s.hand.typed = "×"
		return true
	case begun != "" && r >= '0' && r <= '9' && (r > '0' || isFigure(begun)) && len(begun) <= mostFigures:
		if s.doc.editor.Placing() != nil {
			s.edit((*tool.Editor).Cancel) // what the letter hung on the pointer
		}
		s.hand.typed = string(r)
		if isFigure(begun) {
			s.hand.typed = begun + string(r)
		}
		n, _ := strconv.Atoi(s.hand.typed)
		s.edit(func(e *tool.Editor) { e.SetCount(n) })
		return true
	}
	return false
}

func isFigure(s string) bool { return s[0] >= '0' && s[0] <= '9' }

// zoomStep is one step of the zoom by menu or key.
const zoomStep = 1.25

// place hangs something new on the cursor of the keys, or on the pointer, or in
// the middle of the sheet.
func (s *surface) place(begin func(*tool.Editor)) {
	s.settleView()
	s.bringOut("") // what was under the pointer is not what the hand is at now
	at := s.pasteAt()
	s.edit(func(e *tool.Editor) {
		e.Move(canvas.OnGrid(at))
		begin(e)
	})
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
