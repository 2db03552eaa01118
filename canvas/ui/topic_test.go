package ui

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/analysis"
	"copperglass/analysis/whatif"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Escape closes whatever is asked, and so does another drawing.
func TestEveryTopicCloses(t *testing.T) {
	for _, c := range []struct{ part, ask string }{
		{"", "Compare the modes"}, {"", "How long do the cells last?"}, {"", "What sets how long it lasts?"}, {"", "Write an explanation in steps"},
		{"D1", "What sets its current?"}, {"D1", "Which R4 for a wanted current?"}, {"R4", "Turn it as a knob"},
	} {
		w := openLantern(t)
		w.SetMode("White")
		if c.part != "" {
			w.Select(c.part)
		}
		chosen := strings.Join(w.doc.selectedRefs(), " ")
		tapText(t, w, c.ask)
		if w.inspector.topic == nil {
			t.Fatalf("%s opens nothing", c.ask)
		}
		w.toSheet()
		w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
		if w.inspector.topic != nil || strings.Join(w.doc.selectedRefs(), " ") != chosen || !strings.Contains(w.said(), c.ask) {
			t.Errorf("%s: after Escape the panel says %q, selected are %v", c.ask, w.said(), w.doc.selectedRefs())
		}
		tapText(t, w, c.ask)
		w.doc.Replace(&model.Diagram{}, "")
		if w.inspector.topic != nil || w.inspector.page == nil || w.doc.Previewing() || len(w.doc.lit()) > 0 {
			t.Errorf("%s: it stays over a new drawing: %q", c.ask, w.said())
		}
	}
}

// What is begun on the sheet is dropped before the topic is.
func TestEscapeDropsFirstWhatIsBegun(t *testing.T) {
	w := openLantern(t)
	tapText(t, w, "Compare the modes")
	w.press("r")
	if !w.doc.editor.Busy() && w.doc.editor.Placing() == nil {
		t.Fatal("nothing is in the hand")
	}
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.inspector.topic == nil || w.doc.editor.Placing() != nil {
		t.Error("Escape closes the topic and keeps the part in the hand")
	}
}

// A bare number is read in the unit of the figure that there is: 30 mA flow.
func TestABareNumberThatIsWanted(t *testing.T) {
	t.Parallel()
	amps := sought{of: "D1.A.amps", share: 1, unit: quantity.Ampere}
	for _, c := range []struct {
		text string
		now  float64
		want float64
		said string
	}{
		{"20", 0.0299, 0.020, "read as 20 mA"}, {"0.02", 0.0299, 0.020, ""}, {"20 mA", 0.0299, 0.020, ""}, {"20m", 0.0299, 0.020, ""},
		{"20", 1e-13, 0.020, "read as 20 mA"}, {"5", 4.2, 5, ""}, {"300", 250e-6, 300e-6, "read as 300 µA"},
	} {
		a := aiming{of: amps}
		if err := a.write(c.text, c.now); err != nil || math.Abs(a.want-c.want) > 1e-9*c.want || a.note() != c.said {
			t.Errorf("%q beside %v A: %v A, %q, %v", c.text, c.now, a.want, a.note(), err)
		}
	}
}

// What is used is an edit that can be undone; what is only tried is lost, and
// that is said.
func TestUsingAndTryingAValue(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("D1")
	tapText(t, w, "Which R4 for a wanted current?")
	w.inspector.fieldOf(t, "Wanted").entry.SetText("20")
	if said := w.said(); !strings.Contains(said, "read as 20 mA 1.8 Ω (E24) gives 20.3 mA each") {
		t.Fatalf("says %q", said)
	}
	tapText(t, w, "Try it")
	if !w.doc.Previewing() || w.doc.Diagram().Part("R4").Value == "1.8 Ω" {
		t.Fatal("to try is to change")
	}
	w.toSheet()
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if want := "R4 is as drawn again, 0 Ω: 1.8 Ω was only tried"; w.bar.news != want || w.doc.Previewing() {
		t.Errorf("after Escape the bar says %q, want %q", w.bar.news, want)
	}
	tapText(t, w, "Which R4 for a wanted current?")
	w.inspector.fieldOf(t, "Wanted").entry.SetText("20")
	tapText(t, w, "Use it")
	w.toSheet()
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	values := func() float64 {
		v, _ := w.doc.Diagram().Resolve(w.doc.Diagram().Part("R4"), nil)
		return v.Num("resistance")
	}
	if values() != 1.8 || w.doc.Previewing() || w.inspector.topic != nil {
		t.Errorf("used, R4 is %v Ω", values())
	}
	w.doc.Undo()
	if values() != 0 {
		t.Errorf("undone, R4 is %v Ω", values())
	}
}

// A what-if tells all modes, what is over its rating, and first what the circuit
// is for.
func TestAWhatIfAnswersWhatPeopleAsk(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.inspector.addWhatIf(&model.WhatIf{Name: "a real resistor", Set: model.Params{"R4.resistance": model.Number(4.7)}})
	said := w.said()
	last := -1
	for _, text := range []string{"In each mode", "Off", "none", "White", "363 mA 165 mA −54.4 %", "Over their ratings",
		"In White, D1: 13.4 mA each, no longer over its limit of 25 mA (29.9 mA as drawn).", "Side by side in White", "D1, each 29.9 mA 13.4 mA −55.1 %", "BT1 current", "R4 power", "at D1’s A"} {
		i := strings.Index(said, text)
		if i <= last {
			t.Errorf("%q is not said, or too early, in %q", text, said)
		}
		last = max(last, i)
	}
	w.SetMode("Off")
	if said := w.said(); !strings.Contains(said, "It changes no voltage, current or power by as much as 0.1 % in Off.") || !strings.Contains(said, "363 mA 165 mA") {
		t.Errorf("in Off it says %q", said)
	}
}

// The window and the program without one say the same of what sets a current.
func TestTheSentenceOfCausesIsOne(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("D1")
	tapText(t, w, "What sets its current?")
	c, err := whatif.Explain(t.Context(), w.doc.Diagram(), analysis.Options{Mode: "White"}, "D1.A.amps")
	if err != nil || !strings.Contains(c.Sentence, "Limited by") || !strings.Contains(w.said(), curly(c.Sentence)) {
		t.Errorf("%v: %q is not said in %q", err, c.Sentence, w.said())
	}
	if strings.Contains(w.said(), "emission") || !strings.Contains(w.said(), "forward voltage −") {
		t.Errorf("the constants of a curve are told: %q", w.said())
	}
	tapText(t, w, "the constants of its curve")
	if !strings.Contains(w.said(), "forward emission −") {
		t.Errorf("opened, they are not told: %q", w.said())
	}
}

// A value is found by what people call it.
func TestALinkIsFound(t *testing.T) {
	w := openLantern(t)
	for _, l := range settable(w.doc.Diagram(), nil) {
		if isLink := l.title == "R4 resistance"; (l.rank([]string{"link"}) < notFound) != isLink {
			t.Errorf("“link” finds %s: %v", l.title, !isLink)
		}
	}
}

// The suggested name of a picture has the mode and what is tried.
func TestTheNameOfAPicture(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("R4")
	tapText(t, w, "Turn it as a knob")
	w.inspector.fieldOf(t, "Or type it").entry.SetText("1.8")
	if got := w.pictureName(exportChoice{svg: true}); got != "Tent lantern, White, with R4 resistance 1.8 Ω.svg" {
		t.Errorf("it is %q", got)
	}
}
