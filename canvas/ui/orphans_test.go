package ui

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"

	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/journal"
)

// crash ends the window as a crash does: what it was told to keep is on the
// disk, and nothing else happens.
func (w *Window) crash(t *testing.T) {
	t.Helper()
	if err := w.keeper.Close(); err != nil {
		t.Fatal(err)
	}
}

func (w *Window) state() string { return w.program.options.StateFolder }

// text is the drawing as its file has it.
func (w *Window) text(t *testing.T) string {
	t.Helper()
	var b bytes.Buffer
	if err := file.Encode(&b, w.doc.Diagram()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// journals returns how many journals there are for the window.
func (w *Window) journals(t *testing.T) int {
	t.Helper()
	if _, err := w.keeper.Flush(); err != nil {
		t.Fatal(err)
	}
	found, err := filepath.Glob(filepath.Join(w.state(), "*.journal"))
	if err != nil {
		t.Fatal(err)
	}
	if path := w.doc.Path(); path != "" {
		beside, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".*.journal"))
		found = append(found, beside...)
	}
	return len(found)
}

// TestUndoGoesOnAfterACrash, to the drawing that was saved last.
func TestUndoGoesOnAfterACrash(t *testing.T) {
	path := saved(t, &model.Diagram{Title: "First"}, "lamp.cglass")
	w := newTestWindow(t)
	w.OpenFile(path)
	for y := range 3 {
		w.place('r', 12, float64(5+4*y))
		w.journals(t) // on the disk before the next
	}
	w.crash(t)
	again := newWindowIn(t, w.state())
	again.offerFound(journal.Of(path, w.state()))
	again.choose(t, "Open it")
	for n := 3; n > 0; n-- {
		if d := again.doc.Diagram(); len(d.Parts) != n || d.Title != "First" {
			t.Errorf("%d parts in %q, want %d", len(d.Parts), d.Title, n)
		}
		again.command("undo")
	}
	if d := again.doc.Diagram(); len(d.Parts) != 0 || again.doc.CanUndo() != "" {
		t.Errorf("at last there are %d parts, and undo offers %q", len(d.Parts), again.doc.CanUndo())
	}
	again.command("redo")
	if len(again.doc.Diagram().Parts) != 1 {
		t.Error("it cannot be done again")
	}
}

func TestAnUntitledDrawingOutlivesACrash(t *testing.T) {
	w := drawLoop(t)
	if err := w.doc.Edit("name", "", func(f *model.Draft) { f.SetTitle("By hand") }); err != nil {
		t.Fatal(err)
	}
	w.doc.Type("type", func(f *model.Draft) { f.SetParam("temperature", model.Number(310)) })
	want := w.text(t)
	if said := w.Rescue(); len(said) != 1 || said[0] != "the unsaved drawing is kept in "+filepath.Join(w.state(), "drawing.1.journal") {
		t.Errorf("Rescue says %q", said)
	}
	w.crash(t)
	again := newWindowIn(t, w.state())
	again.offerFound(journal.In(w.state()))
	again.choose(t, "Open it")
	if again.text(t) != want || again.doc.Path() != "" || !again.doc.Changed() {
		t.Errorf("changed %v, path %q: %s", again.doc.Changed(), again.doc.Path(), again.text(t))
	}
	if r := again.doc.Result(); !r.Solved {
		t.Errorf("it is not solved: %v", r.Faults)
	}
	if n := again.journals(t); n != 1 {
		t.Errorf("%d journals, want its own", n)
	}
	again.crash(t)
	if found := journal.In(w.state()); len(found) != 1 || found[0].Drawing.Title != "By hand" {
		t.Errorf("after another crash there is %+v", found)
	}
}

func TestADrawingOfAFileOutlivesACrash(t *testing.T) {
	d := &model.Diagram{Title: "Lamp", Extra: []model.Extra{{Key: "made_elsewhere", Raw: `{"photo":"a.png"}`}}}
	path := saved(t, d, "lamp.cglass")
	before, _ := os.ReadFile(path)
	w := newTestWindow(t)
	w.OpenFile(path)
	w.place('r', 5, 5)
	want := w.text(t)
	w.crash(t)
	again := newWindowIn(t, w.state())
	again.OpenFile(path)
	again.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if text := again.text(t); text != string(before) || again.doc.Changed() || again.journals(t) != 1 {
		t.Errorf("Escape does not leave all as it is: %d journals, %s", again.journals(t), text)
	}
	again.OpenFile(path)
	again.typedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if again.text(t) != want || again.doc.Path() != path || !again.doc.Changed() {
		t.Errorf("changed %v, path %q: %s", again.doc.Changed(), again.doc.Path(), again.text(t))
	}
	again.command("save")
	if text, err := os.ReadFile(path); err != nil || string(text) != want || again.journals(t) != 0 || len(again.asking) > 0 {
		t.Errorf("%d journals, %d dialogs, %v: %s", again.journals(t), len(again.asking), err, text)
	}
}

func TestWhatIsThrownAwayIsGone(t *testing.T) {
	w := drawLoop(t)
	w.crash(t)
	again := newWindowIn(t, w.state())
	again.offerFound(journal.In(w.state()))
	again.choose(t, "Throw it away")
	if again.journals(t) != 0 || len(again.doc.Diagram().Parts) > 0 {
		t.Errorf("%d journals", again.journals(t))
	}
}

// TestOnlyWhatIsUnsavedHasAJournal comes to nothing unsaved in every way.
func TestOnlyWhatIsUnsavedHasAJournal(t *testing.T) {
	for name, finish := range map[string]func(w *Window){
		"saved":  func(w *Window) { w.write(filepath.Join(w.state(), "a.cglass"), nil) },
		"undone": func(w *Window) { w.command("undo") },
		"dropped": func(w *Window) {
			w.New()
			w.choose(t, "Don’t save")
		},
	} {
		t.Run(name, func(t *testing.T) {
			w := newTestWindow(t)
			if w.journals(t) != 0 {
				t.Error("a new drawing has a journal")
			}
			w.place('r', 5, 5)
			if w.journals(t) != 1 {
				t.Error("a change has no journal")
			}
			finish(w)
			if n := w.journals(t); n != 0 || len(w.Rescue()) > 0 {
				t.Errorf("%d journals are left", n)
			}
		})
	}
}

// TestAClosedWindowLeavesNoJournal drops the change on the way.
func TestAClosedWindowLeavesNoJournal(t *testing.T) {
	w := drawLoop(t)
	w.journals(t)
	w.close()
	w.choose(t, "Don’t save")
	if found, _ := filepath.Glob(filepath.Join(w.state(), "*")); len(found) > 0 {
		t.Errorf("left behind: %q", found)
	}
}

// TestManyOrphans opens each in a window of its own.
func TestManyOrphans(t *testing.T) {
	one := drawLoop(t)
	two := newWindowIn(t, one.state())
	two.OpenFile(saved(t, &model.Diagram{Title: "Two"}, "two.cglass"))
	two.place('d', 5, 5)
	one.crash(t)
	two.crash(t)
	again := newWindowIn(t, one.state())
	found := append(journal.In(one.state()), journal.Of(two.doc.Path(), one.state())...)
	again.offerFound(again.program.unoffered(append(found, found...)))
	again.choose(t, "Open them")
	if len(again.program.windows) != 2 {
		t.Fatalf("%d windows", len(again.program.windows))
	}
	first, second := again.program.windows[0], again.program.windows[1]
	if first.doc.Diagram().Part("R1") == nil || second.doc.Path() != two.doc.Path() || !second.doc.Changed() {
		t.Errorf("%+v, %q", first.doc.Diagram().Parts, second.doc.Path())
	}
}

// TestAnOrphanNeverTakesThePlaceOfWhatIsUnsaved.
func TestAnOrphanNeverTakesThePlaceOfWhatIsUnsaved(t *testing.T) {
	w := drawLoop(t)
	w.crash(t)
	busy := newWindowIn(t, w.state())
	busy.place('d', 5, 5)
	busy.offerFound(journal.In(w.state()))
	busy.choose(t, "Open it")
	if busy.doc.Diagram().Part("D1") == nil || len(busy.program.windows) != 2 {
		t.Errorf("%d windows", len(busy.program.windows))
	}
}

// TestTheFolderGoesWhileOneWorks tells so when it cannot save, and has the work
// in the program's own folder.
func TestTheFolderGoesWhileOneWorks(t *testing.T) {
	path := saved(t, &model.Diagram{Title: "Lamp"}, "lamp.cglass")
	w := newTestWindow(t)
	w.OpenFile(path)
	if err := os.RemoveAll(filepath.Dir(path)); err != nil {
		t.Fatal(err)
	}
	w.place('r', 5, 5)
	w.command("save")
	if len(w.asking) != 1 || !w.doc.Changed() {
		t.Fatalf("%d dialogs, changed %v", len(w.asking), w.doc.Changed())
	}
	w.crash(t)
	again := newWindowIn(t, w.state())
	again.offerFound(journal.In(w.state()))
	again.choose(t, "Open it")
	if again.doc.Diagram().Part("R1") == nil || again.doc.Path() != path || again.doc.Diagram().Title != "Lamp" {
		t.Errorf("%q, %+v", again.doc.Path(), again.doc.Diagram())
	}
}

func TestAJournalThatCannotBeWrittenIsTold(t *testing.T) {
	w := newWindowIn(t, written(t, "state", "a file"))
	w.place('r', 5, 5)
	if _, err := w.keeper.Flush(); err == nil || len(w.asking) != 1 {
		t.Errorf("%v, %d dialogs", err, len(w.asking))
	}
	w.choose(t, "OK")
	if said := w.Rescue(); len(said) != 1 || w.doc.Diagram().Part("R1") == nil {
		t.Errorf("Rescue says %q", said)
	}
}

// TestWhatIsOfferedIsTold: which drawing, when, and how much of it.
func TestWhatIsOfferedIsTold(t *testing.T) {
	d := &model.Diagram{Title: "Lamp", Parts: []*model.Part{
		{Ref: "R1", Kind: "resistor", Doubt: model.Guessed}, {Ref: "R2", Kind: "resistor"}, {Ref: "GND1", Kind: "ground"},
	}}
	o := journal.Orphan{Drawing: d, Path: filepath.Join(t.TempDir(), "lamp.cglass"), Time: time.Now()}
	w := newTestWindow(t)
	w.offerFound([]journal.Orphan{o})
	said := saidIn(w.asking[0].popUp.Content)
	for _, want := range []string{"“Lamp” (lamp.cglass)", moment(o.Time), "2 parts, 1 still guessed"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not tell %q: %s", want, said)
		}
	}
}

// saidIn is all text in an object, with single spaces.
func saidIn(o fyne.CanvasObject) string {
	switch o := o.(type) {
	case *prim.Text:
		return o.Text
	case *fyne.Container:
		var all []string
		for _, each := range o.Objects {
			all = append(all, saidIn(each))
		}
		return strings.Join(all, " ")
	}
	return ""
}
