package ui

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2/test"
)

// alarmed is a window whose clock is rung by hand.
func alarmed(t *testing.T) (w *Window, rest func()) {
	t.Helper()
	var waiting []func()
	later := func(d time.Duration, f func()) func() {
		i := len(waiting)
		if d != calmTime {
			return func() {}
		}
		waiting = append(waiting, f)
		return func() { waiting[i] = func() {} }
	}
	w = New(test.NewTempApp(t), Options{Patience: time.Minute, Later: later, StateFolder: t.TempDir(), Settings: t.TempDir()})
	t.Cleanup(func() {
		w.doc.Close()
		w.keeper.Close()
	})
	w.toSheet()
	w.paint()
	return w, func() {
		for _, f := range waiting {
			f()
		}
	}
}

// flagged are the flags that are seen.
func (w *Window) flagged() (numbers []int) {
	w.paint()
	for _, f := range w.surface.scene.Flags {
		if f.Shown {
			numbers = append(numbers, f.Number)
		}
	}
	return numbers
}

// While somebody draws, ends that lead nowhere yet have no flags; the panel has
// them all the while, and once the drawing rests the sheet has them too.
func TestUnfinishedEndsAreCalmWhileOneDraws(t *testing.T) {
	w, rest := alarmed(t)
	w.place('r', 12, 5)
	w.place('r', 20, 5)
	w.place('q', 30, 5)
	w.press("cancel")
	w.dragOver(14, 5, 16, 9)
	if got := w.flagged(); len(got) > 0 {
		t.Errorf("flags %v while one draws", got)
	}
	if said := words(w.inspector.object); !strings.Contains(said, "Q1 and R2 are joined to nothing yet") {
		t.Errorf("the panel does not tell of R2: %q", said)
	}
	rest()
	if got := w.flagged(); len(got) < 2 {
		t.Errorf("flags %v once the drawing rests, want those of R1's pins at least", got)
	}
	w.place('c', 28, 8)
	if got := w.flagged(); len(got) > 0 {
		t.Errorf("flags %v while one goes on", got)
	}
}

// A click on a loose end in the panel selects its wire and goes there.
func TestALooseEndIsVisited(t *testing.T) {
	w := newTestWindow(t)
	w.place('r', 12, 5)
	w.dragOver(14, 5, 22, 9)
	w.press("cancel")
	for _, f := range w.doc.Result().Faults {
		if len(f.Wires) == 0 {
			continue
		}
		w.visitFault(f)
		if !w.doc.Selected().Wires[1] || w.surface.cursor.at != *f.At {
			t.Errorf("%q selects %v, the cursor at %v", f.Text, w.doc.Selected(), w.surface.cursor.at)
		}
		return
	}
	t.Errorf("no loose end among %v", w.doc.Result().Faults)
}
