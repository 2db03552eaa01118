package ui

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/journal"
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
	w.guard(func() {
		w.chooseFile("Open a drawing", false, "", suffix, func(path string) { w.load(path, nil) })
	})
}

// OpenFile opens the file at path.
func (w *Window) OpenFile(path string) { w.OpenFileThen(path, nil) }

// OpenFileThen opens the file at path and then calls then, which is for what
// needs the drawing: a large one is read beside the main goroutine.
func (w *Window) OpenFileThen(path string, then func()) { w.guard(func() { w.load(path, then) }) }

// OpenBeside opens the file at path in a window of its own, unless it is open.
func (w *Window) OpenBeside(path string) {
	if other := w.program.showing(absolute(path)); other != nil {
		other.win.RequestFocus()
		return
	}
	w.NewWindow().OpenFile(path)
}

// absolute returns the path from the root, where the system says what it is.
func absolute(path string) string {
	if a, err := filepath.Abs(path); err == nil {
		return a
	}
	return path
}

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

// load reads a file in the place of the drawing, and does what comes then if
// that went well; then may be nil. Where it fails the drawing stays. Unsaved
// changes to the file that an earlier run left behind are offered.
func (w *Window) load(path string, then func()) {
	path = absolute(path)
	if other := w.program.showing(path); other != nil && other != w {
		other.win.RequestFocus()
		return
	}
	var r loaded
	before := w.protected
	w.background("Opening "+filepath.Base(path), func(context.Context) (err error) {
		r, err = loadBeside(path, w.program.options.StateFolder)
		return err
	}, func(err error) {
		switch {
		case err != nil:
			w.settings.forget(path)
			w.fail("Not opened", err)
			w.program.refreshMenus()
		case w.protected != before: // somebody has drawn on while it was being read
			w.guard(func() { w.showLoaded(r, then) })
		default:
			w.showLoaded(r, then)
		}
	})
}

// loaded is what was read of a file.
type loaded struct {
	path  string
	says  content
	drawn *model.Diagram
	left  []journal.Orphan // unsaved changes to it
}

// loadBeside is for any goroutine.
func loadBeside(path, state string) (loaded, error) {
	says := look(path)
	d, err := file.Load(path)
	if err != nil {
		return loaded{}, err
	}
	return loaded{path, says, d, journal.Of(path, state)}, nil
}

// showLoaded opens what was read.
func (w *Window) showLoaded(r loaded, then func()) {
	w.known = r.says
	w.replace(r.drawn, r.path)
	w.settings.used(r.path)
	w.program.refreshMenus()
	if then != nil {
		then()
	}
	w.offerFound(r.left)
}

func (w *Window) replace(d *model.Diagram, path string) {
	w.doc.Replace(d, path)
	w.surface.FitAll()
	w.toSheet()
}

// Save writes the drawing to its file.
func (w *Window) Save() { w.save(nil) }

// SaveAs asks for a file and writes the drawing to it.
func (w *Window) SaveAs() { w.saveAs(nil) }

func (w *Window) saveAs(then func()) {
	suggested := w.doc.Path()
	if suggested == "" {
		suggested = fileName(w.name()) + suffix
	}
	w.chooseFile("Save the drawing", true, suggested, suffix, func(path string) { w.saveTo(path, then) })
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

// dismiss takes menus and pop-ups away. It returns false where a dialog waits
// for an answer.
func (w *Window) dismiss() bool {
	w.refreshMenu() // a new bar has no open menu
	overlays := w.win.Canvas().Overlays()
	for top := overlays.Top(); top != nil; top = overlays.Top() {
		if slices.ContainsFunc(w.asking, func(a *asking) bool { return a.popUp == top }) {
			return false
		}
		top.Hide()
		overlays.Remove(top)
	}
	return true
}

// close closes the window after what is unsaved is safe. A dialog that waits
// for an answer is brought to the person instead.
func (w *Window) close() {
	if !w.dismiss() {
		w.win.RequestFocus()
		return
	}
	w.guard(w.leave)
}

// leave closes the window, and ends the program with the last one.
func (w *Window) leave() {
	w.closed = true
	w.hush()
	w.doc.Close()
	w.inspector.studies.stop()
	w.keeper.Drop()
	_ = w.keeper.Close() // a journal that is left behind is offered, which is all that can be done
	w.settings.setSize(w.win.Canvas().Size())
	w.settings.save()
	w.program.remove(w)
	if len(w.program.windows) == 0 && w.program.options.End != nil {
		w.program.options.End()
		return
	}
	w.win.SetCloseIntercept(nil)
	w.win.Close()
}
