package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/assets"
	"copperglass/canvas"
)

func TestAnEmptySheetGreetsWithTheExamples(t *testing.T) {
	w := newTestWindow(t)
	said := words(w.greeting.object)
	for _, name := range assets.Examples() {
		if !strings.Contains(said, exampleTitle(name)) {
			t.Errorf("%s is not offered: %q", name, said)
		}
	}
	if !strings.Contains(said, w.menu.table.named("commands").told()) {
		t.Errorf("the greeting does not say where all commands are: %q", said)
	}
	card := findTap(w.greeting.object)
	card.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if len(w.doc.Diagram().Parts) == 0 {
		t.Error("Enter on a card opened nothing")
	}
	if len(w.greeting.object.Objects) > 0 {
		t.Error("the greeting stays over the drawing")
	}
}

func TestTheGreetingMakesRoomForWhatIsDrawn(t *testing.T) {
	w := newTestWindow(t)
	w.press("r")
	if len(w.greeting.object.Objects) > 0 {
		t.Error("the greeting is in the way of the part that hangs there")
	}
	w.press("cancel")
	if len(w.greeting.object.Objects) == 0 {
		t.Error("the sheet is empty again and does not greet")
	}
	w.place('r', 10, 10)
	w.command("delete")
	if len(w.greeting.object.Objects) == 0 {
		t.Error("the sheet is empty after the last part and does not greet")
	}
}

func TestEveryExampleHasAPicture(t *testing.T) {
	w := newTestWindow(t)
	room := canvas.Rect{Max: canvas.Pt(previewWidth, previewHeight)}
	for _, name := range assets.Examples() {
		p := examplePicture(name, w.look, w.settings.standard)
		if b := p.Bounds(); len(p.Items) < 10 || !room.Contains(b.Min) || !room.Contains(b.Max) {
			t.Errorf("%s: %d items in %v", name, len(p.Items), b)
		}
	}
}

func TestTheGreetingFitsItsSheet(t *testing.T) {
	w := newTestWindow(t)
	for _, size := range []fyne.Size{{Width: 900, Height: 650}, {Width: 484, Height: 420}, {Width: 484, Height: 300}, {Width: 1600, Height: 900}} {
		w.greeting.object.Resize(size)
		words, cards := w.greeting.object.Objects[0], w.greeting.object.Objects[1].(*fyne.Container)
		if words.Position().Y < 0 || words.Position().Y+words.MinSize().Height > cards.Position().Y {
			t.Errorf("%v: the words stand at %v, the cards at %v", size, words.Position(), cards.Position())
		}
		for i, card := range cards.Objects {
			from := cards.Position().Add(card.Position())
			to := from.Add(card.Size())
			if from.X < 0 || to.X > size.Width || to.Y > size.Height {
				t.Errorf("%v: card %d is from %v to %v", size, i, from, to)
			}
		}
	}
}
