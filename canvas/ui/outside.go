package ui

import (
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

// gone reports whether there is no file to be read. Nothing is lost then by
// writing it.
func (c content) gone() bool { return c.sum == [sha256.Size]byte{} }

// watchOutside looks from time to time whether another program has changed an
// open file.
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

// noticed asks what to do where the file has changed, once for each change.
func (w *Window) noticed(now content) {
	switch {
	case w.closed || w.modal() || now.gone() || now.sum == w.asked.sum:
	case now.sum == w.known.sum:
		w.known = now
	default:
		w.asked = now
		w.dismiss()
		w.askOutside(func() {
			w.known = now
			w.doc.Unsaved()
		}, nil)
	}
}

// askOutside asks whose drawing is to hold; keep is what makes it ours, and then
// what comes after it is saved elsewhere. The usual answer loses nothing.
func (w *Window) askOutside(keep, then func()) {
	path := w.doc.Path()
	text := "Another program has changed “" + filepath.Base(path) + "” since it was opened or saved here. "
	cancel, mine := answer{label: "Cancel"}, answer{label: "Keep mine", do: keep}
	theirs := answer{label: "Load theirs", do: func() { w.load(path, nil) }}
	if !w.doc.Changed() {
		text += "Here nothing has been changed since then."
		w.ask("The file has changed", paragraph(text, dialogWidth, textSize, w.look.Ink), cancel, mine, theirs)
		return
	}
	text += "Here there are changes that are not saved. Loading theirs loses them; keeping yours writes over the file when it is saved."
	w.ask("The file has changed", paragraph(text, dialogWidth, textSize, w.look.Ink),
		cancel, theirs, mine, answer{label: "Save as…", do: func() { w.saveAs(then) }})
}
