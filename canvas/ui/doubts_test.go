package ui

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/canvas/tool"
	"copperglass/model"
)

func TestOneKeyCyclesTheDoubt(t *testing.T) {
	w := drawLoop(t)
	w.command("all")
	for _, want := range []model.Doubt{model.Measured, model.Read, model.Guessed, model.Measured} {
		w.press("?")
		d := w.doc.Diagram()
		if d.Part("R1").Doubt != want || d.Wires[0].Doubt != want {
			t.Fatalf("part %q, wire %q, want %q", d.Part("R1").Doubt, d.Wires[0].Doubt, want)
		}
		if !strings.HasSuffix(w.bar.short, ": "+string(want)) {
			t.Errorf("the bar says %q", w.bar.short)
		}
	}
	w.command("undo")
	if d := w.doc.Diagram(); d.Part("R1").Doubt != "" {
		t.Errorf("undo left %q", d.Part("R1").Doubt)
	}
}

func TestOpenPoints(t *testing.T) {
	t.Parallel()
	part := func(ref, kind string, doubt model.Doubt) *model.Part {
		return &model.Part{Ref: ref, Kind: kind, Doubt: doubt}
	}
	d := &model.Diagram{
		Parts: []*model.Part{part("R10", "resistor", ""), part("R9", "resistor", model.Guessed), part("R2", "resistor", ""),
			part("R1", "resistor", model.Measured), part("C1", "capacitor", model.Read), part("GND1", "ground", ""), part("N1", "note", "")},
		Wires: []*model.Wire{{ID: 3, Doubt: model.Guessed}, {ID: 4}},
	}
	if got, want := openPoints(d), []openPoint{{ref: "R9"}, {wire: 3}, {ref: "R2"}, {ref: "R10"}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestAnOpenPointIsGoneToAndSelected(t *testing.T) {
	w := openLantern(t)
	w.surface.Zoom(4)
	w.press("o")
	f := w.foundIn(t)
	f.entry.SetText("R2")
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if s := w.doc.Selected(); len(s.Parts) != 1 || !s.Parts["R2"] {
		t.Fatalf("selected %v", s)
	}
	if at := tool.Anchor(w.doc.Shown(), w.doc.Selected()); !w.surface.within(at) {
		t.Errorf("R2, at %v, is not in view", at)
	}
	if !w.hasFocus(w.surface) {
		t.Error("the sheet does not have the keyboard")
	}
}
