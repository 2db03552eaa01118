package ui

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/model"
	"copperglass/model/quantity"
)

// readEntry reads a text as people type it for a part: a value, or what is
// printed on the part, or how many lie in parallel, as in "x12" and "47 x4". It
// returns what that does to the part.
func readEntry(k *model.Kind, text string) (func(*model.Part), error) {
	value, count, err := splitStack(k, text)
	if err != nil {
		return nil, err
	}
	if err := faultyMarking(k, value); err != nil {
		return nil, err
	}
	return func(m *model.Part) {
		if count > 0 {
			m.Count = count
		}
		switch {
		case value == "" && count > 0:
		case !printed(k, m, value):
			m.Value = value
		case m.Marking != "" && m.Value != "" && hardlyMet(k, value):
			m.Value = markedValue(k, value) // what is on the part is known already
		default:
			m.Marking, m.Value = value, ""
		}
	}, nil
}

// faultyMarking is what is wrong with a text that looks like a marking and is none; as a
// value it would be no better.
func faultyMarking(k *model.Kind, text string) error {
	part, coded := markedPart(k.Name)
	if !coded || !quantity.LooksMarked(text, part) {
		return nil
	}
	if _, err := k.FromValue(text); err == nil {
		return nil
	}
	_, err := readPrinted(k, text)
	return err
}

// hardlyMet reports whether a text for the value says more or less than any part of
// the kind has.
func hardlyMet(k *model.Kind, text string) bool {
	params, err := k.FromValue(text)
	if err != nil {
		return false
	}
	x, u := firstNumber(k, params)
	return absurd(x, u)
}

// absurd reports whether no part that a hand can solder has the value: common
// practice, no source.
func absurd(x float64, u quantity.Unit) bool {
	switch u {
	case quantity.Ohm:
		return x > 0 && x < 1e-4 || x > 1e11
	case quantity.Farad:
		return x > 0 && x < 1e-14 || x > 1e4
	case quantity.Henry:
		return x > 0 && x < 1e-11 || x > 1e3
	}
	return false
}

// splitStack takes the ×N from the end of a text; the count is 0 where there
// is none.
func splitStack(k *model.Kind, text string) (value string, count int, err error) {
	at := stackEnd.FindStringIndex(text)
	if k.Equation == nil || at == nil {
		return text, 0, nil
	}
	count, err = parseCount(text[at[0]:])
	return strings.TrimSpace(text[:at[0]]), count, err
}

// stackEnd is a ×N that stands for itself.
var stackEnd = regexp.MustCompile(`(^|\s)[x×]\s*\d+\s*$`)

// printed reports whether a text for the value is rather what is printed on
// the part: where only a marking can be read from it, or as a value it would be
// absurd, and for a bare number that is no value parts are made with but the code
// of one. A part whose marking is known already has been given a value.
func printed(k *model.Kind, m *model.Part, text string) bool {
	part, coded := markedPart(k.Name)
	if text = withoutTaper(k, text); !coded || text == "" {
		return false
	}
	readings, err := readPrinted(k, text)
	if err != nil {
		return false
	}
	params, err := k.FromValue(text)
	if err != nil {
		return true
	}
	x, u := firstNumber(k, params)
	if absurd(x, u) && !absurd(readings[0].Value, u) {
		return true
	}
	if m.Marking != "" || !bareCode(text) {
		return false
	}
	return part != quantity.Resistor || !usualValue(x, 3) && usualValue(readings[0].Value, len(strings.TrimSpace(text)))
}

// bareCode reports whether a text is three or four digits and nothing else.
func bareCode(text string) bool {
	text = strings.TrimSpace(text)
	_, err := strconv.ParseUint(text, 10, 32)
	return err == nil && (len(text) == 3 || len(text) == 4)
}

// usualValue reports whether parts are made with the value: three digits are
// printed on those of E24, four on those of E96 (IEC 60062, IEC 60063).
func usualValue(x float64, digits int) bool {
	if x <= 0 {
		return false
	}
	in := func(s quantity.Series) bool { return math.Abs(quantity.Nearest(s, x)-x) <= 1e-9*x }
	return in(quantity.E24) || digits == 4 && in(quantity.E96)
}

// firstNumber is the number among what a value sets that the kind names first.
func firstNumber(k *model.Kind, params model.Params) (x float64, u quantity.Unit) {
	for _, q := range k.Params {
		if x, ok := params[q.Name].Num(); ok {
			return x, q.Unit
		}
	}
	return math.NaN(), quantity.None
}

// valueText is what the field of the value shows: the value as it is written, or
// else what follows from the marking. The marking itself would be another figure
// there: 100 on a part is 10 Ω.
func valueText(k *model.Kind, m *model.Part) string {
	if _, coded := markedPart(k.Name); m.Value == "" && coded {
		return markedValue(k, m.Marking)
	}
	return m.Value
}

// valueNote says what the field was understood as.
func valueNote(k *model.Kind, m *model.Part) string {
	if _, coded := markedPart(k.Name); m.Value != "" || !coded {
		return understood(k, m.Value)
	}
	ways := waysToRead(k, m.Marking)
	if len(ways) == 0 {
		return ""
	}
	return strings.TrimSpace(m.Marking) + " → " + ways[0].String()
}

// otherValues adds a button for each other meaning of what is written, whichever
// field it was written into.
func (p *page) otherValues(k *model.Kind, f *field) {
	key := func() string { return "other" + p.model().Marking + "\x00" + p.model().Value + "\x00" + f.problem }
	p.dynamic(key, func() []fyne.CanvasObject {
		var lines []fyne.CanvasObject
		if f.problem != "" {
			return nil
		}
		if clash := p.clash(k); clash != "" {
			lines = append(lines, p.indented(paragraph(clash, p.fieldWidth(), smallSize, p.in.look.Flag)))
		}
		for _, o := range otherReadings(k, p.model()) {
			lines = append(lines, p.indented(p.readingButton(o)))
		}
		if lines != nil {
			lines = append(lines, gap(6))
		}
		return lines
	})
}

// readingButton lets the part be understood so.
func (p *page) readingButton(o reading) fyne.CanvasObject {
	return p.action(elide(o.title, p.fieldWidth(), textSize, false), o.help, func() {
		p.try(p.edit("reading", func(m *model.Part) { m.Value, m.Marking = o.value, o.marking }))
	})
}

// clash says that the marking tells another value than the one that is written,
// or is empty.
func (p *page) clash(k *model.Kind) string {
	m := p.model()
	ways := waysToRead(k, m.Marking)
	_, coded := markedPart(k.Name)
	switch {
	case !clashes(k, m, ways):
		return ""
	case coded:
		return "but “" + strings.TrimSpace(m.Marking) + "” on the part is " + ways[0].value
	}
	return "but the part is marked otherwise"
}

// clashes reports whether a value is written that is none of the marking's.
func clashes(k *model.Kind, m *model.Part, ways []way) bool {
	return m.Value != "" && len(ways) > 0 &&
		!slices.ContainsFunc(ways, func(w way) bool { return agrees(k, m.Value, w.value) })
}

// reading is a way to understand what is written of a part: what it makes of the
// value and the marking.
type reading struct{ title, help, value, marking string }

// otherReadings are the meanings that what is written has beside the one that
// holds, the likeliest first.
func otherReadings(k *model.Kind, m *model.Part) []reading {
	var list []reading
	for i, w := range waysToRead(k, printedText(k, m)) {
		if holds(k, m, i, w) {
			continue
		}
		o := reading{title: "or " + w.value + ", " + sense(k, m, w), help: w.help(printedText(k, m)), value: w.value, marking: printedText(k, m)}
		if i == 0 {
			o.value = "" // which follows from the marking
		}
		list = append(list, o)
	}
	if plain := plainReading(k, m); plain != "" && m.Value == "" && !offered(list, plain) {
		list = append(list, reading{title: "or " + plain + ", plain", help: "Takes " + m.Marking + " for the value itself.", value: plain})
	}
	return list
}

// sense says in what sense the part's text would be read that way. The part's
// marking where that is another text than the value is printed; one text that is
// both is told by how it is read.
func sense(k *model.Kind, m *model.Part, w way) string {
	switch {
	case clashes(k, m, waysToRead(k, m.Marking)):
		return "as printed"
	case strings.HasPrefix(w.scheme, "plain"):
		return "plain"
	case strings.Contains(w.scheme, "upside down"):
		return "upside down"
	case strings.Contains(w.scheme, "bands"):
		return "by its bands"
	}
	return "as a code"
}

// printedText is what the part may have printed on it: its marking, or else the
// text of the value where that is what may as well be a marking.
func printedText(k *model.Kind, m *model.Part) string {
	text := strings.TrimSpace(m.Value)
	if _, coded := markedPart(k.Name); m.Marking != "" || !coded || hardlyMet(k, text) {
		return m.Marking
	}
	return text
}

// holds reports whether the part is understood by that way of reading now.
func holds(k *model.Kind, m *model.Part, i int, w way) bool {
	if m.Value == "" {
		return i == 0
	}
	return agrees(k, m.Value, w.value)
}

// plainReading is what a marking says where it is taken for the value itself, or "".
func plainReading(k *model.Kind, m *model.Part) string {
	if _, coded := markedPart(k.Name); !coded || m.Value != "" || hardlyMet(k, m.Marking) {
		return ""
	}
	params, err := k.FromValue(m.Marking)
	ways := waysToRead(k, m.Marking)
	if err != nil || len(ways) == 0 || agrees(k, m.Marking, ways[0].value) {
		return ""
	}
	x, unit := firstNumber(k, params)
	return exactShort(x, unit)
}

func offered(list []reading, value string) bool {
	return slices.ContainsFunc(list, func(o reading) bool { return o.value == value })
}
