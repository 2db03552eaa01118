package ui

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"copperglass/model"
	"copperglass/model/quantity"
)

// figures adds what the solution says of the part. Rows that were there stay
// without their figures while there is no solution, so that nothing below them
// moves away from the pointer.
func (p *page) figures() {
	in := p.in
	var known []row
	p.add(gap(4))
	p.table(func() []row {
		if rows := figureRows(in.doc.Shown(), in.doc.Result(), in.ref, in.doc.Mode()); rows != nil {
			known = rows
			return rows
		}
		return unknownRows(known)
	})
}

func unknownRows(rows []row) []row {
	var blank []row
	for _, r := range rows {
		blank = append(blank, row{name: r.name, figure: "–", help: r.help})
	}
	return blank
}

// shownFirst is how many quantities of a part stand open; the rest is folded.
const shownFirst = 4

// quantities adds the physical quantities of the part, each with what the
// catalogue assumes where nothing is written.
func (p *page) quantities(k *model.Kind) {
	first, folded := p.editable(k)
	if len(first)+len(folded) == 0 {
		return
	}
	p.heading("Quantities")
	for _, q := range first {
		p.quantity(q)
	}
	if len(folded) == 0 {
		return
	}
	box := container.New(column{}, p.collect(func() {
		for _, q := range folded {
			p.quantity(q)
		}
	})...)
	box.Hide()
	var more fyne.CanvasObject
	more = p.action("All quantities…", "What else the part has, down to its temperature.", func() {
		box.Show()
		p.in.body.Refresh()
		if p.in.keysWithin(more) {
			p.in.keysTo(box)
		}
		more.Hide()
	})
	p.add(more, box)
}

// editable are the quantities that have a field of their own: not the state of
// a switch, which the modes set, nor what the value has to say. Temperatures and
// whatever else there is no room for are folded.
func (p *page) editable(k *model.Kind) (first, folded []*model.Param) {
	for i := range k.Params {
		q := &k.Params[i]
		_, own := p.model().Params[q.Name]
		switch {
		case q.Name == "state" || q.Required && !own:
		case (len(first) < shownFirst || len(q.Choices) > 0) && !ofTheLaw(q.Name):
			first = append(first, q)
		default:
			folded = append(folded, q)
		}
	}
	slices.SortStableFunc(first, func(a, b *model.Param) int { return choicesFirst(a) - choicesFirst(b) })
	return first, folded
}

// ofTheLaw reports whether a quantity is a temperature or a constant of the law by
// which a part is computed, which nobody reads off one.
func ofTheLaw(name string) bool {
	for _, of := range []string{"saturation_current", "emission", "energy_gap", "breakdown_current"} {
		if strings.Contains(name, of) {
			return true
		}
	}
	return strings.HasSuffix(name, "temperature")
}

// choicesFirst is 0 for what is chosen among words, 1 for the rest.
func choicesFirst(q *model.Param) int {
	if len(q.Choices) > 0 {
		return 0
	}
	return 1
}

// knobs are the quantities from 0 to 1 that a hand turns or time moves, unlike
// those that a part has by its make.
var knobs = []string{"position", "charge_left"}

// quantity adds a field for one quantity, with a knob under it where there is
// something to turn.
func (p *page) quantity(q *model.Param) {
	switch q.Type() {
	case model.FlagType:
		p.choice(q, []string{"yes", "no"})
	case model.WordType:
		if len(q.Choices) > 0 {
			p.choice(q, q.Choices)
			return
		}
		p.quantityField(q)
	default:
		p.quantityField(q)
		if slices.Contains(knobs, q.Name) {
			p.knob(q)
		}
	}
}

func (p *page) quantityField(q *model.Param) {
	p.field(fieldSpec{
		label: paramLabel(q), help: helpOn(q),
		text: func() string {
			v := p.model().Params[q.Name]
			if !v.IsSet() {
				return ""
			}
			return showParam(q, v)
		},
		placeholder: func() string { return cmp.Or(showAssumed(q, p.assumed(q)), "not given") },
		apply: func(text string) error {
			set, err := paramChange(q, text)
			if err != nil {
				return err
			}
			return p.retype(q.Name, set)
		},
	})
}

// paramLabel is a quantity's name as it stands beside its field.
func paramLabel(q *model.Param) string { return sentenceCase(strings.ReplaceAll(q.Name, "_", " ")) }

func sentenceCase(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func helpOn(q *model.Param) string {
	help := sentenceCase(q.Meaning)
	if u := q.Unit.String(); u != "" && q.Unit != quantity.Kelvin {
		help += ", in " + u
	}
	if q.Source != "" {
		help += ". Source of what is assumed: " + q.Source
	}
	return help + "."
}

// assumed is the quantity where the part itself does not say it.
func (p *page) assumed(q *model.Param) model.Value {
	m := p.model().Clone()
	delete(m.Params, q.Name)
	values, _ := p.in.doc.Shown().Resolve(m, nil)
	return values[q.Name]
}

// knob lets a quantity between 0 and 1 be turned by hand.
func (p *page) knob(q *model.Param) {
	s := widget.NewSlider(0, 1)
	s.Step = 0.01
	quiet := false
	s.OnChanged = func(x float64) {
		if !quiet {
			p.try(p.in.doc.setParam(p.in.ref, q, quantity.Short(x, quantity.None)))
		}
	}
	update := func() {
		x, _ := p.now(q).Num()
		if math.Abs(s.Value-x) > 1e-9 {
			quiet = true
			s.SetValue(x)
			quiet = false
		}
	}
	update()
	p.onRefresh(update)
	turned := newThemed(s, knobTheme{newFyneTheme(p.in.look, textScale())})
	p.add(container.New(columns{widths: []float32{p.labelRoom(), 0}, gap: labelGap}, gap(0), turned), gap(6))
}

// now is the quantity as it holds for the part as drawn.
func (p *page) now(q *model.Param) model.Value {
	values, _ := p.in.doc.Shown().Resolve(p.model(), nil)
	return values[q.Name]
}

// choice adds a choice of words; what is not said follows the catalogue.
func (p *page) choice(q *model.Param, words []string) {
	assumed := func() string {
		if usual := showParam(q, p.assumed(q)); usual != "" {
			return "as usual (" + usual + ")"
		}
		return "not given"
	}
	s := newChoice()
	update := func() {
		s.OnChanged = nil
		s.Options = append([]string{assumed()}, words...)
		s.SetSelected(s.Options[0])
		if v := p.model().Params[q.Name]; v.IsSet() {
			s.SetSelected(showParam(q, v))
		}
		s.OnChanged = func(word string) {
			if word == assumed() {
				word = ""
			}
			p.try(p.in.doc.setParam(p.in.ref, q, word))
			p.in.handBack(s.keyed)
		}
	}
	update()
	p.onRefresh(update)
	p.add(p.labelled(paramLabel(q), helpOn(q), outlined(s, p.in.look)), gap(6))
}
