package ui

import (
	"reflect"

	"copperglass/canvas/tool"
	"copperglass/model"
)

// typing is a change that is shown and solved while somebody types it. It
// becomes one edit when the typing is over, so that it is one step to undo, and
// leaves nothing behind when its text turns out to be wrong.
type typing struct {
	draft *model.Draft
	label string
}

// Type shows the drawing with what change does to it as it was when the typing
// began. Any other edit, and keepTyped, makes it an edit of its own.
func (doc *Document) Type(label string, change func(*model.Draft)) {
	f := model.NewDraft(doc.history.Diagram())
	change(f)
	doc.typing = &typing{f, label}
	doc.follow(DrawingChanged | FileChanged)
}

// dropTyped shows the drawing as it was when the typing began.
func (doc *Document) dropTyped() {
	if doc.typing != nil {
		doc.typing = nil
		doc.follow(DrawingChanged | FileChanged)
	}
}

// keepTyped makes what is being typed an edit.
func (doc *Document) keepTyped() {
	if doc.typing != nil {
		doc.Hand(func(*tool.Editor) {})
	}
}

// commitTyped carries out what is being typed.
func (doc *Document) commitTyped() {
	t := doc.typing
	if t == nil {
		return
	}
	doc.typing = nil
	if err := doc.editor.Do(t.draft.Edit(t.label)); err != nil {
		panic("ui: " + err.Error()) // the draft began from this very drawing
	}
}

// typePart shows a change of one part while it is typed. A change that makes
// the part say something that cannot be understood is not shown; one that
// changes nothing leaves nothing to undo.
func (doc *Document) typePart(ref, what string, change func(*model.Part)) error {
	changed, err := changedPart(doc.history.Diagram(), ref, change)
	switch {
	case err != nil:
		return err
	case reflect.DeepEqual(changed, doc.history.Diagram().Part(ref)):
		doc.dropTyped()
	default:
		doc.Type(what+" of "+ref, func(f *model.Draft) { f.SetPart(ref, changed) })
	}
	return nil
}
