package ui

import (
	"encoding/json"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// strikeKeys types as the driver does: of each key first the key, then its sign.
func (w *Window) strikeKeys(text string) {
	for _, r := range text {
		w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyName(strings.ToUpper(string(r)))})
		w.surface.TypedRune(r)
	}
}

func TestTypingACountMakesAStack(t *testing.T) {
	for _, typed := range []string{"x12", "X12", "×12", "*12"} {
		w := drawLoop(t)
		w.Select("R1")
		parts := len(w.doc.Diagram().Parts)
		w.strikeKeys(typed)
		if p := w.doc.Diagram().Part("R1"); p.Count != 12 || w.doc.editor.Busy() || len(w.doc.Diagram().Parts) != parts {
			t.Errorf("%s: a stack of %d, still at something: %v", typed, p.Count, w.doc.editor.Busy())
		}
		w.command("undo")
		if p := w.doc.Diagram().Part("R1"); p.Count != 0 {
			t.Errorf("%s: one undo leaves a stack of %d", typed, p.Count)
		}
	}
	w := drawLoop(t)
	w.strikeKeys("x1")
	if k := w.doc.editor.Placing(); k == nil || k.Name != "tag" {
		t.Errorf("with nothing selected x hangs %v", k)
	}
	w = drawLoop(t)
	w.Select("R1")
	w.strikeKeys("x0")
	if k := w.doc.editor.Placing(); k == nil || k.Name != "ground" || w.doc.Diagram().Part("R1").Count != 0 {
		t.Errorf("x and 0 hang %v", k)
	}
}

// What is copied is a drawing file; what is pasted has to be one.
func TestTheClipboardHoldsADrawingFile(t *testing.T) {
	w := drawLoop(t)
	w.command("all")
	w.command("copy")
	text := w.app.Clipboard().Content()
	var keys map[string]any
	if err := json.Unmarshal([]byte(text), &keys); err != nil || keys["format"] == nil || keys["version"] == nil {
		t.Errorf("the clipboard has %v, %v: %.80s", keys["format"], keys["version"], text)
	}
	d, err := file.Decode(strings.NewReader(text))
	if err != nil || len(d.Parts) != len(w.doc.Diagram().Parts) || len(d.Wires) != len(w.doc.Diagram().Wires) {
		t.Errorf("read again it is %+v, %v", d, err)
	}
	before := w.doc.history.Revision()
	for _, foreign := range []string{"R1 1k", "{}", `{"format":"other"}`, "{", strings.Repeat("[", 100000)} {
		w.asking = nil
		w.app.Clipboard().SetContent(foreign)
		w.command("paste")
		if len(w.asking) != 1 || w.doc.history.Revision() != before || w.doc.editor.Busy() {
			t.Fatalf("%.20s: %d dialogs, at something: %v", foreign, len(w.asking), w.doc.editor.Busy())
		}
		w.answerAll()
	}
}

// answerAll closes what is asked.
func (w *Window) answerAll() {
	for _, o := range w.win.Canvas().Overlays().List() {
		w.win.Canvas().Overlays().Remove(o)
	}
}

// A part between two windows goes by the clipboard, under a name that is free.
func TestCutGoesAcrossWindows(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.command("cut")
	if w.doc.Diagram().Part("R1") != nil {
		t.Fatal("R1 is still there")
	}
	other := drawLoop(t)
	other.app.Clipboard().SetContent(w.app.Clipboard().Content())
	other.surface.MouseMoved(mouse(other.at(30, 20), 0))
	other.command("paste")
	other.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if p := other.doc.Diagram().Part("R2"); p == nil || p.Value != other.doc.Diagram().Part("R1").Value {
		t.Errorf("pasted is %+v", p)
	}
}

// Rings and broken strokes stand on the sheet before the button is let go, in
// both themes.
func TestWhatAGestureDoesIsMarked(t *testing.T) {
	for _, theme := range []string{Light, Dark} {
		w := newTestWindow(t)
		w.settings.theme = theme
		w.program.redress()
		f := model.NewDraft(&model.Diagram{})
		f.AddWire(&model.Wire{Points: []geom.Point{{}, {X: 10}}})
		w.doc.Replace(f.Diagram(), "")
		w.typeOnSheet("r")
		w.surface.MouseMoved(mouse(w.at(5, 0), 0))
		rings, strokes := 0, 0
		for _, i := range w.surface.overlay() {
			p, ok := i.(*canvas.Path)
			switch {
			case ok && p.Stroke == w.look.Flag:
				strokes++
			case ok && p.Stroke == w.look.Accent && len(p.Dash) == 0 && p.Bounds().Width() < 2*canvas.Grid:
				rings++
			}
		}
		if rings != 2 || strokes != 1 {
			t.Errorf("%s: %d rings and %d strokes", theme, rings, strokes)
		}
	}
}

// What is pasted can be turned before it is set down.
func TestPastedTurns(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.command("copy")
	w.Select()
	w.surface.MouseMoved(mouse(w.at(30, 20), 0))
	w.command("paste")
	w.typeOnSheet(".")
	w.click(30, 20)
	if p := w.doc.Diagram().Part("R2"); p == nil || p.Orient.Turn != 90 || p.At != geom.Pt(30, 20) {
		t.Errorf("pasted is %+v", p)
	}
}

// By the keys alone what is pasted goes where the arrows bring it.
func TestPastedByKeys(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.command("copy")
	w.surface.MouseMoved(mouse(w.at(30, 20), 0))
	w.command("paste")
	for _, k := range []fyne.KeyName{fyne.KeyRight, fyne.KeyDown, fyne.KeyDown, fyne.KeyReturn} {
		w.surface.TypedKey(&fyne.KeyEvent{Name: k})
	}
	if p := w.doc.Diagram().Part("R2"); p == nil || p.At != geom.Pt(31, 22) {
		t.Errorf("pasted is %+v", p)
	}
}

func TestChooseKind(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.command("change kind")
	for _, r := range "inductor" {
		w.win.Canvas().Focused().TypedRune(r)
	}
	w.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if p := w.doc.Diagram().Part("L1"); p == nil || p.Kind != "inductor" || !w.doc.Selected().Parts["L1"] {
		t.Errorf("R1 became %+v, selected is %v", p, w.doc.Selected().Parts)
	}
}

func TestDeleteAndJoinByKey(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.typeOnSheet("j")
	if nets := net.Build(w.doc.Diagram()).Nets; len(nets) != 1 {
		t.Errorf("there are %d nets: what the resistor lay between is not joined", len(nets))
	}
}
