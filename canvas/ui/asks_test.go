package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
)

// tapText taps on the line of the inspector that says text.
func tapText(t *testing.T, w *Window, text string) {
	t.Helper()
	var area *tapArea
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if a, ok := o.(*tapArea); ok && strings.Contains(words(a), text) {
			area = a // the innermost comes last
		}
	}
	if area == nil {
		t.Fatalf("nothing to tap says %q in %q", text, words(w.inspector.object))
	}
	test.Tap(area)
}

func TestFindingsSelectAndChooseTheMode(t *testing.T) {
	w := openLantern(t)
	w.SetMode("Off")
	said := words(w.inspector.object)
	if !strings.Contains(said, "Each of the 12 of D1 carries") {
		t.Fatalf("no finding: %q", said)
	}
	tapText(t, w, "Each of the 12 of D1 carries")
	if got := w.doc.selectedRefs(); len(got) != 1 || got[0] != "D1" || w.doc.Mode() != "White" {
		t.Errorf("selects %v in %s", got, w.doc.Mode())
	}
	if said := words(w.inspector.object); !strings.Contains(said, "The 12 of D1 share") {
		t.Errorf("the part's page does not say what it does: %q", said)
	}
}

func TestAFindingIsMutedWithAReason(t *testing.T) {
	w := openLantern(t)
	tapText(t, w, "Mute…")
	const reason = "it is meant so, for it was measured with another meter and the cells were fresh"
	w.inspector.page.fields[0].entry.SetText(reason)
	tapText(t, w, "Mute it")
	d := w.doc.Diagram()
	if len(d.Muted) != 1 || d.Muted[0].Reason != reason {
		t.Fatalf("muted %v", d.Muted)
	}
	if said := strings.Join(strings.Fields(words(w.inspector.object)), " "); !strings.Contains(said, "Muted: "+reason) {
		t.Errorf("the list does not say so: %q", said)
	}
	tapText(t, w, "Show it again")
	if n := len(w.doc.Diagram().Muted); n != 0 {
		t.Errorf("%d are muted still", n)
	}
	w.doc.Undo()
	w.doc.Undo()
	if n := len(w.doc.Diagram().Muted); n != 0 {
		t.Errorf("after undoing both %d are muted", n)
	}
}

func TestTopics(t *testing.T) {
	for _, tt := range []struct {
		part, ask string
		want      []string
	}{
		{"", "Compare the modes", []string{"Off", "White", "Amber", "Most heat", "Supply", "9 h 10 min"}},
		{"", "How long do the cells last?", []string{"3 × LR6 (alkaline)", "3 × R6 (zinc-carbon)", "Half its light", "HR6 (NiMH)", "times as bright"}},
		{"D1", "What sets its current?", []string{"What sets the current of D1?", "BT1", "voltage", "%"}},
	} {
		w := openLantern(t)
		w.SetMode("White")
		if tt.part != "" {
			w.Select(tt.part)
		}
		tapText(t, w, tt.ask)
		said := words(w.inspector.object)
		for _, text := range tt.want {
			if !strings.Contains(said, text) {
				t.Errorf("%s: %q is not said in %q", tt.ask, text, said)
			}
		}
		tapText(t, w, "Back")
		if said := words(w.inspector.object); !strings.Contains(said, tt.ask) {
			t.Errorf("%s: back leads to %q", tt.ask, said)
		}
	}
}

// Selecting something else leaves a topic; what the topic itself selects does
// not.
func TestATopicEndsWithTheSelection(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("D1")
	tapText(t, w, "What sets its current?")
	tapText(t, w, "Q1")
	if got := w.doc.selectedRefs(); len(got) != 1 || got[0] != "Q1" || w.inspector.topic == nil {
		t.Fatalf("selected %v, topic %v", got, w.inspector.topic)
	}
	w.Select("R1")
	if w.inspector.topic != nil || !strings.Contains(words(w.inspector.object), "R1 drops") {
		t.Errorf("the topic stays: %q", words(w.inspector.object))
	}
}

func TestAModeSetsWhatAChipTakes(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	before := w.doc.Result().Parts["IC1"].Pin("3").Amps
	f := w.inspector.fieldOf(t, "IC1 takes")
	w.focus(f.entry)
	f.entry.SetText("2 mA")
	w.toSheet()
	if got := w.doc.Diagram().Mode("White").Set["IC1.supply_current"]; got != "2 mA" {
		t.Fatalf("the mode sets %q", got)
	}
	near(t, "the chip takes more", w.doc.Result().Parts["IC1"].Pin("3").Amps-before, 2e-3-1e-6, 1e-3)
	w.SetMode("Off")
	near(t, "in another mode", w.doc.Result().Parts["IC1"].Pin("3").Amps, 1e-6, 1e-3)
	f = w.inspector.fieldOf(t, "IC1 takes")
	w.focus(f.entry)
	f.entry.SetText("a lot")
	w.toSheet()
	if got := w.doc.Diagram().Mode("Off").Set["IC1.supply_current"]; got != "" {
		t.Errorf("takes %q", got)
	}
}

// How long a battery lasts stays on a card while a drag leaves its current as it
// was, and goes as soon as that is another.
func TestRunTimesGoWithTheCurrentOfADrag(t *testing.T) {
	w := openLantern(t)
	w.SetMode("Amber")
	run := func() string {
		for _, c := range w.strip.cards {
			if c.face.name == "Amber" {
				return c.face.run
			}
		}
		return ""
	}
	before, p := run(), w.doc.Diagram().Part("R5").At
	if before == "" {
		t.Fatal("the card says nothing")
	}
	w.hold(float64(p.X), float64(p.Y), float64(p.X)+1, float64(p.Y))
	if !w.doc.underWay() || run() != before {
		t.Errorf("with its wires along the card says %q, said %q", run(), before)
	}
	w.press("v")
	if run() != "" {
		t.Errorf("with another current the card says %q", run())
	}
	w.press("v")
	if run() != before {
		t.Errorf("with the wires back the card says %q, said %q", run(), before)
	}
}

// While a part is dragged nothing is reviewed anew; once it lies it is.
func TestNothingIsStudiedWhileTheHandHoldsSomething(t *testing.T) {
	w := openLantern(t)
	before, _ := w.inspector.reviewOf()
	p := w.doc.Diagram().Part("S1").At
	w.hold(float64(p.X), float64(p.Y), float64(p.X)-1, float64(p.Y))
	if now, _ := w.inspector.reviewOf(); !w.doc.underWay() || now != before {
		t.Errorf("under way %v, reviewed anew %v", w.doc.underWay(), now != before)
	}
	w.surface.MouseUp(mouse(w.at(float64(p.X)-1, float64(p.Y)), desktop.MouseButtonPrimary))
	w.doc.Select()
	if now, _ := w.inspector.reviewOf(); w.doc.underWay() || now == before {
		t.Errorf("under way %v, reviewed anew %v", w.doc.underWay(), now != before)
	}
}
