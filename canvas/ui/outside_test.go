package ui

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/journal"
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

// TestWhatTheirsTookThePlaceOfOutlivesACrash until something else is drawn.
func TestWhatTheirsTookThePlaceOfOutlivesACrash(t *testing.T) {
	w, path := overtakenWindow(t)
	w.command("save")
	w.choose(t, "Load theirs")
	w.crash(t)
	if kept := journal.Of(path, w.state()); len(kept) != 1 || kept[0].Drawing.Part("R1") == nil {
		t.Errorf("after a crash there is %+v", kept)
	}
}

func TestLoadingTheirsIsOneStepToUndo(t *testing.T) {
	w, path := overtakenWindow(t)
	w.command("save")
	w.choose(t, "Load theirs")
	w.command("undo")
	if d := w.doc.Diagram(); d.Title != "First" || d.Part("R1") == nil || !w.doc.Changed() {
		t.Errorf("undone it is %q, changed %v", d.Title, w.doc.Changed())
	}
	w.command("redo")
	if w.doc.Diagram().Title != "Other" || w.doc.Changed() {
		t.Errorf("done again it is %q, changed %v", w.doc.Diagram().Title, w.doc.Changed())
	}
	w.command("undo")
	w.command("undo")
	if w.doc.Diagram().Part("R1") != nil {
		t.Error("what was done before cannot be undone any more")
	}
	w.command("save") // the file says theirs, which has been seen
	if titleIn(t, path) != "First" || len(w.asking) > 0 {
		t.Errorf("the file holds %q, %d dialogs", titleIn(t, path), len(w.asking))
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

// TestAFileThatSaysTheSameIsNoNews has its time changed.
func TestAFileThatSaysTheSameIsNoNews(t *testing.T) {
	w, path := overtakenWindow(t)
	if err := file.Save(path, &model.Diagram{Title: "First"}); err != nil {
		t.Fatal(err)
	}
	w.noticed(w.known.again(path))
	w.command("save")
	if len(w.asking) > 0 || titleIn(t, path) != "First" {
		t.Errorf("%d dialogs", len(w.asking))
	}
}

// goneWindow has a drawing without changes whose file has been moved away.
func goneWindow(t *testing.T) (w *Window, path, moved string) {
	t.Helper()
	path = saved(t, &model.Diagram{Title: "First"}, "lamp.cglass")
	w = newTestWindow(t)
	w.OpenFile(path)
	moved = path + ".moved"
	if err := os.Rename(path, moved); err != nil {
		t.Fatal(err)
	}
	return w, path, moved
}

// TestAFileThatIsGoneIsNoticed once, and its drawing is kept from then on.
func TestAFileThatIsGoneIsNoticed(t *testing.T) {
	w, path, moved := goneWindow(t)
	w.noticed(w.known.again(path))
	if _, err := w.keeper.Flush(); err != nil || !w.doc.Changed() || !strings.HasPrefix(w.win.Title(), "• ") {
		t.Errorf("%v, changed %v, the window is called %q", err, w.doc.Changed(), w.win.Title())
	}
	if name, _ := w.keeper.Flush(); filepath.Dir(name) != w.program.options.StateFolder {
		t.Errorf("the journal is %q", name)
	}
	w.choose(t, "Leave it so")
	w.noticed(w.known.again(path))
	if len(w.asking) > 0 {
		t.Error("it tells twice")
	}
	if err := os.Rename(moved, path); err != nil {
		t.Fatal(err)
	}
	w.noticed(w.known.again(path))
	if len(w.asking) > 0 || w.doc.Changed() {
		t.Errorf("back again: %d dialogs, changed %v", len(w.asking), w.doc.Changed())
	}
}

// TestAFileThatIsGoneCanBeSavedAgain, there or elsewhere.
func TestAFileThatIsGoneCanBeSavedAgain(t *testing.T) {
	for _, where := range []string{"Save it there again", "Save as…"} {
		w, path, moved := goneWindow(t)
		w.noticed(w.known.again(path))
		w.choose(t, where)
		if where == "Save as…" {
			path = moved + ".cglass"
			w.writePath(t, path)
		}
		if titleIn(t, path) != "First" || w.doc.Changed() || w.doc.Path() != path {
			t.Errorf("%s: the file holds %q, changed %v, path %q", where, titleIn(t, path), w.doc.Changed(), w.doc.Path())
		}
	}
}

// TestClosingAsksWhereTheFileIsGone, before anybody has noticed.
func TestClosingAsksWhereTheFileIsGone(t *testing.T) {
	w, path, _ := goneWindow(t)
	w.close()
	if w.closed {
		t.Fatal("closed without a word")
	}
	w.choose(t, "Save")
	if titleIn(t, path) != "First" || !w.closed {
		t.Errorf("the file holds %q, closed %v", titleIn(t, path), w.closed)
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
