package ui

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/net"
)

// hangingPart is the one part that hangs on the pointer, or nil.
func hangingPart(w *Window) *model.Part {
	if hangs := w.doc.hanging(); len(hangs) == 1 {
		return hangs[0]
	}
	return nil
}

// A new part on the pointer is no part of the circuit until it touches it.
func TestAPartOnThePointerIsNotThereYet(t *testing.T) {
	w := drawLoop(t)
	before, faults := w.bar.traced.Text, len(w.doc.Result().Faults)
	w.surface.TypedRune('q')
	w.surface.moved(w.at(30, 20))
	p := hangingPart(w)
	if p == nil || w.doc.Shown().Part(p.Ref) != nil {
		t.Fatalf("%+v hangs on the pointer and is in the drawing", p)
	}
	if got := w.bar.traced.Text; got != before {
		t.Errorf("the bar says %q, want %q", got, before)
	}
	if got := len(w.doc.Result().Faults); got != faults {
		t.Errorf("%d findings, want %d", got, faults)
	}
	halo, ok := w.surface.hanging()[len(w.surface.hanging())-1].(*canvas.Path)
	if !ok || len(halo.Dash) == 0 || halo.Stroke != w.look.Accent {
		t.Errorf("around it is %+v", halo)
	}
}

// Where it would join something, what it does shows; what it lacks does not.
func TestAPartThatWouldJoinShowsWhatItDoes(t *testing.T) {
	w := drawLoop(t)
	end := w.doc.Diagram().Part("R1").PlacedPins()[0].At
	w.surface.TypedRune('r')
	w.surface.moved(w.at(float64(end.X)-2, float64(end.Y)))
	p := hangingPart(w)
	if p == nil || w.doc.Shown().Part(p.Ref) == nil {
		t.Fatalf("%+v touches R1 and is not in the drawing", p)
	}
	for _, f := range w.doc.Result().Faults {
		if strings.Contains(f.Text, p.Ref) {
			t.Errorf("a finding about a part that is not placed: %s", f.Text)
		}
	}
}

func TestVoltageAndCurrentGoTheSameWay(t *testing.T) {
	w := openLantern(t)
	w.SetMode("White")
	for _, ref := range []string{"R1", "R4", "D1"} {
		rows := figureRows(w.doc.Shown(), w.doc.Result(), ref, "White")
		if rows[0].name == "Working state" {
			rows = rows[1:]
		}
		voltage, of, _ := strings.Cut(rows[0].name, ", ")
		current, from, _ := strings.Cut(rows[1].name, ", ")
		if voltage != "Voltage" || current != "Current" || of != from || !strings.Contains(of, " to ") {
			t.Errorf("%s: %q and %q", ref, rows[0].name, rows[1].name)
		}
		for _, r := range rows[:2] {
			if strings.HasPrefix(r.figure, "−") {
				t.Errorf("%s: %s is %s", ref, r.name, r.figure)
			}
		}
	}
}

func TestALoudStatusOnlyWhereNothingIsSolved(t *testing.T) {
	w := drawLoop(t)
	if w.bar.alarm.Visible() {
		t.Errorf("%q is an alarm", w.bar.short)
	}
	tags := map[string]string{"+": "X", "-": "GND"}
	if err := w.doc.Edit("break", "", func(f *model.Draft) {
		f.AddPart(&model.Part{Ref: "V1", Kind: "supply", Value: "5 V", Tags: tags})
		f.AddPart(&model.Part{Ref: "V2", Kind: "supply", Value: "6 V", Tags: tags})
	}); err != nil {
		t.Fatal(err)
	}
	if !w.bar.alarm.Visible() || w.bar.status.Color != w.look.OnFlag {
		t.Errorf("%q is no alarm", w.bar.short)
	}
}

func TestALongTitleIsCutAtRest(t *testing.T) {
	w := newTestWindow(t)
	title := strings.Repeat("long ", 60)
	w.doc.Type("name of the drawing", func(f *model.Draft) { f.SetTitle(title) })
	w.doc.keepTyped()
	box := w.bar.box
	if got := box.text.Text; !strings.HasSuffix(got, "…") || textWidth(got, titleSize, true) > box.Size().Width {
		t.Errorf("the heading is %q", got)
	}
	if box.typing.Visible() || !box.text.Visible() {
		t.Error("it is an entry at rest")
	}
	box.Tapped(nil)
	if !w.hasFocus(w.bar.title) || !box.typing.Visible() || w.bar.title.Text != title {
		t.Error("a click does not begin to type")
	}
	w.bar.title.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if box.typing.Visible() {
		t.Error("it stays an entry")
	}
}

// An explanation stands beside what it explains.
func TestTipsCoverNothingTheyExplain(t *testing.T) {
	w := openLantern(t)
	room := w.tips.layer.Size()
	for name, c := range map[string]struct {
		at   fyne.Position
		free func(from, to fyne.Position) bool
	}{
		"panel":   {fyne.NewPos(room.Width-200, 300), func(_, to fyne.Position) bool { return to.X <= room.Width-inspectorWidth(room.Width) }},
		"modes":   {fyne.NewPos(500, room.Height-60), func(_, to fyne.Position) bool { return to.Y <= room.Height-stripHeight() }},
		"palette": {fyne.NewPos(60, 300), func(from, _ fyne.Position) bool { return from.X >= paletteWidth(room.Width) }},
	} {
		w.tips.show("Something worth knowing about this, in more words than there is room for on one line.", c.at)
		ground := w.tips.layer.Objects[0].(*prim.Rectangle)
		from := ground.Position()
		if to := from.Add(ground.Size()); !c.free(from, to) {
			t.Errorf("%s: from %v to %v", name, from, to)
		}
	}
}

func TestNetsAreCalledByWhatIsSeen(t *testing.T) {
	pin := net.PinID{Ref: "BT1", Pin: "-"}
	nets := &net.Netlist{Nets: []net.Net{{Name: pin.String(), Pins: []net.PinID{pin}}, {Name: "OUT", Pins: []net.PinID{pin}}}}
	if got := netWords(nets, 0); got != "net at BT1’s −" {
		t.Errorf("%q", got)
	}
	if got := netWords(nets, 1); got != "net OUT" {
		t.Errorf("%q", got)
	}
}

func TestAPinWithoutVoltageFloats(t *testing.T) {
	s := partFigures{
		model:  &model.Part{Ref: "IC1", Kind: "chip"},
		result: &analysis.Result{Volts: []float64{math.NaN(), 3}},
		part: &analysis.PartResult{Kind: "chip", Pins: []analysis.PinResult{
			{Name: "1", Net: 0}, {Name: "2", Net: 1, Amps: 2e-14},
		}},
	}
	rows := s.byPin()
	if rows[0].figure != "floats" || rows[1].figure != "3.00 V, < 1 pA" {
		t.Errorf("%+v", rows)
	}
}

func TestCurlyQuotes(t *testing.T) {
	if got := curly(`R1's "blue" pin ("x")`); got != "R1’s “blue” pin (“x”)" {
		t.Error(got)
	}
}

func TestALongNameOfAModeStandsWhole(t *testing.T) {
	w := newTestWindow(t)
	name := "Blinking slowly in the dark"
	if err := w.doc.Edit("mode", "", func(f *model.Draft) { f.AddMode(&model.Mode{Name: name}) }); err != nil {
		t.Fatal(err)
	}
	c := w.strip.cards[0]
	if c.name.Text != name || c.current.Text != notSolved || c.current.Position().Y != c.name.Position().Y {
		t.Errorf("the card says %q beside %q", c.name.Text, c.current.Text)
	}
	if end := c.name.Position().X + c.name.MinSize().Width; end > c.current.Position().X {
		t.Errorf("the name ends at %g, the current begins at %g", end, c.current.Position().X)
	}
}

func TestFittingShowsTheWholeDrawingInASmallWindow(t *testing.T) {
	w := openLantern(t)
	w.win.Resize(fyne.NewSize(1000, 640))
	w.surface.FitAll()
	w.paint()
	seen, all := w.surface.visible(), w.surface.scene.Bounds
	if !seen.Contains(all.Min) || !seen.Contains(all.Max) {
		t.Errorf("the view is %v, the drawing %v", seen, all)
	}
	if !w.strip.object.(*fyne.Container).Objects[2].Visible() {
		t.Error("no way to add a mode is in view")
	}
}

func TestAChoiceIsAsHighAsAnEntry(t *testing.T) {
	w := newTestWindow(t)
	choice := outlined(widget.NewSelect([]string{"one", "two"}, nil), w.look)
	if a, b := choice.MinSize().Height, newEntry(func() {}).MinSize().Height; a != b {
		t.Errorf("a choice is %v high, an entry %v", a, b)
	}
}

func TestAnEmptyFolderSaysSo(t *testing.T) {
	w := newTestWindow(t)
	w.settings.folder = t.TempDir()
	w.Open()
	if said := words(w.asking[0].popUp.Content); !strings.Contains(said, "nothing here") {
		t.Errorf("the dialog says %q", said)
	}
}

// However the drawing is zoomed, the legend stands where it hides nothing of
// it, or not at all.
func TestTheLegendHidesNothing(t *testing.T) {
	w := openLantern(t)
	w.paint()
	legend := w.surface.legend
	if !legend.raster.Visible() {
		t.Error("no legend beside the whole drawing")
	}
	for range 12 {
		w.surface.zoomAbout(1.15, fyne.NewPos(300, 200))
		w.paint()
		if !legend.raster.Visible() {
			continue
		}
		if !w.surface.freeOfLegend(legend.raster.Position(), legend.raster.Size()) {
			t.Errorf("at zoom %.2f the legend stands on the drawing", w.surface.view.Scale)
		}
	}
}

func TestASmallStripShowsWholeCards(t *testing.T) {
	w := openLantern(t)
	w.win.Resize(fyne.NewSize(1000, 640))
	for _, mode := range []string{"Amber", "Off", "White"} {
		w.doc.SetMode(mode)
		w.strip.refresh()
		w.strip.reveal()
		view := w.strip.scroll
		for _, c := range w.strip.cards {
			left, right := c.Position().X-view.Offset.X, c.Position().X+c.Size().Width-view.Offset.X
			if in := right > cardGap && left < view.Size().Width-cardGap; in && (left < 0 || right > view.Size().Width) {
				t.Errorf("in %s the card of %s stands from %g to %g of %g", mode, c.face.name, left, right, view.Size().Width)
			}
		}
	}
}
