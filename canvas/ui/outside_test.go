package ui

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model"
	"copperglass/model/file"
)

// overtakenWindow has a file with a change of the person's, which another
// program has then changed as well.
func overtakenWindow(t *testing.T) (w *Window, path string) {
	t.Helper()
	path = saved(t, &model.Diagram{Title: "First"}, "lamp.cglass")
	w = newTestWindow(t)
	w.OpenFile(path)
	w.place('r', 5, 5)
	if err := file.Save(path, &model.Diagram{Title: "Other"}); err != nil {
		t.Fatal(err)
	}
	return w, path
}

func titleIn(t *testing.T, path string) string {
	t.Helper()
	d, err := file.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	return d.Title
}

func TestAFileThatAnotherProgramChangedIsNotWrittenOver(t *testing.T) {
	w, path := overtakenWindow(t)
	w.command("save")
	if titleIn(t, path) != "Other" || len(w.asking) != 1 {
		t.Fatalf("%d dialogs, the file holds %q", len(w.asking), titleIn(t, path))
	}
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if titleIn(t, path) != "Other" || !w.doc.Changed() || w.doc.Diagram().Part("R1") == nil {
		t.Error("Escape does not leave all as it is")
	}
	w.command("save")
	w.choose(t, "Keep mine")
	if titleIn(t, path) != "First" || w.doc.Changed() {
		t.Errorf("the file holds %q, changed %v", titleIn(t, path), w.doc.Changed())
	}
	w.place('r', 5, 9)
	w.command("save")
	if len(w.asking) > 0 || w.doc.Changed() {
		t.Error("it asks again after its own writing")
	}
}

func TestLoadTheirs(t *testing.T) {
	w, _ := overtakenWindow(t)
	w.command("save")
	w.choose(t, "Load theirs")
	if w.doc.Diagram().Title != "Other" || w.doc.Changed() {
		t.Errorf("the drawing is %q", w.doc.Diagram().Title)
	}
}

func TestSaveMineElsewhere(t *testing.T) {
	w, path := overtakenWindow(t)
	elsewhere := filepath.Join(filepath.Dir(path), "mine.cglass")
	w.command("save")
	w.choose(t, "Save as…")
	w.writePath(t, elsewhere)
	if titleIn(t, path) != "Other" || titleIn(t, elsewhere) != "First" || w.doc.Path() != elsewhere {
		t.Errorf("%q and %q, path %q", titleIn(t, path), titleIn(t, elsewhere), w.doc.Path())
	}
}

// TestAChangedFileIsNoticed without saving, once for each change.
func TestAChangedFileIsNoticed(t *testing.T) {
	w, path := overtakenWindow(t)
	w.command("undo")
	w.noticed(w.known.again(path))
	w.choose(t, "Cancel")
	w.noticed(w.known.again(path))
	if len(w.asking) > 0 {
		t.Error("it asks twice about one change")
	}
	if err := file.Save(path, &model.Diagram{Title: "A third"}); err != nil {
		t.Fatal(err)
	}
	w.noticed(w.known.again(path))
	w.choose(t, "Keep mine")
	if !w.doc.Changed() || w.doc.Diagram().Title != "First" {
		t.Error("what differs from the file looks saved")
	}
	w.command("save")
	if titleIn(t, path) != "First" || len(w.asking) > 0 {
		t.Errorf("the file holds %q, %d dialogs", titleIn(t, path), len(w.asking))
	}
}

// TestAFileThatSaysTheSameIsNoNews has its time changed, or is gone: saving
// loses nothing of anybody's.
func TestAFileThatSaysTheSameIsNoNews(t *testing.T) {
	w, path := overtakenWindow(t)
	if err := file.Save(path, &model.Diagram{Title: "First"}); err != nil {
		t.Fatal(err)
	}
	w.noticed(w.known.again(path))
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	w.noticed(w.known.again(path))
	w.command("save")
	if len(w.asking) > 0 || titleIn(t, path) != "First" {
		t.Errorf("%d dialogs", len(w.asking))
	}
}

// TestTheUsualAnswerLosesNothing: where there is nothing of one's own to lose,
// Enter takes what the other program wrote.
func TestTheUsualAnswerLosesNothing(t *testing.T) {
	w, path := overtakenWindow(t)
	w.command("undo")
	w.noticed(w.known.again(path))
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if w.doc.Diagram().Title != "Other" || len(w.asking) > 0 {
		t.Errorf("the drawing is %q, %d dialogs", w.doc.Diagram().Title, len(w.asking))
	}
}
