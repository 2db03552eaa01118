package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

// A part is found by its name, its kind, its value or its marking, and is then
// selected and seen.
func TestAPartIsFound(t *testing.T) {
	for text, want := range map[string]string{"q2": "Q2", "chip": "IC1", "680": "R1", "white led": "D1", "capacitor": "C1"} {
		w := openLantern(t)
		w.surface.Zoom(6)
		w.command("find")
		f := w.foundIn(t)
		f.entry.SetText(text)
		f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		if got := w.doc.selectedRefs(); len(got) != 1 || got[0] != want {
			t.Errorf("%q finds %v, want %s", text, got, want)
			continue
		}
		if at := w.surface.here(); w.modal() || !w.surface.visible().Contains(at) {
			t.Errorf("%q: %s at %v is not in view", text, want, at)
		}
	}
}

// People look for what can be done by words of their own.
func TestCommandsAreFoundByOtherWords(t *testing.T) {
	for text, want := range map[string]string{
		"nudge": "Cursor or selection", "leave wires": "Drag without", "select all of the net": "Select the whole net",
		"segment": "Draw wires", "add to selection": "Add to what is selected", "pan": "Zoom to fit", "rotate": "Turn", "flip": "Mirror",
	} {
		w := drawLoop(t)
		w.command("commands")
		f := w.foundIn(t)
		f.entry.SetText(text)
		found := false
		for _, line := range f.shown[:min(len(f.shown), 6)] {
			found = found || strings.HasPrefix(line.title, want)
		}
		if !found {
			t.Errorf("%q does not find %q among the first", text, want)
		}
	}
}
