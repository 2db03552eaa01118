package ui

import (
	"errors"
	"io"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2/container"

	"copperglass/model/file"
)

// askName asks what something is to be called. Enter takes the name, Escape
// drops it all.
func (w *Window) askName(title, text string, take func(name string)) {
	name, problem := w.dialogEntry(text), container.New(column{})
	check := func() bool {
		var err error
		if strings.TrimSpace(name.Text) == "" {
			err = errors.New("it needs a name")
		}
		complain(problem, err, dialogWidth, w.look)
		return err == nil
	}
	w.ask(title, container.New(column{gap: 8}, name, problem), answer{label: "Cancel"},
		answer{label: "Keep", check: check, do: func() { take(strings.TrimSpace(name.Text)) }})
	w.focusAll(name)
}

// saveText asks for a file beside the drawing's and writes a text to it.
func (w *Window) saveText(title, name, ending, text string) {
	suggested := fileName(name) + ending
	if w.doc.Path() != "" {
		suggested = filepath.Join(filepath.Dir(w.doc.Path()), suggested)
	}
	w.chooseFile(title, true, suggested, ending, func(path string) {
		err := file.Replace(path, func(out io.Writer) error { _, err := io.WriteString(out, text); return err })
		if err != nil {
			w.fail("Not saved", err)
			return
		}
		w.bar.report("saved " + filepath.Base(path))
	})
}
