package ui

import (
	"fmt"
	"maps"
	"reflect"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// knob is a value that is varied by hand. What it is turned to is shown and
// solved, and is no edit until it is kept.
type knob struct {
	in    *inspector
	ref   string
	q     *model.Param
	scale scale
	aim   aiming
	trace tracing
	read  [2]knobValue // as drawn and as shown last
}

// knobValue is the value of the knob's quantity in a part of a drawing. Neither the
// part nor the drawing's own quantities are changed in place.
type knobValue struct {
	part   *model.Part
	params model.Params
	value  float64
}

func (r *knobValue) holds(d *model.Diagram, p *model.Part) bool {
	return r.part == p && maps.EqualFunc(r.params, d.Params, model.Value.Same)
}

// knobTopic turns a number of a part into a knob.
func (in *inspector) knobTopic(ref string, q *model.Param) topic {
	k := &knob{in: in, ref: ref, q: q}
	k.scale = scaleFor(q, k.drawn())
	k.aim.of = mainLoad(in.doc)
	return k.topic()
}

// aimTopic is a knob to bring a quantity to a wanted figure with, which is to be
// typed first.
func (in *inspector) aimTopic(ref string, q *model.Param, of sought) topic {
	k := &knob{in: in, ref: ref, q: q}
	k.scale = scaleFor(q, k.drawn())
	k.aim.of, k.aim.first = of, true
	t := k.topic()
	t.types = true
	return t
}

func (k *knob) topic() topic {
	ref := k.ref
	k.trace.of = k.usualTrace()
	return topic{key: "knob " + k.name(), title: ref + " as a knob", build: k.build, leave: k.leave,
		tried: func() string { return "with " + targetWords(k.name()) + " " + showNumber(k.q, k.now()) }}
}

// leave puts the drawing back, and says what is lost by that.
func (k *knob) leave() {
	doc := k.in.doc
	if doc.Previewing() && doc.Diagram().Part(k.ref) != nil {
		tried := showNumber(k.q, k.now())
		k.in.news(fmt.Sprintf("%s is as drawn again, %s: %s was only tried", k.ref, showNumber(k.q, k.drawn()), tried))
	}
	doc.DropPreview()
}

// name is the quantity that is turned, as analyses call it.
func (k *knob) name() string { return k.ref + "." + k.q.Name }

// numbers are the quantities of a part that can be turned, the one that it is
// known by first.
func numbers(p *model.Part) []*model.Param {
	kind := p.LookupKind()
	if kind == nil || kind.Equation == nil {
		return nil
	}
	var list []*model.Param
	for i := range kind.Params {
		if q := &kind.Params[i]; q.Type() == model.NumberType {
			if q.Name == mainNumber(kind) {
				list = append([]*model.Param{q}, list...)
				continue
			}
			list = append(list, q)
		}
	}
	return list
}

// mainNumber is the quantity that people would turn: what a hand or time moves,
// else what the part's value says, else what its type is known by.
func mainNumber(k *model.Kind) string {
	switch k.Name {
	case "npn", "pnp":
		return "forward_beta"
	case "nmos", "pmos":
		return "threshold_voltage"
	case "led", "diode":
		return "temperature"
	}
	for _, name := range knobs {
		if k.Param(name) != nil {
			return name
		}
	}
	for _, q := range k.Params {
		if q.Required && q.Type() == model.NumberType {
			return q.Name
		}
	}
	return ""
}

// drawn is the value in the drawing, now the one on the sheet.
func (k *knob) drawn() float64 { return k.valueIn(k.in.doc.Diagram(), &k.read[0]) }
func (k *knob) now() float64   { return k.valueIn(k.in.doc.Shown(), &k.read[1]) }

// valueIn is asked several times in each frame of a turn.
func (k *knob) valueIn(d *model.Diagram, r *knobValue) float64 {
	p := d.Part(k.ref)
	if p == nil {
		return 0
	}
	if !r.holds(d, p) {
		v, _ := d.Resolve(p, nil)
		*r = knobValue{p, d.Params, v.Num(k.q.Name)}
	}
	return r.value
}

// turn shows the drawing with another value.
func (k *knob) turn(x float64) error {
	doc := k.in.doc
	if x == k.drawn() {
		doc.DropPreview()
		return nil
	}
	p, err := turned(doc.Diagram(), k.ref, k.q, x)
	if err == nil {
		doc.Preview(func(f *model.Draft) { f.SetPart(k.ref, p) })
	}
	return err
}

// turned is a part of d with another value of one quantity. It is written in
// the part's value where that says the same, and beside it otherwise.
func turned(d *model.Diagram, ref string, q *model.Param, x float64) (*model.Part, error) {
	if err := q.Check(model.Number(x)); err != nil {
		return nil, err
	}
	beside, err := changedPart(d, ref, func(p *model.Part) {
		if p.Params == nil {
			p.Params = model.Params{}
		}
		p.Params[q.Name] = model.Number(x)
	})
	if err != nil || d.Part(ref).Params[q.Name].IsSet() {
		return beside, err
	}
	within := d.Part(ref).Clone()
	within.Value = showNumber(q, x)
	want, _ := d.Resolve(beside, nil)
	got, problems := d.Resolve(within, nil)
	if len(problems) == 0 && reflect.DeepEqual(want, got) {
		return within, nil
	}
	return beside, nil
}

// keep makes what the knob is at an edit.
func (k *knob) keep() error {
	return k.put(k.now())
}

// put makes a value an edit.
func (k *knob) put(x float64) error {
	p, err := turned(k.in.doc.Diagram(), k.ref, k.q, x)
	if err != nil {
		return err
	}
	return k.in.doc.Edit(k.q.Name+" of "+k.ref, "", func(f *model.Draft) { f.SetPart(k.ref, p) })
}

// set is what the knob is at as the change of a what-if or a step.
func (k *knob) set() model.Params { return model.Params{k.name(): model.Number(k.now())} }

// called is what such a change may be called.
func (k *knob) called() string { return k.ref + " " + showNumber(k.q, k.now()) }

// keepWhatIf keeps it beside the drawing, by a name that is asked for.
func (k *knob) keepWhatIf() {
	set := k.set()
	k.in.name("Keep it as a what-if", k.called(), func(name string) { k.in.addWhatIf(&model.WhatIf{Name: name, Set: set}) })
}

// keepStep makes it the last step of the story.
func (k *knob) keepStep() {
	in := k.in
	in.addStep(&model.Step{Title: k.called(), Mode: in.doc.Mode(), Set: k.set(), Lit: in.doc.selectedRefs()})
}

const knobFigureSize = 30

func (k *knob) build(p *page) {
	k.choose(p)
	p.add(gap(4))
	k.figure(p)
	k.slide(p)
	k.stops(p)
	typed := p.field(fieldSpec{
		label: "Or type it", help: "Any value; the sheet follows while you type.",
		text: func() string { return showNumber(k.q, k.now()) },
		apply: func(text string) error {
			v, err := parseParam(k.q, text)
			x, ok := v.Num()
			if err != nil || !ok {
				return err
			}
			k.scale = k.scale.with(x)
			return k.turn(x)
		},
	})
	p.onRefresh(typed.refresh)
	k.verbs(p)
	k.aimed(p)
	k.traced(p)
	p.reviewed(func(review.Finding) bool { return true })
}

// choose adds the choice among the numbers of the part.
func (k *knob) choose(p *page) {
	in := k.in
	s := newChoice()
	byTitle := map[string]*model.Param{}
	for _, q := range numbers(p.in.doc.Shown().Part(k.ref)) {
		s.Options = append(s.Options, paramLabel(q))
		byTitle[paramLabel(q)] = q
	}
	s.SetSelected(paramLabel(k.q))
	s.OnChanged = func(title string) {
		in.ask(in.knobTopic(k.ref, byTitle[title]))
		in.release()
	}
	p.add(newHinted(in.tips, helpOn(k.q), outlined(s, in.look)), gap(6))
}

// figure adds the value in large figures, with what it is in the drawing where
// that is something else.
func (k *knob) figure(p *page) {
	in := k.in
	p.dynamic(func() string { return showNumber(k.q, k.now()) + "\x00" + showNumber(k.q, k.drawn()) }, func() []fyne.CanvasObject {
		large := styledText(showNumber(k.q, k.now()), knobFigureSize, true, in.look.Ink)
		if k.now() == k.drawn() {
			return []fyne.CanvasObject{container.New(ends{}, large, styledText("as drawn", textSize, false, in.look.Quiet))}
		}
		return []fyne.CanvasObject{container.New(ends{}, large, styledText("drawn: "+showNumber(k.q, k.drawn()), textSize, false, in.look.Quiet))}
	})
}

// dial is the toolkit's slider, which the keys turn by one stop.
type dial struct {
	widget.Slider
	step func(way int)
}

// TypedKey turns the dial or hands the keyboard back.
func (d *dial) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyRight, fyne.KeyUp:
		d.step(1)
	case fyne.KeyLeft, fyne.KeyDown:
		d.step(-1)
	case fyne.KeyEscape:
		release(d)
	}
}

// newDial returns a dial that stands at a place from 0 to 1, what turns it to
// another and steps it by the keys, with what brings it to its place again.
func newDial(in *inspector, place func() float64, turn func(place float64), step func(way int)) (fyne.CanvasObject, func()) {
	d := &dial{step: step}
	d.Max, d.Step = 1, 1e-4
	d.ExtendBaseWidget(d)
	quiet := false
	d.OnChanged = func(place float64) {
		if !quiet {
			turn(place)
		}
	}
	update := func() {
		quiet = true
		d.SetValue(place())
		quiet = false
	}
	update()
	return newThemed(d, knobTheme{newFyneTheme(in.look, textScale())}), update
}

// themed is an object under a theme of its own for good. At each refresh the
// toolkit's override gives it that theme again, and for that forgets the sizes of
// all texts of the program, which would then be measured anew.
type themed struct{ *container.ThemeOverride }

func newThemed(o fyne.CanvasObject, t fyne.Theme) fyne.CanvasObject {
	return themed{container.NewThemeOverride(o, t)}
}

// Refresh is called when what it holds has changed.
func (t themed) Refresh() { t.Content.Refresh() }

// slide adds the slider with the ends of its scale.
func (k *knob) slide(p *page) {
	in := k.in
	d, update := newDial(in, func() float64 { return k.scale.place(k.now()) },
		func(place float64) { p.try(k.turn(k.scale.value(place))) },
		func(way int) { p.try(k.turn(k.scale.step(k.now(), way))) })
	p.onRefresh(update)
	p.add(gap(4), d)
	p.dynamic(func() string { return k.lowWords() + "\x00" + showNumber(k.q, k.scale.high) }, func() []fyne.CanvasObject {
		end := func(text string) fyne.CanvasObject { return styledText(text, smallSize, false, in.look.Quiet) }
		return []fyne.CanvasObject{container.New(ends{}, end(k.lowWords()), end(showNumber(k.q, k.scale.high))), gap(8)}
	})
}

func (k *knob) lowWords() string {
	if k.scale.nought {
		return showNumber(k.q, 0)
	}
	return showNumber(k.q, k.scale.low)
}

// freely is the choice of a knob that stops nowhere.
const freely = "any value"

// stops adds the choice of preferred values to stop at, for what is bought by
// them.
func (k *knob) stops(p *page) {
	if !preferable(k.q) {
		return
	}
	series := map[string]quantity.Series{freely: 0}
	words := []string{freely}
	for _, s := range []quantity.Series{quantity.E6, quantity.E12, quantity.E24} {
		series[s.String()] = s
		words = append(words, s.String())
	}
	var choice *segment
	choice = newSegment(k.in.look, words, func(word string) {
		choice.set(word)
		k.scale.stops = series[word]
		if x := k.scale.round(k.now()); k.in.doc.Previewing() {
			p.try(k.turn(x))
		}
		k.in.refresh()
	})
	choice.set(freely)
	p.add(newHinted(k.in.tips, "Where the knob stops: anywhere, or at the preferred values of a series (IEC 60063).", choice), gap(8))
}

// preferable reports whether parts are bought by preferred values of it.
func preferable(q *model.Param) bool {
	switch q.Name {
	case "resistance", "capacitance", "inductance":
		return true
	}
	return false
}

// verbs adds what can be done with where the knob is, in room that stays the
// same so that nothing below moves while it is turned.
func (k *knob) verbs(p *page) {
	in := k.in
	lines := p.collect(func() {
		p.dynamic(func() string { return fmt.Sprint("verbs", in.doc.Previewing()) }, func() []fyne.CanvasObject {
			if !in.doc.Previewing() {
				return []fyne.CanvasObject{paragraph("Turn it: all figures on the sheet follow. The drawing stays as it is until you keep it.", in.width, smallSize, in.look.Quiet)}
			}
			return []fyne.CanvasObject{
				pair(p.action("Keep it", "Change the drawing: one step that can be undone.", func() { p.try(k.keep()) }),
					p.action("Put it back", "As drawn again.", in.doc.DropPreview)),
				pair(p.action("Keep as a what-if…", "Keep it by a name beside the drawing, which stays as it is.", k.keepWhatIf),
					p.action("Make it a step…", "Put it at the end of the story, with the mode and what is selected.", k.keepStep)),
			}
		})
	})
	const room = 54 // for two lines that can be clicked
	p.add(container.New(atLeast{height: room}, lines...))
}

// pair puts two objects side by side, each in its half.
func pair(a, b fyne.CanvasObject) fyne.CanvasObject {
	return container.New(columns{widths: []float32{grown(130), 0}, gap: 12}, a, b)
}
