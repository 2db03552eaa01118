package ui

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model/file"
)

// twoSteps is a lamp behind a high-side transistor that is driven off and on,
// and a second variation kept beside it.
const twoSteps = `{"format": "copperglass", "version": 1, "title": "A lesson", "parts": [
	{"ref": "G1", "kind": "supply", "at": [0, 10], "value": "4.5 V", "tags": {"+": "rail", "-": "GND"}},
	{"ref": "G2", "kind": "supply", "at": [8, 15], "value": "4.5 V", "tags": {"+": "drive", "-": "GND"}},
	{"ref": "R1", "kind": "resistor", "at": [8, 9], "value": "470", "tags": {"1": "base", "2": "drive"}},
	{"ref": "Q1", "kind": "pnp", "at": [16, 6], "value": "2N2907A", "tags": {"E": "rail", "B": "base", "C": "out"}},
	{"ref": "E1", "kind": "lamp", "at": [16, 14], "value": "4.5 V 0.2 A", "tags": {"1": "out", "2": "GND"}}],
	"what_ifs": [{"name": "half the drive", "set": {"G2.voltage": 2.25}}],
	"story": [
		{"title": "Off", "set": {"G2.voltage": 4.5}, "lit": ["Q1"], "text": "The drive is at {G2.voltage}."},
		{"title": "On", "set": {"G2.voltage": 0}, "lit": ["Q1", "E1"], "text": "Now it is at {G2.voltage}."}]}`

func openStory(t *testing.T) *Window {
	t.Helper()
	d, err := file.Decode(strings.NewReader(twoSteps))
	if err != nil {
		t.Fatal(err)
	}
	w := newTestWindow(t)
	w.doc.Replace(d, "")
	w.paint()
	return w
}

func (w *Window) voltageOf(ref string) float64 {
	values, _ := w.doc.Shown().Resolve(w.doc.Shown().Part(ref), nil)
	return values.Num("voltage")
}

func TestWalkingThroughAStory(t *testing.T) {
	w := openStory(t)
	tapText(t, w, "Walk through the story")
	if said := words(w.inspector.object); !strings.Contains(said, "Step 1 of 2") || !strings.Contains(said, "The drive is at 4.50 V.") {
		t.Fatalf("the first step says %q", said)
	}
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	said := words(w.inspector.object)
	if !strings.Contains(said, "On") || !strings.Contains(said, "Now it is at 0 V.") {
		t.Errorf("the second step says %q", said)
	}
	if got := w.litRefs(); got != "E1 Q1" {
		t.Errorf("it brings out %s", got)
	}
	if w.voltageOf("G2") != 0 || !(math.Abs(w.current("E1")) > 0.1) {
		t.Errorf("on the sheet the drive has %v V and the lamp %v A", w.voltageOf("G2"), w.current("E1"))
	}
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight}) // there is no third
	tapText(t, w, "Previous")
	if said := words(w.inspector.object); !strings.Contains(said, "Step 1 of 2") {
		t.Errorf("back at the first step it says %q", said)
	}
	tapText(t, w, "Next")
	at := w.doc.Diagram().Part("Q1").At
	tapText(t, w, "Back")
	if w.doc.Previewing() || w.voltageOf("G2") != 4.5 || w.litRefs() != "" || w.doc.Diagram().Part("Q1").At != at {
		t.Errorf("after it: previewing %v, drive %v V, lit %s", w.doc.Previewing(), w.voltageOf("G2"), w.litRefs())
	}
	if w.doc.history.CanUndo() != "" {
		t.Errorf("walking leaves %q to undo", w.doc.history.CanUndo())
	}
}

// While one explains, what a step sets can be turned: the sheet and what is said
// of the transistor follow, and the next step puts it back.
func TestTurningWhatAStepSets(t *testing.T) {
	w := openStory(t)
	tapText(t, w, "Walk through the story")
	tapText(t, w, "Next")
	d := dialOf(t, w)
	before := d.Value
	d.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	turned := w.voltageOf("G2")
	if !(turned > 0) || !(d.Value > before) || dialOf(t, w) != d {
		t.Fatalf("the drive is at %v V, the dial at %v after %v", turned, d.Value, before)
	}
	if said := w.said(); !strings.Contains(said, "Q1 is saturated") || !strings.Contains(said, "Put it back") {
		t.Errorf("it says %q", said)
	}
	if got := w.inspector.tried(); !strings.HasPrefix(got, "step 2: On, with G2 voltage") || !strings.HasPrefix(w.inspector.says(), "Q1 is saturated") {
		t.Errorf("a picture of it would say %q, %q", got, w.inspector.says())
	}
	tapText(t, w, "Put it back")
	if got := w.voltageOf("G2"); got != 0 || d.Value != before {
		t.Errorf("put back, the drive is at %v V", got)
	}
	d.SetValue(0.5)
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
	w.surface.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if got := w.voltageOf("G2"); got != 0 || w.doc.Diagram().Part("G2").Value != "4.5 V" || w.doc.history.CanUndo() != "" {
		t.Errorf("after the next step and back the drive is at %v V", got)
	}
}

func TestWritingAStory(t *testing.T) {
	w := openStory(t)
	tapText(t, w, "Walk through the story")
	tapText(t, w, "Next")
	tapText(t, w, "Edit this step")
	f := w.inspector.fieldOf(t, "Title")
	w.focus(f.entry)
	f.entry.SetText("Fully on")
	w.doc.Select("R1")
	if w.inspector.topic == nil {
		t.Fatal("selecting a part leaves the editor")
	}
	tapText(t, w, "Bring out what is selected")
	s := w.doc.Diagram().Story[1]
	if s.Title != "Fully on" || strings.Join(s.Lit, " ") != "R1" {
		t.Errorf("the step is %+v", s)
	}
	if w.voltageOf("G2") != 0 {
		t.Errorf("after an edit the sheet shows a drive of %v V", w.voltageOf("G2"))
	}
	v := w.inspector.fieldOf(t, "G2 voltage")
	w.focus(v.entry)
	v.entry.SetText("1 V")
	v.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if w.voltageOf("G2") != 1 {
		t.Errorf("the step's value on the sheet is %v V", w.voltageOf("G2"))
	}
	tapText(t, w, "Move it earlier")
	tapText(t, w, "Add a step")
	d := w.doc.Diagram()
	if len(d.Story) != 3 || d.Story[0].Title != "Fully on" || d.Story[1].Title != "Off" {
		t.Fatalf("the story has %d steps, first %q", len(d.Story), d.Story[0].Title)
	}
	if x, _ := d.Story[2].Set["G2.voltage"].Num(); x != 1 || strings.Join(d.Story[2].Lit, " ") != "R1" {
		t.Errorf("the new step is %+v", d.Story[2])
	}
	tapText(t, w, "Remove the step")
	if n := len(w.doc.Diagram().Story); n != 2 {
		t.Errorf("%d steps are left", n)
	}
	if p := w.doc.Diagram().Part("G2"); p.Value != "4.5 V" {
		t.Errorf("writing a story changed the drawing to %q", p.Value)
	}
}

// What is exported while a what-if or a step is shown is what is seen: its
// figures, what they were, what it is called and what is said of it.
func TestExportingWhatIsTried(t *testing.T) {
	w := openStory(t)
	own := voltsOf(w, "Q1", "B")
	texts := func() string {
		return strings.Join(drawnTexts(w.picture(exportChoice{scale: 1, caption: true, explain: true})), "\n")
	}
	tapText(t, w, "half the drive")
	if said, now := texts(), voltsOf(w, "Q1", "B"); now == own || !strings.Contains(said, now) || !strings.Contains(said, own) ||
		!strings.Contains(said, "· what if: half the drive") || !strings.Contains(said, "2.25 V\n4.5 V") {
		t.Errorf("exported are %q, want %s beside %s, and 2.25 V beside 4.5 V", said, now, own)
	}
	tapText(t, w, "Save the table")
	path := filepath.Join(t.TempDir(), "sides.tsv")
	w.writePath(t, path)
	if data, err := os.ReadFile(path); err != nil || !strings.Contains(string(data), "as drawn\twhat if\tchange\n") || strings.Count(string(data), "\n") < 5 {
		t.Errorf("the table is %q, %v", data, err)
	}
	tapText(t, w, "Back")
	tapText(t, w, "Walk through the story")
	tapText(t, w, "Next")
	if said := texts(); !strings.Contains(said, "· step 2: On") || !strings.Contains(said, "Now it is at 0 V.") {
		t.Errorf("of a step, exported are %q", said)
	}
	tapText(t, w, "Back")
	if said := texts(); strings.Contains(said, "step 2") || !strings.Contains(said, own) {
		t.Errorf("of the drawing, exported are %q", said)
	}
}

// Until somebody names it, a what-if is called by what it changes.
func TestAWhatIfIsNamedByItsChange(t *testing.T) {
	w := openStory(t)
	tapText(t, w, "Add a what-if")
	f := w.win.Canvas().Focused().(*finderEntry)
	f.SetText("R1 resistance")
	f.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	value, ok := w.win.Canvas().Focused().(*entry)
	if !ok || value != w.inspector.fieldOf(t, "R1 resistance").entry {
		t.Fatalf("%T has the keyboard, want the value", w.win.Canvas().Focused())
	}
	name := func() string { return w.doc.Diagram().WhatIfs[1].Name }
	w.enter(w.inspector.fieldOf(t, "R1 resistance"), "1k")
	if got := name(); got != "R1 resistance 1 kΩ" {
		t.Errorf("it is called %q", got)
	}
	w.enter(w.inspector.fieldOf(t, "Name"), "gentle")
	w.enter(w.inspector.fieldOf(t, "R1 resistance"), "2k")
	if got := name(); got != "gentle" {
		t.Errorf("once named, it is called %q", got)
	}
}

func TestWhatIfs(t *testing.T) {
	w := openStory(t)
	tapText(t, w, "half the drive")
	if w.voltageOf("G2") != 2.25 {
		t.Errorf("the sheet shows a drive of %v V", w.voltageOf("G2"))
	}
	said := words(w.inspector.object)
	for _, text := range []string{"drawn: 4.5 V", "as drawn", "what if", "E1 power", "Q1 C current", "E1 current", "change"} {
		if !strings.Contains(strings.Join(strings.Fields(said), " "), text) {
			t.Errorf("%q is not said in %q", text, said)
		}
	}
	tapText(t, w, "Copy as text")
	if got := w.app.Clipboard().Content(); !strings.Contains(got, "G2 voltage 2.25 V") || !strings.Contains(got, "base\t") {
		t.Errorf("the clipboard has %q", got)
	}
	f := w.inspector.fieldOf(t, "Name")
	w.focus(f.entry)
	f.entry.SetText("weak drive")
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := w.doc.Diagram().WhatIfs[0].Name; got != "weak drive" || w.voltageOf("G2") != 2.25 {
		t.Errorf("renamed %q, the sheet shows %v V", got, w.voltageOf("G2"))
	}
	tapText(t, w, "Apply")
	if p := w.doc.Diagram().Part("G2"); p.Value != "2.25 V" || w.doc.Previewing() {
		t.Errorf("applied: %q, previewing %v", p.Value, w.doc.Previewing())
	}
	tapText(t, w, "weak drive")
	tapText(t, w, "Remove")
	if n := len(w.doc.Diagram().WhatIfs); n != 0 {
		t.Errorf("%d what-ifs are left", n)
	}
}
