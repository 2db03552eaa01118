package ui

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"copperglass/model"
	"copperglass/model/quantity"
)

// dialOf returns the slider of the knob that is shown.
func dialOf(t *testing.T, w *Window) *dial {
	t.Helper()
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if d, ok := o.(*dial); ok {
			return d
		}
	}
	t.Fatal("there is no slider")
	return nil
}

// A voltage source of 3 V, R1 of 1 kΩ: turned to 2 kΩ half the current flows,
// and the drawing stays as it is.
func TestTurningAKnobIsNoEdit(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	before := math.Abs(w.current("R1"))
	tapText(t, w, "Turn it as a knob")
	d := dialOf(t, w)
	d.SetValue(0.5 + math.Log(2)/math.Log(1e4)) // from 10 Ω to 100 kΩ in equal ratios
	near(t, "current at 2 kΩ", math.Abs(w.current("R1")), before/2, 1e-3)
	if p := w.doc.Diagram().Part("R1"); p.Value != "1k" {
		t.Errorf("turning changes the drawing to %q", p.Value)
	}
	if said := words(w.inspector.object); !strings.Contains(said, "2 kΩ") || !strings.Contains(said, "drawn: 1 kΩ") {
		t.Errorf("says %q", said)
	}
	tapText(t, w, "Put it back")
	near(t, "current put back", math.Abs(w.current("R1")), before, 1e-9)
	d.SetValue(0.5 + math.Log(2)/math.Log(1e4))
	tapText(t, w, "Back")
	near(t, "current after leaving", math.Abs(w.current("R1")), before, 1e-9)
}

func TestKeepingAKnob(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	tapText(t, w, "Turn it as a knob")
	d := dialOf(t, w)
	for _, step := range []struct {
		stop string
		key  fyne.KeyName
		want string
	}{{"E12", fyne.KeyRight, "1.2 kΩ"}, {"E12", fyne.KeyRight, "1.5 kΩ"}, {"E6", fyne.KeyLeft, "1 kΩ"}, {"E6", fyne.KeyLeft, "680 Ω"}} {
		segmentOf(t, w, "E12").choose(step.stop)
		d.TypedKey(&fyne.KeyEvent{Name: step.key})
		if said := words(w.inspector.object); !strings.Contains(said, step.want) {
			t.Fatalf("%s %s: %q is not said in %q", step.stop, step.key, step.want, said)
		}
	}
	tapText(t, w, "Keep it")
	if p := w.doc.Diagram().Part("R1"); p.Value != "680 Ω" || len(p.Params) != 0 || w.doc.Previewing() {
		t.Errorf("kept value %q, params %v, previewing %v", p.Value, p.Params, w.doc.Previewing())
	}
	w.doc.Undo()
	if p := w.doc.Diagram().Part("R1"); p.Value != "1k" {
		t.Errorf("one undo leads to %q", p.Value)
	}
}

// segmentOf returns the choice that has the option.
func segmentOf(t *testing.T, w *Window, option string) *segment {
	t.Helper()
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if s, ok := o.(*segment); ok {
			for _, each := range s.options {
				if each == option {
					return s
				}
			}
		}
	}
	t.Fatalf("there is no choice of %s", option)
	return nil
}

// What the part's value cannot say alone stands beside it.
func TestKeepingWhatTheValueDoesNotSay(t *testing.T) {
	w := openLantern(t)
	w.Select("BT1")
	tapText(t, w, "Turn it as a knob")
	value := w.doc.Diagram().Part("BT1").Value
	dialOf(t, w).SetValue(0.5)
	tapText(t, w, "Keep it")
	p := w.doc.Diagram().Part("BT1")
	if x, _ := p.Params["charge_left"].Num(); x != 0.5 || p.Value != value {
		t.Errorf("charge %v, value %q", p.Params["charge_left"], p.Value)
	}
}

// inkOf is the colour of the line of text that begins so.
func inkOf(t *testing.T, o fyne.CanvasObject, text string) color.Color {
	t.Helper()
	for _, each := range test.LaidOutObjects(o) {
		if line, ok := each.(*prim.Text); ok && strings.HasPrefix(line.Text, text) {
			return line.Color
		}
	}
	t.Fatalf("nothing says %q in %q", text, words(o))
	return nil
}

// In the lantern a link stands in the resistor's place; 12 white LEDs of 20 mA
// each need 12 times that through it.
func TestAimingAtEachOfAStack(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("R4")
	tapText(t, w, "Turn it as a knob")
	if said := words(w.inspector.object); !strings.Contains(said, "Current of D1, each") {
		t.Fatalf("the main load is not offered: %q", said)
	}
	w.inspector.fieldOf(t, "Wanted").entry.SetText("20 mA")
	said := words(w.inspector.object)
	for _, text := range []string{"(E24) gives", "mA each", "into heat", "would be exact", "With new cells 1.8 Ω gives 31.9 mA each; if it is to hold from new cells on, take 5.1 Ω"} {
		if !strings.Contains(said, text) {
			t.Errorf("%q is not said in %q", text, said)
		}
	}
	for text, want := range map[string]color.Color{"With new cells 1.8 Ω gives": w.inspector.look.Ink, "With new cells R4 has": w.inspector.look.Flag} {
		if got := inkOf(t, w.inspector.object, text); got != want {
			t.Errorf("%q is written in %v, want %v", text, got, want)
		}
	}
	tapText(t, w, "Use it")
	if each := math.Abs(w.current("D1")) / 12; math.Abs(each-20e-3) > 1e-3 {
		t.Errorf("%v A each", each)
	}
	values, _ := w.doc.Shown().Resolve(w.doc.Shown().Part("R4"), nil)
	if s, _ := quantity.NamePreferred(values.Num("resistance")); s == 0 || s > quantity.E24 {
		t.Errorf("%v Ω is no preferred value", values.Num("resistance"))
	}
	w.inspector.fieldOf(t, "Wanted").entry.SetText("2 A")
	if said := words(w.inspector.object); !strings.Contains(said, "No value of the resistance brings the current of D1, each to 2 A") {
		t.Errorf("what cannot be met: %q", said)
	}
}

func TestKeepingAKnobAsAWhatIf(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	tapText(t, w, "Turn it as a knob")
	w.inspector.fieldOf(t, "Or type it").entry.SetText("2k")
	before := math.Abs(w.current("R1")) * 2
	tapText(t, w, "Keep as a what-if")
	name, ok := w.win.Canvas().Focused().(*dialogEntry)
	if !ok || name.SelectedText() != "R1 2 kΩ" {
		t.Fatalf("no name is asked for: %T has the keyboard", w.win.Canvas().Focused())
	}
	name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if n := len(w.doc.Diagram().WhatIfs); n != 0 || !w.doc.Previewing() {
		t.Fatalf("after Escape %d are kept, still turned: %v", n, w.doc.Previewing())
	}
	tapText(t, w, "Keep as a what-if")
	name = w.win.Canvas().Focused().(*dialogEntry)
	name.SetText(" ")
	name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if n := len(w.doc.Diagram().WhatIfs); n != 0 || len(w.asking) != 1 {
		t.Fatalf("%d are kept without a name", n)
	}
	name.SetText("twice")
	name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	list := w.doc.Diagram().WhatIfs
	if len(list) != 1 || list[0].Name != "twice" || w.doc.Diagram().Part("R1").Value != "1k" {
		t.Fatalf("what-ifs %v, value %q", list, w.doc.Diagram().Part("R1").Value)
	}
	near(t, "current of the what-if", math.Abs(w.current("R1")), before/2, 1e-3)
}

// The lines of a transistor's states follow the knob.
func TestThePictureOfAKnob(t *testing.T) {
	w := openStory(t)
	w.Select("G2")
	tapText(t, w, "Turn it as a knob")
	in := w.inspector
	k := &knob{in: in, ref: "G2", q: model.LookupKind("supply").Param("voltage")}
	k.scale = scaleFor(k.q, k.drawn())
	k.trace.of = []sought{{"E1.1.amps", 1, quantity.Ampere}}
	seen, done, err := k.look()
	if !done || err != nil {
		t.Fatal(done, err)
	}
	var names []string
	for _, b := range seen.states {
		names = append(names, b.Name)
	}
	if got := strings.Join(names, ", "); seen.of != "Q1" || got != "saturated, active, cut-off" {
		t.Errorf("the states of %s are %q", seen.of, got)
	}
	c := k.picture(seen)
	if len(c.Marks) != 1 || c.Marks[0].At != 4.5 || len(c.Curves) != 1 || len(c.Curves[0].X) != tracePoints {
		t.Errorf("marks %v, %d curves", c.Marks, len(c.Curves))
	}
	if first, last := c.Curves[0].Y[0], c.Curves[0].Y[tracePoints-1]; !(first > 0.1) || !(last < 1e-3) {
		t.Errorf("the lamp takes %v A at 0 V and %v A at the end", first, last)
	}
}

// The axis is written as people write: 70 % of a charge, 25 °C.
func TestTheAxisOfAPicture(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, name string
		x, want    float64
		unit       quantity.Unit
	}{
		{"battery", "charge_left", 0.7, 70, quantity.Percent},
		{"resistor", "temperature", 298.15, 25, quantity.None},
		{"resistor", "resistance", 47, 47, quantity.Ohm},
	} {
		k := &knob{q: model.LookupKind(c.kind).Param(c.name)}
		if along, unit := k.along(); math.Abs(along(c.x)-c.want) > 1e-9 || unit != c.unit {
			t.Errorf("%s: %v is at %v of %v", c.name, c.x, along(c.x), unit)
		}
	}
}

func TestScales(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, name string
		now        float64
		low, high  float64
		middle     float64
	}{
		{"resistor", "resistance", 1000, 10, 100e3, 1000},
		{"supply", "voltage", 4.5, 0, 9, 4.5},
		{"supply", "voltage", 0, 0, 5, 2.5},
		{"supply", "voltage", -3, -6, 0, -3},
		{"battery", "charge_left", 1, 0, 1, 0.5},
		{"resistor", "temperature", 298.15, 233.15, 398.15, 316.15},
		{"resistor", "resistance", 0, 0.1, 10e3, 31.6},
	} {
		s := scaleFor(model.LookupKind(c.kind).Param(c.name), c.now)
		if math.Abs(s.low-c.low) > 1e-9 || math.Abs(s.high-c.high) > 1e-6 || math.Abs(s.value(0.5)-c.middle) > 1e-9 {
			t.Errorf("%s at %v: from %v to %v, in the middle %v", c.name, c.now, s.low, s.high, s.value(0.5))
		}
		if x := s.value(s.place(s.value(0.3))); math.Abs(x-s.value(0.3)) > 1e-9*math.Abs(x) {
			t.Errorf("%s: the place of %v is that of %v", c.name, s.value(0.3), x)
		}
	}
	if s := scaleFor(model.LookupKind("resistor").Param("resistance"), 0); s.value(0) != 0 || s.step(0, 1) != 0.1 {
		t.Errorf("a link is at %v, the next is %v", s.value(0), s.step(0, 1))
	}
}

// Turning goes through what follows the circuit, which is compiled once.
func TestTurningAKnobCompilesNothing(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("R4")
	tapText(t, w, "Turn it as a knob")
	d := dialOf(t, w)
	d.SetValue(0.3) // no longer a link
	w.doc.solver.followed.busy.Lock()
	before := w.doc.solver.followed.byMode["White"].Compiled()
	w.doc.solver.followed.busy.Unlock()
	for i := range 20 {
		d.SetValue(0.31 + 0.01*float64(i))
	}
	w.doc.solver.followed.busy.Lock()
	defer w.doc.solver.followed.busy.Unlock()
	if n := w.doc.solver.followed.byMode["White"].Compiled() - before; n != 0 {
		t.Errorf("20 turns compile the circuit %d times", n)
	}
}

// A turn measures the few texts that are new and none of the others: to measure
// one takes some 400 allocations, and the page has 70 of them.
func TestATurnMeasuresOnlyWhatIsNew(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	w.Select("R4")
	tapText(t, w, "Turn it as a knob")
	d, place := dialOf(t, w), 0.3
	turn := func() {
		place += 0.001
		d.SetValue(place)
	}
	turn()
	const most = 10_000
	if n := testing.AllocsPerRun(20, turn); n > most {
		t.Errorf("a turn takes %.0f allocations, more than %d", n, most)
	}
}
