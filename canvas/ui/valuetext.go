package ui

import (
	"math"
	"regexp"
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
	return func(m *model.Part) {
		if count > 0 {
			m.Count = count
		}
		switch {
		case value == "" && count > 0:
		case printed(k, m, value):
			m.Marking, m.Value = value, ""
		default:
			m.Value = value
		}
	}, nil
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
// the part: where only a marking can be read from it, and for a bare number that
// is no value parts are made with but the code of one. A part whose marking is
// known already has been given a value.
func printed(k *model.Kind, m *model.Part, text string) bool {
	part, coded := markedPart(k.Name)
	if !coded || strings.TrimSpace(text) == "" {
		return false
	}
	readings, err := quantity.ReadMarking(text, part)
	if err != nil {
		return false
	}
	params, err := k.FromValue(text)
	if err != nil {
		return true
	}
	if m.Marking != "" || !bareCode(text) {
		return false
	}
	x, _ := firstNumber(k, params)
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

// valueText is what the field of the value shows: the value, or else the
// marking it follows from.
func valueText(k *model.Kind, m *model.Part) string {
	if _, coded := markedPart(k.Name); m.Value == "" && coded && readable(k, m.Marking) {
		return m.Marking
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

// otherValue adds a button for the other reading of a bare number in the
// field of the value: what it says as a marking, or as a plain number.
func (p *page) otherValue(k *model.Kind, f *field) {
	key := func() string { return "other" + p.model().Marking + "\x00" + p.model().Value + "\x00" + f.problem }
	p.dynamic(key, func() []fyne.CanvasObject {
		m := p.model()
		if o, ok := otherReading(k, m); ok && f.problem == "" {
			title := elide(o.title, p.fieldWidth(), textSize, false)
			return []fyne.CanvasObject{indented(p.action(title, o.help, func() {
				p.try(p.edit("reading", func(m *model.Part) { m.Value, m.Marking = o.value, o.marking }))
			})), gap(6)}
		}
		return nil
	})
}

// reading is another way to understand what was typed.
type reading struct{ title, help, value, marking string }

// otherReading is the other meaning of a bare number, where it has one that
// the marking's own list of readings lacks.
func otherReading(k *model.Kind, m *model.Part) (reading, bool) {
	text := strings.TrimSpace(valueText(k, m))
	if _, coded := markedPart(k.Name); !coded || !bareCode(text) {
		return reading{}, false
	}
	params, err := k.FromValue(text)
	ways := waysToRead(k, text)
	if err != nil || len(ways) == 0 {
		return reading{}, false
	}
	x, unit := firstNumber(k, params)
	plain := exactShort(x, unit)
	switch {
	case m.Value != "" && (m.Marking == "" || !usualValue(x, 3)) && !agrees(k, text, ways[0].value):
		return reading{"or " + ways[0].value + ", as printed", "Takes " + text + " for what is printed on the part: " + ways[0].String() + ".", "", text}, true
	case m.Value == "" && !offered(ways, plain):
		return reading{"or " + plain + ", plain", "Takes " + text + " for the value itself.", plain, ""}, true
	}
	return reading{}, false
}

func offered(ways []way, value string) bool {
	for _, w := range ways {
		if w.value == value {
			return true
		}
	}
	return false
}
