package ui

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"copperglass/analysis/review"
)

// What holds in the shown mode is listed first, with its figures there, and alone
// has flags, of facts that of the link; each mode's card tells how many cautions hold in it.
func TestFindingsOfTheShownModeFirst(t *testing.T) {
	w := openLantern(t)
	for _, tt := range []struct{ mode, here, elsewhere string }{
		{"Off", "R3 feeds IC1", "Each of the 12 of D1 carries"},
		{"White", "Each of the 12 of D1 carries", "D2: 4 LEDs share"},
		{"Amber", "D2: 4 LEDs share", "Each of the 12 of D1 carries"},
	} {
		w.SetMode(tt.mode)
		said := words(w.inspector.object)
		head, here := strings.Index(said, "Here, in "+tt.mode), strings.Index(said, tt.here)
		others, elsewhere := strings.Index(said, "In other modes"), strings.Index(said, tt.elsewhere)
		if !(0 <= head && head < here && here < others && others < elsewhere) {
			t.Errorf("in %s it says %q", tt.mode, said)
		}
	}
	all, err := review.Run(context.Background(), w.doc.Diagram(), review.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, mode := range []string{"Off", "White", "Amber"} {
		var numbers []string
		grave := 0
		for i, f := range all.Findings {
			if _, here := f.In(mode); !here {
				continue
			}
			if f.Severity != review.Fact || f.Rule == "link-for-resistor" {
				numbers = append(numbers, fmt.Sprint(i+1))
			}
			if f.Severity == review.Caution {
				grave++
			}
		}
		want, cautions := strings.Join(numbers, " "), map[int]string{0: "", 1: "1 caution"}[grave]
		if grave > 1 {
			cautions = fmt.Sprint(grave, " cautions")
		}
		if want == "" && mode != "Off" {
			t.Errorf("nothing is found in %s", mode)
		}
		w.SetMode(mode)
		w.paint()
		var flagged []string
		for _, f := range w.surface.scene.Flags {
			if f.Shown {
				flagged = append(flagged, fmt.Sprint(f.Number))
			}
		}
		if got := strings.Join(flagged, " "); got != want {
			t.Errorf("in %s the sheet has the flags %q, want %q", mode, got, want)
		}
		for _, c := range w.strip.cards {
			if c.face.name == mode && (c.warning.Text != cautions || c.face.warning != cautions) {
				t.Errorf("the card of %s says %q", mode, c.warning.Text)
			}
		}
	}
}

// A finding that holds in the shown mode leaves it when it is clicked; another
// brings its own.
func TestAFindingBringsItsMode(t *testing.T) {
	w := openLantern(t)
	w.SetMode("Off")
	tapText(t, w, "R3 feeds IC1")
	if w.doc.Mode() != "Off" {
		t.Errorf("R3's finding, which holds in any mode, brings %s", w.doc.Mode())
	}
	w.doc.Select()
	tapText(t, w, "Each of the 12 of D1 carries")
	if w.doc.Mode() != "White" {
		t.Errorf("D1's finding brings %s", w.doc.Mode())
	}
}

// The reason for muting a finding is typed at once: nothing of it runs as keys of
// the sheet.
func TestTheReasonIsTypedAtOnce(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	parts := len(w.doc.Diagram().Parts)
	tapText(t, w, "Mute…")
	e, ok := w.win.Canvas().Focused().(*entry)
	if !ok || e != w.inspector.fieldOf(t, "Reason").entry {
		t.Fatalf("%T has the keyboard", w.win.Canvas().Focused())
	}
	test.Type(e, "read twice")
	tapText(t, w, "Mute it")
	d := w.doc.Diagram()
	if len(d.Muted) != 1 || d.Muted[0].Reason != "read twice" || len(d.Parts) != parts || w.doc.editor.Placing() != nil {
		t.Errorf("muted are %+v", d.Muted)
	}
}

// A mode that is added while findings are shown has its own among them.
func TestFindingsOfANewMode(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	words(w.inspector.object)
	w.addMode()
	mode := w.doc.Mode()
	said := words(w.inspector.object)
	head, others := strings.Index(said, "Here, in "+mode), strings.Index(said, "In other modes")
	for _, f := range []string{"Each of the 12 of D1 carries", "12 LEDs (D1) shine at 29.9 mA each"} {
		if at := strings.Index(said, f); !(0 <= head && head < at && at < others) {
			t.Errorf("in %s %q is at %d: %q", mode, f, at, said)
		}
	}
}
