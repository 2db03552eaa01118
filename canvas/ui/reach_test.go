package ui

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"copperglass/model"
)

// keyedSegment is the segment that the keys are at.
func (w *Window) keyedSegment(t *testing.T) *segment {
	t.Helper()
	s, is := w.win.Canvas().Focused().(*segment)
	if !is {
		t.Fatalf("the keyboard is at %T", w.win.Canvas().Focused())
	}
	return s
}

func strike(s fyne.Focusable, keys ...fyne.KeyName) {
	for _, k := range keys {
		s.TypedKey(&fyne.KeyEvent{Name: k})
	}
}

// Whoever sets a mode by the keys sets the next thing, too: the form is made anew
// with each, and the keys stay where they are.
func TestTheKeysStayAtWhatTheModeSets(t *testing.T) {
	w := openLantern(t)
	w.Select("IC1")
	w.command("what it sets")
	first := w.keyedSegment(t)
	if w.doc.Selected().Empty() == false {
		t.Error("the chip is still selected")
	}
	strike(first, fyne.KeyRight, fyne.KeyRight, fyne.KeyRight, fyne.KeySpace)
	target := targets(w.doc.Diagram())[0]
	last := target.states[len(target.states)-1]
	if got := w.doc.Diagram().Mode(w.doc.Mode()).Set[target.name]; got != last {
		t.Fatalf("%s is %q, not %q", target.name, got, last)
	}
	again := w.keyedSegment(t)
	if again == first {
		t.Fatal("the form was not made anew, so this tests nothing")
	}
	if again.chosen != last || !has(w.inspector.body, again) {
		t.Errorf("the keys are at a choice of %q", again.chosen)
	}
	w.win.Canvas().(interface{ FocusNext() }).FocusNext()
	if next := w.keyedSegment(t); next == again {
		t.Error("Tab goes nowhere")
	}
	strike(w.keyedSegment(t), fyne.KeyEscape)
	if f := w.win.Canvas().Focused(); f != nil && f != fyne.Focusable(w.surface) {
		t.Errorf("Escape leaves the keyboard at %T", f)
	}
}

// A choice by the pointer leaves the keyboard to the sheet.
func TestAClickOnAChoiceLeavesTheKeysToTheSheet(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	w.focus(w.inspector.fieldOf(t, "Note").entry)
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if s, is := o.(*segment); is {
			s.Tapped(&fyne.PointEvent{Position: fyne.NewPos(1, 1)})
		}
	}
	if f := w.win.Canvas().Focused(); f != nil && f != fyne.Focusable(w.surface) {
		t.Errorf("the keyboard is at %T", f)
	}
}

// What is typed after Enter must not land on the sheet where the panel refused
// what was there before.
func TestARefusedTextKeepsTheKeyboard(t *testing.T) {
	w := drawLoop(t)
	w.Select("R1")
	for label, text := range map[string]string{"Value": "2kx", "Name": "BT.1", "Tolerance": "much", "Marking": "4xyz1"} {
		f := w.inspector.fieldOf(t, label)
		w.focusAll(f.entry)
		for _, r := range text {
			f.entry.TypedRune(r)
		}
		strike(f.entry, fyne.KeyReturn)
		if !w.hasFocus(f.entry) || f.entry.Text != text || f.entry.SelectedText() != text || f.problem == "" {
			t.Errorf("%s: the keyboard is at %T, the text %q, selected %q, said %q", label, w.win.Canvas().Focused(), f.entry.Text, f.entry.SelectedText(), f.problem)
		}
		strike(f.entry, fyne.KeyEscape)
		if !w.hasFocus(w.surface) {
			t.Errorf("%s: Escape does not give the keyboard back", label)
		}
	}
	if n := len(w.doc.Diagram().Parts); n != len(drawLoop(t).doc.Diagram().Parts) {
		t.Errorf("there are %d parts", n)
	}
}

// The field that is typed in stays where it is on the screen when what stands
// above it gets longer.
func TestWhatIsTypedInDoesNotMove(t *testing.T) {
	w := drawLoop(t)
	w.win.Resize(fyne.NewSize(1000, 500))
	w.Select("R1")
	e := w.inspector.fieldOf(t, "Note").entry
	w.focus(e)
	in := w.inspector
	in.scroll.ScrollToOffset(fyne.NewPos(0, 40))
	at := func() float32 { y, _ := heightIn(in.body, e); return y - in.scroll.Offset.Y }
	before := at()
	in.anchored(in.keyed, func() {
		in.body.Objects = append([]fyne.CanvasObject{gap(70)}, in.body.Objects...)
		in.body.Refresh()
	})
	if now := at(); now != before {
		t.Errorf("it went from %v to %v", before, now)
	}
}

// The list of a chip's pins stays under the pointer when a pin becomes one that
// modes can set, or no longer is.
func TestThePinsStayWhereTheyAre(t *testing.T) {
	w := openLantern(t)
	w.Select("IC1")
	in := w.inspector
	in.scroll.ScrollToOffset(fyne.NewPos(0, 200))
	at := func() float32 { y, _ := heightIn(in.body, in.page.pins); return y - in.scroll.Offset.Y }
	before, height := at(), in.body.MinSize().Height
	change := func(role string) {
		in.page.steady(func() error { return in.page.editPin(0, "role", func(c *model.ChipPin) { c.Role = role }) })
	}
	change("output")
	if in.body.MinSize().Height == height {
		t.Fatal("nothing comes above the pins, so this tests nothing")
	}
	if now := at(); now != before {
		t.Errorf("the list went from %v to %v", before, now)
	}
	change("none")
	if now := at(); now != before {
		t.Errorf("and back to %v", now)
	}
	change("open_drain")
	for _, each := range targetsOf(w.doc.Diagram().Part("IC1")) {
		if !slices.ContainsFunc(focusables(in.body), func(f fyne.Focusable) bool {
			s, is := f.(*segment)
			return is && slices.Equal(s.options[1:], each.states)
		}) {
			t.Errorf("%s is not offered %v", each.title, each.states)
		}
	}
}

// The wheel moves the panel over a field of several lines, too.
func TestTheWheelMovesThePanelOverANote(t *testing.T) {
	w := drawLoop(t)
	w.win.Resize(fyne.NewSize(1000, 500))
	w.Select("R1")
	var top fyne.Scrollable
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if s, is := o.(fyne.Scrollable); is {
			top = s // the last is the one above all others, which gets the wheel
		}
	}
	top.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -25)})
	if y := w.inspector.scroll.Offset.Y; y < 60 {
		t.Errorf("a notch moves it by %v", y)
	}
}

func TestAMarkingAndItsValueSayTheSame(t *testing.T) {
	for label, want := range map[string]struct{ value, offers string }{
		"Marking": {"10 Ω", "or 100 Ω, plain"}, "Value": {"100", "or 10 Ω, as a code"},
	} {
		w := drawLoop(t)
		w.Select("R1")
		w.enter(w.inspector.fieldOf(t, label), "100")
		if got := w.inspector.fieldOf(t, "Value").entry.Text; got != want.value {
			t.Errorf("100 as %s: the value is %q", label, got)
		}
		if said := words(w.inspector.object); !strings.Contains(said, want.offers) || strings.Contains(said, "as printed") {
			t.Errorf("100 as %s: %q", label, said)
		}
	}
}

func TestTheNamesOfWhatIsSelectedFollow(t *testing.T) {
	w := drawLoop(t)
	w.command("all")
	before := words(w.inspector.object)
	w.command("duplicate")
	w.enterKey()
	if now := words(w.inspector.object); now == before {
		t.Errorf("it still says %q", now)
	}
}

// A question stays open when the colours or the size of text change.
func TestAQuestionOutlivesAnotherTheme(t *testing.T) {
	w := openLantern(t)
	w.inspector.ask(w.inspector.modesTopic())
	w.command("dark")
	if w.inspector.topic == nil || !strings.Contains(words(w.inspector.object), "The modes compared") {
		t.Errorf("the panel says %q", words(w.inspector.object))
	}
}

func TestAModesNewNameIsSaidAtOnce(t *testing.T) {
	w := openLantern(t)
	old := w.doc.Diagram().Modes[0].Name
	if old == w.doc.Mode() {
		old = w.doc.Diagram().Modes[1].Name
	}
	w.Select()
	if !strings.Contains(words(w.inspector.object), " in "+old) {
		t.Fatalf("no finding names the mode: %q", words(w.inspector.object))
	}
	if err := w.doc.nameMode(old, "Another name"); err != nil {
		t.Fatal(err)
	}
	if said := words(w.inspector.object); strings.Contains(said, " in "+old) {
		t.Errorf("the old name is still said: %q", said)
	}
}

func TestADoubleClickNamesAMode(t *testing.T) {
	w := openLantern(t)
	c := w.strip.cards[1]
	c.Tapped(nil)
	if w.modal() {
		t.Fatal("one click asks for a name")
	}
	c.Tapped(nil)
	if !w.modal() {
		t.Fatal("two clicks do not")
	}
	e, is := w.win.Canvas().Focused().(*dialogEntry)
	if !is || e.SelectedText() != c.face.name {
		t.Errorf("the keyboard is at %T", w.win.Canvas().Focused())
	}
}

func TestALargeCapacitorIsOfferedItsPoles(t *testing.T) {
	w := newTestWindow(t)
	w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "C1", Kind: "capacitor", Value: "100n", Placed: true}}}, "")
	w.Select("C1")
	if strings.Contains(words(w.inspector.object), "Give it + and −") {
		t.Error("100 nF is offered poles")
	}
	w.enter(w.inspector.fieldOf(t, "Value"), "220u 16V")
	tapSaying(t, w.inspector.object, "Give it + and −").Tapped(nil)
	if on, _ := w.doc.Diagram().Part("C1").Params["polarised"].Enabled(); !on {
		t.Error("it has none")
	}
	if strings.Contains(words(w.inspector.object), "Give it + and −") {
		t.Error("it is offered again")
	}
}

// The forward voltage is the catalogue's own: Cree LC513FWH1, 3.2 V typical at
// 20 mA; Kingbright WP710A10SEC/E, 2.0 V.
func TestAnLEDSaysWhatItTakes(t *testing.T) {
	for colour, says := range map[string]string{"white": "takes 3.2 V at 20 mA", "red": "takes 2 V at 20 mA", "red 1.9 V": "takes 1.9 V at 20 mA"} {
		w := newTestWindow(t)
		w.doc.Replace(&model.Diagram{Parts: []*model.Part{{Ref: "D1", Kind: "led", Value: colour, Placed: true}}}, "")
		w.Select("D1")
		said := words(w.inspector.fieldOf(t, "Value").object)
		if !strings.Contains(said, says) {
			t.Errorf("%s: %q", colour, said)
		}
		first, _ := w.inspector.page.editable(model.LookupKind("led"))
		for _, q := range first {
			if q.Name == "saturation_current" || q.Name == "emission_coefficient" {
				t.Errorf("%s stands open", q.Name)
			}
		}
	}
}

func TestTheListOfCommandsAnswersToWhatPeopleCallThings(t *testing.T) {
	w := openLantern(t)
	for text, want := range map[string]string{"link": "Resistor", "20 mA": "for a wanted current", "resistor for": "for a wanted current", "compare": "Compare the modes"} {
		w.command("commands")
		f := w.foundIn(t)
		f.entry.SetText(text)
		found := ""
		for _, l := range f.shown {
			found += l.title + "; "
		}
		if !strings.Contains(found, want) {
			t.Errorf("%q finds %q", text, found)
		}
		w.typedInDialog(fyne.KeyEscape)
	}
}

// The toolkit's own controls keep the pointer to themselves, and yet explain what
// they are for.
func TestEveryControlOfThePanelExplainsItself(t *testing.T) {
	w := openLantern(t)
	for _, ref := range []string{"", "IC1", "R1", "D1", "BT1"} {
		w.Select()
		if ref != "" {
			w.Select(ref)
		}
		for _, o := range unexplained(w.inspector.body) {
			t.Errorf("%q: nothing explains a %T", ref, o)
		}
	}
}

// unexplained are the controls within an object that have no explanation about
// them, or of their own.
func unexplained(o fyne.CanvasObject) []fyne.Focusable {
	switch o := o.(type) {
	case *hinted:
		var list []fyne.Focusable
		for _, f := range focusables(o) {
			switch f := f.(type) {
			case *button:
				if f.hint == nil || f.hint.text == "" {
					list = append(list, f)
				}
			case *choice:
				if f.hint == nil || f.hint.text == "" {
					list = append(list, f)
				}
			default:
				if o.text == "" {
					list = append(list, f)
				}
			}
		}
		return list
	case *widget.Slider: // below a field that explains both
		return nil
	case fyne.Focusable:
		return []fyne.Focusable{o}
	}
	var list []fyne.Focusable
	for _, each := range children(o) {
		list = append(list, unexplained(each)...)
	}
	return list
}

func TestAButtonShowsItsExplanation(t *testing.T) {
	w := openLantern(t)
	w.Select("IC1")
	for _, f := range focusables(w.inspector.page.pins) {
		if b, is := f.(*button); is {
			b.MouseIn(&desktop.MouseEvent{})
			if w.tips.text == "" {
				t.Errorf("nothing is told of %q", b.Text)
			}
			b.MouseOut()
			if w.tips.text != "" {
				t.Error("it stays")
			}
		}
	}
}

// An explanation goes when what it is about is scrolled away from under it.
func TestScrollingTakesTheExplanationAway(t *testing.T) {
	w := openLantern(t)
	w.win.Resize(fyne.NewSize(900, 500))
	for _, s := range []*container.Scroll{w.inspector.scroll, w.strip.scroll} {
		w.tips.show("what is here", fyne.NewPos(300, 300))
		w.tips.text = "what is here"
		s.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(-40, -40)})
		if s.Offset == (fyne.Position{}) {
			t.Fatal("nothing is scrolled")
		}
		if len(w.tips.layer.Objects) > 0 || w.tips.text != "" {
			t.Error("the explanation stays")
		}
	}
}
