package ui

import (
	"bytes"
	"errors"
	"strings"

	"copperglass/canvas/tool"
	"copperglass/model/file"
)

// copy puts what is selected on the clipboard, as a drawing file.
func (w *Window) copy() {
	part := w.doc.editor.Extract()
	if len(part.Parts)+len(part.Wires) == 0 {
		return
	}
	var text bytes.Buffer
	if err := file.Encode(&text, part); err != nil {
		w.fail("Not copied", err)
		return
	}
	w.app.Clipboard().SetContent(text.String())
}

func (w *Window) cut() {
	w.copy()
	w.surface.edit((*tool.Editor).Delete)
}

// paste hangs the drawing on the clipboard on the pointer, or on the cursor of
// the keys: a click or Enter sets it down.
func (w *Window) paste() {
	text := w.app.Clipboard().Content()
	if strings.TrimSpace(text) == "" {
		return
	}
	d, err := file.Decode(strings.NewReader(text))
	if err != nil {
		w.fail("Not pasted", errors.New("what is on the clipboard is no part of a drawing; copy something on a sheet first"))
		return
	}
	w.surface.place(func(e *tool.Editor) { e.Hang(d) })
	w.surface.readyKeys()
}
