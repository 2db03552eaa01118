package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/model"
	"copperglass/model/quantity"
)

// way is a way to read a marking.
type way struct {
	value  string // what it says, as it may be written as the value
	span   string // the tolerance it tells, or ""
	scheme string // the code that it is read by, or ""
}

// largestMet is a value, in the unit of the part, that no board is likely to
// hold more of: 681 upside down would be 18 GΩ (common practice, no source).
const largestMet = 1e9

// waysToRead lists how the kind can read a marking, the likeliest first.
func waysToRead(k *model.Kind, marking string) []way {
	if !readable(k, marking) {
		return nil
	}
	part, coded := markedPart(k.Name)
	readings, err := quantity.ReadMarking(marking, part)
	if !coded || err != nil {
		return []way{{value: strings.TrimSpace(marking)}}
	}
	var ways []way
	for _, r := range readings {
		if r.Unlikely && r.Value > largestMet && len(ways) > 0 {
			continue
		}
		ways = append(ways, way{exactShort(r.Value, r.Unit), spanWords(r.TolerancePercent), r.Scheme})
	}
	return ways
}

// spanWords is a tolerance as people write it: "5 %", "−20 to 80 %".
func spanWords(t quantity.Tolerance) string {
	switch {
	case t == (quantity.Tolerance{}):
		return ""
	case t.Minus == -t.Plus:
		return fmt.Sprintf("%g %%", t.Plus)
	}
	return fmt.Sprintf("−%g to %g %%", -t.Minus, t.Plus)
}

// readable reports whether something follows from the marking of a part of the
// kind.
func readable(k *model.Kind, marking string) bool {
	if k.FromMarking == nil || strings.TrimSpace(marking) == "" {
		return false
	}
	params, err := k.FromMarking(marking)
	return err == nil && len(params) > 0
}

// markedValue is the value that follows from a marking, or "".
func markedValue(k *model.Kind, marking string) string {
	if ways := waysToRead(k, marking); len(ways) > 0 {
		return ways[0].value
	}
	return ""
}

// remark gives a part another marking. The value follows from it where nobody
// has written one; a written one stays, and so does what followed from the
// marking before.
func remark(k *model.Kind, m *model.Part, marking string) {
	follows := m.Value == "" || m.Value == k.Suggest ||
		slices.ContainsFunc(waysToRead(k, m.Marking), func(w way) bool { return w.value == m.Value })
	if m.Value == "" {
		m.Value = markedValue(k, m.Marking)
	}
	m.Marking = marking
	if follows && readable(k, marking) {
		m.Value = ""
	}
}

// markingField takes what is printed on the part, which stays as evidence.
func (p *page) markingField(k *model.Kind) {
	_, coded := markedPart(k.Name)
	f := p.field(fieldSpec{
		label: "Marking", help: markingHelp(k),
		text: func() string { return p.model().Marking },
		note: func() string { return unread(k, p.model().Marking) },
		apply: func(text string) error {
			if coded && strings.TrimSpace(text) != "" {
				if _, err := k.FromMarking(text); err != nil {
					return err
				}
			}
			return p.retype("marking", func(m *model.Part) { remark(k, m, text) })
		},
	})
	key := func() string { return "ways" + p.model().Marking + "\x00" + p.model().Value + "\x00" + f.problem }
	p.dynamic(key, func() []fyne.CanvasObject {
		if f.problem != "" {
			return nil
		}
		return p.wayLines(k)
	})
}

func markingHelp(k *model.Kind) string {
	switch _, coded := markedPart(k.Name); {
	case coded:
		return "What is printed on the part, as it is printed: 471, 4k7, 01C, or the colours of its bands. The value follows from it, unless you have written another."
	case k.FromMarking != nil:
		return "What is printed on the part, as it is printed. Where the catalogue knows it, the value follows from it, unless you have written another."
	}
	return "What is printed on the part, as it is printed. It is kept as evidence."
}

// unread says that nothing follows from a marking, for a kind where something
// could.
func unread(k *model.Kind, marking string) string {
	if k.FromMarking == nil || strings.TrimSpace(marking) == "" || readable(k, marking) {
		return ""
	}
	return "kept as it is printed; the catalogue does not know it"
}

// wayLines has a button for each way to read the marking but the one that
// holds, which is said below the value where that follows from it and here where
// it is written.
func (p *page) wayLines(k *model.Kind) []fyne.CanvasObject {
	var lines []fyne.CanvasObject
	m := p.model()
	_, coded := markedPart(k.Name)
	for i, w := range waysToRead(k, m.Marking) {
		switch {
		case i == 0 && m.Value == "" && coded:
		case i == 0 && m.Value == "" || agrees(k, m.Value, w.value):
			lines = append(lines, indented(paragraph("read as "+w.String(), p.fieldWidth(), smallSize, p.in.look.Quiet)))
		default:
			lines = append(lines, indented(p.wayButton(w, i == 0)))
		}
	}
	if lines != nil {
		lines = append(lines, gap(6))
	}
	return lines
}

// String is "33 kΩ, 5 % (3-digit code)".
func (w way) String() string {
	s := strings.Join(slices.DeleteFunc([]string{w.value, w.span}, func(s string) bool { return s == "" }), ", ")
	if w.scheme != "" {
		s += " (" + w.scheme + ")"
	}
	return s
}

// wayButton takes the value from the marking: by following it where that is how
// it is read, by writing it otherwise.
func (p *page) wayButton(w way, follow bool) fyne.CanvasObject {
	value, help := w.value, "What the marking says."
	if follow {
		value = ""
	}
	if w.scheme != "" {
		help = "What the marking says, read as " + w.scheme + "."
	}
	title := elide("or "+w.value+", as printed", p.fieldWidth(), textSize, false)
	return p.action(title, help, func() {
		p.try(p.edit("reading", func(m *model.Part) { m.Value = value }))
	})
}

// agrees reports whether a value says all that another says.
func agrees(k *model.Kind, value, other string) bool {
	if k.FromValue == nil {
		return value == other
	}
	has, err := k.FromValue(value)
	wants, otherErr := k.FromValue(other)
	if err != nil || otherErr != nil || len(wants) == 0 {
		return false
	}
	for name, v := range wants {
		if !sameQuantity(has[name], v) {
			return false
		}
	}
	return true
}

// sameQuantity compares as closely as numbers are written.
func sameQuantity(a, b model.Value) bool {
	x, ok := a.Num()
	y, numbers := b.Num()
	if ok && numbers {
		return math.Abs(x-y) <= 1e-9*math.Abs(y)
	}
	return ok == numbers && a.String() == b.String()
}
