package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
)

// entry is text that hands the keyboard back at Escape, and at Enter if it is
// one line.
type entry struct {
	widget.Entry
	leave func()        // hands the keyboard back
	lost  func()        // when the keyboard goes elsewhere
	step  func(way int) // at the up and down keys, +1 or −1; nil for none
}

func newEntry(leave func()) *entry {
	e := &entry{leave: leave, lost: func() {}}
	e.ExtendBaseWidget(e)
	e.Scroll = fyne.ScrollNone
	return e
}

// TypedKey takes the keys that are not text.
func (e *entry) TypedKey(k *fyne.KeyEvent) {
	switch {
	case k.Name == fyne.KeyEscape || !e.MultiLine && (k.Name == fyne.KeyReturn || k.Name == fyne.KeyEnter):
		e.leave()
	case k.Name == fyne.KeyUp && e.step != nil:
		e.step(1)
	case k.Name == fyne.KeyDown && e.step != nil:
		e.step(-1)
	default:
		e.Entry.TypedKey(k)
	}
}

// FocusLost is called when the keyboard goes elsewhere.
func (e *entry) FocusLost() {
	e.Entry.FocusLost()
	e.lost()
}

// fieldSpec says what a field is for. Texts are functions because the drawing
// may change under it.
type fieldSpec struct {
	label, help string
	text        func() string           // what the drawing has
	placeholder func() string           // what holds where nothing is written
	note        func() string           // what it was understood as, or ""
	apply       func(text string) error // puts a text into the drawing
	step        func(way int) string    // the next text up or down; nil for none
	lines       int                     // more than one for a note; 0 is 1
}

// field is a labelled entry with what it was understood as below, or one
// sentence on what is wrong with it. A wrong text stays in the entry and does
// not touch the drawing.
type field struct {
	fieldSpec
	object fyne.CanvasObject
	entry  *entry
	below  *fyne.Container
	look   canvas.Theme
	width  float32

	shown   string // the drawing's text that the entry was last brought to
	said    string // what stands below
	problem string // what is wrong with the entry's text, or ""
	quiet   bool   // while the entry is set by the program
	focused func(fyne.Focusable) bool
}

const (
	labelWidth = 118
	labelGap   = 8
)

func newField(s fieldSpec, in *inspector) *field {
	f := &field{fieldSpec: s, look: in.look, width: in.width, below: container.New(column{gap: 1}), focused: in.focused}
	f.entry = newEntry(in.release)
	f.entry.MultiLine = s.lines > 1
	if s.lines > 1 {
		f.entry.Wrapping = fyne.TextWrapWord
		f.entry.SetMinRowsVisible(s.lines)
	}
	if s.step != nil {
		f.entry.step = func(way int) { f.entry.SetText(s.step(way)) }
	}
	f.entry.OnChanged = f.typed
	f.entry.lost = f.settle
	label := newHinted(in.tips, s.help, styledText(s.label, textSize, false, in.look.Quiet))
	line := container.New(columns{widths: []float32{labelWidth, 0}, gap: labelGap}, label, f.entry)
	f.object = container.New(column{gap: 2}, line, f.below)
	f.set(s.text())
	f.say()
	return f
}

// typed is called with every change of the entry.
func (f *field) typed(text string) {
	if f.quiet {
		return
	}
	f.problem = ""
	if err := f.apply(text); err != nil {
		f.problem = err.Error()
	}
	f.shown = f.text()
	f.say()
}

// settle brings the entry to the drawing's way of writing when the keyboard
// leaves it, unless it holds something wrong.
func (f *field) settle() {
	if f.problem == "" {
		f.set(f.text())
	}
}

// refresh follows a change of the drawing that did not come from the entry.
func (f *field) refresh() {
	if now := f.text(); now != f.shown {
		f.problem = ""
		f.set(now)
	}
	f.say()
}

func (f *field) set(text string) {
	f.shown = text
	if f.entry.Text == text {
		return
	}
	f.quiet = true
	f.entry.SetText(text)
	f.quiet = false
}

// say writes what stands below the entry, and the placeholder in it.
func (f *field) say() {
	if f.placeholder != nil && f.entry.PlaceHolder != f.placeholder() {
		f.entry.SetPlaceHolder(f.placeholder())
	}
	say, colour := f.problem, f.look.Flag
	if say == "" && f.note != nil {
		say, colour = f.note(), f.look.Quiet
	}
	if say == f.said {
		return
	}
	f.said = say
	if say == "" {
		refill(f.below)
		return
	}
	refill(f.below, indented(paragraph(say, f.width-labelWidth-labelGap-4, smallSize, colour)))
}
