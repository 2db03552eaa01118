package ui

import (
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// The button for the list of what a value may be stands in its field, and the
// keys go there behind the field.
func TestTheListOfValuesIsInTheField(t *testing.T) {
	w := openLantern(t)
	w.Select("Q1")
	f := w.inspector.fieldOf(t, "Value")
	list := focusables(w.inspector.body)
	at := slices.Index(list, fyne.Focusable(f.entry))
	if at < 0 || at+1 == len(list) {
		t.Fatal("nothing comes behind the field")
	}
	b, is := list[at+1].(*button)
	if !is || !slices.Contains(test.LaidOutObjects(f.entry), fyne.CanvasObject(b)) {
		t.Fatalf("behind it comes %T", list[at+1])
	}
	test.Tap(b)
	if len(w.asking) != 1 {
		t.Error("the button opens no list")
	}
}

// A note of several lines is seen whole.
func TestANoteHasTheRoomItTakes(t *testing.T) {
	w := openLantern(t)
	w.Select("D1")
	f := w.inspector.fieldOf(t, "Note")
	short := f.entry.MinSize().Height
	f.entry.SetText("twelve in parallel, without resistors of their own, behind a diffuser that is glued in and better left alone")
	if got := f.entry.MinSize().Height; got <= short {
		t.Errorf("it is %v high, after %v", got, short)
	}
	f.entry.SetText("twelve")
	if got := f.entry.MinSize().Height; got > short {
		t.Errorf("with one word it is %v high", got)
	}
}
