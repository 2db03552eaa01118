package ui

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
)

// entry is text that hands the keyboard back at Escape, which takes back what was
// typed, and at Enter unless its text is refused; with Shift held, Enter begins a
// new line where there may be several. In a text of paragraphs Enter always does,
// and Escape keeps what was typed, as nothing else but the mouse would.
type entry struct {
	widget.Entry
	leave  func()        // hands the keyboard back
	fair   func() bool   // whether the text is such that Enter may do so
	gained func()        // when the keyboard comes here
	lost   func()        // when the keyboard goes elsewhere
	cancel func()        // takes back what was typed since it came
	typed  func(string)  // with every change of the text
	step   func(way int) // at the up and down keys, +1 or −1; nil for none
	breaks bool          // whether it is a text of paragraphs
}

func newEntry(leave func()) *entry {
	e := &entry{}
	e.ExtendBaseWidget(e)
	e.prepare(leave)
	return e
}

func (e *entry) prepare(leave func()) {
	e.leave, e.gained, e.lost, e.cancel, e.typed = leave, func() {}, func() {}, func() {}, func(string) {}
	e.fair = func() bool { return true }
	e.Scroll = fyne.ScrollNone
	e.OnChanged = func(text string) {
		e.bound()
		e.typed(text)
	}
}

// AcceptsTab is false in fields of several lines, too: Tab goes on to the next
// field.
func (e *entry) AcceptsTab() bool { return false }

// Resize gives the entry its room.
func (e *entry) Resize(size fyne.Size) {
	e.Entry.Resize(size)
	e.bound()
}

// bound keeps a text that is longer than its box inside it. An entry that
// scrolls takes the wheel away from the panel it stands on, so only one that has
// to does.
func (e *entry) bound() {
	if e.MultiLine {
		return
	}
	want := fyne.ScrollNone
	room := e.Size().Width - 2*e.Theme().Size(theme.SizeNameInnerPadding) - 2
	if e.ActionItem != nil {
		room -= e.ActionItem.MinSize().Width
	}
	if fyne.MeasureText(e.Text, e.Theme().Size(theme.SizeNameText), e.TextStyle).Width > room {
		want = fyne.ScrollHorizontalOnly
	}
	if e.Scroll != want {
		e.Scroll = want
		e.Refresh()
	}
}

// TypedKey takes the keys that are not text.
func (e *entry) TypedKey(k *fyne.KeyEvent) {
	switch {
	case k.Name == fyne.KeyEscape && e.breaks:
		e.leave()
	case k.Name == fyne.KeyEscape:
		e.cancel()
		e.leave()
	case (k.Name == fyne.KeyReturn || k.Name == fyne.KeyEnter) && !e.breaks && !(e.MultiLine && shiftHeld()):
		e.enter()
	case k.Name == fyne.KeyUp && e.step != nil:
		e.step(1)
	case k.Name == fyne.KeyDown && e.step != nil:
		e.step(-1)
	default:
		e.Entry.TypedKey(k)
	}
}

// enter hands the keyboard back where the text is taken. Else the text stands
// selected, so that what is typed next takes its place and not one on the sheet.
func (e *entry) enter() {
	if e.fair() {
		e.leave()
		return
	}
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
}

// FocusGained is called when the keyboard comes here.
func (e *entry) FocusGained() {
	e.wrap(fyne.TextWrapBreak)
	e.Entry.FocusGained()
	e.gained()
	reveal(e)
}

func shiftHeld() bool {
	d, ok := fyne.CurrentApp().Driver().(desktop.Driver)
	return ok && d.CurrentKeyModifiers()&fyne.KeyModifierShift != 0
}

// wrap chooses where lines are broken. While somebody types that is anywhere, as
// the toolkit's entry loses a space typed where a line wraps between words.
func (e *entry) wrap(w fyne.TextWrap) {
	if e.MultiLine {
		e.Wrapping = w
		e.Refresh()
	}
}

// FocusLost is called when the keyboard goes elsewhere. The beginning of a text
// that is longer than its box is shown.
func (e *entry) FocusLost() {
	e.CursorRow, e.CursorColumn = 0, 0
	e.Refresh()
	e.wrap(fyne.TextWrapWord)
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
	check       func(text string) error // what is wrong with a text that is applied only when the keyboard leaves; nil for one that is applied as it is typed
	step        func(way int) string    // the next text up or down; nil for none
	lines       int                     // more than one for a note; 0 is 1
	breaks      bool                    // whether Enter begins a new line
	stays       bool                    // whether Enter leaves the keyboard here, for what is tried again and again
	list        func() []found          // what may be chosen instead; nil for nothing
	begin       func()                  // when the keyboard comes; nil for nothing
}

// input is an entry for a text of the drawing. What is typed shows at once. A
// wrong text stays in the entry, and the drawing is then as it was when the
// typing began.
type input struct {
	fieldSpec
	page  *page
	entry *entry
	say   func() // writes what there is to say of the text

	shown   string // the drawing's text that the entry was last brought to
	problem string // what is wrong with the entry's text, or ""
	quiet   bool   // while the entry is set by the program
	busy    bool   // while a text is taken over
}

func newInput(s fieldSpec, p *page, e *entry, say func()) *input {
	in := &input{fieldSpec: s, page: p, entry: e, say: say}
	in.entry.typed = in.typed
	in.entry.lost = in.settle
	in.entry.cancel = in.restore
	if s.begin != nil {
		in.entry.gained = s.begin
	}
	in.entry.fair = in.fair
	if s.list != nil {
		in.entry.ActionItem = in.listing() // before it is drawn, or it never is
	}
	in.set(s.text())
	p.onRest(in.refresh)
	return in
}

// typed is called with every change of the entry.
func (i *input) typed(text string) {
	if i.quiet {
		return
	}
	try := i.apply
	if i.check != nil {
		try = i.check
	}
	i.take(try, text)
	i.page.in.refresh()
}

// take hands a text over and keeps what is wrong with it.
func (i *input) take(apply func(string) error, text string) {
	i.busy = true
	i.problem = ""
	if err := apply(text); err != nil {
		i.problem = err.Error()
		i.page.in.doc.dropTyped()
	}
	i.shown = i.text()
	i.busy = false
}

// fair takes over what is applied only when the keyboard leaves, and reports
// whether the entry's text is one that the drawing can have.
func (i *input) fair() bool {
	if i.unapplied() {
		i.take(i.apply, i.entry.Text)
		i.say()
	}
	return i.problem == "" && !i.stays
}

// unapplied reports whether the drawing has yet to be given the entry's text.
func (i *input) unapplied() bool {
	return i.check != nil && i.problem == "" && i.entry.Text != i.text()
}

// settle ends the typing when the keyboard leaves. The entry is brought to the
// drawing's way of writing, unless it holds something wrong.
func (i *input) settle() {
	if i.page.in.page != i.page {
		return // the entry is of something else than is shown now
	}
	if i.unapplied() {
		i.take(i.apply, i.entry.Text)
	}
	i.page.in.doc.keepTyped()
	if i.problem == "" {
		i.set(i.text())
	}
	i.say()
}

// restore takes back what was typed since the keyboard came.
func (i *input) restore() {
	i.problem = ""
	i.page.in.doc.dropTyped()
	i.set(i.text())
}

// refresh follows a change of the drawing that did not come from the entry.
func (i *input) refresh() {
	if now := i.text(); now != i.shown && !i.busy {
		i.problem = ""
		i.set(now)
	}
	i.say()
}

func (i *input) set(text string) {
	i.shown = text
	if i.entry.Text == text {
		return
	}
	i.quiet = true
	i.entry.SetText(text)
	i.quiet = false
}

// listing is the button in the entry for the list of what may be chosen.
func (i *input) listing() fyne.CanvasObject {
	in := i.page.in
	return newHinted(in.tips, in.table.named("look up").explains(), newIconButton(theme.MenuDropDownIcon(), i.lookUp))
}

// lookUp opens the list of what may be chosen.
func (i *input) lookUp() {
	i.page.in.find("Typical data", "type, colour, size, …", "Take it", i.list())
}

// field is a labelled input with what it was understood as below, or one
// sentence on what is wrong with it.
type field struct {
	*input
	object fyne.CanvasObject
	below  *fyne.Container
	look   canvas.Theme
	said   string // what stands below

	shownRows int // of the entry, where it may have several
}

// labelGap is between a label and its field.
const labelGap = 8

// labelRoom is the width of a label in a dialog.
func labelRoom() float32 { return grown(118) }

// labelRoom is the width of a label on a page, which may be narrow.
func (p *page) labelRoom() float32 {
	const share = 0.41
	return min(labelRoom(), float32(int(share*p.in.width)))
}

func newField(s fieldSpec, p *page) *field {
	f := &field{look: p.in.look, below: container.New(column{gap: 1})}
	f.input = newInput(s, p, newEntry(p.in.release), f.tell)
	f.entry.MultiLine, f.entry.breaks = s.lines > 1, s.breaks
	if s.lines > 1 {
		f.entry.Wrapping = fyne.TextWrapWord
		f.rows()
	}
	switch {
	case s.step != nil:
		f.entry.step = func(way int) { f.entry.SetText(s.step(way)) }
	case s.list != nil:
		f.entry.step = func(int) { f.lookUp() }
	}
	line := p.labelled(s.label, s.help, f.entry)
	f.object = container.New(column{gap: 2}, line, f.below)
	f.tell()
	return f
}

// rows gives a text of several lines the room that it takes, up to some.
func (f *field) rows() {
	const most = 5 // of a note; what was given more has that
	if f.lines <= 1 {
		return
	}
	rows := 0
	for line := range strings.Lines(f.entry.Text) {
		rows += len(wrap(line, f.page.fieldWidth()-2*theme.InnerPadding(), textSize, false))
	}
	if rows = max(f.lines, min(rows, most)); rows != f.shownRows {
		f.shownRows = rows
		f.entry.SetMinRowsVisible(rows)
	}
}

// labelled puts a label before an object. A long label takes two lines.
func (p *page) labelled(label, help string, o fyne.CanvasObject) fyne.CanvasObject {
	name := paragraph(label, p.labelRoom(), textSize, p.in.look.Quiet)
	return newHinted(p.in.tips, help, container.New(columns{widths: []float32{p.labelRoom(), 0}, gap: labelGap}, name, o))
}

// tell writes what stands below the entry, and the placeholder in it.
func (f *field) tell() {
	if f.placeholder != nil && f.entry.PlaceHolder != f.placeholder() {
		f.entry.SetPlaceHolder(f.placeholder())
	}
	f.rows()
	say, colour := sentence(f.problem), f.look.Flag
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
	refill(f.below, f.page.indented(paragraph(say, f.page.fieldWidth(), smallSize, colour)))
}
