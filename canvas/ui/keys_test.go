package ui

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
)

// press strikes keys on the sheet: those of the table by the names of their
// actions, letters by themselves.
func (w *Window) press(names ...string) {
	for _, name := range names {
		if len([]rune(name)) == 1 {
			w.surface.TypedRune([]rune(name)[0])
			continue
		}
		w.command(name)
	}
}

// goTo brings the cursor to a point of the grid by the arrow keys alone.
func (w *Window) goTo(x, y int) {
	by := geom.Pt(x, y).Sub(w.surface.cursor.at)
	for range max(by.X, -by.X) {
		w.surface.TypedKey(&fyne.KeyEvent{Name: map[bool]fyne.KeyName{true: fyne.KeyRight, false: fyne.KeyLeft}[by.X > 0]})
	}
	for range max(by.Y, -by.Y) {
		w.surface.TypedKey(&fyne.KeyEvent{Name: map[bool]fyne.KeyName{true: fyne.KeyDown, false: fyne.KeyUp}[by.Y > 0]})
	}
}

func (w *Window) enterKey() { w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn}) }

func TestACircuitIsDrawnByTheKeysAlone(t *testing.T) {
	w := newTestWindow(t)
	for _, part := range []struct {
		key  string
		x, y int
	}{{"g", 5, 8}, {"r", 12, 5}, {"0", 5, 14}} {
		w.press(part.key)
		w.goTo(part.x, part.y)
		w.enterKey()
	}
	w.press("cancel") // selects nothing
	for _, wire := range [][4]int{{5, 6, 10, 5}, {14, 5, 5, 10}, {5, 10, 5, 14}} {
		w.goTo(wire[0], wire[1])
		w.enterKey()
		w.goTo(wire[2], wire[3])
		w.enterKey()
	}
	r := w.doc.Result()
	if r == nil || !r.Solved || len(r.Faults) > 0 {
		t.Fatalf("not solved: %+v", r)
	}
	volts := r.Volts[r.Parts[w.battery(t)].Pins[0].Net]
	near(t, "current by Ohm's law", math.Abs(w.current("R1")), volts/1000, 1e-9)
}

func TestTheWireToolWorksByTheKeys(t *testing.T) {
	w := newTestWindow(t)
	w.press("w")
	w.goTo(4, 4)
	w.enterKey()
	w.goTo(9, 4)
	w.enterKey() // bends
	w.goTo(9, 8)
	w.enterKey()
	w.enterKey() // ends here
	w.press("cancel")
	if d := w.doc.Diagram(); len(d.Wires) != 1 || d.Wires[0].Ends() != [2]geom.Point{{X: 4, Y: 4}, {X: 9, Y: 8}} {
		t.Fatalf("drew %+v", d.Wires)
	}
	if w.doc.editor.DrawingWires() {
		t.Error("Escape did not stop the wire tool")
	}
}

func TestArrowsMoveTheCursorOrWhatIsSelected(t *testing.T) {
	w := drawLoop(t)
	w.press("cancel", "right")
	if !w.surface.cursor.shown {
		t.Fatal("there is no cursor")
	}
	w.goTo(12, 5)
	w.enterKey()
	if !w.doc.Selected().Parts["R1"] {
		t.Fatalf("Enter selected %v", w.doc.Selected())
	}
	before := w.doc.Diagram().Part("R1").At
	w.press("down", "far right")
	if got := w.doc.Diagram().Part("R1").At; got != before.Add(geom.Pt(5, 1)) {
		t.Errorf("R1 went from %v to %v", before, got)
	}
	w.enterKey()
	if e := w.inspector.firstEntry(); !w.hasFocus(e) {
		t.Error("Enter on what is selected does not open its fields")
	}
	w.toSheet()
	w.press("cancel", "cancel")
	if w.surface.cursor.shown {
		t.Error("Escape leaves the cursor")
	}
}

func TestPickUpCarriesWhatIsSelected(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	before := w.doc.Diagram().Part("R1").At
	w.press("h", "down", "down")
	if at := w.surface.cursor.at; at != before.Add(geom.Pt(0, 2)) {
		t.Errorf("the cursor is at %v, not where the part is carried", at)
	}
	if w.doc.Shown().Part("R1").At != before.Add(geom.Pt(0, 2)) || w.doc.Diagram().Part("R1").At != before {
		t.Error("the part in the hand is not shown where it is, or put down too early")
	}
	if !strings.Contains(w.bar.short, "in the hand") {
		t.Errorf("the bar says %q", w.bar.short)
	}
	w.press("cancel")
	if w.doc.Shown().Part("R1").At != before {
		t.Error("Escape does not put it back")
	}
	w.press("h", "up", "h")
	if w.doc.Diagram().Part("R1").At != before.Add(geom.Pt(0, -1)) || !w.doc.Selected().Parts["R1"] {
		t.Error("the key does not put it down, still selected")
	}
}

func TestWhatTheKeysHoldIsDroppedByWhateverElseIsBegun(t *testing.T) {
	w := drawLoop(t)
	n := len(w.doc.Diagram().Parts)
	w.Select("R1")
	w.press("h", "down", "c")
	w.enterKey()
	if got := len(w.doc.Diagram().Parts); got != n+1 {
		t.Errorf("Enter set nothing down: %d parts after %d", got, n)
	}
	w.press("h", "down")
	w.command("undo")
	w.enterKey()
	if w.doc.editor.Busy() || w.surface.holding() {
		t.Error("the hand still holds what was undone")
	}
}

func TestTheSheetFollowsTheCursor(t *testing.T) {
	w := drawLoop(t)
	w.press("cancel", "right")
	for range 40 {
		w.press("far right")
		if !w.surface.within(w.surface.cursor.at) {
			t.Fatalf("the cursor went out of view at %v", w.surface.cursor.at)
		}
	}
	w.Select("R1")
	for range 20 {
		w.press("far down")
		if at := w.doc.Diagram().Part("R1").At; !w.surface.within(at) {
			t.Fatalf("what is nudged went out of view at %v", at)
		}
	}
}

func TestTheCursorJumpsToPins(t *testing.T) {
	w := drawLoop(t)
	w.press("cancel", "right")
	w.goTo(11, 6)
	w.press("next up")
	if at := w.surface.cursor.at; at != geom.Pt(10, 5) {
		t.Errorf("went to %v, not to R1's pin", at)
	}
	w.press("next right")
	if at := w.surface.cursor.at; at != geom.Pt(14, 5) {
		t.Errorf("went to %v, not to R1's other pin", at)
	}
}

func TestNoKeyIsForTwoThings(t *testing.T) {
	t.Parallel()
	taken := map[stroke]string{}
	names := map[string]bool{}
	for _, a := range allActions() {
		if names[a.name] {
			t.Errorf("two actions are called %q", a.name)
		}
		names[a.name] = true
		for _, k := range a.keys {
			other, used := taken[k]
			if used && !(strings.HasPrefix(other, "place ") && a.group == placeGroup) {
				t.Errorf("%v is for %q and for %q", k, other, a.name)
			}
			taken[k] = a.name
		}
		if a.title == "" || a.help == "" || a.do == nil {
			t.Errorf("%q lacks something: %+v", a.name, a)
		}
	}
}

func TestEveryActionIsInTheListWithItsKey(t *testing.T) {
	w := drawLoop(t)
	w.command("commands")
	f := w.foundIn(t)
	for i := range w.menu.table {
		a := &w.menu.table[i]
		found := false
		for _, l := range f.all {
			found = found || l.title == a.says(w) && l.end == a.told()
		}
		if !found {
			t.Errorf("%q is not in the list", a.name)
		}
	}
}

// foundIn is the list that is open.
func (w *Window) foundIn(t *testing.T) *finder {
	t.Helper()
	e, ok := w.win.Canvas().Focused().(*finderEntry)
	if !ok {
		t.Fatalf("the keyboard is at %T", w.win.Canvas().Focused())
	}
	return e.finder
}

func TestTheListFindsWhileOneTypesAndRunsByEnter(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	was := w.doc.Diagram().Part("R1").Orient
	w.command("commands")
	f := w.foundIn(t)
	f.entry.SetText("mirr")
	if len(f.shown) == 0 || f.shown[f.at].title != "Mirror" {
		t.Fatalf("found %+v", f.shown)
	}
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := w.doc.Diagram().Part("R1").Orient; got.Mirror == was.Mirror {
		t.Errorf("mirrored to %v", got)
	}
	if w.modal() || !w.hasFocus(w.surface) {
		t.Error("the list stays open, or the sheet has lost the keyboard")
	}
}

func TestWhatCannotBeDoneIsNotRun(t *testing.T) {
	w := newTestWindow(t)
	w.command("commands")
	f := w.foundIn(t)
	f.entry.SetText("turn back")
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if !w.modal() {
		t.Error("Enter ran an action that had nothing to do")
	}
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.modal() {
		t.Error("Escape does not close the list")
	}
}

func TestTabReachesTheNameAndThePanel(t *testing.T) {
	w := drawLoop(t)
	w.win.Canvas().FocusPrevious()
	if !w.hasFocus(w.bar.title) {
		t.Errorf("Shift+Tab went to %T", w.win.Canvas().Focused())
	}
	w.toSheet()
	w.Select("R1")
	w.win.Canvas().FocusNext()
	for range 40 {
		if w.hasFocus(w.inspector.fieldOf(t, "Value").entry) {
			return
		}
		w.win.Canvas().FocusNext()
	}
	t.Error("Tab does not reach the value")
}

func TestASegmentIsChosenByTheKeys(t *testing.T) {
	chosen := ""
	s := newSegment(newTestWindow(t).look, []string{"a", "b", "c"}, func(word string) { chosen = word })
	s.set("a")
	s.FocusGained()
	for _, name := range []fyne.KeyName{fyne.KeyRight, fyne.KeyRight, fyne.KeyLeft, fyne.KeySpace} {
		s.TypedKey(&fyne.KeyEvent{Name: name})
	}
	if chosen != "b" {
		t.Errorf("chose %q", chosen)
	}
}

func TestAFileIsChosenByTheKeys(t *testing.T) {
	w := newTestWindow(t)
	folder := t.TempDir()
	if err := os.Mkdir(filepath.Join(folder, "Lamps"), 0o755); err != nil {
		t.Fatal(err)
	}
	d := &model.Diagram{Title: "Night light"}
	if err := file.Save(filepath.Join(folder, "Lamps", "night.cglass"), d); err != nil {
		t.Fatal(err)
	}
	w.settings.folder = folder
	w.command("open")
	for range 2 { // into the folder, then the file
		e := w.win.Canvas().Focused().(*dialogEntry)
		e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
		e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	}
	if w.modal() || w.doc.Diagram().Title != "Night light" {
		t.Errorf("opened %q", w.doc.Diagram().Title)
	}
}
