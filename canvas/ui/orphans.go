package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/model"
	"copperglass/model/journal"
)

// protected is what the journal was told last.
type protected struct {
	history  *model.History
	revision int
	typing   *typing
	path     string
	changed  bool
}

// protect keeps what is not saved in the journal.
func (w *Window) protect() {
	doc, now := w.doc, w.present()
	if now == w.protected {
		return
	}
	w.protected = now
	switch {
	case w.takesOver: // what was drawn here stays until something else is
	case now.changed:
		w.keeper.Keep(now.path, doc.Diagram())
	default:
		w.keeper.Saved(doc.Diagram())
	}
}

// present is the drawing as it is now.
func (w *Window) present() protected {
	doc := w.doc
	return protected{doc.history, doc.history.Revision(), doc.typing, doc.path, doc.Changed()}
}

// unprotected tells that the journal cannot be written, or that it can again.
func (w *Window) unprotected(err error) {
	fyne.Do(func() {
		w.exposed = err != nil
		switch {
		case w.closed:
		case err != nil:
			w.bar.exposed = true
			w.bar.refresh()
			w.fail("Save soon", fmt.Errorf("unsaved changes would be lost in a crash: %w", err))
		default:
			w.bar.exposed = false
			w.bar.report("unsaved changes are kept again")
		}
	})
}

// offerOrphans looks for drawings that an earlier run left behind, except those
// that an open window has been asked about, and offers them.
func (w *Window) offerOrphans() {
	state, recent := w.program.options.StateFolder, slices.Clone(w.settings.recent)
	go func() {
		found := journal.In(state)
		for _, path := range recent {
			found = append(found, journal.Of(path, state)...)
		}
		fyne.Do(func() { w.offerFound(w.program.unoffered(found)) })
	}()
}

// unoffered returns each orphan once, without those of the files that are open.
func (p *program) unoffered(found []journal.Orphan) []journal.Orphan {
	seen := map[string]bool{}
	return slices.DeleteFunc(found, func(o journal.Orphan) bool {
		again := seen[o.File]
		seen[o.File] = true
		return again || p.showing(o.Path) != nil
	})
}

// offerFound asks whether drawings that were left behind are to be opened.
func (w *Window) offerFound(found []journal.Orphan) {
	if len(found) == 0 || w.closed {
		return
	}
	them := "it"
	if len(found) > 1 {
		them = "them"
	}
	w.ask("Open what was not saved?", w.orphanList(found),
		answer{label: "Not now"},
		answer{label: "Throw " + them + " away", do: func() {
			for _, o := range found {
				o.Discard()
			}
		}},
		answer{label: "Open " + them, do: func() {
			for _, o := range found {
				w.program.home(w, o).restore(o)
			}
		}},
	)
}

// orphanList says what was left behind.
func (w *Window) orphanList(found []journal.Orphan) fyne.CanvasObject {
	text := func(s string) fyne.CanvasObject { return paragraph(s, dialogWidth, textSize, w.look.Ink) }
	if o := found[0]; len(found) == 1 {
		said := fmt.Sprintf("Copperglass ended before %s was saved. It is kept as it was on %s: %s.", orphanName(o), moment(o.Time), partsIn(o.Drawing))
		if info, err := os.Stat(o.Path); err == nil && info.ModTime().After(o.Time) {
			said += " Its file has been changed since then."
		}
		return text(said)
	}
	list := container.New(column{gap: 6}, text("Copperglass ended before these drawings were saved:"))
	for _, o := range found {
		when := styledText(partsIn(o.Drawing)+" · "+moment(o.Time), textSize, false, w.look.Quiet)
		name := elide(sentenceCase(orphanName(o)), dialogWidth-when.MinSize().Width-12, textSize, true)
		list.Add(container.New(ends{}, styledText(name, textSize, true, w.look.Ink), when))
	}
	return list
}

// orphanName tells a drawing from others: a title may be that of several files.
func orphanName(o journal.Orphan) string {
	title, name := o.Drawing.Title, filepath.Base(o.Path)
	switch {
	case title != "" && o.Path != "":
		return fmt.Sprintf("“%s” (%s)", title, name)
	case title != "":
		return "“" + title + "”"
	case o.Path != "":
		return "“" + name + "”"
	}
	return "an untitled drawing"
}

// partsIn is "13 parts, 2 still guessed".
func partsIn(d *model.Diagram) string { return strings.TrimPrefix(traced(d), "traced ") }

// moment is a time to the minute, or the day where it is long ago.
func moment(t time.Time) string {
	if time.Since(t) > 300*24*time.Hour {
		return t.Format("2 January 2006")
	}
	return t.Format(dayAndTime)
}

const dayAndTime = "2 January, 15:04"

// home returns the window for an orphan: the one that shows its file, w where
// nothing would be lost there, or a new one.
func (p *program) home(w *Window, o journal.Orphan) *Window {
	if shown := p.showing(o.Path); shown != nil && !shown.doc.Changed() {
		return shown
	}
	if w.doc.Path() == "" && !w.doc.Changed() && !w.closed {
		return w
	}
	return w.NewWindow()
}

// restore opens what was left behind, as a drawing with unsaved changes.
func (w *Window) restore(o journal.Orphan) {
	w.known = look(o.Path)
	w.doc.Restore(o.Drawing, o.Path, o.Past...)
	w.keeper.Keep(o.Path, o.Drawing, o)
	w.surface.FitAll()
	w.toSheet()
}
