package ui

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

func TestHoveringAWireTellsItsCurrents(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	r := w.doc.Result()
	for _, wire := range w.doc.Diagram().Wires {
		n := r.Nets.Wire(w.doc.Diagram().WireIndex(wire.ID))
		name, says := w.surface.describe(tool.Target{Wire: wire.ID})
		if name != r.Nets.Nets[n].Name {
			t.Errorf("wire %d lights up %q, not %q", wire.ID, name, r.Nets.Nets[n].Name)
		}
		sum, told := 0.0, strings.Count(says, " takes"+columnMark)+strings.Count(says, " gives"+columnMark)
		list := pinCurrents(r, r.Nets.Nets[n].Pins)
		largest := 0.0
		for _, c := range list {
			sum += c.amps
			largest = math.Max(largest, math.Abs(c.amps))
		}
		voltage := columnMark + volts(r.Volts[n])
		if math.IsNaN(r.Volts[n]) {
			voltage = columnMark + "floats"
		}
		if told != min(len(r.Nets.Nets[n].Pins), mostPinsTold) || !strings.Contains(says, voltage) {
			t.Errorf("of net %s it says %q", name, says)
		}
		if math.Abs(sum) > 1e-9*largest+1e-15 {
			t.Errorf("the currents of net %s come to %v A", name, sum)
		}
		if !strings.HasSuffix(says, "In all"+columnMark+amps(sum)) {
			t.Errorf("the sum is not told: %q", says)
		}
	}
}

func TestHoveringAPartTellsWhatItDoes(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	_, says := w.surface.describe(tool.Target{Ref: "Q1"})
	for _, want := range []string{"Q1 BC807-25, PNP transistor", "Working state" + columnMark + "saturated", "Takes" + columnMark, " %)"} {
		if !strings.Contains(says, want) {
			t.Errorf("%q is not in %q", want, says)
		}
	}
	_, says = w.surface.describe(tool.Target{Ref: "D1"})
	if !strings.Contains(says, "D1 white ×12, LED") {
		t.Errorf("a stack says %q", says)
	}
	for mode, state := range map[string]string{"White": "lit", "Off": "off"} {
		w.SetMode(mode)
		if _, says = w.surface.describe(tool.Target{Ref: "D1"}); !strings.Contains(says, "Working state"+columnMark+state+"\n") {
			t.Errorf("in %s the LED is not %s: %q", mode, state, says)
		}
	}
}

// Nothing of an explanation is cut.
func TestExplanationsAreWhole(t *testing.T) {
	w := openLantern(t)
	for _, ref := range []string{"D1", "Q1", "IC1", "R1"} {
		_, says := w.surface.describe(tool.Target{Ref: ref})
		if shown := words(w.tips.lines(says)); strings.Contains(shown, "…") {
			t.Errorf("of %s it shows %q", ref, shown)
		}
	}
}

// Where parts stand so close that their labels find no place, hovering says
// what these would have said.
func TestADroppedLabelShowsOnHover(t *testing.T) {
	w := newTestWindow(t)
	d := &model.Diagram{}
	for i := range 49 {
		d.Parts = append(d.Parts, &model.Part{Ref: fmt.Sprint("R", i+1), Kind: "resistor", Placed: true, Value: "4k7",
			At: geom.Pt(i%7*4, i/7), Doubt: model.Read})
	}
	w.doc.Replace(d, "")
	w.paint()
	dropped := 0
	for _, l := range w.surface.scene.Dropped {
		if l.Kind != scene.NameLabel && l.Kind != scene.ValueLabel {
			continue
		}
		dropped++
		if _, says := w.surface.describe(tool.Target{Ref: l.Ref}); !strings.HasPrefix(says, l.Ref+" 4.7 kΩ, resistor") {
			t.Errorf("%q is dropped and hovering says %q", l.Text, says)
		}
	}
	if dropped == 0 {
		t.Error("no label was dropped: the test tests nothing")
	}
}

func TestATableInAnExplanationFitsIt(t *testing.T) {
	w := newTestWindow(t)
	long := strings.Repeat("a long name ", 12)
	w.tips.show("Head"+columnMark+"1 V\n"+long+columnMark+"12.3 mA\n"+long, fyne.NewPos(700, 300))
	box := w.tips.layer.Objects[0].Size()
	if box.Width > tipWidth+2*tipPad {
		t.Errorf("the explanation is %v wide", box.Width)
	}
	if said := words(w.tips.layer); !strings.Contains(said, "12.3 mA") || strings.Contains(said, columnMark) {
		t.Errorf("it says %q", said)
	}
}

func TestTheKeysExplainWhatTheCursorIsAt(t *testing.T) {
	w := drawLoop(t)
	w.press("cancel", "right")
	w.goTo(10, 5)
	if w.surface.hover == "" || !strings.Contains(w.tips.text, "R1’s pin 1") {
		t.Errorf("at R1's pin net %q lights up; %q", w.surface.hover, w.tips.text)
	}
	if at := w.surface.here(); at != (canvas.Point{X: 10 * canvas.Grid, Y: 5 * canvas.Grid}) {
		t.Errorf("the cursor is at %v", at)
	}
}

func TestAnExplanationGoesWithWhatItExplains(t *testing.T) {
	w := openLantern(t)
	w.tips.show("BT1 gives"+columnMark+"1 µA", fyne.NewPos(700, 300))
	w.command("next mode")
	if len(w.tips.layer.Objects) > 0 {
		t.Error("figures of another mode are still told")
	}
}
