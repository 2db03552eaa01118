package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/canvas/tool"
	"copperglass/model/geom"
)

// The bar tells what keys have joined as long as it stands there, as it does of
// what is dragged.
func TestTheBarTellsWhatIsJoined(t *testing.T) {
	w := drawLoop(t)
	w.place('r', 20, 9)
	w.Select("R2")
	says := func(what string, words ...string) {
		t.Helper()
		for _, word := range words {
			if !strings.Contains(w.bar.short, word) {
				t.Errorf("%s: the bar says %q, not %q", what, w.bar.short, word)
			}
		}
	}
	for range 4 {
		w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	}
	for range 4 {
		w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
	}
	if at := w.doc.Diagram().Part("R2").At; at != geom.Pt(16, 5) {
		t.Fatalf("R2 is at %v", at)
	}
	says("nudged to R1's pin", "joins GND and R2.1", "takes it back")
	if n := len(w.surface.foretold(w.doc.editor.Overlay())); n != 1 {
		t.Errorf("%d marks, want a ring", n)
	}
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	if strings.Contains(w.bar.short, "joins") {
		t.Errorf("a step farther the bar says %q", w.bar.short)
	}
}

// The bar says why what is carried goes back, and where a wire stops.
func TestTheBarTellsOfBridgesAndStops(t *testing.T) {
	w := drawLoop(t)
	w.place('r', 12, 18)
	w.place('r', 24, 18)
	w.dragOver(14, 18, 22, 18)
	w.hold(12, 5, 18, 18)
	for _, word := range []string{"R1 would be bridged by the wire under it", "goes back", "puts it into this wire"} {
		if !strings.Contains(w.bar.short, word) {
			t.Errorf("over the wire the bar says %q, not %q", w.bar.short, word)
		}
	}
	w.press("leave wires")
	if strings.Contains(w.bar.short, "bridged") || len(w.doc.editor.Overlay().Breaks) == 0 {
		t.Errorf("without its wires the bar says %q", w.bar.short)
	}
	w.press("cancel")
	w.surface.MouseUp(mouse(w.at(18, 18), 0))
	w.hold(18, 18, 18, 20)
	if !strings.Contains(w.bar.short, "the wire slides") {
		t.Errorf("of a wire that slides the bar says %q", w.bar.short)
	}
	w.surface.MouseUp(mouse(w.at(18, 20), 0))
}

// Every state of what is foretold has its words.
func TestWordsOfWhatIsForetold(t *testing.T) {
	w := newTestWindow(t)
	for _, test := range []struct {
		overlay tool.Overlay
		want    string
	}{
		{tool.Overlay{}, ""},
		{tool.Overlay{Stuck: true, Done: true}, "no room for that here: it would join or cover something; drag it to free paper first"},
		{tool.Overlay{Aside: 1, Done: true}, "laid 1 step aside, where it joins and covers nothing · Ctrl+Z takes it back"},
		{tool.Overlay{Stops: []string{"R1", "R2"}}, "the wire stops here: farther on it would run under R1 and R2"},
		{tool.Overlay{Nets: []string{"Q1.B", "Q1.C"}}, "joins Q1.B and Q1.C"},
		{tool.Overlay{Cover: tool.Cover{Bridges: []string{"R1"}}}, "cannot be set down here: R1 would be bridged by the wire under it; move on, or Escape drops it"},
		{tool.Overlay{Cover: tool.Cover{Hides: true, Parts: []string{"R1"}}}, "cannot be set down here: R1 would be hidden; move on, or Escape drops it"},
	} {
		if got := w.surface.foretells(test.overlay, w.menu.table); got != test.want {
			t.Errorf("%+v: %q, want %q", test.overlay, got, test.want)
		}
	}
}
