package ui

import (
	"strings"
	"testing"
)

// What would drop what is in the hand waits, and says so; it changes nothing and
// tells of no change.
func TestWhatDropsWhatIsInTheHandWaits(t *testing.T) {
	for _, key := range []string{"?", "i", "k", "j", "delete", "fields", "duplicate", "renumber", "Align top edges", "block"} {
		w := newTestWindow(t)
		w.press("d")
		w.place('d', 12, 5) // an LED
		w.press("pick up", "right", "right")
		before := w.text(t)
		w.press(key)
		if !w.surface.holding() || w.modal() || w.text(t) != before || !strings.Contains(w.bar.short, "in the hand") {
			t.Errorf("%s: held %v, dialog %v, the bar says %q", key, w.surface.holding(), w.modal(), w.bar.short)
		}
		at := w.surface.cursor.at
		w.press("pick up")
		if got := w.doc.Diagram().Parts[0].At; got != at || w.text(t) == before {
			t.Errorf("%s: put down at %v, the cursor was at %v", key, got, at)
		}
	}
}

// A kind that cannot be given is not told as if it had been.
func TestNothingIsToldOfAKindThatDidNotChange(t *testing.T) {
	w := newTestWindow(t)
	w.press("d")
	w.place('d', 12, 5)
	w.press("pick up")
	w.changeKind(w.otherKinds()[0])
	if strings.Contains(w.bar.short, "takes it back") {
		t.Errorf("the bar says %q", w.bar.short)
	}
}

// A part that hangs has the name of one that was taken back, which was selected.
func TestWhatWasTakenBackIsNotSelected(t *testing.T) {
	w := newTestWindow(t)
	w.place('r', 12, 5)
	w.command("undo")
	w.press("r")
	if !w.doc.Selected().Empty() || w.whatHangs() != "resistor" {
		t.Errorf("selected is %v, on the pointer %q", w.doc.Selected(), w.whatHangs())
	}
}

// The key says why there is nothing for it to do.
func TestDeletingAndJoiningSaysWhatItNeeds(t *testing.T) {
	w := newTestWindow(t)
	w.place('q', 12, 5)
	w.press("j")
	if len(w.doc.Diagram().Parts) != 1 || !strings.Contains(w.bar.short, "two pins") {
		t.Errorf("%d parts, the bar says %q", len(w.doc.Diagram().Parts), w.bar.short)
	}
}

// The band at the top marks a drawing that is not saved as it is.
func TestTheBarMarksWhatIsNotSaved(t *testing.T) {
	w := newTestWindow(t)
	marked := func() bool { return strings.HasPrefix(w.bar.traced.Text, unsavedWords) }
	if marked() {
		t.Error("an empty sheet is marked")
	}
	w.place('r', 12, 5)
	if !marked() {
		t.Errorf("it says %q", w.bar.traced.Text)
	}
	w.command("undo")
	if marked() {
		t.Error("what was taken back is marked")
	}
	w.place('r', 12, 5)
	w.doc.Saved("/tmp/a.cglass")
	if marked() {
		t.Error("what is saved is marked")
	}
}
