package ui

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// top is how far below the top of the panel an object stands.
func (in *inspector) top(o fyne.CanvasObject) float32 {
	driver := fyne.CurrentApp().Driver()
	return driver.AbsolutePositionForObject(o).Y - driver.AbsolutePositionForObject(in.body).Y
}

func TestAFaultMovesNoField(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	before := map[string]float32{}
	for _, f := range w.inspector.page.fields {
		before[f.label] = w.inspector.top(f.entry)
	}
	tags := map[string]string{"+": "X", "-": "GND"}
	if err := w.doc.Edit("break", "", func(f *model.Draft) {
		f.RemoveWire(f.Diagram().Wires[0].ID)
		f.AddPart(&model.Part{Ref: "V1", Kind: "supply", Value: "5 V", Tags: tags})
		f.AddPart(&model.Part{Ref: "V2", Kind: "supply", Value: "6 V", Tags: tags})
	}); err != nil {
		t.Fatal(err)
	}
	if w.doc.Result().Solved {
		t.Fatal("two supplies that disagree are solved")
	}
	said := words(w.inspector.object)
	if !strings.Contains(said, "Not finished yet") {
		t.Fatalf("no finding: %q", said)
	}
	for _, f := range w.inspector.page.fields {
		if now := w.inspector.top(f.entry); now != before[f.label] {
			t.Errorf("%s went from %v to %v", f.label, before[f.label], now)
		}
	}
	if strings.Index(said, "Not finished yet") < strings.LastIndex(said, "Tolerance") {
		t.Error("the findings stand above the fields")
	}
}

func TestANewTagOrNoteIsNamedAtOnce(t *testing.T) {
	for key, kind := range map[rune]string{'x': "tag", 'n': "note"} {
		w := newTestWindow(t)
		w.place(key, 10, 6)
		e := w.inspector.firstEntry()
		if e == nil || !w.hasFocus(e) || e.SelectedText() != model.LookupKind(kind).Suggest {
			t.Fatalf("%s: the keyboard is at %T", kind, w.win.Canvas().Focused())
		}
		e.TypedRune('V')
		e.TypedKey(&fyne.KeyEvent{Name: map[string]fyne.KeyName{"tag": fyne.KeyReturn, "note": fyne.KeyEscape}[kind]})
		if !w.hasFocus(w.surface) || w.doc.Diagram().Parts[0].Value != "V" {
			t.Errorf("%s: value %q, the keyboard is at %T", kind, w.doc.Diagram().Parts[0].Value, w.win.Canvas().Focused())
		}
	}
}

// Enter begins a new line of a note, and Escape keeps it; of a field with one line
// Escape takes back what was typed.
func TestANoteHasLines(t *testing.T) {
	w := newTestWindow(t)
	w.place('n', 10, 6)
	w.typeAny("one")
	w.keyAny(fyne.KeyReturn)
	w.typeAny("two")
	w.keyAny(fyne.KeyReturn)
	w.keyAny(fyne.KeyEscape)
	if got := w.doc.Diagram().Parts[0].Value; got != "one\ntwo" || !w.hasFocus(w.surface) || w.modal() {
		t.Errorf("the note is %q", got)
	}
	if said := words(w.inspector.object); !strings.Contains(said, "Enter begins a new line; Escape") {
		t.Errorf("the panel says %q", said)
	}
	w.command("undo")
	if got := w.doc.Diagram().Parts[0].Value; got != "Note" {
		t.Errorf("taken back the note is %q", got)
	}
	w.place('x', 20, 6)
	w.typeAny("V1")
	w.keyAny(fyne.KeyEscape)
	if got := w.doc.Diagram().Part("TAG1"); got == nil || got.Value == "V1" {
		t.Errorf("after Escape the tag is %+v", got)
	}
}

func TestNoLabelOfAQuantityIsCut(t *testing.T) {
	for _, k := range model.Kinds() {
		for i := range k.Params {
			label := paramLabel(&k.Params[i])
			lines := wrap(label, labelRoom(), textSize, false)
			if len(lines) > 2 || strings.Contains(strings.Join(lines, ""), "…") {
				t.Errorf("%s: %q", k.Name, lines)
			}
		}
	}
}

func TestALongTextStaysInItsBox(t *testing.T) {
	w := newTestWindow(t)
	long := strings.Repeat("LONG-MARKING-", 12)
	part := &model.Part{Ref: "Q1", Kind: "npn", Placed: true, Value: long, Marking: long, Note: long}
	w.doc.Replace(&model.Diagram{Parts: []*model.Part{part}}, "")
	w.Select("Q1")
	for _, label := range []string{"Value", "Marking"} {
		e := w.inspector.fieldOf(t, label).entry
		short := w.inspector.fieldOf(t, "Name").entry
		if e.Scroll == fyne.ScrollNone || short.Scroll != fyne.ScrollNone {
			t.Errorf("%s scrolls %v, a short text scrolls %v", label, e.Scroll, short.Scroll)
		}
		if e.MinSize().Height != short.MinSize().Height {
			t.Errorf("%s is %v high with a long text and %v with a short one", label, e.MinSize().Height, short.MinSize().Height)
		}
	}
	f := w.inspector.fieldOf(t, "Marking")
	w.enter(f, "1")
	if f.entry.Scroll != fyne.ScrollNone {
		t.Error("a short text still scrolls")
	}
}

func TestWrongTextsStayInThePanel(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	for _, label := range []string{"Value", "Marking", "Tolerance"} {
		f := w.inspector.fieldOf(t, label)
		f.entry.SetText(strings.Repeat("9x", 60))
		if f.problem == "" {
			t.Errorf("%s takes nonsense", label)
		}
		for _, line := range f.below.Objects {
			if m := line.MinSize().Width; m > w.inspector.width {
				t.Errorf("what is said of %s is %v wide", label, m)
			}
		}
	}
}

func TestSavingNamesTheDrawingAndSaysSo(t *testing.T) {
	w := drawLoop(t)
	if w.bar.title.PlaceHolder != "Untitled drawing" {
		t.Errorf("it is called %q", w.bar.title.PlaceHolder)
	}
	path := filepath.Join(t.TempDir(), "lamp.cglass")
	w.write(path, nil)
	if w.bar.title.PlaceHolder != "lamp" || w.bar.title.Text != "" || w.doc.Diagram().Title != "" {
		t.Errorf("it is called %q, the title is %q", w.bar.title.PlaceHolder, w.doc.Diagram().Title)
	}
	if w.bar.short != "saved lamp.cglass" {
		t.Errorf("the bar says %q", w.bar.short)
	}
	w.export(filepath.Join(t.TempDir(), "lamp.png"), exportChoice{scale: 1})
	if w.bar.short != "exported lamp.png" {
		t.Errorf("the bar says %q", w.bar.short)
	}
	w.bar.fade()
	if !strings.HasPrefix(w.bar.short, "solved in") {
		t.Errorf("after a while it says %q", w.bar.short)
	}
	w.export(filepath.Join(t.TempDir(), "nowhere", "lamp.png"), exportChoice{scale: 1})
	if len(w.asking) != 1 || strings.HasPrefix(w.bar.short, "exported") {
		t.Errorf("what was not exported: the bar says %q", w.bar.short)
	}
}

// placeless is a drawing of parts that are joined by tags alone.
func placeless() *model.Diagram {
	return &model.Diagram{Parts: []*model.Part{
		{Ref: "R1", Kind: "resistor", Value: "1k", Tags: map[string]string{"1": "VBAT", "2": "OUT"}},
		{Ref: "R2", Kind: "resistor", Value: "1k", Tags: map[string]string{"1": "OUT", "2": "GND"}},
		{Ref: "R3", Kind: "resistor", Value: "1k", Tags: map[string]string{"1": "OUT", "2": "GND"}},
	}}
}

// overlayTexts are the texts that the sheet shows over the drawing.
func (s *surface) overlayTexts() string {
	var texts []string
	for _, i := range s.overlay() {
		if text, ok := i.(*canvas.Text); ok {
			texts = append(texts, text.String)
		}
	}
	return strings.Join(texts, " ")
}

func TestPartsWithoutAPlaceAreSetOut(t *testing.T) {
	w := newTestWindow(t)
	w.doc.Replace(placeless(), "")
	w.surface.FitAll()
	w.paint()
	const says = "3 parts have no place on the sheet"
	if !strings.Contains(words(w.inspector.object), says) || !strings.Contains(w.surface.overlayTexts(), says) {
		t.Fatalf("the panel says %q, the sheet %q", words(w.inspector.object), w.surface.overlayTexts())
	}
	test.Tap(tapSaying(t, w.inspector.object, "Set them out"))
	w.paint()
	for _, p := range w.doc.Diagram().Parts {
		if !p.Placed {
			t.Errorf("%s has no place", p.Ref)
		}
	}
	if strings.Contains(words(w.inspector.object), "no place") || w.surface.overlayTexts() != "" {
		t.Errorf("then the panel says %q, the sheet %q", words(w.inspector.object), w.surface.overlayTexts())
	}
	if seen, all := w.surface.visible(), w.surface.scene.Bounds; !seen.Contains(all.Min) || !seen.Contains(all.Max) {
		t.Errorf("%v does not show %v", seen, all)
	}
	w.command("undo")
	if w.doc.Changed() {
		t.Error("setting out is more than one step to undo")
	}
}

func tapSaying(t *testing.T, in fyne.CanvasObject, text string) *tapArea {
	t.Helper()
	for _, o := range test.LaidOutObjects(in) {
		if tap, ok := o.(*tapArea); ok && strings.Contains(words(tap), text) {
			return tap
		}
	}
	t.Fatalf("nothing to click says %q", text)
	return nil
}

func TestAPictureSaysWhatItShows(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	says := func(c exportChoice) bool {
		return slices.ContainsFunc(w.picture(c).Items, func(i canvas.Item) bool {
			text, ok := i.(*canvas.Text)
			return ok && strings.HasPrefix(text.String, "Tent lantern")
		})
	}
	if !says(exportChoice{caption: true}) || says(exportChoice{}) {
		t.Errorf("with a caption %v, without %v", says(exportChoice{caption: true}), says(exportChoice{}))
	}
	w.Export()
	var box *widget.Check
	for _, o := range test.LaidOutObjects(w.asking[0].popUp.Content) {
		if c, ok := o.(*widget.Check); ok {
			box = c
		}
	}
	if box == nil || !box.Checked {
		t.Error("the dialog does not offer the caption, ticked")
	}
}

func TestWhatDoesNotStopIsQuieter(t *testing.T) {
	look := canvas.LightTheme()
	stops, rest := badgePicture(look, 1, true), badgePicture(look, 1, false)
	disc, ring := stops.Items[0].(*canvas.Path), rest.Items[0].(*canvas.Path)
	if disc.Style.Fill != look.Flag || ring.Style.Fill == look.Flag || ring.Style.Stroke != look.Flag {
		t.Errorf("disc %+v, ring %+v", disc.Style, ring.Style)
	}
	if rest.Items[1].(*canvas.Text).Colour != look.Flag {
		t.Error("the number in the ring cannot be read")
	}
}

func TestMoreThanTheRatingIsSaidInWords(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	row := func() row {
		rows := figureRows(w.doc.Shown(), w.doc.Result(), "R1", w.doc.Mode())
		return rows[len(rows)-1]
	}
	if r := row(); r.over || !strings.Contains(r.figure, " of 125 mW") {
		t.Errorf("within its rating: %+v", r)
	}
	w.enter(w.inspector.fieldOf(t, "Value"), "1 Ω")
	r := row()
	if !r.over || !strings.Contains(r.figure, "over 125 mW") {
		t.Fatalf("beyond its rating: %+v", r)
	}
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if text, ok := o.(*prim.Text); ok && text.Text == r.figure {
			if text.Color != w.look.Flag || !text.TextStyle.Bold {
				t.Errorf("%q is in %v, bold %v", text.Text, text.Color, text.TextStyle.Bold)
			}
			return
		}
	}
	t.Errorf("the inspector does not say %q", r.figure)
}

func TestChipPinsAreInNaturalOrder(t *testing.T) {
	w := newTestWindow(t)
	w.place('u', 12, 10)
	w.Select("IC1")
	var entries []string
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if e, ok := o.(*entry); ok && len(e.Text) == 1 && e.Text >= "1" && e.Text <= "8" {
			entries = append(entries, e.Text)
		}
	}
	// The first 1 is the number of parts.
	if got := strings.Join(entries, " "); !strings.HasSuffix(got, "1 2 3 4 5 6 7 8") {
		t.Errorf("the pins are %s", got)
	}
	p := w.doc.Diagram().Part("IC1").Clone()
	for i := range p.Pins {
		p.Pins[i].Role = "output"
	}
	list := targetsOf(p)
	if !slices.IsSortedFunc(list, func(a, b target) int { return model.NaturalCompare(a.name, b.name) }) {
		t.Errorf("modes set %v", list)
	}
}

func TestGuessesAreWrittenAsOnTheSheet(t *testing.T) {
	for value, want := range map[string]string{"100n": "100 nF", "4µ7": "4.7 µF"} {
		p := &model.Part{Ref: "C1", Kind: "capacitor", Value: value}
		if got := shortValue(&model.Diagram{Parts: []*model.Part{p}}, p); got != want {
			t.Errorf("%s is written %q, want %q", value, got, want)
		}
	}
	marked := &model.Part{Ref: "R1", Kind: "resistor", Marking: "103", Placed: true, At: geom.Pt(1, 1)}
	if got := shortValue(&model.Diagram{Parts: []*model.Part{marked}}, marked); got != "10 kΩ" {
		t.Errorf("103 is written %q", got)
	}
}

func TestANumberStaysWithItsUnit(t *testing.T) {
	t.Parallel()
	got := wordsOf("gives 107 mW of heat, 3.4 Ω. In 12 of 20 % it is 5 A")
	want := []string{"gives", "107 mW", "of", "heat,", "3.4 Ω.", "In", "12", "of", "20 %", "it", "is", "5 A"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
