package ui

import (
	"context"
	"crypto/sha256"
	"io"
	"os"
	"path/filepath"
	"time"

	"fyne.io/fyne/v2"
)

// content tells what a file says from what it said before.
type content struct {
	sum  [sha256.Size]byte // zero where there is no file that can be read
	size int64
	time time.Time
}

// look reads the file at path.
func look(path string) content {
	f, err := os.Open(path)
	if err != nil {
		return content{}
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return content{}
	}
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return content{}
	}
	return content{[sha256.Size]byte(h.Sum(nil)), info.Size(), info.ModTime()}
}

// again returns what the file says now; it is only read where its size or its
// time are others.
func (c content) again(path string) content {
	info, err := os.Stat(path)
	if err == nil && info.Size() == c.size && info.ModTime().Equal(c.time) {
		return c
	}
	return look(path)
}

// gone reports whether there is no file to be read.
func (c content) gone() bool { return c.sum == [sha256.Size]byte{} }

// isMissing reports whether there is no file at path, as far as the disk says so
// within a moment.
func isMissing(path string) bool {
	const moment = 200 * time.Millisecond
	missing := make(chan bool, 1)
	go func() {
		_, err := os.Stat(path)
		missing <- err != nil
	}()
	select {
	case is := <-missing:
		return is
	case <-time.After(moment):
		return false
	}
}

// watchOutside looks from time to time whether another program has changed an
// open file, or taken it or a journal away.
func (p *program) watchOutside() {
	p.options.Later(outsidePause, func() {
		p.lookOutside()
		p.watchOutside()
	})
}

func (p *program) lookOutside() {
	for _, w := range p.windows {
		w.lookOutside()
	}
}

// lookOutside looks at the file without making the window wait for the disk.
func (w *Window) lookOutside() {
	w.keeper.Check()
	path, known := w.doc.Path(), w.known
	if path == "" || w.looking || w.saving != nil {
		return
	}
	w.looking = true
	go func() {
		now := known.again(path)
		fyne.Do(func() {
			w.looking = false
			if known == w.known && path == w.doc.Path() && w.saving == nil {
				w.noticed(now)
			}
		})
	}()
}

// noticed asks what to do where the file has changed or is gone, once for each
// change. What stands in no file any more is something to save at once.
func (w *Window) noticed(now content) {
	if w.closed || now.gone() && w.known.gone() {
		return
	}
	w.doc.setMissing(now.gone())
	w.told = w.told && now.gone()
	switch {
	case now.sum == w.known.sum:
		w.known = now
	case w.modal(), w.told:
	case now.gone():
		w.told = true
		w.dismiss()
		w.tellMissing()
	case now.sum != w.asked.sum:
		w.asked = now
		w.dismiss()
		w.askOutside(func() {
			w.known = now
			w.doc.Unsaved()
		}, nil)
	}
}

// tellMissing tells that the file is gone. The usual answer writes nothing where
// somebody wants no file any more.
func (w *Window) tellMissing() {
	w.ask("The file is gone", paragraph(w.missingWords()+" The drawing is kept here, and asks to be saved before it is closed.", dialogWidth, textSize, w.look.Ink),
		answer{label: "Leave it so"},
		answer{label: "Save it there again", do: func() { w.save(nil) }},
		answer{label: "Save as…", do: func() { w.saveAs(nil) }})
}

// missingWords say what has become of the file.
func (w *Window) missingWords() string {
	return "“" + filepath.Base(w.doc.Path()) + "” is no longer in " + filepath.Dir(w.doc.Path()) + ": it has been moved or deleted, or its disk has been taken away."
}

// askOutside asks whose drawing is to hold; keep is what makes it ours, and then
// what comes after it is saved elsewhere. The usual answer loses nothing.
func (w *Window) askOutside(keep, then func()) {
	path := w.doc.Path()
	text := "Another program has changed “" + filepath.Base(path) + "” since it was opened or saved here. "
	cancel, mine := answer{label: "Cancel"}, answer{label: "Keep mine", do: keep}
	theirs := answer{label: "Load theirs", do: func() { w.loadTheirs(path) }}
	if !w.doc.Changed() {
		text += "Here nothing has been changed since then."
		w.ask("The file has changed", paragraph(text, dialogWidth, textSize, w.look.Ink), cancel, mine, theirs)
		return
	}
	text += "Here there are changes that are not saved. Theirs takes the place of yours, and " + w.keyOf("undo") + " gives yours back; keeping yours writes over the file when it is saved."
	w.ask("The file has changed", paragraph(text, dialogWidth, textSize, w.look.Ink),
		cancel, theirs, mine, answer{label: "Save as…", do: func() { w.saveAs(then) }})
}

// loadTheirs puts what the file says in the place of the drawing, as a step that
// can be undone.
func (w *Window) loadTheirs(path string) {
	var r loaded
	w.background("Opening "+filepath.Base(path), func(context.Context) (err error) {
		r, err = loadBeside(path, w.program.options.StateFolder)
		return err
	}, func(err error) {
		switch {
		case err != nil:
			w.fail("Not opened", err)
		case path == w.doc.Path():
			w.takeTheirs(r)
		}
	})
}

// takeTheirs leaves the journal of what was drawn here where it is: it is dropped
// or goes on with the next change.
func (w *Window) takeTheirs(r loaded) {
	w.doc.keepTyped()
	w.known = r.says
	w.takesOver = true
	w.doc.TakeOver(r.drawn)
	w.takesOver = false
	w.surface.FitAll()
	w.toSheet()
	w.bar.report("theirs is loaded; " + w.keyOf("undo") + " gives yours back")
}
