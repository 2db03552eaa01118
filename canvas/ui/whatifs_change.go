package ui

import (
	"maps"
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

// build adds a field for each value, and the way to add one.
func (c *changes) build(p *page) {
	p.dynamic(func() string { return "changes" + strings.Join(sortedTargets(c.get()), "\x00") }, func() []fyne.CanvasObject {
		return p.collect(func() {
			for _, target := range sortedTargets(c.get()) {
				c.field(p, target)
			}
			p.add(indented(p.action("Set a value…", "One that holds "+c.holds+".", c.add)), gap(6))
		})
	})
}

// add lets a value of any part be chosen.
func (c *changes) add() {
	list := settable(c.in.doc.Diagram(), func(target string, v model.Value) {
		if err := c.put(target, v); err != nil {
			c.in.fail(err)
		}
	})
	c.in.find("Which value?", "a part’s name, resistance, voltage, …", "Take it", list)
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

func (c *changes) field(p *page, target string) {
	q := paramOf(c.in.doc.Diagram(), target)
	if q == nil {
		return
	}
	p.field(fieldSpec{
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
				list = append(list, found{title: targetWords(target), end: showParam(q, v), choose: func() { take(target, v) }})
			}
		}
	}
	return list
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
