package ui

import (
	"math"
	"testing"

	"fyne.io/fyne/v2"
)

// Escape in a field takes back all that was typed there, with what it made of
// the drawing; Enter, and a click elsewhere, keep it.
func TestEscapeInAFieldTakesBack(t *testing.T) {
	for _, c := range []struct {
		end   func(*Window, *field)
		value string
	}{
		{func(_ *Window, f *field) { strike(f.entry, fyne.KeyEscape) }, "1k"},
		{func(_ *Window, f *field) { strike(f.entry, fyne.KeyReturn) }, "999k"},
		{func(w *Window, _ *field) { w.click(20, 12) }, "999k"},
	} {
		w := drawLoop(t)
		w.Select("R1")
		f := w.inspector.fieldOf(t, "Value")
		w.enter(f, "1k")
		before, amps := w.doc.history.Revision(), w.current("R1")
		w.spell(f, "999k")
		if w.current("R1") == amps {
			t.Fatal("what is typed does not show")
		}
		c.end(w, f)
		if got := w.doc.Diagram().Part("R1").Value; got != c.value {
			t.Errorf("the value is %q, want %q", got, c.value)
		}
		if back := c.value == "1k"; back && (f.entry.Text != "1k" || math.Abs(w.current("R1")/amps-1) > 1e-6 || w.doc.history.Revision() != before) {
			t.Errorf("after Escape the field has %q, the current is %v, and there is %q to undo", f.entry.Text, w.current("R1"), w.doc.CanUndo())
		}
	}
}

func TestEscapeTakesBackATitle(t *testing.T) {
	w := drawLoop(t)
	w.bar.box.Tapped(nil)
	for _, r := range "Torch" {
		w.bar.title.TypedRune(r)
	}
	w.bar.title.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if got := w.doc.Diagram().Title; got != "" || w.bar.title.Text != "" {
		t.Errorf("the title is %q, %q is shown", got, w.bar.title.Text)
	}
}

// A stack that is typed over a value that has just been typed keeps it; one over
// an emptied field has none to keep.
func TestAStackTypedOverAValueKeepsIt(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Value")
	w.spell(f, "333")
	w.spell(f, "x12")
	strike(f.entry, fyne.KeyReturn)
	if p := w.doc.Diagram().Part("R1"); p.Multiple() != 12 || valueText(p.LookupKind(), p) != "33 kΩ" {
		t.Errorf("%d of %q", p.Multiple(), valueText(p.LookupKind(), p))
	}
	if w.inspector.fieldOf(t, "Value").problem != "" {
		t.Errorf("it is refused: %s", f.problem)
	}
}
