package ui

import (
	"slices"
	"testing"

	"copperglass/canvas"
	"copperglass/model"
)

// drawnTexts are the texts of a picture.
func drawnTexts(p *canvas.Picture) []string {
	var texts []string
	for _, it := range p.Items {
		if t, ok := it.(*canvas.Text); ok {
			texts = append(texts, t.String)
		}
	}
	return texts
}

func TestTheTitleBlockIsEditedShownAndExported(t *testing.T) {
	w := openLantern(t)
	w.press("b")
	if !w.modal() {
		t.Fatal("no dialog")
	}
	w.choose(t, "Cancel")
	want := model.TitleBlock{Who: "M. Maker", Date: "2026-11-25", Revision: "B"}
	if err := w.doc.setBlock("Camp lantern", model.TitleBlock{Who: " M. Maker ", Date: "2026-11-25", Revision: "B"}); err != nil {
		t.Fatal(err)
	}
	if d := w.doc.Diagram(); d.Block != want || d.Title != "Camp lantern" || w.bar.title.Text != "Camp lantern" {
		t.Errorf("%+v, %q; the bar has %q", d.Block, d.Title, w.bar.title.Text)
	}
	w.paint()
	for what, p := range map[string]*canvas.Picture{"sheet": &w.surface.scene.Picture, "export": w.picture(exportChoice{scale: 1})} {
		texts := drawnTexts(p)
		for _, text := range []string{"Camp lantern", "M. Maker", "2026-11-25", "rev. B"} {
			if !slices.Contains(texts, text) {
				t.Errorf("the %s lacks %q", what, text)
			}
		}
	}
	saved := w.doc.history.Revision()
	if err := w.doc.setBlock("Camp lantern", want); err != nil || w.doc.history.Revision() != saved {
		t.Error("nothing new is an edit")
	}
	w.command("undo")
	if d := w.doc.Diagram(); d.Block != (model.TitleBlock{}) || d.Title != "Tent lantern" {
		t.Errorf("undo left %+v, %q", d.Block, d.Title)
	}
}

func TestAnArrowIsPlacedAndReaches(t *testing.T) {
	w := newTestWindow(t)
	w.place('y', 10, 10)
	p := w.doc.Diagram().Parts[0]
	if p.Kind != "arrow" {
		t.Fatalf("placed a %s", p.Kind)
	}
	w.enter(w.inspector.fieldOf(t, "Text"), "warm here")
	w.enter(w.inspector.fieldOf(t, "Length"), "6")
	w.enter(w.inspector.fieldOf(t, "Rise"), "-2")
	p = w.doc.Diagram().Parts[0]
	if x, y := model.ArrowTail(p); x != -6 || y != 2 || p.Value != "warm here" {
		t.Errorf("the tail is at %v, %v; it says %q", x, y, p.Value)
	}
	if texts := drawnTexts(w.picture(exportChoice{scale: 1})); !slices.Contains(texts, "warm here") {
		t.Errorf("the picture has %q", texts)
	}
}
