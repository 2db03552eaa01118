package ui

import (
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/model"
)

// supplyForm adds what each chip takes for itself in the chosen mode.
func (p *page) supplyForm() {
	doc := p.in.doc
	chips := func() []string {
		var refs []string
		for _, q := range doc.Shown().Parts {
			if q.Kind == "chip" && doc.Mode() != "" {
				refs = append(refs, q.Ref)
			}
		}
		return refs
	}
	p.dynamic(func() string { return "supply" + strings.Join(chips(), " ") }, func() []fyne.CanvasObject {
		return p.collect(func() {
			p.add(gap(8))
			for _, ref := range chips() {
				p.supplyField(ref)
			}
		})
	})
}

func (p *page) supplyField(ref string) {
	doc := p.in.doc
	target := ref + ".supply_current"
	q := model.LookupKind("chip").Param("supply_current")
	p.field(fieldSpec{
		label: ref + " takes", help: "The current that the chip takes for itself in this mode, as in 2 µA; empty, as its quantities say.",
		text: func() string {
			if m := doc.Shown().Mode(doc.Mode()); m != nil {
				return m.Set[target]
			}
			return ""
		},
		placeholder: func() string { return "as drawn" },
		check:       func(text string) error { return checkQuantity(q, text) },
		apply: func(text string) error {
			if err := checkQuantity(q, text); err != nil {
				return err
			}
			return doc.setState(doc.Mode(), target, strings.TrimSpace(text))
		},
	})
}

// checkQuantity tells what is wrong with a quantity as it is typed; an empty
// text leaves it unset.
func checkQuantity(q *model.Param, text string) error {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	v, err := q.Parse(strings.TrimSpace(text))
	if err == nil {
		err = q.Check(v)
	}
	return err
}
