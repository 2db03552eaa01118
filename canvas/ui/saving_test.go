package ui

import (
	"path/filepath"
	"testing"

	"copperglass/model/file"
)

// What is drawn while a file is being written is not taken for saved; what would
// save again, or close, waits until it is.
func TestWhatIsDrawnWhileSaving(t *testing.T) {
	w := drawLoop(t)
	path := filepath.Join(t.TempDir(), "a.cglass")
	w.write(path, nil)
	w.place('r', 20, 5)
	s := &saving{path: path, drawing: w.present()}
	w.saving = s
	w.place('r', 20, 9)
	closed := 0
	w.save(nil)
	w.guard(func() { closed++ })
	if closed > 0 || len(w.asking) > 0 || len(s.next) != 2 {
		t.Fatalf("closed %d times, %d dialogs, %d wait while a file is being written", closed, len(w.asking), len(s.next))
	}
	next := s.next
	s.next = nil
	w.ended(s, nil, false, nil)
	if !w.doc.Changed() {
		t.Error("what was drawn meanwhile is taken for saved")
	}
	w.command("undo")
	w.command("undo")
	if !w.doc.Changed() {
		t.Error("the drawing as it was saved before the last time is taken for what is in the file")
	}
	w.command("redo")
	w.command("redo")
	w.known = look(path)
	for _, do := range next {
		w.onceSaved(do)
	}
	d, err := file.Load(path)
	if err != nil || d.Part("R3") == nil || closed != 1 || len(w.asking) > 0 || w.doc.Changed() {
		t.Errorf("%v, closed %d times, %d dialogs, changed %v", err, closed, len(w.asking), w.doc.Changed())
	}
}

// Who stops the writing has the file as it was, and no message; where it was
// written by then it counts as saved.
func TestStoppedSaving(t *testing.T) {
	w := drawLoop(t)
	path := filepath.Join(t.TempDir(), "a.cglass")
	then := func() { t.Error("it went on as if nobody had stopped it") }
	s := &saving{path: path, drawing: w.present()}
	w.ended(s, file.Save(filepath.Join(path, "in a file"), w.doc.Diagram()), true, then)
	if !w.doc.Changed() || w.doc.Path() != "" || len(w.asking) > 0 {
		t.Errorf("changed %v, path %q, %d dialogs", w.doc.Changed(), w.doc.Path(), len(w.asking))
	}
	w.ended(s, nil, true, then)
	if w.doc.Changed() || w.doc.Path() != path {
		t.Errorf("changed %v, path %q after it was written", w.doc.Changed(), w.doc.Path())
	}
}
