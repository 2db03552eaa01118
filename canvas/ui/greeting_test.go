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
	size := fyne.NewSize(previewWidth, previewHeight)
	room := canvas.Rect{Max: canvas.Pt(previewWidth, previewHeight)}
	for _, name := range assets.Examples() {
		p := preview(exampleInk(name, w.look, w.settings.standard), size)
		if b := p.Bounds(); len(p.Items) < 10 || !room.Contains(b.Min) || !room.Contains(b.Max) {
			t.Errorf("%s: %d items in %v", name, len(p.Items), b)
		}
	}
}

// Whatever room the sheet has, all that is shown of the greeting is within it
// and nothing lies on anything else.
func TestTheGreetingFitsItsSheet(t *testing.T) {
	w := newTestWindow(t)
	offered := map[fyne.Size]int{}
	for _, size := range []fyne.Size{{Width: 1600, Height: 900}, {Width: 900, Height: 650}, {Width: 484, Height: 420}, {Width: 445, Height: 380},
		{Width: 484, Height: 280}, {Width: 300, Height: 420}, {Width: 200, Height: 150}, {Width: 60, Height: 40}} {
		w.greeting.object.Resize(size)
		boxes := shownBoxes(w.greeting.object, fyne.Position{})
		ground := boxes[0]
		boxes = boxes[1:]
		for i, b := range boxes {
			if b.Min.X < 0 || b.Min.Y < 0 || b.Max.X > float64(size.Width) || b.Max.Y > float64(size.Height) {
				t.Errorf("%v: something is at %v", size, b)
			}
			if !ground.Contains(b.Min) || !ground.Contains(b.Max) {
				t.Errorf("%v: something at %v is not on the paper at %v", size, b, ground)
			}
			for _, o := range boxes[i+1:] {
				if b.Overlaps(o) {
					t.Errorf("%v: something at %v lies on what is at %v", size, b, o)
				}
			}
		}
		for _, card := range w.greeting.object.Objects[3].(*fyne.Container).Objects {
			if w.greeting.object.Objects[3].Visible() && card.Visible() {
				offered[size]++
			}
		}
	}
	if all := offered[fyne.NewSize(484, 420)]; all != len(assets.Examples()) {
		t.Errorf("%d cards on a sheet that has room for all", all)
	}
	if some := offered[fyne.NewSize(484, 280)]; some == 0 || some >= len(assets.Examples()) {
		t.Errorf("%d cards on a sheet that has room for some", some)
	}
	if none := offered[fyne.NewSize(200, 150)]; none != 0 {
		t.Errorf("%d cards on a sheet that has room for none", none)
	}
}

// shownBoxes are where the lines of text and the cards in a container stand.
func shownBoxes(box *fyne.Container, from fyne.Position) []canvas.Rect {
	var boxes []canvas.Rect
	for _, o := range box.Objects {
		at := from.Add(o.Position())
		inner, ok := o.(*fyne.Container)
		switch {
		case !o.Visible():
		case ok:
			boxes = append(boxes, shownBoxes(inner, at)...)
		default:
			size := o.Size().Max(o.MinSize())
			boxes = append(boxes, canvas.Rect{Min: canvas.Pt(float64(at.X), float64(at.Y)), Max: canvas.Pt(float64(at.X+size.Width), float64(at.Y+size.Height))})
		}
	}
	return boxes
}
