package ui

import (
	"reflect"
	"strings"
	"testing"

	"copperglass/model/geom"
)

// Where a part that is dragged may not be let go the drawing and its figures are
// what they were; the part is seen at the pointer beside it.
func TestARefusedPlaceHasNoFigures(t *testing.T) {
	w := drawLoop(t)
	w.place('r', 26, 12)
	before, amps := w.doc.history.Diagram(), w.doc.Result().Parts["R1"].Pins[0].Amps
	w.hold(12, 5, 26, 12)
	if !w.doc.editor.Refused() {
		t.Fatal("R1 may be laid on R2")
	}
	if !sameDrawing(w.doc.Shown(), before) {
		t.Errorf("shown is %v", w.doc.Shown().Part("R1"))
	}
	if got := w.doc.Result(); got == nil || got.Parts["R1"].Pins[0].Amps != amps {
		t.Errorf("the figures are not those of the drawing as it was: %+v", got)
	}
	if in := w.doc.hanging(); len(in) != 1 || in[0].At != geom.Pt(26, 12) {
		t.Errorf("in the hand is %v", in)
	}
	if len(w.surface.hanging()) < 2 {
		t.Error("what is in the hand is not drawn")
	}
	w.surface.DragEnd()
	if !sameDrawing(w.doc.Shown(), before) || len(w.doc.hanging()) > 0 {
		t.Error("let go, it did not go back")
	}
}

// A wire that Enter selects is moved by the arrow keys; the bar says so, and all
// of it is undone at once.
func TestTheBarTellsThatArrowsMoveAWire(t *testing.T) {
	w := newTestWindow(t)
	w.place('r', 5, 5)
	w.place('r', 25, 5)
	w.dragOver(7, 5, 23, 5)
	before := w.doc.Diagram()
	wire := before.Wires[0]
	w.doc.Select()
	w.press("right")
	w.goTo(15, 5)
	w.enterKey()
	if !w.doc.Selected().Wires[wire.ID] || !strings.Contains(w.bar.short, "arrow keys move it") {
		t.Fatalf("selected is %v, the bar says %q", w.doc.Selected(), w.bar.short)
	}
	w.press("up")
	w.press("up")
	w.press("left")
	if reflect.DeepEqual(w.doc.Diagram().Wires, before.Wires) {
		t.Fatal("the wire stays")
	}
	w.doc.Undo()
	if !reflect.DeepEqual(w.doc.Diagram().Wires, before.Wires) {
		t.Errorf("undone once the wire is %v, was %v", w.doc.Diagram().Wire(wire.ID), wire)
	}
}

// The ends of an arrow are dragged in the window, and it says where they are.
func TestAnArrowIsStretchedInTheWindow(t *testing.T) {
	w := newTestWindow(t)
	w.place('y', 20, 10)
	w.toSheet()
	if len(w.surface.handles()) != 2 {
		t.Fatalf("%d handles are drawn on a selected arrow", len(w.surface.handles()))
	}
	w.dragOver(20, 10, 24, 13)
	p := w.doc.Diagram().Part("A1")
	if x, _ := p.Params["length"].Num(); p.At != geom.Pt(24, 13) || x != 8 {
		t.Errorf("the arrow is %+v", p)
	}
	w.click(30, 20)
	if len(w.surface.handles()) > 0 {
		t.Error("nothing is selected, but handles are drawn")
	}
}

// By the keys alone Enter takes a selected arrow by the end at the cursor.
func TestAnArrowIsStretchedByTheKeys(t *testing.T) {
	w := newTestWindow(t)
	w.place('y', 20, 10)
	w.toSheet()
	w.doc.Select()
	w.press("right")
	w.goTo(20, 10)
	w.enterKey()
	if !strings.Contains(w.bar.short, "the end of an arrow") {
		t.Errorf("the bar says %q", w.bar.short)
	}
	w.enterKey()
	w.goTo(23, 8)
	if p := w.doc.Shown().Part("A1"); p.At != geom.Pt(23, 8) || w.doc.Diagram().Part("A1").At != geom.Pt(20, 10) {
		t.Errorf("before it is put down the tip is seen at %v", p.At)
	}
	w.enterKey()
	if p := w.doc.Diagram().Part("A1"); p.At != geom.Pt(23, 8) || w.doc.editor.Busy() {
		t.Errorf("the tip is at %v", p.At)
	}
}
