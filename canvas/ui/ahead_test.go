package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model/geom"
)

// The bar says what letting go would cover, and that a value may be typed.
func TestTheBarLooksAhead(t *testing.T) {
	w := drawLoop(t)
	says := func(what string, words ...string) {
		t.Helper()
		for _, word := range words {
			if !strings.Contains(w.bar.short, word) {
				t.Errorf("%s: the bar says %q, not %q", what, w.bar.short, word)
			}
		}
	}
	move := func(x, y float64) { w.surface.MouseMoved(mouse(w.at(x, y), 0)) }
	w.press("r")
	move(12, 5)
	says("on R1", "R1 would be hidden")
	w.click(12, 5)
	if n := len(w.doc.Diagram().Parts); n != 3 || w.doc.editor.Placing() == nil {
		t.Fatalf("%d parts, or nothing on the pointer: R2 was set down on R1", n)
	}
	move(13, 5)
	says("partly on R1", "lies over R1")
	move(5, 12)
	says("across the wire", "across a wire", "full stop")
	w.press("turn")
	if strings.Contains(w.bar.short, "across") {
		t.Errorf("turned into the wire the bar says %q", w.bar.short)
	}
	w.click(20, 10)
	says("set down", "R2", "type its value")
	w.click(30, 30)
	if strings.Contains(w.bar.short, "type its value") {
		t.Errorf("after a click elsewhere the bar says %q", w.bar.short)
	}
	w.hold(20, 10, 12, 5)
	w.press("turn")
	says("dragged", "R1", "goes back")
}

func TestTheBarTellsWhatAligningLeft(t *testing.T) {
	w := newTestWindow(t)
	w.place('r', 10, 5)
	w.place('r', 10, 12)
	w.Select("R1", "R2")
	w.command("Align top edges")
	if want := "R2 stayed"; !strings.HasPrefix(w.bar.short, want) {
		t.Errorf("the bar says %q, want %q", w.bar.short, want)
	}
}

// Deleting tells of the gap it leaves and how to have none.
func TestTheBarTellsOfGaps(t *testing.T) {
	for _, test := range []struct{ do, want string }{
		{"delete", "R1 is gone, with a gap left there; J instead of Delete joins what lay on both sides"},
		{"delete and join", "R1 is gone, and what lay on both sides is joined"},
	} {
		w := drawLoop(t)
		w.Select("R1")
		w.command(test.do)
		if w.bar.short != test.want {
			t.Errorf("%s: the bar says %q, want %q", test.do, w.bar.short, test.want)
		}
	}
	w := newTestWindow(t)
	w.place('r', 12, 5)
	w.command("delete")
	if strings.Contains(w.bar.short, "gap") {
		t.Errorf("of a part joined to nothing the bar says %q", w.bar.short)
	}
}

// The keys that have set a part down go on from there without it; once it is
// selected again they move it.
func TestArrowsLeaveWhatTheKeysSetDown(t *testing.T) {
	w := newTestWindow(t)
	w.press("r")
	w.goTo(12, 5)
	w.enterKey()
	w.typeAny("47")
	w.keyAny(fyne.KeyReturn)
	w.goTo(12, 9)
	if at := w.doc.Diagram().Part("R1").At; at.Y != 5 || w.surface.cursor.at.Y != 9 {
		t.Errorf("R1 is at %v, the cursor at %v", at, w.surface.cursor.at)
	}
	w.goTo(12, 5)
	w.enterKey()
	w.goTo(12, 6)
	if at := w.doc.Diagram().Part("R1").At; at.Y != 6 {
		t.Errorf("selected again R1 stays at %v", at)
	}
}

// Enter at the free end of a wire draws it on, as a drag from there does.
func TestEnterGoesOnFromAFreeEnd(t *testing.T) {
	w := newTestWindow(t)
	w.press("r")
	w.goTo(12, 5)
	w.enterKey()
	for _, to := range [][2]int{{14, 5}, {20, 5}, {20, 5}, {20, 5}, {20, 9}, {20, 9}} {
		w.goTo(to[0], to[1])
		w.enterKey()
	}
	if d := w.doc.Diagram(); len(d.Wires) != 1 || d.Wires[0].Ends() != [2]geom.Point{geom.Pt(14, 5), geom.Pt(20, 9)} {
		t.Errorf("%d wires, the first %v", len(d.Wires), d.Wires[0].Points)
	}
}
