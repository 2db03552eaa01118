package ui

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"io"
	"path/filepath"

	"copperglass/model/file"
)

// errOvertaken tells that another program has changed the file since it was last
// read or written here.
var errOvertaken = errors.New("another program has changed the file")

// saving is the drawing on its way to a file, beside the main goroutine. Until
// it is there, what would save again or close waits.
type saving struct {
	path    string
	drawing protected // when it began
	own     bool      // whether the file is to be looked at first, and
	known   content   // what it said when it was last read or written here
	sum     [sha256.Size]byte
	next    []func() // what waits
}

// save writes the drawing, and does what comes then if that went well.
func (w *Window) save(then func()) {
	if w.doc.Path() == "" {
		w.saveAs(then)
		return
	}
	w.saveTo(w.doc.Path(), then)
}

// saveTo writes the drawing to a file, after a question where that is its own
// and another program has changed it.
func (w *Window) saveTo(path string, then func()) {
	w.begin(&saving{path: path, own: path == w.doc.Path(), known: w.known}, then)
}

// write writes the drawing to a file, whatever that says.
func (w *Window) write(path string, then func()) { w.begin(&saving{path: path}, then) }

// onceSaved does something when nothing is being written any more.
func (w *Window) onceSaved(do func()) {
	if w.saving == nil {
		do()
		return
	}
	w.saving.next = append(w.saving.next, do)
}

func (w *Window) begin(s *saving, then func()) {
	if w.saving != nil {
		w.onceSaved(func() {
			s.known = w.known
			w.begin(s, then)
		})
		return
	}
	s.drawing = w.present()
	d := w.doc.Diagram().Snapshot()
	w.saving = s
	w.backgroundToEnd("Saving "+filepath.Base(s.path), func(ctx context.Context) error {
		if s.isOvertaken() {
			return errOvertaken
		}
		var text bytes.Buffer
		if err := file.Encode(&text, d); err != nil {
			return err
		}
		s.sum = sha256.Sum256(text.Bytes())
		return file.Replace(s.path, func(f io.Writer) error {
			_, err := io.Copy(stoppable{ctx, f}, &text)
			return err
		})
	}, func(err error, stopped bool) { w.ended(s, err, stopped, then) })
}

// ended follows the end of writing, and does what has waited for it.
func (w *Window) ended(s *saving, err error, stopped bool, then func()) {
	w.saving = nil
	w.saved(s, err, stopped, then)
	for _, do := range s.next {
		if !w.closed {
			w.onceSaved(do)
		}
	}
}

// isOvertaken is for any goroutine.
func (s *saving) isOvertaken() bool {
	if !s.own {
		return false
	}
	now := look(s.path)
	return !now.gone() && now.sum != s.known.sum
}

// saved tells how writing ended. A drawing that was changed meanwhile is not
// saved yet, and what comes then is done once it is.
func (w *Window) saved(s *saving, err error, stopped bool, then func()) {
	switch {
	case err != nil && stopped: // the file is as it was
		return
	case errors.Is(err, errOvertaken):
		w.askOutside(func() { w.write(s.path, then) }, then)
		return
	case err != nil:
		w.ask("Not saved", paragraph(sentence(err.Error()), dialogWidth, textSize, w.look.Ink),
			answer{label: "Cancel"}, answer{label: "Save elsewhere…", do: func() { w.saveAs(then) }})
		return
	case s.drawing.history != w.doc.history:
		return
	}
	w.known = content{sum: s.sum}
	now := w.present()
	if now.revision == s.drawing.revision && now.typing == s.drawing.typing {
		w.doc.Saved(s.path)
	} else {
		w.doc.savedBefore(s.path)
	}
	w.settings.used(s.path)
	w.program.refreshMenus()
	w.bar.report("saved " + filepath.Base(s.path))
	switch {
	case then == nil || stopped:
	case w.doc.Changed():
		w.save(then)
	default:
		then()
	}
}
