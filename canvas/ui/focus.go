package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// ringWidth is the line around what has the keyboard.
const ringWidth = 2

// newRing is the line around what has the keyboard.
func newRing() *prim.Rectangle {
	r := rounded(color.Transparent, color.Transparent, ringWidth, 4)
	r.Hide()
	return r
}

// showRing shows or hides the ring of an object, in the theme's colour. The
// toolkit does not know a ring that was never painted, so it is the object that
// has to be painted anew.
func showRing(r *prim.Rectangle, of fyne.CanvasObject, on bool) {
	r.StrokeColor = theme.Color(theme.ColorNamePrimary)
	r.Hidden = !on
	prim.Refresh(of)
}

// presses reports whether a key does what a click does.
func presses(name fyne.KeyName) bool {
	return name == fyne.KeyReturn || name == fyne.KeyEnter || name == fyne.KeySpace
}

// release takes the keyboard from an object; the next key is the sheet's.
func release(o fyne.CanvasObject) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil {
		c.Unfocus()
	}
}

// tapArea makes anything clickable, by the mouse and by the keys.
type tapArea struct {
	widget.BaseWidget
	content fyne.CanvasObject
	ring    *prim.Rectangle
	tapped  func()
	keyed   bool // while it is the keys that click
}

func newTapArea(content fyne.CanvasObject, tapped func()) *tapArea {
	t := &tapArea{content: content, ring: newRing(), tapped: tapped}
	t.ExtendBaseWidget(t)
	return t
}

// Tapped is called with a click.
func (t *tapArea) Tapped(*fyne.PointEvent) { t.tapped() }

// Cursor says that it can be clicked.
func (t *tapArea) Cursor() desktop.Cursor { return desktop.PointerCursor }

// FocusGained shows that the keyboard is here.
func (t *tapArea) FocusGained() {
	showRing(t.ring, t, true)
	reveal(t)
}

// FocusLost is called when it goes.
func (t *tapArea) FocusLost() { showRing(t.ring, t, false) }

// TypedRune is called with letters, which it has no use for.
func (t *tapArea) TypedRune(rune) {}

// TypedKey does what a click does, or hands the keyboard back.
func (t *tapArea) TypedKey(e *fyne.KeyEvent) {
	switch {
	case presses(e.Name):
		t.keyed = true
		t.tapped()
		t.keyed = false
	case e.Name == fyne.KeyEscape:
		release(t)
	}
}

func (t *tapArea) CreateRenderer() fyne.WidgetRenderer { return &tapRenderer{t} }

type tapRenderer struct{ t *tapArea }

// ringRoom is between what can be clicked and the ring around it at its sides,
// ringRise above and below, where lines of text stand close.
const (
	ringRoom = 5
	ringRise = 2
)

func (r *tapRenderer) Layout(size fyne.Size) {
	r.t.content.Resize(size)
	r.t.ring.Move(fyne.NewPos(-ringRoom, -ringRise))
	r.t.ring.Resize(size.AddWidthHeight(2*ringRoom, 2*ringRise))
}

func (r *tapRenderer) MinSize() fyne.Size { return r.t.content.MinSize() }

func (r *tapRenderer) Refresh() {
	r.t.content.Refresh()
	r.t.ring.Refresh()
}

func (r *tapRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.t.content, r.t.ring}
}

func (r *tapRenderer) Destroy() {}

// button is the toolkit's, which Enter presses as well.
type button struct {
	widget.Button
	escape func() // what Escape does
	keyed  bool   // while it is the keys that press it
	hint   *hint  // its explanation, or nil
}

func newButton(label string, tapped, escape func()) *button {
	b := &button{escape: escape}
	b.Text, b.OnTapped = label, tapped
	b.ExtendBaseWidget(b)
	return b
}

// FocusGained shows that the keyboard is here.
func (b *button) FocusGained() {
	b.Button.FocusGained()
	reveal(b)
}

// TypedKey presses the button or leaves it.
func (b *button) TypedKey(e *fyne.KeyEvent) {
	switch {
	case presses(e.Name):
		b.keyed = true
		b.OnTapped()
		b.keyed = false
	case e.Name == fyne.KeyEscape:
		b.escape()
	default:
		b.Button.TypedKey(e)
	}
}

// MouseIn, MouseMoved and MouseOut explain it, too.
func (b *button) MouseIn(e *desktop.MouseEvent) {
	b.Button.MouseIn(e)
	b.hint.MouseIn(e)
}

func (b *button) MouseMoved(e *desktop.MouseEvent) {
	b.Button.MouseMoved(e)
	b.hint.MouseMoved(e)
}

func (b *button) MouseOut() {
	b.Button.MouseOut()
	b.hint.MouseOut()
}

// newIconButton is a quiet button with a picture only.
func newIconButton(icon fyne.Resource, tapped func()) *button {
	b := newButton("", tapped, nil)
	b.Icon, b.Importance = icon, widget.LowImportance
	b.escape = func() { release(b) }
	return b
}

// choice is the toolkit's, which Escape leaves.
type choice struct {
	widget.Select
	keyed bool  // whether it is the keys that choose
	hint  *hint // its explanation, or nil
}

func newChoice() *choice {
	c := &choice{}
	c.ExtendBaseWidget(c)
	return c
}

// Tapped opens the choice.
func (c *choice) Tapped(e *fyne.PointEvent) {
	c.keyed = false
	c.Select.Tapped(e)
}

// FocusGained shows that the keyboard is here.
func (c *choice) FocusGained() {
	c.Select.FocusGained()
	reveal(c)
}

// TypedKey opens the choice, goes through it or leaves it.
func (c *choice) TypedKey(e *fyne.KeyEvent) {
	c.keyed = true
	if e.Name == fyne.KeyEscape {
		release(c)
		return
	}
	c.Select.TypedKey(e)
}

// MouseIn, MouseMoved and MouseOut explain it, too.
func (c *choice) MouseIn(e *desktop.MouseEvent) {
	c.Select.MouseIn(e)
	c.hint.MouseIn(e)
}

func (c *choice) MouseMoved(e *desktop.MouseEvent) {
	c.Select.MouseMoved(e)
	c.hint.MouseMoved(e)
}

func (c *choice) MouseOut() {
	c.Select.MouseOut()
	c.hint.MouseOut()
}
