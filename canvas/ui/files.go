package ui

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
)

// suffix is what drawing files end in.
const suffix = ".cglass"

// name is what the drawing is called in messages.
func (w *Window) name() string {
	switch {
	case w.doc.Diagram().Title != "":
		return w.doc.Diagram().Title
	case w.doc.Path() != "":
		return filepath.Base(w.doc.Path())
	}
	return w.doc.fileTitle()
}

// New opens an empty sheet.
func (w *Window) New() { w.guard(func() { w.replace(&model.Diagram{}, "") }) }

// Open asks for a file and opens it.
func (w *Window) Open() {
	w.guard(func() { w.chooseFile("Open a drawing", false, "", suffix, w.load) })
}

// OpenFile opens the file at path.
func (w *Window) OpenFile(path string) { w.guard(func() { w.load(path) }) }

// OpenExample opens one of the drawings that come with the program.
func (w *Window) OpenExample(name string) {
	w.guard(func() {
		d, err := example(name)
		if err != nil {
			w.fail("Not opened", err)
			return
		}
		w.replace(d, "")
	})
}

// example reads a drawing that comes with the program.
func example(name string) (*model.Diagram, error) {
	data, err := assets.Example(name)
	if err != nil {
		return nil, err
	}
	return file.Decode(bytes.NewReader(data))
}

// load reads a file in the place of the drawing. Where that fails the drawing
// stays.
func (w *Window) load(path string) {
	if absolute, err := filepath.Abs(path); err == nil {
		path = absolute
	}
	d, err := file.Load(path)
	if err != nil {
		w.settings.forget(path)
		w.fail("Not opened", err)
		w.refreshMenu()
		return
	}
	w.replace(d, path)
	w.settings.used(path)
	w.refreshMenu()
}

func (w *Window) replace(d *model.Diagram, path string) {
	w.doc.Replace(d, path)
	w.surface.FitAll()
	w.toSheet()
}

// Save writes the drawing to its file.
func (w *Window) Save() { w.save(nil) }

// save writes the drawing, and does what comes then if that went well.
func (w *Window) save(then func()) {
	if w.doc.Path() == "" {
		w.saveAs(then)
		return
	}
	w.write(w.doc.Path(), then)
}

// SaveAs asks for a file and writes the drawing to it.
func (w *Window) SaveAs() { w.saveAs(nil) }

func (w *Window) saveAs(then func()) {
	suggested := w.doc.Path()
	if suggested == "" {
		suggested = fileName(w.name()) + suffix
	}
	w.chooseFile("Save the drawing", true, suggested, suffix, func(path string) { w.write(path, then) })
}

func (w *Window) write(path string, then func()) {
	if err := file.Save(path, w.doc.Diagram()); err != nil {
		w.fail("Not saved", err)
		return
	}
	w.doc.Saved(path)
	w.settings.used(path)
	w.refreshMenu()
	w.rescue.drop()
	w.bar.report("saved " + filepath.Base(path))
	if then != nil {
		then()
	}
}

// fileName makes a file's name of a title.
func fileName(title string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune(`/\:*?"<>|`, r) || r < ' ':
			return '-'
		}
		return r
	}, strings.TrimSpace(title))
	runes := []rune(strings.Trim(name, ". "))
	name = string(runes[:min(len(runes), 60)])
	if name == "" {
		return "drawing"
	}
	return name
}

// dropped opens the first drawing among files dropped on the window.
func (w *Window) dropped(_ fyne.Position, uris []fyne.URI) {
	if w.modal() {
		return
	}
	for _, u := range uris {
		if strings.EqualFold(filepath.Ext(u.Path()), suffix) {
			w.OpenFile(u.Path())
			return
		}
	}
	if len(uris) > 0 {
		w.fail("Not opened", fmt.Errorf("%s is no drawing; drawings end in %s", filepath.Base(uris[0].Path()), suffix))
	}
}

// close ends the window after what is unsaved is safe.
func (w *Window) close() {
	if w.modal() {
		return
	}
	w.guard(func() {
		w.closed = true
		w.hush()
		w.doc.Close()
		w.rescue.drop()
		w.end()
	})
}
