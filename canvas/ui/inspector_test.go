package ui

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"copperglass/model"
	"copperglass/model/geom"
)

// words are all texts of an object, joined.
func words(o fyne.CanvasObject) string {
	var b strings.Builder
	for _, each := range test.LaidOutObjects(o) {
		if text, ok := each.(*prim.Text); ok && text.Visible() {
			b.WriteString(text.Text + " ")
		}
	}
	return b.String()
}

// fieldOf returns the field with that label of the page that is shown.
func (in *inspector) fieldOf(t *testing.T, label string) *field {
	t.Helper()
	for _, f := range in.page.fields {
		if f.label == label {
			return f
		}
	}
	t.Fatalf("there is no field %q", label)
	return nil
}

func TestTypingAValueSolvesAtOnce(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Value")
	before := math.Abs(w.current("R1"))
	w.focus(f.entry)
	f.entry.SetText("2k")
	near(t, "current after halving", math.Abs(w.current("R1")), before/2, 1e-3)
	if !strings.Contains(words(f.object), "2 kΩ") {
		t.Errorf("the field says %q", words(f.object))
	}
	f.entry.SetText("2kx")
	if f.problem == "" || !strings.Contains(f.problem, "2kx") || f.entry.Text != "2kx" {
		t.Errorf("a wrong value: %q says %q", f.entry.Text, f.problem)
	}
	if got := w.doc.Diagram().Part("R1").Value; got != "1k" {
		t.Errorf("the wrong value left %q in the drawing", got)
	}
	f.entry.SetText("-5")
	if f.problem == "" || w.doc.Diagram().Part("R1").Value != "1k" {
		t.Errorf("a negative resistance: %q, %q", f.problem, w.doc.Diagram().Part("R1").Value)
	}
	f.entry.SetText("3k3")
	if f.problem != "" {
		t.Errorf("mended, it still says %q", f.problem)
	}
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if !w.hasFocus(w.surface) {
		t.Error("Enter does not give the keyboard back")
	}
	w.command("undo")
	if got := w.doc.Diagram().Part("R1").Value; got != "1k" || f.entry.Text != "1k" {
		t.Errorf("one undo takes the typing back to %q, the field shows %q", got, f.entry.Text)
	}
}

func TestUndoInAnEntryIsItsOwn(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Note")
	parts := len(w.doc.Diagram().Parts)
	w.focus(f.entry)
	w.command("all")
	w.command("delete")
	if len(w.doc.Diagram().Parts) != parts-1 {
		t.Fatal("delete is a command of the sheet alone")
	}
	w.command("undo")
}

func TestCopyInAnEntryIsItsOwn(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Value")
	w.focusAll(f.entry)
	w.command("copy")
	if got := w.app.Clipboard().Content(); got != "1k" {
		t.Errorf("the clipboard has %q", got)
	}
	w.toSheet()
	w.command("copy")
	if got := w.app.Clipboard().Content(); !strings.Contains(got, `"R1"`) {
		t.Errorf("the clipboard has %q", got)
	}
}

func TestArrowKeysStepThroughPreferredValues(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Value")
	w.focus(f.entry)
	for _, c := range []struct {
		key  fyne.KeyName
		want string
	}{{fyne.KeyUp, "1.1 kΩ"}, {fyne.KeyUp, "1.2 kΩ"}, {fyne.KeyDown, "1.1 kΩ"}, {fyne.KeyDown, "1 kΩ"}, {fyne.KeyDown, "910 Ω"}} {
		f.entry.TypedKey(&fyne.KeyEvent{Name: c.key})
		if got := w.doc.Diagram().Part("R1").Value; got != c.want {
			t.Errorf("%s gives %s, want %s", c.key, got, c.want)
		}
	}
}

func TestTheValueFollowsTheMarking(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Marking")
	w.focus(f.entry)
	f.entry.SetText("471")
	p := w.doc.Diagram().Part("R1")
	v, _ := w.doc.Diagram().Resolve(p, nil)
	if p.Marking != "471" || p.Value != "" || v.Num("resistance") != 470 {
		t.Errorf("marking %q, value %q, %v Ω", p.Marking, p.Value, v.Num("resistance"))
	}
	if got := w.inspector.fieldOf(t, "Value").entry.PlaceHolder; got != "470 Ω" {
		t.Errorf("in the value's place stands %q", got)
	}
	f.entry.SetText("4xyz1")
	if p := w.doc.Diagram().Part("R1"); f.problem == "" || p.Marking != "" || p.Value != "1k" {
		t.Errorf("nonsense leaves marking %q and value %q", p.Marking, p.Value)
	}
	if said := words(w.inspector.object); strings.Contains(said, "→ 470") {
		t.Errorf("the old reading is still there: %q", said)
	}
}

func TestAMarkingWithTwoReadingsOffersBoth(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	k := model.LookupKind("resistor")
	f := w.inspector.fieldOf(t, "Marking")
	var ways []way
	for _, marking := range []string{"100", "220", "680", "681", "916"} {
		f.entry.SetText(marking)
		if ways = waysToRead(k, marking); len(ways) > 1 {
			break
		}
	}
	if len(ways) < 2 {
		t.Fatal("none of the markings has a second reading")
	}
	tapSaying(t, w.inspector.object, "or "+ways[1].value).Tapped(nil)
	p := w.doc.Diagram().Part("R1")
	if p.Value != ways[1].value || p.Marking != f.entry.Text {
		t.Errorf("the other way gives value %q, marking %q", p.Value, p.Marking)
	}
}

func findTap(o fyne.CanvasObject) *tapArea {
	for _, each := range test.LaidOutObjects(o) {
		if tap, ok := each.(*tapArea); ok {
			return tap
		}
	}
	return nil
}

func TestRenamingAPartTakesItsModesAlong(t *testing.T) {
	w := openLantern(t)
	w.Select("IC1")
	f := w.inspector.fieldOf(t, "Name")
	w.focus(f.entry)
	page := w.inspector.page
	f.entry.SetText("U7")
	if w.doc.Diagram().Part("IC1") == nil {
		t.Error("a name that is being typed is taken")
	}
	w.toSheet()
	d := w.doc.Diagram()
	if d.Part("U7") == nil || d.Part("IC1") != nil || !w.doc.Selected().Parts["U7"] {
		t.Fatalf("renamed to %v, selected %v", d.Part("U7"), w.doc.Selected().Parts)
	}
	if w.inspector.page != page {
		t.Error("the page was built anew while its field was typed in")
	}
	for _, m := range d.Modes {
		for target := range m.Set {
			if strings.HasPrefix(target, "IC1") {
				t.Errorf("mode %s still sets %s", m.Name, target)
			}
		}
	}
	for _, bad := range []string{"", "q1", "R 1", "R.1", strings.Repeat("R", 100)} {
		w.focus(f.entry)
		f.entry.SetText(bad)
		w.toSheet()
		if f.problem == "" || w.doc.Diagram().Part("U7") == nil {
			t.Errorf("the name %q is taken", bad)
		}
	}
}

func TestCount(t *testing.T) {
	w := openLantern(t)
	w.Select("D1")
	f := w.inspector.fieldOf(t, "Parts ×")
	if f.entry.Text != "12" {
		t.Fatalf("the stack has %s", f.entry.Text)
	}
	for _, bad := range []string{"0", "-1", "1000000000", "many", "1.5"} {
		f.entry.SetText(bad)
		if f.problem == "" || w.doc.Diagram().Part("D1").Count != 12 {
			t.Errorf("a stack of %s is taken", bad)
		}
	}
	f.entry.SetText("6")
	if w.doc.Diagram().Part("D1").Count != 6 {
		t.Error("the count is not taken")
	}
}

func TestQuantitiesOverrideTheCatalogue(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("Q1")
	f := w.inspector.fieldOf(t, "Forward beta")
	if f.entry.Text != "" || f.entry.PlaceHolder == "" {
		t.Fatalf("the field holds %q, in its place stands %q", f.entry.Text, f.entry.PlaceHolder)
	}
	before := w.current("Q1")
	f.entry.SetText("20")
	if v, _ := w.doc.Diagram().Part("Q1").Params["forward_beta"].Num(); v != 20 {
		t.Errorf("forward_beta is %v", v)
	}
	if w.current("Q1") == before {
		t.Error("nothing was solved anew")
	}
	f.entry.SetText("-3")
	if f.problem == "" {
		t.Error("a negative gain is taken")
	}
	f.entry.SetText("")
	if w.doc.Diagram().Part("Q1").Params["forward_beta"].IsSet() {
		t.Error("emptied, it is still set")
	}
}

func TestFiguresOfAPart(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	rows := map[string]string{}
	for _, r := range figureRows(w.doc.Shown(), w.doc.Result(), "Q1", w.doc.Mode()) {
		rows[r.name] = r.figure
	}
	for _, name := range []string{"Working state", "Emitter – collector", "Emitter – base", "Collector current", "Base current", "Forced β", "Takes"} {
		if rows[name] == "" || rows[name] == "–" {
			t.Errorf("%s is %q", name, rows[name])
		}
	}
	w.Select("Q1")
	if said := words(w.inspector.object); !strings.Contains(said, rows["Collector current"]) {
		t.Errorf("the inspector does not say %q", rows["Collector current"])
	}
}

func TestNothingIsSaidOfACircuitWithoutSolution(t *testing.T) {
	w := newTestWindow(t)
	w.place('r', 10, 6)
	w.Select("R1")
	if rows := figureRows(w.doc.Shown(), nil, "R1", ""); rows != nil {
		t.Errorf("without a result there are figures: %v", rows)
	}
	if len(w.doc.Result().Faults) == 0 || !strings.Contains(words(w.inspector.object), "Not finished yet") {
		t.Error("a resistor that goes nowhere is no finding")
	}
}

func TestChipPins(t *testing.T) {
	w := openLantern(t)
	w.Select("IC1")
	p := w.inspector.page
	n := len(p.model().Pins)
	if err := p.addPin(); err != nil || len(p.model().Pins) != n+1 {
		t.Fatalf("%v; %d pins", err, len(p.model().Pins))
	}
	if err := p.renamePin(0, p.model().Pins[1].Number); err == nil {
		t.Error("two pins of one number")
	}
	var output int
	for i, pin := range p.model().Pins {
		if pin.Role == "output" {
			output = i
		}
	}
	gone := "IC1." + p.model().Pins[output].Number
	if err := p.removePin(output); err != nil {
		t.Fatal(err)
	}
	for _, m := range w.doc.Diagram().Modes {
		if _, ok := m.Set[gone]; ok {
			t.Errorf("mode %s still sets %s", m.Name, gone)
		}
	}
}

func TestRunTimes(t *testing.T) {
	for _, c := range []struct {
		hours float64
		want  string
	}{
		{math.NaN(), ""}, {0.001, "runs less than a minute"}, {0.1, "runs about 6 min"}, {0.5, "runs about 30 min"},
		{1.84, "runs about 1 h 50 min"}, {2, "runs about 2 h"}, {9.99, "runs about 10 h"}, {26.2, "runs about 26 h"},
		{240, "runs about 10 days"}, {4000, "runs about 5 months"}, {1e6, "runs for years"},
	} {
		if got := runTime(c.hours); got != c.want {
			t.Errorf("%v h: %q, want %q", c.hours, got, c.want)
		}
	}
}

func TestAWireIsTaggedAndDoubted(t *testing.T) {
	w := drawLoop(t)
	wire := w.doc.Diagram().Wires[0]
	p, q := wire.Points[0], wire.Points[1]
	w.click(float64(p.X+q.X)/2, float64(p.Y+q.Y)/2)
	if !w.doc.Selected().Wires[wire.ID] {
		t.Fatalf("selected %+v", w.doc.Selected())
	}
	w.inspector.fieldOf(t, "Tag").entry.SetText("VBAT")
	if r := w.doc.Result(); r.Nets.Find("VBAT") < 0 {
		t.Error("the tag names no net")
	}
	if err := w.doc.editWire(wire.ID, "doubt", func(x *model.Wire) { x.Doubt = model.Guessed }); err != nil || w.doc.Diagram().Wires[0].Doubt != model.Guessed {
		t.Errorf("%v; %q", err, w.doc.Diagram().Wires[0].Doubt)
	}
	if !strings.Contains(words(w.inspector.object), "VBAT") {
		t.Error("the inspector does not name the net")
	}
}

func TestDoubtOfSeveralParts(t *testing.T) {
	w := openLantern(t)
	w.Select("R1", "R2")
	if got := commonDoubt(w.doc); got != "mixed" {
		t.Errorf("their common doubt is %q", got)
	}
	if err := w.doc.setDoubts(model.Measured); err != nil || commonDoubt(w.doc) != model.Measured {
		t.Errorf("%v; %q", err, commonDoubt(w.doc))
	}
	if !strings.Contains(w.bar.traced.Text, "1 still guessed") {
		t.Errorf("the bar says %q", w.bar.traced.Text)
	}
}

func TestAKnobMovesTheFigures(t *testing.T) {
	w := newTestWindow(t)
	w.OpenExample("sensor")
	w.Select("RV1")
	var knob *widget.Slider
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if s, ok := o.(*widget.Slider); ok {
			knob = s
		}
	}
	if knob == nil {
		t.Fatal("a potentiometer has no knob")
	}
	before := w.doc.Result()
	knob.SetValue(0.8)
	v, _ := w.doc.Diagram().Resolve(w.doc.Diagram().Part("RV1"), nil)
	if v.Num("position") != 0.8 || w.doc.Result() == before {
		t.Errorf("the wiper is at %v", v.Num("position"))
	}
	knob.SetValue(0.6)
	w.command("undo")
	if w.doc.Changed() {
		t.Error("turning the knob is more than one step to undo")
	}
}

func TestAChoiceOfWords(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("D1")
	before := w.current("D1")
	if err := w.doc.setParam("D1", model.LookupKind("led").Param("colour"), "red"); err != nil {
		t.Fatal(err)
	}
	if w.current("D1") == before {
		t.Error("another colour changes nothing")
	}
	if err := w.doc.setParam("D1", model.LookupKind("led").Param("colour"), "plaid"); err == nil {
		t.Error("a colour that there is none of is taken")
	}
}

func TestThousandsOfFaultsStayUsable(t *testing.T) {
	w := newTestWindow(t)
	d := &model.Diagram{}
	for i := range 2000 {
		p := model.LookupKind("resistor").NewPart(geom.Pt(6*(i%50), 4*(i/50)))
		p.Ref = fmt.Sprint("R", i+1)
		d.Parts = append(d.Parts, p)
		end := p.At.Add(geom.Pt(2, 0)) // a pin
		d.Wires = append(d.Wires, &model.Wire{ID: model.WireID(i + 1), Points: []geom.Point{end, end.Add(geom.Pt(1, 0))}})
	}
	w.doc.Replace(d, "")
	w.paint()
	if n := len(w.doc.Result().Faults); n < mostFindings {
		t.Fatalf("%d faults", n)
	}
	if n := len(test.LaidOutObjects(w.inspector.object)); n > 1000 {
		t.Errorf("the inspector has %d objects", n)
	}
}

// Another drawing, and a page that becomes shorter, are never scrolled out of
// sight; a question about the drawing before is not asked of the new one.
func TestAnotherDrawingIsShownFromItsTop(t *testing.T) {
	w := openLantern(t)
	in := w.inspector
	in.scroll.ScrollToBottom()
	if in.scroll.Offset.Y == 0 {
		t.Fatal("the page does not scroll; this test would see nothing")
	}
	w.OpenExample("meter")
	if in.scroll.Offset.Y != 0 {
		t.Errorf("another drawing is shown from %v on", in.scroll.Offset.Y)
	}
	w.OpenExample("lantern")
	in.scroll.ScrollToBottom()
	for len(w.doc.Diagram().Parts) > 2 {
		if err := w.doc.Edit("remove", "", func(f *model.Draft) { f.RemovePart(f.Diagram().Parts[0].Ref) }); err != nil {
			t.Fatal(err)
		}
	}
	if end := max(0, in.body.MinSize().Height-in.scroll.Size().Height); in.scroll.Offset.Y > end {
		t.Errorf("a page of %v is scrolled to %v", in.body.MinSize().Height, in.scroll.Offset.Y)
	}
	w = openStory(t)
	tapText(t, w, "Walk through the story")
	w.OpenExample("meter")
	if w.inspector.topic != nil {
		t.Error("the story of the drawing before is still open")
	}
}

// A line that is wrapped between words keeps the space typed there, whatever
// the width of the field.
func TestNotesKeepEverySpace(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Note")
	w.focus(f.entry)
	const typed = "Bike light, 3 x LR6: button steps off, front, rear"
	for width := float32(90); width < 260; width += 3 {
		f.entry.SetText("")
		f.entry.Resize(fyne.NewSize(width, f.entry.Size().Height))
		for _, r := range typed {
			f.entry.TypedRune(r)
		}
		if f.entry.Text != typed {
			t.Errorf("%v wide the field keeps %q", width, f.entry.Text)
		}
	}
	if got := w.doc.Diagram().Part("R1").Note; got != typed {
		t.Errorf("the drawing keeps %q", got)
	}
	if w.focus(w.surface); f.entry.Wrapping != fyne.TextWrapWord {
		t.Error("a note at rest has its words broken")
	}
}
