package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"copperglass/canvas"
	"copperglass/canvas/scene"
)

// figure returns where a label of the sheet stands.
func (w *Window) figure(t *testing.T, kind scene.LabelKind, wanted func(scene.Label) bool) fyne.Position {
	t.Helper()
	w.paint()
	for _, l := range w.surface.scene.Labels {
		if l.Kind == kind && wanted(l) {
			c := l.Box.Center()
			return w.at(c.X/canvas.Grid, c.Y/canvas.Grid)
		}
	}
	t.Fatalf("no such label among %+v", w.surface.scene.Labels)
	return fyne.Position{}
}

// A click on a figure of the sheet asks what sets it, the pointer on it says so,
// and the right button's menu offers it.
func TestFiguresOfTheSheetAreAskedAbout(t *testing.T) {
	for _, c := range []struct {
		kind   scene.LabelKind
		wanted func(scene.Label) bool
		title  string
	}{
		{scene.CurrentLabel, func(l scene.Label) bool { return l.Ref == "D1" }, "What sets the current of D1?"},
		{scene.CurrentLabel, func(l scene.Label) bool { return strings.HasPrefix(l.Text, "363 mA") }, "What sets the current of BT1?"},
		{scene.CurrentLabel, func(l scene.Label) bool { return strings.HasPrefix(l.Text, "359 mA") }, "What sets the current of D1?"},
		{scene.CurrentLabel, func(l scene.Label) bool { return strings.HasPrefix(l.Text, "3.88 mA") }, "What sets the current of R1?"},
		{scene.VoltageLabel, func(l scene.Label) bool { return strings.HasPrefix(l.Text, "3.7") }, "What sets the voltage of "},
	} {
		w := openLantern(t)
		w.SetMode("White")
		at := w.figure(t, c.kind, c.wanted)
		w.surface.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}})
		if !strings.Contains(w.tips.text, "Click: what sets it.") || w.surface.Cursor() != desktop.PointerCursor {
			t.Errorf("%s: pointed at, it says %q", c.title, w.tips.text)
		}
		right := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at, AbsolutePosition: at}, Button: desktop.MouseButtonSecondary}
		w.surface.MouseDown(right)
		w.surface.MouseUp(right)
		if a := w.menu.table.named("causes"); !a.can(w) || !strings.HasPrefix(a.says(w), c.title) {
			t.Errorf("the menu offers %q, not %q", a.says(w), c.title)
		}
		w.win.Canvas().Overlays().Remove(w.win.Canvas().Overlays().Top())
		left := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}, Button: desktop.MouseButtonPrimary}
		w.surface.MouseDown(left)
		w.surface.MouseUp(left)
		if said := w.said(); !strings.Contains(said, c.title) || !strings.Contains(said, "when a value grows by 1 %") {
			t.Errorf("a click says %q, not %q", said, c.title)
		}
	}
}

// Beside the figures nothing is asked, and a gesture under way is not disturbed.
func TestNothingIsAskedBesideFigures(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	at := w.figure(t, scene.CurrentLabel, func(l scene.Label) bool { return l.Ref == "D1" })
	if _, of := w.surface.figureAt(fyne.NewPos(2, 2)); of != "" {
		t.Errorf("the corner of the sheet tells %s", of)
	}
	w.press("r")
	if _, of := w.surface.figureAt(at); of != "" && w.doc.editor.Busy() {
		t.Errorf("with a part in the hand %s is asked about", of)
	}
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
}

// A value that is added to a what-if is typed at once, wherever its field stands
// among the others.
func TestAnAddedValueIsTypedAtOnce(t *testing.T) {
	w := openLantern(t)
	for _, step := range []struct{ ask, find, field string }{
		{"Add a what-if…", "r4 resistance", "R4 resistance"}, {"Set a value…", "r5 resistance", "R5 resistance"}, {"Set a value…", "r1 resistance", "R1 resistance"},
	} {
		tapText(t, w, step.ask)
		f := w.foundIn(t)
		f.entry.SetText(step.find)
		f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		if e, ok := w.win.Canvas().Focused().(*entry); !ok || e != w.inspector.fieldOf(t, step.field).entry {
			t.Fatalf("%s: %T has the keyboard", step.field, w.win.Canvas().Focused())
		}
	}
}
