package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// hung returns where the part that hangs is.
func (w *Window) hung(t *testing.T) geom.Point {
	t.Helper()
	for ref := range w.doc.editor.Hanging().Parts {
		return w.doc.editor.Diagram().Part(ref).At
	}
	t.Fatal("nothing hangs")
	return geom.Point{}
}

// A part that is placed hangs where it is seen, before the next frame and after
// it, and the first arrow key carries it one step from there.
func TestANewPartHangsInSight(t *testing.T) {
	for name, begin := range map[string]func(w *Window){
		"the pointer outside": func(w *Window) { w.surface.MouseOut() },
		"the pointer where another drawing was": func(w *Window) {
			w.surface.MouseMoved(mouse(w.at(20, 6), 0))
			w.New()
		},
		"the drawing gone before a frame": func(w *Window) {
			w.surface.MouseOut()
			w.surface.zoomAbout(3, w.at(14, 5))
			w.New()
		},
		"the pointer lost outside": func(w *Window) {
			w.surface.MouseMoved(mouse(w.at(-500, 6), 0))
		},
	} {
		t.Run(name, func(t *testing.T) {
			w := newTestWindow(t)
			begin(w)
			w.press("g")
			at := w.hung(t)
			w.paint()
			p := w.surface.view.ToPixel(canvas.OnGrid(at))
			size := w.surface.Size()
			if p.X < 100 || p.Y < 100 || p.X > float64(size.Width)-100 || p.Y > float64(size.Height)-100 {
				t.Errorf("it hangs at %v, on the window at %v of %v", at, p, size)
			}
			w.press("right")
			if got := w.hung(t); got != at.Add(geom.Pt(1, 0)) || w.surface.cursor.at != got {
				t.Errorf("an arrow key carries it from %v to %v, the cursor is at %v", at, got, w.surface.cursor.at)
			}
			w.press("cancel", "right")
			if got := w.surface.cursor.at; got != at.Add(geom.Pt(2, 0)) {
				t.Errorf("when it is dropped, the next arrow key brings the cursor from %v to %v", at.Add(geom.Pt(1, 0)), got)
			}
			w.press("cancel", "right")
			if got := w.surface.cursor; !got.shown || got.at != at.Add(geom.Pt(3, 0)) {
				t.Errorf("the cursor, sent away, comes back at %v, shown %v", got.at, got.shown)
			}
		})
	}
}

// Enter on bare paper bends a wire, and ends it the second time there.
func TestEnterBendsAWire(t *testing.T) {
	w := drawLoop(t)
	w.press("cancel", "right")
	n := len(w.doc.Diagram().Wires)
	w.goTo(14, 5)
	w.enterKey()
	if !strings.Contains(w.bar.short, "bends it on bare paper") {
		t.Errorf("the bar says %q", w.bar.short)
	}
	w.goTo(18, 5)
	w.enterKey()
	w.goTo(18, 9)
	w.enterKey()
	if hangs, bent := w.doc.editor.HangingWire(); !hangs || !bent {
		t.Fatal("the wire does not go on behind its corners")
	}
	w.enterKey()
	wires := w.doc.Diagram().Wires
	if w.doc.editor.Busy() || len(wires) != n+1 || wires[n].Ends() != [2]geom.Point{{X: 14, Y: 5}, {X: 18, Y: 9}} {
		t.Errorf("drew %v", wires[n:])
	}
	w.command("undo")
	if got := len(w.doc.Diagram().Wires); got != n {
		t.Errorf("undone at once, %d wires are left of %d", got, n)
	}
}

// The mouse goes on with a wire that the keys began.
func TestTheMouseTakesOverAWire(t *testing.T) {
	w := drawLoop(t)
	w.press("cancel", "right")
	n := len(w.doc.Diagram().Wires)
	w.goTo(14, 5)
	w.enterKey()
	w.click(18, 9)
	w.click(18, 12)
	w.click(18, 12)
	wires := w.doc.Diagram().Wires
	if w.doc.editor.Busy() || len(wires) != n+1 || wires[n].Ends() != [2]geom.Point{{X: 14, Y: 5}, {X: 18, Y: 12}} {
		t.Errorf("drew %v", wires[n:])
	}
}

// Enter on a pin at which a wire has just been ended begins another, and however
// often it is struck the arrow keys move the cursor and not the part.
func TestEnterOnAPinSelectsNothing(t *testing.T) {
	w := drawLoop(t)
	ground := w.doc.Diagram().Part("GND1").At
	w.press("cancel", "right")
	w.goTo(14, 5)
	w.enterKey()
	w.goTo(5, 14)
	w.enterKey()
	for range 3 {
		w.enterKey()
		w.press("left")
		if at := w.doc.Diagram().Part("GND1").At; at != ground || !w.doc.Selected().Empty() {
			t.Fatalf("the ground went to %v, selected is %v", at, w.doc.Selected())
		}
		w.press("cancel")
		w.goTo(5, 14)
	}
	w.enterKey()
	w.enterKey()
	if !w.doc.Selected().Empty() || w.doc.editor.Busy() {
		t.Error("Enter twice on a pin does something")
	}
}

// While a part is carried the figures of the panel follow, and its fields do
// again as soon as it is put down.
func TestThePanelFollowsWhatIsCarried(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	says := func() string {
		var b strings.Builder
		for _, each := range textsIn(w.inspector.body, fyne.Position{}) {
			b.WriteString(each.text + "\n")
		}
		return b.String()
	}
	before := says()
	w.hold(12, 5, 12, 20)
	w.surface.TypedRune('v') // the wires stay behind
	if now := says(); now == before || !w.doc.carries() {
		t.Errorf("R1 out of the circuit, the panel says still\n%s", now)
	}
	w.press("cancel")
	if now := says(); now != before {
		t.Errorf("put back, the panel says\n%s\nwant\n%s", now, before)
	}
	w.surface.DragEnd()
	w.hold(12, 5, 12, 3)
	w.surface.DragEnd()
	if err := w.doc.typePart("R1", "value", func(p *model.Part) { p.Value = "2k" }); err != nil {
		t.Fatal(err)
	}
	if now := says(); now == before {
		t.Error("after a drag the panel does not follow any more")
	}
}

// The labels of what is drawn on an empty sheet stay on it.
func TestLabelsStayOnAnEmptySheet(t *testing.T) {
	w := newTestWindow(t)
	w.place('g', 1, 6)
	w.press("cancel")
	w.dragOver(1, 8, 5, 8)
	w.dragOver(1, 4, 5, 4)
	w.place('r', 5, 6)
	w.press("turn", "cancel")
	w.surface.MouseMoved(mouse(w.at(20, 12), 0))
	w.paint()
	seen := w.surface.visible()
	for _, l := range w.surface.scene.Labels {
		if !l.Box.Empty() && !(seen.Contains(l.Box.Min) && seen.Contains(l.Box.Max)) {
			t.Errorf("%q stands at %v, seen is %v", l.Text, l.Box, seen)
		}
	}
}
