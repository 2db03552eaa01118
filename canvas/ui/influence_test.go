package ui

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"copperglass/model"
)

// said is the text of the inspector with single spaces.
func (w *Window) said() string { return strings.Join(strings.Fields(words(w.inspector.object)), " ") }

// A link is the strongest lever, told by the ohm; a temperature moves by
// degrees.
func TestWhatSetsACurrentInWords(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("D1")
	tapText(t, w, "What sets its current?")
	for _, text := range []string{"R4 resistance, 1 Ω more −26.3 %", "The surroundings temperature, 3 °C more +3.16 %", "BT1 voltage +3.09 %"} {
		if !strings.Contains(w.said(), text) {
			t.Errorf("%q is not said in %q", text, w.said())
		}
	}
	segmentOf(t, w, "If misread").choose("If misread")
	said := w.said()
	for _, text := range []string{"resistance, ± 40 %", "D1 forward voltage, ± 100 mV", "The parts of a stack are taken to lie off together"} {
		if !strings.Contains(said, text) {
			t.Errorf("if misread, %q is not said in %q", text, said)
		}
	}
	if strings.Contains(said, "emission coefficient") || strings.Contains(said, "1 Ω more") {
		t.Errorf("if misread, it says %q", said)
	}
}

// Doubt is of what people read off a part: of a guessed transistor its gain, not
// what follows from its type.
func TestWhatADoubtIsOf(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, name string
		want       bool
	}{
		{"resistor", "resistance", true}, {"resistor", "temperature", false}, {"npn", "forward_beta", true}, {"npn", "saturation_current", false},
		{"battery", "charge_left", true}, {"battery", "resistance", true}, {"led", "emission_coefficient", false},
	} {
		if got := saidOf(&model.Part{Kind: c.kind}, c.name); got != c.want {
			t.Errorf("%s of a %s: %v", c.name, c.kind, got)
		}
	}
}

func TestFiguresOfInfluence(t *testing.T) {
	t.Parallel()
	for x, want := range map[float64]string{0.0345: "+0.03 %", -3.156: "−3.16 %", 26.294: "+26.3 %", -389.6: "−390 %"} {
		if got := signed(x); got != want {
			t.Errorf("%v is %q, want %q", x, got, want)
		}
	}
	if got := plusMinus(-389.6); got != "± 390 %" {
		t.Errorf("it is %q", got)
	}
}

// A click on any figure that something sets, and Enter on it, tell what sets it.
func TestAFigureTellsWhatSetsIt(t *testing.T) {
	for _, c := range []struct{ part, figure, want string }{
		{"", "Supply current", "What sets the current of BT1?"},
		{"", "Supply power", "What sets the power of BT1?"},
		{"D1", "Takes", "What sets the power of D1?"},
		{"D1", "Voltage, anode to cathode", "What sets the voltage of D1?"},
		{"Q1", "Base current", "What sets the base current of Q1?"},
		{"Q1", "Emitter – collector", "What sets the collector emitter voltage of Q1?"},
	} {
		w := openLantern(t)
		w.SetMode("White")
		if c.part != "" {
			w.Select(c.part)
		}
		var area *tapArea
		for _, o := range test.LaidOutObjects(w.inspector.object) {
			if a, ok := o.(*tapArea); ok && strings.HasPrefix(words(a), c.figure) {
				area = a
			}
		}
		if area == nil {
			t.Fatalf("%s is no place to click", c.figure)
		}
		w.focus(area)
		area.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		if said := w.said(); !strings.Contains(said, c.want) || !strings.Contains(said, "when a value grows by 1 %") {
			t.Errorf("%s: it says %q, want %q", c.figure, said, c.want)
		}
	}
}

// From an LED two clicks lead to its resistor: the second is the offer, then the
// figure is typed.
func TestWhichResistorForAnLED(t *testing.T) {
	w := openLantern(t)
	w.SetMode("Amber")
	w.Select("D1")
	tapText(t, w, "Which R4 for a wanted current?")
	e, ok := w.win.Canvas().Focused().(*entry)
	if !ok || w.doc.Mode() != "White" {
		t.Fatalf("%T has the keyboard, in %s", w.win.Canvas().Focused(), w.doc.Mode())
	}
	e.SetText("5 mA")
	said := w.said()
	want := []string{"(E24) gives", "mA each and turns", "into heat", "would be exact"}
	for _, text := range want {
		if !strings.Contains(said, text) {
			t.Errorf("%q is not said in %q", text, said)
		}
	}
	tapText(t, w, "Use it")
	if each := math.Abs(w.current("D1")) / 12; math.Abs(each-5e-3) > 0.4e-3 {
		t.Errorf("%v A each", each)
	}
	w.Select("Q1")
	if strings.Contains(w.said(), "for a wanted current?") {
		t.Error("a transistor is offered a resistor")
	}
}

// What the resistor may not turn into heat is said: 3 V over 100 mA are 0.3 W,
// and it may have an eighth.
func TestAResistorThatWouldGetTooHot(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	tapText(t, w, "Turn it as a knob")
	w.inspector.fieldOf(t, "Wanted").entry.SetText("100 mA")
	if said := w.said(); !strings.Contains(said, "R1 has 472 mW, more than its 125 mW: take one for 500 mW.") {
		t.Errorf("says %q", said)
	}
}

// What sets how long the cells last explains the figure that is shown: more
// charge lasts longer, and an ohm in the place of the link makes it a quarter.
func TestWhatSetsHowLongItLasts(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	tapText(t, w, "What sets how long it lasts?")
	said := w.said()
	for _, text := range []string{"What sets how long BT1 lasts?", "How long BT1 lasts about 9 h 10 min", "charge left +0.36 %", "R4 resistance, 1 Ω more +24.6 %", "D1 forward voltage +", "the discharge followed again"} {
		if !strings.Contains(said, text) {
			t.Errorf("%q is not said in %q", text, said)
		}
	}
	if strings.Contains(said, "BT1 voltage") {
		t.Errorf("the cells' voltage follows their curve: %q", said)
	}
}

// The sentence is about the same bars as it stands over: what a misread value
// does, not what 1 % does.
func TestTheSentenceOfDoubt(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("D1")
	tapText(t, w, "What sets its current?")
	if said := w.said(); !strings.Contains(said, "The strongest lever is BT1’s voltage") {
		t.Errorf("it says %q", said)
	}
	segmentOf(t, w, "If misread").choose("If misread")
	if said := w.said(); !strings.Contains(said, "The most doubt comes from BT1’s resistance: if it lies off by 40 %, the current of D1 may be off by 1") || strings.Contains(said, "lever") {
		t.Errorf("if misread, it says %q", said)
	}
}
