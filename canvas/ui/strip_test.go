package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model"
)

// addsSeen is how many ways to add a mode can be seen at once.
func (s *strip) addsSeen() int { return strings.Count(words(s.object), addWords) }

func TestOneWayToAddAModeIsInView(t *testing.T) {
	w := openLantern(t)
	for _, size := range []fyne.Size{{Width: 1920, Height: 1080}, {Width: 1440, Height: 900}, {Width: 1000, Height: 640}} {
		w.win.Resize(size)
		for len(w.doc.Diagram().Modes) > 0 {
			if err := w.doc.removeMode(w.doc.Diagram().Modes[0].Name); err != nil {
				t.Fatal(err)
			}
		}
		for n := range 9 {
			if got := w.strip.addsSeen(); got != 1 {
				t.Errorf("%v, %d modes: %q is there %d times", size, n, addWords, got)
			}
			if err := w.doc.addMode(); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestALongNoteOfAModeTakesTwoLines(t *testing.T) {
	const note = "the switch pulls the base below the emitter: it saturates and the lamp lights"
	w := newTestWindow(t)
	if err := w.doc.Edit("modes", "", func(f *model.Draft) {
		f.AddMode(&model.Mode{Name: "Short", Note: "nothing"})
		f.AddMode(&model.Mode{Name: "Long", Note: note})
	}); err != nil {
		t.Fatal(err)
	}
	short, long := w.strip.cards[0], w.strip.cards[1]
	if got := strings.TrimSpace(long.note.Text + " " + long.more.Text); got != note {
		t.Errorf("the card says %q", got)
	}
	if long.more.Text == "" || long.note.Text == "" {
		t.Errorf("it says %q and %q", long.note.Text, long.more.Text)
	}
	if cut := outside(long); len(cut) > 0 {
		t.Errorf("on the card %q", cut)
	}
	if short.note.Position() != long.note.Position() || short.run.Position() != long.run.Position() {
		t.Error("the lines of the two cards are not level")
	}
	if err := w.doc.noteMode("Long", "nothing either"); err != nil {
		t.Fatal(err)
	}
	if long.more.Text != "" || long.note.Position().Y <= grown(29) {
		t.Errorf("with a short note it still says %q at %v", long.more.Text, long.note.Position())
	}
}

// The marks say which mode they tell from.
func TestMarksSayWhatTheyTellFrom(t *testing.T) {
	w := openLantern(t)
	w.SetMode("Off")
	w.SetMode("Amber")
	w.command("show changes")
	if got := w.strip.marked.Text; !strings.Contains(got, "in Off") {
		t.Errorf("it says %q", got)
	}
}
