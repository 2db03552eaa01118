package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

const dialogWidth = 420

// answer is a button of a dialog.
type answer struct {
	label string
	do    func()      // nil to do nothing
	check func() bool // whether the dialog may close so; nil for yes
}

// asking is a dialog that is open. Its first answer is given by Escape, its
// last by Enter.
type asking struct {
	popUp   *widget.PopUp
	answers []answer
}

// ask opens a dialog. The first answer is the one that changes nothing, the
// last the usual one.
func (w *Window) ask(title string, content fyne.CanvasObject, answers ...answer) {
	w.tips.hide()
	a := &asking{answers: answers}
	row := container.New(answerRow{})
	for i, each := range answers {
		b := newButton(each.label, func() { w.answer(a, i) }, func() { w.typedInDialog(fyne.KeyEscape) })
		if i == len(answers)-1 {
			b.Importance = widget.HighImportance
		}
		row.Add(b)
	}
	head := styledText(elide(title, dialogWidth, headingSize, true), headingSize, true, w.look.Ink)
	body := container.New(column{gap: 14, pad: 16}, head, wide(content, dialogWidth), row)
	a.popUp = widget.NewModalPopUp(container.New(dialogGround{}, rounded(w.look.Panel, w.look.Edge, 1, dialogRadius), body), w.win.Canvas())
	w.asking = append(w.asking, a)
	a.popUp.Show()
}

// dialogRadius rounds the corners of a dialog.
const dialogRadius = 8

// dialogGround puts its first object under its second and under what the
// toolkit leaves around it, whose own ground has square corners and no colour.
type dialogGround struct{}

func (dialogGround) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	around := theme.InnerPadding() / 2
	objects[0].Move(fyne.NewPos(-around, -around))
	objects[0].Resize(size.AddWidthHeight(2*around, 2*around))
	objects[1].Move(fyne.NewPos(0, 0))
	objects[1].Resize(size)
}

func (dialogGround) MinSize(objects []fyne.CanvasObject) fyne.Size { return objects[1].MinSize() }

// answerRow puts the buttons of a dialog at its right.
type answerRow struct{}

const (
	answerHigh = 32
	answerPad  = 12 // at the sides of a button, beside its own
	answerGap  = 10
)

func (answerRow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	x := size.Width
	for i := len(objects) - 1; i >= 0; i-- {
		w := ceil(objects[i].MinSize().Width) + 2*answerPad
		x -= w
		objects[i].Move(fyne.NewPos(x, 0))
		objects[i].Resize(fyne.NewSize(w, answerHigh))
		x -= answerGap
	}
}

func (answerRow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	s := fyne.NewSize(0, answerHigh)
	for _, o := range objects {
		s.Width += ceil(o.MinSize().Width) + 2*answerPad + answerGap
	}
	return s
}

// answer closes a dialog and does what one of its buttons says.
func (w *Window) answer(a *asking, i int) {
	for at, open := range w.asking {
		if check := a.answers[i].check; open == a && (check == nil || check()) {
			w.asking = w.asking[:at]
			a.popUp.Hide()
			if do := a.answers[i].do; do != nil {
				do()
			}
			return
		}
	}
}

// typedInDialog gives the first or the last answer of the dialog on top.
func (w *Window) typedInDialog(name fyne.KeyName) {
	if len(w.asking) == 0 {
		return
	}
	a := w.asking[len(w.asking)-1]
	switch name {
	case fyne.KeyEscape:
		w.answer(a, 0)
	case fyne.KeyReturn, fyne.KeyEnter:
		w.answer(a, len(a.answers)-1)
	}
}

// dialogEntry is an entry in a dialog: Enter and Escape answer the dialog.
func (w *Window) dialogEntry(text string) *dialogEntry {
	e := &dialogEntry{window: w}
	e.ExtendBaseWidget(e)
	e.SetText(text)
	return e
}

type dialogEntry struct {
	widget.Entry
	window *Window
	step   func(by int) // goes so many lines further in a list; nil for no list
	up     func()       // goes to the folder above, by Alt and Up; nil for no folders
}

// pageSteps is how many lines of a list a page is.
const pageSteps = 10

// TypedKey takes the keys that are not text.
func (e *dialogEntry) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeyEscape:
		e.window.typedInDialog(k.Name)
	case fyne.KeyUp, fyne.KeyDown, fyne.KeyPageUp, fyne.KeyPageDown:
		e.leaf(k.Name)
	default:
		e.Entry.TypedKey(k)
	}
}

// TypedShortcut takes the keys that come with others.
func (e *dialogEntry) TypedShortcut(s fyne.Shortcut) {
	if k, is := s.(*desktop.CustomShortcut); is && e.up != nil && k.KeyName == fyne.KeyUp && k.Modifier == fyne.KeyModifierAlt {
		e.up()
		return
	}
	e.Entry.TypedShortcut(s)
}

// leaf goes through the list of the dialog, if it has one.
func (e *dialogEntry) leaf(name fyne.KeyName) {
	by := map[fyne.KeyName]int{fyne.KeyUp: -1, fyne.KeyDown: 1, fyne.KeyPageUp: -pageSteps, fyne.KeyPageDown: pageSteps}[name]
	if e.step != nil {
		e.step(by)
	}
}

// wide gives an object at least a width.
func wide(o fyne.CanvasObject, width float32) fyne.CanvasObject {
	return container.New(atLeast{width: width}, o)
}

type atLeast struct{ width, height float32 }

func (l atLeast) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, o := range objects {
		o.Move(fyne.NewPos(0, 0))
		o.Resize(size)
	}
}

func (l atLeast) MinSize(objects []fyne.CanvasObject) fyne.Size {
	m := objects[0].MinSize()
	return fyne.NewSize(max(m.Width, l.width), max(m.Height, l.height))
}

// fail tells what went wrong, in one sentence.
func (w *Window) fail(title string, err error) {
	if err == nil {
		return
	}
	w.ask(title, paragraph(sentence(err.Error()), dialogWidth, textSize, w.look.Ink), answer{label: "OK"})
}

// guard sees to it that nothing unsaved is lost before then is done.
func (w *Window) guard(then func()) {
	if w.saving != nil {
		w.onceSaved(func() { w.guard(then) })
		return
	}
	if path := w.doc.Path(); path != "" && !w.known.gone() && isMissing(path) {
		w.doc.setMissing(true)
	}
	if !w.doc.Changed() {
		then()
		return
	}
	title, text := "Save the changes?", "“"+w.name()+"” has changes that are not saved."
	if w.doc.missing {
		title, text = "Save it again?", w.missingWords()+" If it is not saved, this drawing is nowhere else."
	}
	w.ask(title, paragraph(text, dialogWidth, textSize, w.look.Ink),
		answer{label: "Cancel"},
		answer{label: "Don’t save", do: then},
		answer{label: "Save", do: func() { w.save(then) }},
	)
}
