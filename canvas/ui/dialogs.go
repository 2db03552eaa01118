package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
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
	row := container.NewHBox(layout.NewSpacer())
	for i, each := range answers {
		b := widget.NewButton(each.label, func() { w.answer(a, i) })
		if i == len(answers)-1 {
			b.Importance = widget.HighImportance
		}
		row.Add(b)
	}
	head := styledText(elide(title, dialogWidth, headingSize, true), headingSize, true, w.look.Ink)
	body := container.New(column{gap: 14, pad: 16}, head, wide(content, dialogWidth), row)
	a.popUp = widget.NewModalPopUp(body, w.win.Canvas())
	w.asking = append(w.asking, a)
	a.popUp.Show()
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
}

// TypedKey takes the keys that are not text.
func (e *dialogEntry) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeyEscape:
		e.window.typedInDialog(k.Name)
	default:
		e.Entry.TypedKey(k)
	}
}

// wide gives an object at least a width.
func wide(o fyne.CanvasObject, width float32) fyne.CanvasObject {
	return container.New(atLeast{width}, o)
}

type atLeast struct{ width float32 }

func (l atLeast) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, o := range objects {
		o.Move(fyne.NewPos(0, 0))
		o.Resize(size)
	}
}

func (l atLeast) MinSize(objects []fyne.CanvasObject) fyne.Size {
	m := objects[0].MinSize()
	return fyne.NewSize(max(m.Width, l.width), m.Height)
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
	if !w.doc.Changed() {
		then()
		return
	}
	text := "“" + w.name() + "” has changes that are not saved."
	w.ask("Save the changes?", paragraph(text, dialogWidth, textSize, w.look.Ink),
		answer{label: "Cancel"},
		answer{label: "Don't save", do: then},
		answer{label: "Save", do: func() { w.save(then) }},
	)
}
