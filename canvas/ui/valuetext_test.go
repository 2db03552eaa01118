package ui

import (
	"maps"
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
		{"resistor", "220", "220", "", 220, "or 22 Ω, as a code"},      // 220 Ω is usual
		{"resistor", "1000", "1000", "", 1000, "or 100 Ω, as a code"},  // so is 1 kΩ
		{"resistor", "4992", "", "4992", 49900, "4992 → 49.9 kΩ, 1 %"}, // of E96
		{"resistor", "350", "350", "", 350, "or 35 Ω, as a code"},      // neither is usual: as typed
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

// What people type off parts, in either field: what the part is then, or what is
// said of it.
func TestEitherFieldUnderstandsWhatIsOnParts(t *testing.T) {
	w := newTestWindow(t)
	for _, c := range []struct{ kind, typed, says string }{
		{"resistor", "1002", "1002 → 10 kΩ, 1 % (4-digit code)"},
		{"resistor", "4k7J", "4k7J → 4.7 kΩ, 5 %"},
		{"resistor", "96B", "96B → 9.76 kΩ, 1 % (EIA-96 code)"},
		{"resistor", "97C", "run from 01 to 96"},
		{"resistor", "brown black orange gold", "→ 10 kΩ, 5 % (4 bands)"},
		{"resistor", "purple red red gold", "→ 7.2 kΩ, 5 % (4 bands)"},
		{"resistor", "Gray Red Brown Silver", "→ 820 Ω, 10 % (4 bands)"},
		{"resistor", "purple red", "a part has three to six bands, not 2"},
		{"resistor", "yelow violet red", "“yelow” is no colour of the code, but yellow is"},
		{"resistor", "brownblackorange", "→ 10 kΩ, 20 % (3 bands)"},
		{"resistor", "1O2", "as 102, with digits for the letters that look like them, it is 1 kΩ"},
		{"capacitor", "4R7", "on a resistor it is 4.7 Ω"},
		{"capacitor", "2n2 100V", "2.2 nF, 100 V"},
		{"resistor", "150R J", "→ 150 Ω, 5 %"},
		{"capacitor", "104K", "104K → 100 nF, 10 % (picofarad code)"},
		{"capacitor", "4.7", "or 4.7 µF, plain"},
		{"potentiometer", "B104", "B104 → 100 kΩ, 5 % (3-digit code)"},
		{"potentiometer", "A10K", "10 kΩ"},
		{"inductor", "101K", "101K → 100 µH, 10 % (microhenry code)"},
	} {
		for _, label := range []string{"Value", "Marking"} {
			w.toSheet()
			w.doc.Replace(&model.Diagram{}, "")
			w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "X1", Kind: c.kind, Placed: true}}}, "")
			w.Select("X1")
			w.enter(w.inspector.fieldOf(t, label), c.typed)
			if said := words(w.inspector.object); !strings.Contains(said, c.says) {
				t.Errorf("%s %q as %s says %q, not %q", c.kind, c.typed, label, said, c.says)
			}
		}
	}
}

// The meanings that are offered do not depend on the field it was written into.
func TestBothFieldsOfferTheSameReadings(t *testing.T) {
	w := newTestWindow(t)
	for _, text := range []string{"220", "1000", "472K", "5M0", "R22", "3m3"} {
		var meanings []map[string]bool
		for _, label := range []string{"Value", "Marking"} {
			w.toSheet()
			w.doc.Replace(&model.Diagram{}, "")
			w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "R1", Kind: "resistor", Value: "1k", Placed: true}}}, "")
			w.Select("R1")
			w.enter(w.inspector.fieldOf(t, label), text)
			k, m := model.LookupKind("resistor"), w.doc.Diagram().Part("R1")
			all := map[string]bool{saidValue(k, valueOf(k, m)): true}
			for _, o := range otherReadings(k, m) {
				all[saidValue(k, valueOf(k, &model.Part{Value: o.value, Marking: o.marking}))] = true
			}
			meanings = append(meanings, all)
		}
		if !maps.Equal(meanings[0], meanings[1]) {
			t.Errorf("%s: as a value %v, as a marking %v", text, meanings[0], meanings[1])
		}
	}
}

// valueOf is the value of a part, written or marked.
func valueOf(k *model.Kind, m *model.Part) string {
	if m.Value != "" {
		return m.Value
	}
	return markedValue(k, m.Marking)
}

// A value that is not what stands on the part shows so at both fields, and one
// click at either makes them one.
func TestAContradictionIsMendedByOneClick(t *testing.T) {
	ohms := func(w *Window) float64 {
		v, _ := w.doc.Diagram().Resolve(w.doc.Diagram().Part("R1"), nil)
		return v.Num("resistance")
	}
	for _, c := range []struct {
		value, click   string
		wants          float64
		value2, marked string
	}{
		{"R22", "or 100 kΩ, as printed", 100e3, "", "104"},
		{"R22", "or it reads R22", 0.22, "", "R22"},
		{"2.2k 1%", "or drop the marking", 2200, "2.2k 1%", ""},
	} {
		w := drawLoop(t)
		w.Select("R1")
		w.enter(w.inspector.fieldOf(t, "Marking"), "104")
		w.enter(w.inspector.fieldOf(t, "Value"), c.value)
		for _, says := range []string{"but “104” on the part is 100 kΩ", "is 100 kΩ, 5 % (3-digit code), not "} {
			if said := words(w.inspector.object); !strings.Contains(said, says) {
				t.Errorf("%s beside 104 says %q", c.value, said)
			}
		}
		tapSaying(t, w.inspector.object, c.click).Tapped(nil)
		p := w.doc.Diagram().Part("R1")
		if near(t, c.click, ohms(w), c.wants, 1e-9); p.Value != c.value2 || p.Marking != c.marked {
			t.Errorf("%s: value %q, marking %q", c.click, p.Value, p.Marking)
		}
		if said := words(w.inspector.object); strings.Contains(said, "on the part is") || strings.Contains(said, ", not ") {
			t.Errorf("%s: still says %q", c.click, said)
		}
	}
}

// A value that no part has is taken for what is printed, but not at the cost of
// what is known to be printed.
func TestAnAbsurdValueIsAMarking(t *testing.T) {
	w := newTestWindow(t)
	w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "C1", Kind: "capacitor", Placed: true, Value: "10n", Marking: "103"}}}, "")
	w.Select("C1")
	w.enter(w.inspector.fieldOf(t, "Value"), "104K")
	if p := w.doc.Diagram().Part("C1"); p.Marking != "103" || p.Value != "100 nF" {
		t.Errorf("value %q, marking %q", p.Value, p.Marking)
	}
}
