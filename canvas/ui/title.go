package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
)

// titleBox is the drawing's name: a heading, which becomes an entry when it is
// clicked.
type titleBox struct {
	widget.BaseWidget
	hint
	look   canvas.Theme
	entry  *titleEntry
	typing fyne.CanvasObject // the entry in its theme
	text   *prim.Text
	ground *prim.Rectangle // under the pointer
}

func newTitleBox(look canvas.Theme, t *tips, release func()) *titleBox {
	b := &titleBox{hint: hint{t, "The name of the drawing; a click, or Shift+Tab on the sheet, begins to change it, Enter keeps what was typed, Escape takes it back."}, look: look, entry: newTitleEntry(release)}
	b.typing = container.NewThemeOverride(b.entry, titleTheme{newFyneTheme(look, textScale())})
	b.text = styledText("", titleSize, true, look.OnBar)
	b.ground = rounded(withAlpha(look.OnBar, 24), color.Transparent, 0, 5)
	b.ground.Hide()
	b.typing.Hide()
	b.ExtendBaseWidget(b)
	return b
}

// Tapped begins to type.
func (b *titleBox) Tapped(*fyne.PointEvent) { b.FocusGained() }

// FocusLost is called when the entry takes over.
func (b *titleBox) FocusLost() {}

// TypedRune and TypedKey are never called: the entry has the keyboard.
func (b *titleBox) TypedRune(rune) {}

// TypedKey is as TypedRune.
func (b *titleBox) TypedKey(*fyne.KeyEvent) {}

// FocusGained hands the keyboard to the entry.
func (b *titleBox) FocusGained() {
	b.tips.hide()
	b.text.Hide()
	b.ground.Hide()
	b.typing.Show()
	fyne.CurrentApp().Driver().CanvasForObject(b).Focus(b.entry)
}

// rest is the heading again.
func (b *titleBox) rest() {
	b.typing.Hide()
	b.text.Show()
	b.Refresh()
}

// MouseIn shows that the heading can be clicked.
func (b *titleBox) MouseIn(e *desktop.MouseEvent) {
	b.hint.MouseIn(e)
	b.ground.Show()
}

// MouseOut ends that.
func (b *titleBox) MouseOut() {
	b.hint.MouseOut()
	b.ground.Hide()
}

// Cursor says that it is text.
func (b *titleBox) Cursor() desktop.Cursor { return desktop.TextCursor }

// MinSize follows the text.
func (b *titleBox) MinSize() fyne.Size { return b.entry.MinSize() }

func (b *titleBox) CreateRenderer() fyne.WidgetRenderer { return &titleRenderer{b} }

type titleRenderer struct{ b *titleBox }

func (r *titleRenderer) Layout(size fyne.Size) {
	const pad = 8
	b := r.b
	b.ground.Resize(size)
	b.typing.Resize(size)
	b.text.Text, b.text.Color = b.entry.Text, b.look.OnBar
	if b.text.Text == "" {
		b.text.Text, b.text.Color = b.entry.PlaceHolder, b.look.BarQuiet
	}
	b.text.Text = elide(b.text.Text, size.Width-2*pad, titleSize, true)
	m := b.text.MinSize()
	b.text.Resize(m)
	b.text.Move(fyne.NewPos(pad, float32(int((size.Height-m.Height)/2))))
}

func (r *titleRenderer) MinSize() fyne.Size { return r.b.MinSize() }

func (r *titleRenderer) Refresh() {
	r.Layout(r.b.Size())
	r.b.text.Refresh()
}

func (r *titleRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.b.ground, r.b.text, r.b.typing}
}

func (r *titleRenderer) Destroy() {}

// titleEntry is an entry that looks like a heading and is as wide as its text.
type titleEntry struct {
	entry
	quiet bool
}

func newTitleEntry(release func()) *titleEntry {
	t := &titleEntry{}
	t.ExtendBaseWidget(t)
	t.prepare(release)
	t.TextStyle.Bold = true
	return t
}

// show brings the entry to the title without taking that for typing.
func (t *titleEntry) show(title string) {
	if t.Text != title {
		t.quiet = true
		t.SetText(title)
		t.quiet = false
	}
}

// call says what the drawing is called where it has no title.
func (t *titleEntry) call(name string) {
	if t.PlaceHolder != name {
		t.SetPlaceHolder(name)
	}
}

// MinSize follows the text.
func (t *titleEntry) MinSize() fyne.Size {
	text := t.Text
	if text == "" {
		text = t.PlaceHolder
	}
	return fyne.NewSize(ceil(textWidth(text, titleSize, true))+24, t.Entry.MinSize().Height)
}

const titleSize = 17

// titleTheme is the theme of the title's entry.
type titleTheme struct{ fyneTheme }

func (t titleTheme) Size(name fyne.ThemeSizeName) float32 {
	if name == "text" {
		return titleSize * t.scale
	}
	return t.fyneTheme.Size(name)
}
