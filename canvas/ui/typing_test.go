package ui

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model"
	"copperglass/model/geom"
)

// enter types a text over what is in a field and leaves the field with Enter, or
// with Escape where that begins a new line.
func (w *Window) enter(f *field, text string) {
	w.focusAll(f.entry)
	f.entry.SetText(text)
	end := fyne.KeyReturn
	if f.breaks {
		end = fyne.KeyEscape
	}
	f.entry.TypedKey(&fyne.KeyEvent{Name: end})
}

// spell types a text letter by letter over what is in a field.
func (w *Window) spell(f *field, text string) {
	w.focusAll(f.entry)
	for _, r := range text {
		f.entry.TypedRune(r)
	}
}

func TestARefusedTextLeavesNothingBehind(t *testing.T) {
	for _, c := range []struct {
		label, text string // its beginnings are right, the whole is wrong
		live        string // a beginning
		value       func(p *model.Part) string
	}{
		{"Value", "1e30", "1e3", func(p *model.Part) string { return p.Value }},
		{"Parts ×", "123456789", "1234", func(p *model.Part) string { return showCount(p) }},
		{"Marking", "471x", "471", func(p *model.Part) string { return p.Value + "|" + p.Marking }},
		{"Tolerance", "0.1.5", "0.1", func(p *model.Part) string { return p.Params["tolerance"].String() }},
		{"Name", "R2.5", "R2", func(p *model.Part) string { return p.Ref }},
	} {
		w := drawLoop(t)
		w.Select("R1")
		saved := w.doc.history.Revision()
		before := c.value(w.doc.Diagram().Part("R1"))
		f := w.inspector.fieldOf(t, c.label)
		w.spell(f, c.live)
		if got := w.doc.Shown().Part("R1"); c.label != "Name" && c.value(got) == before {
			t.Errorf("%s %q does not show while it is typed", c.label, c.live)
		}
		w.spell(f, c.text)
		if f.problem == "" || f.entry.Text != c.text {
			t.Errorf("%s %q is taken; the field has %q", c.label, c.text, f.entry.Text)
		}
		for _, what := range []string{"refused", "left"} {
			if p := w.doc.Diagram().Part("R1"); p == nil || c.value(p) != before {
				t.Errorf("%s %q, %s: the part has %+v", c.label, c.text, what, p)
			}
			w.toSheet()
		}
		if !strings.Contains(words(f.object), strings.Fields(curly(f.problem))[0]) {
			t.Errorf("%s: the field says %q after it was left", c.label, words(f.object))
		}
		if w.doc.history.Revision() != saved {
			t.Errorf("%s: there is something to undo: %q", c.label, w.doc.CanUndo())
		}
	}
}

func showCount(p *model.Part) string { return strings.Repeat("|", min(p.Multiple(), 2000)) }

func TestEachFieldIsOneStepToUndo(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Value")
	values := []string{"1k", "2k", "3k3", "47k"}
	for _, v := range values[1:] {
		w.spell(f, v)
		f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	}
	slices.Reverse(values)
	for _, v := range values {
		if got := w.doc.Diagram().Part("R1").Value; got != v || f.entry.Text != v {
			t.Errorf("the value is %q and the field has %q, want %q", got, f.entry.Text, v)
		}
		w.command("undo")
	}
	for range values {
		w.command("redo")
	}
	if got := w.doc.Diagram().Part("R1").Value; got != "47k" {
		t.Errorf("redo ends at %q", got)
	}
}

func TestTypingThatChangesNothingLeavesNothingToUndo(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	at := w.doc.history.Revision()
	for _, label := range []string{"Value", "Name", "Note", "Tolerance", "Marking"} {
		f := w.inspector.fieldOf(t, label)
		was := f.entry.Text
		w.focus(f.entry)
		f.entry.SetText("1")
		w.enter(f, was)
	}
	if w.doc.history.Revision() != at {
		t.Errorf("undo offers %q", w.doc.CanUndo())
	}
}

func TestWhatIsTypedIsSaved(t *testing.T) {
	w := drawLoop(t)
	path := saved(t, w.doc.Diagram(), "loop.cglass")
	w.load(path, nil)
	w.Select("R1")
	w.spell(w.inspector.fieldOf(t, "Value"), "2k2")
	if !w.doc.Changed() || !strings.Contains(w.doc.CanUndo(), "value") {
		t.Errorf("changed %v, undo offers %q", w.doc.Changed(), w.doc.CanUndo())
	}
	w.Save()
	if w.doc.Changed() {
		t.Error("saved, it is still changed")
	}
	w.load(path, nil)
	if got := w.doc.Diagram().Part("R1").Value; got != "2k2" {
		t.Errorf("the file has %q", got)
	}
}

func TestANumberThatIsTypedIsNotRewrittenMeanwhile(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Power rating")
	w.spell(f, "0.2500")
	if f.entry.Text != "0.2500" {
		t.Errorf("while it is typed the field has %q", f.entry.Text)
	}
	w.toSheet()
	if f.entry.Text != "250 mW" {
		t.Errorf("then it has %q", f.entry.Text)
	}
}

func TestTheTitleIsOneStepToUndo(t *testing.T) {
	w := openLantern(t)
	for _, title := range []string{"Garden lamp", "Cellar lamp"} {
		w.bar.box.Tapped(nil)
		w.bar.title.SetText(title[:4])
		w.bar.title.SetText(title)
		w.toSheet()
	}
	w.command("undo")
	if got := w.doc.Diagram().Title; got != "Garden lamp" {
		t.Errorf("one undo leads to %q", got)
	}
}

func TestMarkings(t *testing.T) {
	for _, c := range []struct {
		kind, value, marking string // as the part is
		typed                string // as the marking
		wantValue            string // as written then
		reads                float64
	}{
		{"resistor", "1k", "", "471", "", 470},        // the palette's value gives way
		{"resistor", "", "102", "471", "", 470},       // what followed a marking follows the next
		{"resistor", "2k2", "", "471", "2k2", 2200},   // what somebody wrote stays
		{"resistor", "", "471", "", "470 Ω", 470},     // without its marking the part keeps its value
		{"resistor", "470 Ω", "471", "102", "", 1000}, // the value was the marking's reading
		{"led", "red", "", "A7x9", "red", math.NaN()},
		{"chip", "", "", "14M", "", math.NaN()},
		{"npn", "BC817-25", "", "K3", "BC817-25", math.NaN()},
		{"npn", "", "BC817-25", "", "BC817-25", math.NaN()},
		{"npn", "", "BC817-25", "K3", "BC817-25", math.NaN()},
		{"npn", "", "", "BC817-25", "", math.NaN()},
		{"switch", "", "", "ON", "", math.NaN()},
	} {
		w := newTestWindow(t)
		d := &model.Diagram{Parts: []*model.Part{{Ref: "X1", Kind: c.kind, Placed: true, Value: c.value, Marking: c.marking}}}
		w.doc.Replace(d, "")
		w.Select("X1")
		f := w.inspector.fieldOf(t, "Marking")
		w.enter(f, c.typed)
		p := w.doc.Diagram().Part("X1")
		if p.Value != c.wantValue || p.Marking != c.typed {
			t.Errorf("%+v: value %q, marking %q, says %q", c, p.Value, p.Marking, f.problem)
		}
		v, _ := w.doc.Diagram().Resolve(p, nil)
		if !math.IsNaN(c.reads) {
			near(t, c.typed, v.Num("resistance"), c.reads, 1e-12)
		}
	}
}

func TestAMarkingOffersItsValueWhereAnotherIsWritten(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.enter(w.inspector.fieldOf(t, "Value"), "2k2")
	w.enter(w.inspector.fieldOf(t, "Marking"), "471")
	if said := words(w.inspector.object); !strings.Contains(said, "or 470 Ω, as printed") {
		t.Fatalf("the inspector says %q", said)
	}
	tapSaying(t, w.inspector.object, "or 470 Ω").Tapped(nil)
	v, _ := w.doc.Diagram().Resolve(w.doc.Diagram().Part("R1"), nil)
	if v.Num("resistance") != 470 {
		t.Errorf("it is %v Ω", v.Num("resistance"))
	}
}

func TestARefusedMarkingHidesTheOldReading(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Marking")
	w.enter(f, "471")
	if said := words(w.inspector.object); !strings.Contains(said, "→ 470 Ω, 5 % (3-digit code)") {
		t.Fatalf("the inspector says %q", said)
	}
	w.enter(f, "471x")
	if said := words(w.inspector.object); f.problem == "" || strings.Contains(said, ", as printed") {
		t.Errorf("refused, it says %q", said)
	}
	w.enter(f, "471")
	if said := words(w.inspector.object); f.problem != "" || !strings.Contains(said, "→ 470 Ω") {
		t.Errorf("mended, it says %q", said)
	}
}

func TestEveryPartHasAMarking(t *testing.T) {
	for _, k := range model.Kinds() {
		w := newTestWindow(t)
		p := k.NewPart(geom.Pt(5, 5))
		p.Ref = "X1"
		w.doc.Replace(&model.Diagram{Parts: []*model.Part{p}}, "")
		w.Select("X1")
		has := slices.ContainsFunc(w.inspector.page.fields, func(f *field) bool { return f.label == "Marking" })
		if has == k.Sign {
			t.Errorf("%s: marking %v", k.Name, has)
		}
	}
}

func TestAnUnknownTypeSaysSo(t *testing.T) {
	for kind, title := range map[string]string{"pnp": "PNP transistor", "diode": "diode"} {
		w := newTestWindow(t)
		w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "X1", Kind: kind, Placed: true}}}, "")
		w.Select("X1")
		f := w.inspector.fieldOf(t, "Value")
		w.enter(f, "QQ99")
		if said := words(f.object); !strings.Contains(said, "not in the catalogue") || !strings.Contains(said, "typical "+title) {
			t.Errorf("%s says %q", kind, said)
		}
		list := f.list()
		if len(list) != len(model.LookupKind(kind).Handbook) {
			t.Fatalf("%s lists %d types", kind, len(list))
		}
		list[0].choose()
		if said := words(f.object); strings.Contains(said, "not in the catalogue") || f.entry.Text == "QQ99" {
			t.Errorf("%s, chosen from the list: %q, %q", kind, f.entry.Text, said)
		}
	}
}

func TestATemperatureWithoutUnitIsInDegreesCelsius(t *testing.T) {
	for text, want := range map[string]float64{"60": 333.15, "-10": 263.15, "60 °C": 333.15, "300 K": 300} {
		v, err := parseParam(model.LookupKind("resistor").Param("temperature"), text)
		if x, _ := v.Num(); err != nil || math.Abs(x-want) > 1e-9 {
			t.Errorf("%q is read as %v K (%v), want %v", text, x, err, want)
		}
	}
}

func TestQuantitiesAreWrittenAsPeopleSayThem(t *testing.T) {
	k := model.LookupKind("resistor")
	for _, c := range []struct {
		name string
		x    float64
		want string
	}{
		{"tolerance", 0.05, "5 %"}, {"tolerance", 0.002, "0.2 %"}, {"temperature", 298.15, "25 °C"},
		{"temperature", 253.15, "-20 °C"}, {"power_rating", 0.25, "250 mW"},
	} {
		q := k.Param(c.name)
		got := showParam(q, model.Number(c.x))
		back, err := parseParam(q, got)
		x, _ := back.Num()
		if got != c.want || err != nil || math.Abs(x-c.x) > 1e-9*c.x {
			t.Errorf("%s %v is written %q, read again as %v (%v)", c.name, c.x, got, x, err)
		}
	}
}
