package ui

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

// typeAny types on whatever has the keyboard, as a person does who looks at the
// drawing.
func (w *Window) typeAny(text string) {
	for _, r := range text {
		if f := w.win.Canvas().Focused(); f != nil {
			f.TypedRune(r)
		}
	}
}

func (w *Window) keyAny(name fyne.KeyName) {
	w.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: name})
}

// byMouse sets a part down at (12, 5).
func byMouse(key rune) func(*Window) {
	return func(w *Window) { w.place(key, 12, 5) }
}

// byKeys sets one down there without the mouse.
func byKeys(key string) func(*Window) {
	return func(w *Window) {
		w.press(key)
		w.goTo(12, 5)
		w.enterKey()
	}
}

// whatHangs is the kind of the part on the pointer, or "".
func (w *Window) whatHangs() string {
	if k := w.doc.editor.Placing(); k != nil {
		return k.Name
	}
	return ""
}

// goOnTo moves the pointer to a place of the grid.
func (w *Window) goOnTo(x, y float64) { w.surface.MouseMoved(mouse(w.at(x, y), 0)) }

// Whatever is typed right after a part is set down is its value.
func TestAValueIsTypedRightAfterPlacing(t *testing.T) {
	for _, c := range []struct {
		name  string
		place func(w *Window)
		typed string
	}{
		{"a figure", byMouse('r'), "47"},
		{"by the keys", byKeys("r"), "4k7"},
		{"a decimal", byMouse('r'), "0.47"},
		{"the letter first", byMouse('r'), "R47"},
		{"the stop first", byMouse('c'), ".1u"},
		{"a cell", byMouse('g'), "LR6"},
		{"a cell by the keys", byKeys("g"), "LR6"},
		{"a colour", func(w *Window) { w.press("d"); w.place('d', 12, 5) }, "white"},
		{"a type", byMouse('q'), "BC857"},
		{"the pointer away", func(w *Window) { w.place('g', 12, 5); w.goOnTo(20, 12) }, "LR6"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newTestWindow(t)
			c.place(w)
			ref := w.doc.selectedRefs()[0]
			w.typeAny(c.typed)
			w.keyAny(fyne.KeyReturn)
			d := w.doc.Diagram()
			if got := d.Part(ref).Value; got != c.typed || len(d.Parts) != 1 || w.whatHangs() != "" || w.modal() {
				t.Errorf("%q gives the value %q, %d parts, %q on the pointer", c.typed, got, len(d.Parts), w.whatHangs())
			}
			if !w.hasFocus(w.surface) || w.card.shown() {
				t.Error("Enter does not come back to the sheet")
			}
			w.command("undo")
			w.command("undo")
			if n := len(w.doc.Diagram().Parts); n != 0 {
				t.Errorf("the value and the part are not two steps to undo: %d parts", n)
			}
		})
	}
}

// The key of a part that is pressed right after another has been set down is that
// key once one goes on, as if the field were not there.
func TestPartsAreStillSetDownOneAfterAnother(t *testing.T) {
	for _, c := range []struct {
		name  string
		place func(w *Window)
		keys  string
		goOn  func(w *Window)
		hangs string
	}{
		{"the pointer goes on", byMouse('r'), "c", func(w *Window) { w.goOnTo(16, 5) }, "capacitor"},
		{"the same again", byMouse('r'), "r", func(w *Window) { w.goOnTo(16, 5) }, "resistor"},
		{"the next kind", byMouse('r'), "dd", func(w *Window) { w.goOnTo(16, 5) }, "led"},
		{"turned", byMouse('r'), "r.", func(w *Window) { w.goOnTo(16, 5) }, "resistor"},
		{"a nought", byMouse('c'), "0", func(w *Window) { w.goOnTo(16, 5) }, "ground"},
		{"an arrow key", byKeys("r"), "c", func(w *Window) { w.keyAny(fyne.KeyDown) }, "capacitor"},
		{"the hand shakes", byMouse('r'), "c", func(w *Window) { w.surface.MouseMoved(mouse(w.at(12, 5).AddXY(4, 4), 0)) }, ""},
		{"a word", byMouse('r'), "red", func(w *Window) { w.goOnTo(16, 5) }, ""},
		{"a key of another sort", byMouse('r'), "b", func(w *Window) { w.goOnTo(16, 5) }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newTestWindow(t)
			c.place(w)
			ref := w.doc.selectedRefs()[0]
			before := w.doc.Diagram().Part(ref).Value
			w.typeAny(c.keys)
			c.goOn(w)
			if got := w.whatHangs(); got != c.hangs || w.modal() || w.card.shown() != (c.hangs == "") {
				t.Errorf("%q hangs on the pointer, want %q; the card is there %v", got, c.hangs, w.card.shown())
			}
			if got := w.doc.Diagram().Part(ref).Value; got != before {
				t.Errorf("the value is %q, was %q", got, before)
			}
		})
	}
}

// A nought makes a resistor a link, wherever the pointer goes then, and is no key.
func TestANoughtMakesALink(t *testing.T) {
	w := newTestWindow(t)
	byMouse('r')(w)
	w.typeAny("0")
	w.goOnTo(16, 5)
	if got := w.doc.Diagram().Part("R1").Value; got != "0" || w.whatHangs() != "" || !w.card.shown() {
		t.Errorf("the value is %q; %q hangs on the pointer", got, w.whatHangs())
	}
}

// What is deleted before anything is typed is the part.
func TestANewPartCanBeDeleted(t *testing.T) {
	w := newTestWindow(t)
	byMouse('r')(w)
	w.keyAny(fyne.KeyDelete)
	if len(w.doc.Diagram().Parts) > 0 {
		t.Error("the part is still there")
	}
}

// A row of parts takes a key and a click each, wherever the pointer is when the
// key is pressed.
func TestARowOfParts(t *testing.T) {
	w := newTestWindow(t)
	for i := range 4 {
		if i%2 > 0 {
			w.goOnTo(12, float64(5+4*i))
		}
		w.typeAny("r")
		w.click(12, float64(5+4*i))
	}
	w.keyAny(fyne.KeyEscape)
	var rows []int
	for _, p := range w.doc.Diagram().Parts {
		rows = append(rows, p.At.Y)
	}
	if !slices.Equal(rows, []int{5, 9, 13, 17}) {
		t.Errorf("parts in rows %v", rows)
	}
}

func TestKeysLeaveAnUntouchedValue(t *testing.T) {
	for _, c := range []struct {
		name  string
		leave func(w *Window)
	}{
		{"Enter", func(w *Window) { w.keyAny(fyne.KeyReturn) }},
		{"Escape", func(w *Window) { w.keyAny(fyne.KeyEscape) }},
		{"a click", func(w *Window) { w.click(20, 12) }},
		{"a drag from a pin", func(w *Window) { w.dragOver(14, 5, 18, 5) }},
	} {
		w := newTestWindow(t)
		w.place('r', 12, 5)
		if !w.card.shown() || !w.hasFocus(w.card.entry) {
			t.Fatal("the value does not open")
		}
		c.leave(w)
		if !w.hasFocus(w.surface) || w.card.shown() || w.doc.Diagram().Part("R1").Value != "1k" {
			t.Errorf("%s does not come back to the sheet", c.name)
		}
		w.typeAny("c")
		if w.whatHangs() != "capacitor" {
			t.Errorf("after %s c is no key", c.name)
		}
	}
}

func TestUndoAndCopyRightAfterPlacing(t *testing.T) {
	w := newTestWindow(t)
	w.place('r', 12, 5)
	w.command("copy")
	if text := w.app.Clipboard().Content(); !strings.Contains(text, `"resistor"`) {
		t.Errorf("the clipboard has %q", text)
	}
	w.place('r', 12, 9)
	w.command("undo")
	if n := len(w.doc.Diagram().Parts); n != 1 || w.card.shown() {
		t.Errorf("%d parts, the card is there %v", n, w.card.shown())
	}
}

// Figures begin the value of a part that was selected in whatever way; what is no
// value is refused and says so.
func TestFiguresBeginTheValueOfWhatIsSelected(t *testing.T) {
	w := drawLoop(t)
	w.press("cancel", "cancel")
	w.click(12, 5)
	w.typeAny("4k7")
	w.keyAny(fyne.KeyReturn)
	if got := w.doc.Diagram().Part("R1").Value; got != "4k7" {
		t.Errorf("the value is %q", got)
	}
	w.typeAny("3qq")
	if !strings.Contains(words(w.card.below), "3qq") {
		t.Errorf("the card says %q", words(w.card.below))
	}
	w.click(30, 20)
	if got := w.doc.Diagram().Part("R1").Value; got != "4k7" || !strings.Contains(w.bar.short, "R1 keeps its value") {
		t.Errorf("the value is %q, the bar says %q", got, w.bar.short)
	}
	w.Select("R1", w.battery(t))
	w.typeAny("4")
	if w.card.shown() {
		t.Error("it opens for several parts")
	}
}

// The card stays beside its part and within the sheet.
func TestTheCardStaysBesideItsPart(t *testing.T) {
	w := newTestWindow(t)
	w.place('r', 12, 5)
	at := w.card.box.Position()
	w.surface.pan(fyne.NewDelta(30, 20))
	if got := w.card.box.Position().Subtract(at); got != fyne.NewPos(30, 20) {
		t.Errorf("it went by %v as the sheet went by (30, 20)", got)
	}
	w.surface.pan(fyne.NewDelta(-3000, 3000))
	least := fyne.CurrentApp().Driver().AbsolutePositionForObject(w.card.box)
	_, on := w.surface.fromWindow(least)
	_, all := w.surface.fromWindow(least.Add(w.card.box.Size()).SubtractXY(1, 1))
	if !on || !all {
		t.Errorf("it is at %v, %v large, on a sheet of %v", w.card.box.Position(), w.card.box.Size(), w.surface.Size())
	}
}

// The keys that lead to all fields lead there from the card, too.
func TestFromTheCardToThePanel(t *testing.T) {
	for _, name := range []fyne.KeyName{fyne.KeyTab, fyne.KeyF2} {
		w := newTestWindow(t)
		w.place('r', 12, 5)
		w.typeAny("47")
		w.keyAny(name)
		if e := w.inspector.firstEntry(); !w.hasFocus(e) || e.Text != "47" || w.card.shown() {
			t.Errorf("%s leads elsewhere, or the value is %q", name, e.Text)
		}
	}
	if w := newTestWindow(t); w.card.open() {
		t.Error("it opens for nothing")
	}
}
