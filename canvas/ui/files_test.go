package ui

import (
	"context"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/file"
)

// choose gives the answer with that label to the dialog on top.
func (w *Window) choose(t *testing.T, label string) {
	t.Helper()
	if len(w.asking) == 0 {
		t.Fatalf("no dialog to answer %q", label)
	}
	a := w.asking[len(w.asking)-1]
	for i, each := range a.answers {
		if each.label == label {
			w.answer(a, i)
			return
		}
	}
	t.Fatalf("the dialog has no answer %q", label)
}

// writePath types a path into the dialog for files and confirms it.
func (w *Window) writePath(t *testing.T, path string) {
	t.Helper()
	e, ok := w.win.Canvas().Focused().(*dialogEntry)
	if !ok {
		t.Fatal("no dialog for a file has the keyboard")
	}
	e.SetText(path)
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
}

func TestUnsavedChangesAreGuarded(t *testing.T) {
	path := saved(t, &model.Diagram{Title: "Other"}, "other.cglass")
	for name, lose := range map[string]func(w *Window){
		"new": (*Window).New, "open": func(w *Window) { w.OpenFile(path) }, "example": func(w *Window) { w.OpenExample("meter") },
		"drop": func(w *Window) { drop(w, path) }, "close": (*Window).close,
	} {
		t.Run(name, func(t *testing.T) {
			w := drawLoop(t)
			lose(w)
			if len(w.asking) != 1 || w.doc.Diagram().Part("R1") == nil {
				t.Fatal("the drawing is gone without a question")
			}
			w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
			if len(w.asking) != 0 || w.doc.Diagram().Part("R1") == nil {
				t.Error("Escape does not leave all as it is")
			}
			if name == "close" {
				return
			}
			lose(w)
			w.choose(t, "Don’t save")
			if w.doc.Diagram().Part("R1") != nil && name != "example" {
				t.Error("the other drawing did not come")
			}
		})
	}
}

func TestSaveFromTheGuard(t *testing.T) {
	w := drawLoop(t)
	path := filepath.Join(t.TempDir(), "loop.cglass")
	w.New()
	w.choose(t, "Save")
	w.writePath(t, path)
	if len(w.doc.Diagram().Parts) != 0 {
		t.Error("the new drawing did not come after saving")
	}
	d, err := file.Load(path)
	if err != nil || d.Part("R1") == nil {
		t.Errorf("the file: %v, %v", d, err)
	}
}

func TestSaveAndOpen(t *testing.T) {
	w := drawLoop(t)
	folder := t.TempDir()
	path := filepath.Join(folder, "loop.cglass")
	w.command("save")
	w.writePath(t, filepath.Join(folder, "loop")) // the suffix is appended
	if w.doc.Changed() || w.doc.Path() != path || strings.HasPrefix(w.win.Title(), "•") {
		t.Errorf("changed %v, path %q, title %q", w.doc.Changed(), w.doc.Path(), w.win.Title())
	}
	if w.settings.recent[0] != path {
		t.Errorf("recent files are %v", w.settings.recent)
	}
	w.Select("R1")
	w.command("delete")
	if !w.doc.Changed() || !strings.HasPrefix(w.win.Title(), "•") {
		t.Error("the change is not marked")
	}
	w.command("save")
	if d, err := file.Load(path); err != nil || d.Part("R1") != nil {
		t.Errorf("saved again: %v, %v", d, err)
	}
	w.command("undo")
	if w.doc.Diagram().Part("R1") == nil || !w.doc.Changed() {
		t.Error("saving has cut the history off")
	}
	w.command("redo")
	w.command("new")
	w.OpenFile(path)
	if w.doc.Path() != path || w.doc.Changed() {
		t.Errorf("opened %q, changed %v", w.doc.Path(), w.doc.Changed())
	}
}

func TestAnotherFileIsNotWrittenOverUnasked(t *testing.T) {
	w := drawLoop(t)
	path := written(t, "precious.cglass", "precious")
	w.command("save as")
	w.writePath(t, path)
	w.choose(t, "Cancel")
	w.choose(t, "Cancel")
	if text, _ := os.ReadFile(path); string(text) != "precious" {
		t.Error("the file was written over")
	}
	w.command("save as")
	w.writePath(t, path)
	w.choose(t, "Write over it")
	if d, err := file.Load(path); err != nil || d.Part("R1") == nil {
		t.Errorf("%v, %v", d, err)
	}
}

func TestWhatCannotBeSavedIsNotLost(t *testing.T) {
	w := drawLoop(t)
	folder := t.TempDir()
	w.write(filepath.Join(folder, "no such folder", "loop.cglass"), func() { t.Error("it went on as if saved") })
	if len(w.asking) != 1 || !w.doc.Changed() || w.doc.Path() != "" {
		t.Errorf("%d dialogs, changed %v, path %q", len(w.asking), w.doc.Changed(), w.doc.Path())
	}
}

func TestWhatCannotBeOpenedLeavesTheDrawing(t *testing.T) {
	for name, path := range map[string]string{
		"truncated":  written(t, "a.cglass", `{"format": "copperglass", "version": 1, "parts": [`),
		"newer":      written(t, "b.cglass", `{"format": "copperglass", "version": 99, "parts": []}`),
		"missing":    filepath.Join(t.TempDir(), "c.cglass"),
		"no drawing": written(t, "d.txt", "hello"),
	} {
		t.Run(name, func(t *testing.T) {
			w := openLantern(t)
			drop(w, path)
			if len(w.asking) != 1 || w.doc.Diagram().Part("Q1") == nil {
				t.Errorf("%d dialogs, the drawing has %d parts", len(w.asking), len(w.doc.Diagram().Parts))
			}
			w.typedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
			if len(w.asking) != 0 {
				t.Error("Enter does not close the message")
			}
		})
	}
}

func TestADroppedDrawingOpens(t *testing.T) {
	w := newTestWindow(t)
	drop(w, saved(t, &model.Diagram{Title: "Dropped"}, "x.cglass"))
	if w.doc.Diagram().Title != "Dropped" {
		t.Errorf("the drawing is %q", w.doc.Diagram().Title)
	}
}

func TestExamplesOpenUnchanged(t *testing.T) {
	w := newTestWindow(t)
	for _, name := range []string{"lantern", "high-side", "low-side", "sensor", "meter"} {
		w.OpenExample(name)
		if w.doc.Changed() || w.doc.Path() != "" || len(w.doc.Diagram().Parts) == 0 || !w.doc.Result().Solved {
			t.Errorf("%s: changed %v, path %q", name, w.doc.Changed(), w.doc.Path())
		}
	}
}

func TestExport(t *testing.T) {
	w := openLantern(t)
	folder := t.TempDir()
	size := func(name string, c exportChoice) (width int, corner uint32) {
		path := filepath.Join(folder, name)
		w.export(path, c)
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		im, err := png.Decode(f)
		if err != nil {
			t.Fatal(err)
		}
		_, _, _, a := im.At(0, 0).RGBA()
		return im.Bounds().Dx(), a
	}
	one, paper := size("one.png", exportChoice{scale: 1})
	two, clear := size("two.png", exportChoice{scale: 2, transparent: true})
	if two != 2*one || paper == 0 || clear != 0 {
		t.Errorf("widths %d and %d, corners %d and %d", one, two, paper, clear)
	}
	path := filepath.Join(folder, "a.svg")
	w.export(path, exportChoice{svg: true, dark: true})
	text, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(text), "<svg") || !strings.Contains(string(text), "Tent lantern") {
		t.Errorf("the SVG: %v, %d bytes", err, len(text))
	}
	w.export(filepath.Join(folder, "none", "a.svg"), exportChoice{svg: true})
	if len(w.asking) != 1 {
		t.Error("what cannot be exported is not told")
	}
}

func TestExportByItsDialogs(t *testing.T) {
	w := openLantern(t)
	path := filepath.Join(t.TempDir(), "lantern.png")
	w.command("export")
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	w.writePath(t, path)
	if info, err := os.Stat(path); err != nil || info.Size() == 0 {
		t.Errorf("%v, %v", info, err)
	}
}

func TestMenusSleepWhileADialogIsOpen(t *testing.T) {
	w := drawLoop(t)
	w.command("new")
	parts := len(w.doc.Diagram().Parts)
	for _, command := range []string{"new", "open", "all", "delete", "undo", "export", "quit"} {
		w.command(command)
	}
	if len(w.asking) != 1 || len(w.doc.Diagram().Parts) != parts {
		t.Errorf("%d dialogs, %d parts", len(w.asking), len(w.doc.Diagram().Parts))
	}
}

func TestLateAnswersToOldQuestionsAreDropped(t *testing.T) {
	var got []Answer
	s := solver{deliver: func(a Answer, _ bool) { got = append(got, a) }}
	answers := make(chan Answer, 1)
	answers <- Answer{Result: &analysis.Result{}}
	close(answers)
	old, cancel := context.WithCancel(context.Background())
	cancel()
	s.forward(old, answers)
	if len(got) != 0 {
		t.Error("an answer to an old question was delivered")
	}
	answers = make(chan Answer, 1)
	answers <- Answer{Result: &analysis.Result{}}
	close(answers)
	s.forward(context.Background(), answers)
	if len(got) != 1 {
		t.Error("the answer to the last question was not delivered")
	}
}

func TestASolverThatPanicsIsAFinding(t *testing.T) {
	answers := make(chan Answer, 2)
	new(solver).work(context.Background(), question{diagram: nil}, answers)
	a := <-answers
	if a.Result == nil || a.Result.Solved || len(a.Result.Faults) != 1 || !a.Result.Faults[0].Stops {
		t.Errorf("%+v", a.Result)
	}
}

func TestFileNames(t *testing.T) {
	for title, want := range map[string]string{
		"Tent lantern": "Tent lantern", " a/b\\c:d ": "a-b-c-d", "..": "drawing", "": "drawing", "x\n": "x",
		strings.Repeat("ö", 200): strings.Repeat("ö", 60),
	} {
		if got := fileName(title); got != want {
			t.Errorf("%q becomes %q, want %q", title, got, want)
		}
	}
}

// TestWhatCannotBeSavedIsSavedElsewhere: the folder is gone, the work is kept and
// the usual answer leads to another place for it.
func TestWhatCannotBeSavedIsSavedElsewhere(t *testing.T) {
	path := saved(t, &model.Diagram{Title: "First"}, "lamp.cglass")
	w := newTestWindow(t)
	w.OpenFile(path)
	w.place('r', 5, 5)
	if err := os.RemoveAll(filepath.Dir(path)); err != nil {
		t.Fatal(err)
	}
	w.command("save")
	if len(w.asking) != 1 || !w.doc.Changed() {
		t.Fatalf("%d dialogs, changed %v", len(w.asking), w.doc.Changed())
	}
	w.typedInDialog(fyne.KeyReturn)
	elsewhere := filepath.Join(t.TempDir(), "kept.cglass")
	w.writePath(t, elsewhere)
	if d, err := file.Load(elsewhere); err != nil || d.Part("R1") == nil || w.doc.Changed() {
		t.Errorf("%v, changed %v", err, w.doc.Changed())
	}
}
