package ui

import (
	"maps"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/model"
)

// changes are the values by REF.NAME that a what-if or a step puts over the
// drawing, while somebody edits them.
type changes struct {
	in    *inspector
	get   func() model.Params
	edit  func(change func(model.Params)) error
	holds string // where such a value holds, within a sentence
}

// build adds a field for each value, and the way to add one. Where the page has
// no field yet to type into at once, it is the first of them.
func (c *changes) build(p *page) {
	ours := p.first == nil
	p.dynamic(func() string { return "changes" + strings.Join(sortedTargets(c.get()), "\x00") }, func() []fyne.CanvasObject {
		return p.collect(func() {
			for i, target := range sortedTargets(c.get()) {
				if f := c.field(p, target); i == 0 && ours && f != nil {
					p.first = f.entry
				}
			}
			p.add(p.indented(p.action("Set a value…", "One that holds "+c.holds+".", c.add)), gap(6))
		})
	})
}

// add lets a value of any part be chosen, to be typed at once.
func (c *changes) add() {
	list := settable(c.in.doc.Diagram(), func(target string, v model.Value) {
		if err := c.put(target, v); err != nil {
			c.in.fail(err)
			return
		}
		c.begin(target)
	})
	c.in.find("Which value?", "a part’s name, resistance, voltage, …", "Take it", list)
}

// begin gives the keyboard to the field of a value.
func (c *changes) begin(target string) {
	p := c.in.page
	for _, f := range slices.Backward(p.fields) {
		if f.label == targetWords(target) {
			p.first = f.entry
			c.in.fields()
			return
		}
	}
}

// put sets a value, or with an unset one takes it out.
func (c *changes) put(target string, v model.Value) error {
	return c.edit(func(set model.Params) {
		set[target] = v
		if !v.IsSet() {
			delete(set, target)
		}
	})
}

// field adds that of one value, nil for what the drawing does not have.
func (c *changes) field(p *page, target string) *field {
	q := paramOf(c.in.doc.Diagram(), target)
	if q == nil {
		return nil
	}
	return p.field(fieldSpec{
		label: targetWords(target), help: sentenceCase(q.Meaning) + ", " + c.holds + ". Left empty, it is as drawn.",
		text: func() string {
			if v := c.get()[target]; v.IsSet() {
				return showParam(q, v)
			}
			return ""
		},
		note:  func() string { return "drawn: " + drawnText(c.in.doc.Diagram(), target) },
		check: func(text string) error { _, err := parseParam(q, text); return err },
		apply: func(text string) error {
			v, err := parseParam(q, text)
			if err != nil {
				return err
			}
			return c.put(target, v)
		},
	})
}

// drawnText is the value of REF.NAME in the drawing.
func drawnText(d *model.Diagram, target string) string {
	ref, name, _ := strings.Cut(target, ".")
	part := d.Part(ref)
	if part == nil {
		return "–"
	}
	values, _ := d.Resolve(part, nil)
	return settingText(d, target, values[name])
}

// settable lists what can be set of the parts: numbers, and words that are
// chosen among some.
func settable(d *model.Diagram, take func(target string, v model.Value)) []found {
	var list []found
	for _, part := range d.Parts {
		values, _ := d.Resolve(part, nil)
		for _, q := range variable(part) {
			v, target := values[q.Name], part.Ref+"."+q.Name
			if v.IsSet() {
				list = append(list, found{title: targetWords(target), end: showParam(q, v), words: alsoCalled(part, v), choose: func() { take(target, v) }})
			}
		}
	}
	return list
}

// alsoCalled is what else people call a value: a resistor of 0 Ω is a link.
func alsoCalled(part *model.Part, v model.Value) string {
	if x, ok := v.Num(); ok && x == 0 && part.Kind == "resistor" {
		return "link jumper wire bridge"
	}
	return part.LookupKind().Title
}

// variable are the quantities of a part that may be other than drawn.
func variable(part *model.Part) []*model.Param {
	list := numbers(part)
	if k := part.LookupKind(); list != nil {
		for i := range k.Params {
			if q := &k.Params[i]; len(q.Choices) > 0 && q.Name != "state" {
				list = append(list, q)
			}
		}
	}
	return list
}

// cloned is a copy of a set that may be written to.
func cloned(set model.Params) model.Params {
	if set == nil {
		return model.Params{}
	}
	return maps.Clone(set)
}
