package ui

import (
	"context"
	"errors"
	"fmt"
	"image/color"
	"math"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/analysis/whatif"
	"copperglass/model"
	"copperglass/model/quantity"
)

// aiming is a figure that is wanted of a quantity.
type aiming struct {
	of    sought
	first bool   // whether the figure is what the page asks for
	text  string // of the figure, as typed
	read  string // how a bare number was understood, or ""
	want  float64
	hit   memo[*whatif.Hit]
}

// errNothingWanted is of a field that has no figure yet.
var errNothingWanted = errors.New("write the figure that is wanted")

// aimed adds the question which value brings a quantity to a wanted figure.
func (k *knob) aimed(p *page) {
	in, a := k.in, &k.aim
	p.heading("For a wanted figure")
	p.dynamic(func() string { return "of" + a.of.words() }, func() []fyne.CanvasObject {
		title := sentenceStart(a.of.words()) + " ▾"
		return []fyne.CanvasObject{p.action(elide(title, in.width, textSize, false), "Choose another quantity.", func() {
			in.seek("Which quantity?", func(s sought) { a.of, a.text, a.read, a.want = s, "", "", 0 })
		}), gap(4)}
	})
	wanted := p.field(fieldSpec{
		label: "Wanted", help: "The figure that it is to have.",
		text:        func() string { return a.text },
		placeholder: func() string { return a.present(in) },
		note:        a.note,
		apply:       func(text string) error { return a.write(text, a.of.in(in.doc.Shown(), in.doc.Result())) },
		stays:       true,
	})
	if a.first {
		p.first = wanted.entry
	}
	p.dynamic(func() string { return k.aimKey() }, func() []fyne.CanvasObject { return k.aimLines(p) })
}

// present is what the quantity is now, once that rests: below it follows live.
func (a *aiming) present(in *inspector) string {
	if in.moving() {
		return "now …"
	}
	return "now " + a.of.figure(a.of.in(in.doc.Shown(), in.doc.Result()))
}

// write takes the figure that is wanted.
// A bare number is read in the unit of the present figure where that is the
// nearer to it: where 57.8 mA flow, 20 are 20 mA.
func (a *aiming) write(text string, now float64) error {
	a.text, a.want, a.read = text, 0, ""
	if strings.TrimSpace(text) == "" {
		return nil
	}
	x, err := quantity.Parse(text, a.of.unit)
	if err != nil {
		return err
	}
	now = about(now, a.of.unit)
	if y, err := quantity.Parse(text+" "+unitAbout(now, a.of.unit), a.of.unit); err == nil && y != x && nearer(y, x, now) {
		x, a.read = y, "read as "+quantity.Short(y, a.of.unit)
	}
	a.want = math.Abs(x)
	return nil
}

// note says how a bare number was read.
func (a *aiming) note() string { return a.read }

// unitAbout is the unit, with its prefix, that a figure is written in.
func unitAbout(x float64, u quantity.Unit) string {
	_, unit, _ := strings.Cut(quantity.Short(x, u), " ")
	return unit
}

// about is a figure, or one that is usual in the place of next to nothing: where
// nothing flows, nobody wants picoamperes.
func about(x float64, u quantity.Unit) float64 {
	const little = 1e-6
	switch x = math.Abs(x); {
	case x > little:
		return x
	case u == quantity.Volt:
		return 1
	}
	return 10e-3
}

// nearer reports whether y is nearer to a figure than x, in ratios.
func nearer(y, x, to float64) bool {
	ratio := func(z float64) float64 { return math.Abs(math.Log(math.Abs(z) / to)) }
	return ratio(y) < ratio(x)
}

// series is what the value is rounded to: what the knob stops at, or else what
// most parts are bought by.
func (k *knob) series() quantity.Series {
	switch {
	case k.scale.stops != 0:
		return k.scale.stops
	case preferable(k.q):
		return quantity.E24
	}
	return 0
}

// hit is the value that meets the aim, if it is known yet.
func (k *knob) hit() (*whatif.Hit, bool, error) {
	a := &k.aim
	if a.want == 0 || a.of.of == "" {
		return nil, true, errNothingWanted
	}
	mode, aim := k.in.doc.Mode(), whatif.Aim{Parameter: k.name(), Of: a.of.of, Want: a.want * a.of.share, Series: k.series()}
	aim.Mode = mode
	key := fmt.Sprintf("%s\x00%+v", mode, aim)
	return a.hit.recall(k.in, "aim", key, func(ctx context.Context, d *model.Diagram) (*whatif.Hit, error) { return whatif.Run(ctx, d, aim) })
}

func (k *knob) aimKey() string {
	h, done, err := k.hit()
	return fmt.Sprintf("aim%p %v %v %v", h, done, err, k.aim.want)
}

func (k *knob) aimLines(p *page) []fyne.CanvasObject {
	in := k.in
	h, done, err := k.hit()
	switch {
	case !done:
		return []fyne.CanvasObject{p.waiting()}
	case errors.Is(err, errNothingWanted):
		return nil
	case err != nil:
		return []fyne.CanvasObject{paragraph(k.missed(err), in.width, textSize, in.look.Flag)}
	}
	lines := []fyne.CanvasObject{paragraph(k.hitWords(h), in.width, textSize, in.look.Ink), gap(2)}
	say := func(ink color.Color, all ...string) {
		for _, words := range all {
			lines = append(lines, paragraph(words, in.width, textSize, ink), gap(2))
		}
	}
	say(in.look.Ink, h.GainWords(k.reachedWords)...)
	say(in.look.Flag, whatif.OverWords(h.Worst())...)
	if advice, over := h.Renewal(k.valueWords, k.reachedWords); advice != "" {
		say(in.look.Ink, advice)
		say(in.look.Flag, over...)
	}
	return append(lines, pair(
		p.action("Use it", "Change the drawing: one step that can be undone.", func() {
			k.scale = k.scale.with(h.Preferred)
			p.try(k.use(h.Preferred))
		}),
		p.action("Try it", "Turn the knob there; the drawing stays as it is.", func() {
			k.scale = k.scale.with(h.Preferred)
			p.try(k.turn(h.Preferred))
		})))
}

// use makes a value the drawing's.
func (k *knob) use(x float64) error {
	if x == k.drawn() {
		k.in.doc.DropPreview()
		return nil
	}
	if err := k.put(x); err != nil {
		return err
	}
	k.in.news(fmt.Sprintf("%s is %s in the drawing now; undo takes it back", k.ref, showNumber(k.q, x)))
	return nil
}

// missed says why no value does.
func (k *knob) missed(err error) string {
	if strings.HasPrefix(err.Error(), "no value") {
		return fmt.Sprintf("No value of the %s brings the %s to %s.", inSentence(paramLabel(k.q)), k.aim.of.words(), quantity.Short(k.aim.want, k.aim.of.unit))
	}
	return sentence(err.Error())
}

// hitWords is "12 Ω (E24) gives 19.6 mA each and turns 0.68 W into heat; 11.7 Ω
// would be exact."
func (k *knob) hitWords(h *whatif.Hit) string {
	text := k.valueWords(h.Preferred)
	if h.Series != 0 {
		text += " (" + h.Series.String() + ")"
	}
	text += " gives " + k.reachedWords(h.Reached)
	if k.heats() && h.Watts >= 0 {
		text += " and turns " + quantity.Solved(h.Watts, quantity.Watt) + " into heat"
	}
	if h.Preferred != h.Value {
		text += "; " + quantityText(k.q, h.Value) + " would be exact"
	}
	return text + "."
}

// valueWords writes a value as it is bought where it is one of a series.
func (k *knob) valueWords(x float64) string {
	if k.series() != 0 {
		return showNumber(k.q, x)
	}
	return quantityText(k.q, x)
}

// reachedWords writes what is aimed at, of a stack each one's.
func (k *knob) reachedWords(x float64) string {
	text := quantity.Solved(math.Abs(x)/k.aim.of.share, k.aim.of.unit)
	if k.aim.of.share > 1 {
		text += " each"
	}
	return text
}

// heats reports whether the part turns what it takes into heat.
func (k *knob) heats() bool {
	p := k.in.doc.Shown().Part(k.ref)
	return p != nil && (p.Kind == "resistor" || p.Kind == "potentiometer")
}

// quantityText writes a number to three digits.
func quantityText(q *model.Param, x float64) string {
	if q.Unit == quantity.Kelvin || q.Min == 0 && q.Max == 1 {
		return showNumber(q, math.Round(x*1000)/1000)
	}
	return quantity.Short(x, q.Unit)
}
