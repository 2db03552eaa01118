package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/model"
)

func TestOneFieldTakesValuesMarkingsAndBands(t *testing.T) {
	for _, c := range []struct {
		kind, typed    string
		value, marking string // of the part then
		number         float64
		says           string
	}{
		{"resistor", "4k7", "4k7", "", 4700, "4.7 kΩ"},
		{"resistor", "333", "", "333", 33e3, "333 → 33 kΩ, 5 %"},       // no resistor has 333 Ω
		{"resistor", "221", "", "221", 220, "221 → 220 Ω, 5 %"},        // three digits are of E24
		{"resistor", "220", "220", "", 220, "or 22 Ω, as printed"},     // 220 Ω is usual
		{"resistor", "1000", "1000", "", 1000, "or 100 Ω, as printed"}, // so is 1 kΩ
		{"resistor", "4992", "", "4992", 49900, "4992 → 49.9 kΩ, 1 %"}, // of E96
		{"resistor", "350", "350", "", 350, "or 35 Ω, as printed"},     // neither is usual: as typed
		{"resistor", "01C", "", "01C", 10e3, "01C → 10 kΩ, 1 %"},       // EIA-96
		{"resistor", "333 x4", "", "333", 33e3, "333 → 33 kΩ, 5 %"},
		{"resistor", "yellow violet red gold", "", "yellow violet red gold", 4700, "→ 4.7 kΩ, 5 % (4 bands)"},
		{"capacitor", "104", "", "104", 100e-9, "104 → 100 nF"}, // nobody means 104 F
		{"inductor", "101", "", "101", 100e-6, "101 → 100 µH"},
	} {
		w := newTestWindow(t)
		w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "X1", Kind: c.kind, Placed: true}}}, "")
		w.Select("X1")
		w.enter(w.inspector.fieldOf(t, "Value"), c.typed)
		p := w.doc.Diagram().Part("X1")
		if p.Value != c.value || p.Marking != c.marking {
			t.Errorf("%s %q: value %q, marking %q", c.kind, c.typed, p.Value, p.Marking)
		}
		values, _ := w.doc.Diagram().Resolve(p, nil)
		x, _ := firstNumber(p.LookupKind(), model.Params(values))
		near(t, c.typed, x, c.number, 1e-9)
		if said := words(w.inspector.object); !strings.Contains(said, c.says) {
			t.Errorf("%q says %q", c.typed, said)
		}
	}
}

func TestTheOtherReadingIsOneClickAway(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Value")
	ohms := func() float64 {
		v, _ := w.doc.Diagram().Resolve(w.doc.Diagram().Part("R1"), nil)
		return v.Num("resistance")
	}
	w.enter(f, "333")
	tapSaying(t, w.inspector.object, "or 333 Ω").Tapped(nil)
	if ohms() != 333 || w.doc.Diagram().Part("R1").Marking != "" {
		t.Errorf("as a number 333 gives %v Ω", ohms())
	}
	w.enter(f, "220")
	tapSaying(t, w.inspector.object, "or 22 Ω").Tapped(nil)
	if ohms() != 22 || w.doc.Diagram().Part("R1").Marking != "220" {
		t.Errorf("as a marking 220 gives %v Ω", ohms())
	}
}

func TestAKnownMarkingIsNotTakenForAnother(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.enter(w.inspector.fieldOf(t, "Marking"), "102")
	w.enter(w.inspector.fieldOf(t, "Value"), "333")
	if p := w.doc.Diagram().Part("R1"); p.Marking != "102" || p.Value != "333" {
		t.Errorf("value %q, marking %q", p.Value, p.Marking)
	}
}

func TestTheFieldMakesStacks(t *testing.T) {
	for typed, want := range map[string]struct {
		value string
		count int
	}{
		"x12": {"1k", 12}, "470 ×3": {"470", 3}, "2k2 x 4": {"2k2", 4}, "12": {"12", 0},
	} {
		w := drawLoop(t)
		w.Select("R1")
		w.enter(w.inspector.fieldOf(t, "Value"), typed)
		if p := w.doc.Diagram().Part("R1"); p.Value != want.value || p.Count != want.count {
			t.Errorf("%q: value %q × %d", typed, p.Value, p.Count)
		}
		w.command("undo")
		if p := w.doc.Diagram().Part("R1"); p.Value != "1k" || p.Count > 1 {
			t.Errorf("%q is more than one step to undo: %q × %d", typed, p.Value, p.Count)
		}
	}
	w := drawLoop(t)
	w.Select("R1")
	f := w.inspector.fieldOf(t, "Value")
	w.spell(f, "1k x0")
	if !strings.Contains(f.problem, "a stack has") || w.doc.Diagram().Part("R1").Count > 1 {
		t.Errorf("a stack of 0: %q", f.problem)
	}
}

func TestNotesAndTagsKeepTheirTimesSigns(t *testing.T) {
	for _, kind := range []string{"note", "tag"} {
		w := newTestWindow(t)
		w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "X1", Kind: kind, Placed: true}}}, "")
		w.Select("X1")
		w.enter(w.inspector.page.value, "LEDs x12")
		if p := w.doc.Diagram().Part("X1"); p.Value != "LEDs x12" || p.Count > 1 {
			t.Errorf("%s: %q × %d", kind, p.Value, p.Count)
		}
	}
}

func TestTypicalDataIsAListToSearch(t *testing.T) {
	w := newTestWindow(t)
	w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "Q1", Kind: "pnp", Placed: true}}}, "")
	w.Select("Q1")
	w.press("k")
	f := w.foundIn(t)
	want := model.LookupKind("pnp").Handbook[1].Value
	f.entry.SetText(want)
	if len(f.shown) == 0 || f.shown[f.at].title != want {
		t.Fatalf("%q finds %+v", want, f.shown)
	}
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := w.doc.Diagram().Part("Q1").Value; got != want || w.modal() {
		t.Errorf("took %q", got)
	}
}
