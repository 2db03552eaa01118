package ui

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/model"
	"copperglass/model/file"
)

// litRefs are the parts that stand out.
func (w *Window) litRefs() string {
	return strings.Join(slices.Sorted(maps.Keys(w.doc.lit())), " ")
}

// flagNumbers are the numbers that flags on the sheet show.
func (w *Window) flagNumbers() []int {
	w.paint()
	var list []int
	for _, f := range w.surface.scene.Flags {
		if f.Shown {
			list = append(list, f.Number)
		}
	}
	return list
}

// sheetSays are the texts on the sheet.
func (w *Window) sheetSays() string {
	w.paint()
	said := ""
	for _, it := range w.surface.scene.Picture.Items {
		if text, ok := it.(*canvas.Text); ok {
			said += text.String + "\n"
		}
	}
	return said
}

// The flags on the sheet have the numbers of the rows in the list; a finding that
// is muted, or does not hold in the shown mode, has none.
func TestFlagsMatchTheList(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	r, ok := w.inspector.reviewOf()
	if !ok {
		t.Fatal("there is no review")
	}
	var flagged, here []int
	for i, f := range r.Findings {
		if _, holds := f.In("White"); holds {
			here = append(here, i+1)
		}
		if got := w.inspector.numberOf(f); got != i+1 {
			t.Errorf("finding %d has number %d in the list", i, got)
		}
		if (f.Severity != "fact" || f.Rule == "link-for-resistor") && slices.Contains(here, i+1) {
			flagged = append(flagged, i+1)
		}
	}
	if got := w.flagNumbers(); len(got) == 0 || !slices.Equal(got, flagged) {
		t.Errorf("flags %v, want those of cautions, oddities and the link, %v", got, flagged)
	}
	w.command("show facts")
	if got := w.flagNumbers(); !slices.Equal(got, here) || len(here) == len(r.Findings) {
		t.Errorf("with facts, flags %v, want %v", got, here)
	}
	w.command("show facts")
	if err := w.doc.mute(r.Findings[0], "known"); err != nil {
		t.Fatal(err)
	}
	if got := w.flagNumbers(); len(got) != len(flagged)-1 {
		t.Errorf("with one muted, flags %v", got)
	}
	r, _ = w.inspector.reviewOf()
	if got := w.flagNumbers(); r.Findings[0].Muted == "" || !slices.Equal(got, flagged[1:]) {
		t.Errorf("with the first muted, flags %v, want %v: the others keep their numbers", got, flagged[1:])
	}
}

// What is only tried has the flags of before, in grey, until it rests; then its
// own.
func TestFlagsFollowWhatIsTried(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	var rest func()
	w.inspector.rest.later = func(_ time.Duration, f func()) func() { rest = f; return func() { rest = nil } }
	w.Select("R4")
	own := w.flagNumbers()
	tapText(t, w, "Turn it as a knob")
	k := &knob{in: w.inspector, ref: "R4", q: model.LookupKind("resistor").Param("resistance")}
	stale := func() int {
		n := 0
		for _, f := range w.flags() {
			if f.Stale {
				n++
			}
		}
		return n
	}
	for _, x := range []float64{4, 5} {
		if err := k.turn(x); err != nil {
			t.Fatal(err)
		}
		if got := w.flagNumbers(); !slices.Equal(got, own) || stale() != len(w.flags()) || rest == nil {
			t.Errorf("while it turns there are flags %v, %d of %d grey; want %v, all of them", got, stale(), len(w.flags()), own)
		}
		if said := w.flagText(0); !strings.HasPrefix(said, "before this change") {
			t.Errorf("a grey flag says %q", said)
		}
	}
	rest()
	said := words(w.inspector.object)
	if stale() != 0 || strings.Contains(w.flagText(0), "limit") || !strings.Contains(said, "Findings") || strings.Contains(said, "Mute…") {
		t.Errorf("at rest %d are grey, the first says %q, and the page %q", stale(), w.flagText(0), said)
	}
	w.doc.DropPreview()
	if got := w.flagNumbers(); !slices.Equal(got, own) || stale() != 0 {
		t.Errorf("as drawn again, flags %v, %d grey, want %v", got, stale(), own)
	}
}

func TestPathsAreLit(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("Q1")
	tapText(t, w, "Light the base path")
	said := words(w.inspector.object)
	if got := w.litRefs(); got != "BT1 IC1 Q1 R1" || !strings.Contains(said, "goes from BT1 through Q1 (emitter to base), R1 and IC1, and back to BT1.") {
		t.Errorf("lit are %s, and it says %q", got, said)
	}
	tapText(t, w, "Light the load path")
	said = words(w.inspector.object)
	if got := w.litRefs(); got != "BT1 D1 Q1 R4" || !strings.Contains(said, "The load current of 359 mA goes from BT1 through Q1 (emitter to collector), R4 and D1, and back") {
		t.Errorf("lit are %s, and it says %q", got, said)
	}
	w.SetMode("Amber")
	if got, said := w.litRefs(), words(w.inspector.object); got != "Q1" || !strings.Contains(said, "Q1 is cut-off in Amber") {
		t.Errorf("in Amber, lit are %s, and it says %q", got, said)
	}
	tapText(t, w, "Back")
	if got := w.litRefs(); got != "" {
		t.Errorf("afterwards lit are %s", got)
	}
}

// Whoever points at a bar sees its part stand out, and selects nothing.
func TestPointingAtABarLightsItsPart(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("D1")
	tapText(t, w, "What sets its current?")
	var bar *glimpse
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if g, ok := o.(*glimpse); ok && strings.Contains(words(g.content), "resistance") && bar == nil {
			bar = g
		}
	}
	if bar == nil {
		t.Fatal("there is no bar")
	}
	bar.MouseIn(&desktop.MouseEvent{})
	if got := w.litRefs(); got == "" || strings.Contains(got, " ") || !slices.Equal(w.doc.selectedRefs(), []string{"D1"}) {
		t.Errorf("lit are %q, selected %v; want one part lit, and D1 selected", got, w.doc.selectedRefs())
	}
	bar.MouseOut()
	if got := w.litRefs(); got != "" {
		t.Errorf("afterwards lit are %s", got)
	}
}

func TestChangesSinceTheModeBefore(t *testing.T) {
	w := openLantern(t)
	w.SetMode("Off")
	w.SetMode("White")
	count := func() int { return strings.Count(w.sheetSays(), "4.14 V") }
	if n := count(); n > 0 {
		t.Errorf("though nobody asked, %d voltages of Off stand on the sheet in White", n)
	}
	w.command("show changes")
	if n := count(); n == 0 || !strings.Contains(w.sheetSays(), "3.71 V") {
		t.Errorf("the sheet says %q; want 3.71 V and the 4.14 V of Off", w.sheetSays())
	}
	w.command("show changes")
	before := w.doc.Result()
	w.SetMode("Off")
	w.doc.Compare(func() *analysis.Result { return before })
	if !strings.Contains(w.sheetSays(), "3.71 V") {
		t.Error("what Compare was given is not told")
	}
	w.doc.Compare(nil)
	if strings.Contains(w.sheetSays(), "3.71 V") {
		t.Error("it is told after that has ended")
	}
}

// A double click on a push-button presses it: the next mode is shown, and the
// drawing is as it was. Without modes the button is thrown.
func TestPressingTheButtonStepsThroughTheModes(t *testing.T) {
	w := openLantern(t)
	s := w.doc.Diagram().Part("S1")
	press := func() {
		for range 2 {
			w.click(float64(s.At.X), float64(s.At.Y))
		}
	}
	var seen []string
	for range 4 {
		seen = append(seen, w.doc.Mode())
		press()
	}
	if got := fmt.Sprint(seen); got != "[Off White Amber Off]" || w.doc.CanUndo() != "" {
		t.Errorf("modes %s, to undo %q", got, w.doc.CanUndo())
	}
	if says := describePart(w.doc, "S1"); !strings.Contains(says, "the next mode") {
		t.Errorf("pointing at S1 says %q", says)
	}
	for len(w.doc.Diagram().Modes) > 0 {
		if err := w.doc.removeMode(w.doc.Mode()); err != nil {
			t.Fatal(err)
		}
	}
	press()
	if values, _ := w.doc.Diagram().Resolve(w.doc.Diagram().Part("S1"), nil); values.Text("state") != "closed" {
		t.Errorf("without modes the button is %s", values.Text("state"))
	}
}

// Findings keep their words for severity on the way to the sheet.
func TestSeveritiesAreTheSame(t *testing.T) {
	w := openLantern(t)
	for _, f := range w.flags() {
		if !slices.Contains([]scene.Severity{scene.Caution, scene.Oddity, scene.Fact}, f.Severity) {
			t.Errorf("severity %q", f.Severity)
		}
	}
}

// A what-if on the sheet has beside each figure that differs the drawing's own.
func TestAWhatIfTellsWhatItChanges(t *testing.T) {
	w := openStory(t)
	own := voltsOf(w, "Q1", "B")
	tapText(t, w, "half the drive")
	changed := voltsOf(w, "Q1", "B")
	if said := w.sheetSays(); own == changed || !strings.Contains(said, own) || !strings.Contains(said, changed) {
		t.Errorf("the base is at %s, and at %s in the what-if; the sheet says %q", own, changed, said)
	}
	tapText(t, w, "Back")
	if said := w.sheetSays(); strings.Contains(said, changed) {
		t.Errorf("afterwards the sheet says %q", said)
	}
}

func voltsOf(w *Window, ref, pin string) string {
	r := w.doc.Result()
	return volts(r.Volts[r.Parts[ref].Pin(pin).Net])
}

// Whoever points at a flag reads what it stands for.
func TestPointingAtAFlag(t *testing.T) {
	w := openLantern(t)
	w.paint()
	r, _ := w.inspector.reviewOf()
	for _, f := range w.surface.scene.Flags {
		if !f.Shown {
			continue
		}
		p := w.surface.view.ToPixel(f.Box.Center())
		w.surface.MouseMoved(mouse(fyne.NewPos(float32(p.X), float32(p.Y)), 0))
		if want := fmt.Sprintf("%d  %s", f.Number, sentence(r.Findings[f.Finding].Text)); !strings.Contains(w.tips.text, want) {
			t.Errorf("at flag %d it says %q, want %q", f.Number, w.tips.text, want)
		}
	}
}

// A gate takes no current: what holds it is told, and by how many volts.
func TestTheGatePath(t *testing.T) {
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "BT1", "kind": "battery", "value": "9 V", "params": {"resistance": 0}, "tags": {"+": "rail", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "100", "tags": {"1": "rail", "2": "gate"}},
		{"ref": "R2", "kind": "resistor", "value": "1M", "tags": {"1": "gate", "2": "GND"}},
		{"ref": "R3", "kind": "resistor", "value": "100", "tags": {"1": "rail", "2": "out"}},
		{"ref": "Q1", "kind": "nmos", "value": "2N7000", "tags": {"D": "out", "G": "gate", "S": "GND"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	w := newTestWindow(t)
	w.doc.Replace(d, "")
	w.Select("Q1")
	tapText(t, w, "Light the gate path")
	if got, said := w.litRefs(), words(w.inspector.object); got != "BT1 Q1 R1" || !strings.Contains(said, "No current enters the gate of Q1: R1 and BT1 hold it 9.00 V above its source.") {
		t.Errorf("lit are %s, and it says %q", got, said)
	}
	tapText(t, w, "Light the load path")
	if got, said := w.litRefs(), words(w.inspector.object); got != "BT1 Q1 R3" || !strings.Contains(said, "from BT1 through R3 and Q1 (drain to source), and back") {
		t.Errorf("lit are %s, and it says %q", got, said)
	}
}
