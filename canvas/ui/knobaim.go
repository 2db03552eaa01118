package ui

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/analysis/whatif"
	"copperglass/model"
	"copperglass/model/quantity"
)

// aiming is a figure that is wanted of a quantity.
type aiming struct {
	of   sought
	text string // of the figure, as typed
	want float64
	hit  memo[*whatif.Hit]
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
			in.seek("Which quantity?", func(s sought) { a.of, a.text, a.want = s, "", 0 })
		}), gap(4)}
	})
	p.field(fieldSpec{
		label: "Wanted", help: "The figure that it is to have.",
		text:        func() string { return a.text },
		placeholder: func() string { return "now " + a.of.figure(a.of.in(in.doc.Shown(), in.doc.Result())) },
		apply:       a.write,
	})
	p.dynamic(func() string { return k.aimKey() }, func() []fyne.CanvasObject { return k.aimLines(p) })
}

// write takes the figure that is wanted.
func (a *aiming) write(text string) error {
	a.text, a.want = text, 0
	if strings.TrimSpace(text) == "" {
		return nil
	}
	x, err := quantity.Parse(text, a.of.unit)
	if err != nil {
		return err
	}
	a.want = math.Abs(x)
	return nil
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
	return []fyne.CanvasObject{
		paragraph(k.hitWords(h), in.width, textSize, in.look.Ink), gap(2),
		p.action("Use it", "Turn the knob there.", func() {
			k.scale = k.scale.with(h.Preferred)
			p.try(k.turn(h.Preferred))
		}),
	}
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
	a := &k.aim
	text := showNumber(k.q, h.Preferred)
	if s := k.series(); s != 0 {
		text += " (" + s.String() + ")"
	} else {
		text = quantityText(k.q, h.Preferred)
	}
	text += " gives " + quantity.Solved(math.Abs(h.Reached)/a.of.share, a.of.unit)
	if a.of.share > 1 {
		text += " each"
	}
	if k.heats() && h.Watts >= 0 {
		text += " and turns " + quantity.Solved(h.Watts, quantity.Watt) + " into heat"
	}
	if h.Preferred != h.Value {
		text += "; " + quantityText(k.q, h.Value) + " would be exact"
	}
	return text + "."
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
