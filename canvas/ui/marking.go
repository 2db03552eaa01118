package ui

import (
	"fmt"
	"image/color"
	"math"
	"regexp"
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
	rated  string // what is printed beside it, such as the volts of a capacitor, or ""
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
	readings, err := readPrinted(k, marking)
	if !coded || err != nil {
		return []way{{value: strings.TrimSpace(marking)}}
	}
	var ways []way
	for _, r := range readings {
		if r.Unlikely && r.Value > largestMet && len(ways) > 0 {
			continue
		}
		ways = append(ways, way{exactShort(r.Value, r.Unit), spanWords(r.TolerancePercent), ratedWords(part, r.Rated), r.Scheme})
	}
	return ways
}

// readPrinted reads what is printed on a part that has its value marked.
func readPrinted(k *model.Kind, text string) (quantity.Readings, error) {
	part, _ := markedPart(k.Name)
	return quantity.ReadMarking(withoutTaper(k, text), part)
}

// withoutTaper drops the letter that tells the taper of a potentiometer, as in
// "B10K": common practice, no source.
func withoutTaper(k *model.Kind, text string) string {
	text = strings.TrimSpace(text)
	if k.Name == "potentiometer" && taper.MatchString(text) {
		return text[1:]
	}
	return text
}

var taper = regexp.MustCompile(`^[ABCabc]\d`)

// ratedWords is the rating that goes with a marked part: "50 V".
func ratedWords(part quantity.Part, x float64) string {
	if x == 0 {
		return ""
	}
	return exactShort(x, part.Rating())
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
	if types := model.TypesMarked(marking); len(types) > 0 {
		return "kept as printed; makers print it on " + strings.Join(types, ", ")
	}
	return "kept as printed; this marking is not in the catalogue"
}

// wayLines says below the marking how it is read where the value is written, and
// offers to mend the marking where it is another than the value's.
func (p *page) wayLines(k *model.Kind) []fyne.CanvasObject {
	m := p.model()
	ways := waysToRead(k, m.Marking)
	_, coded := markedPart(k.Name)
	var lines []fyne.CanvasObject
	say := func(text string, c color.Color) {
		lines = append(lines, p.indented(paragraph(text, p.fieldWidth(), smallSize, c)))
	}
	switch {
	case len(ways) == 0 || m.Value == "" && coded:
		return nil
	case clashes(k, m, ways):
		words := "not what the value says"
		if coded {
			words = "is " + ways[0].String() + ", not " + saidValue(k, m.Value)
		}
		say(words, p.in.look.Flag)
		lines = append(lines, p.indented(p.readingButton(mended(k, m))))
	default:
		for _, w := range ways {
			if m.Value == "" || agrees(k, m.Value, w.value) {
				say("read as "+w.String(), p.in.look.Quiet)
				break
			}
		}
	}
	return append(lines, gap(6))
}

// saidValue is a value in short, as the field has understood it.
func saidValue(k *model.Kind, text string) string {
	params, err := k.FromValue(text)
	if x, u := firstNumber(k, params); err == nil && !math.IsNaN(x) && markedUnit(u) {
		return exactShort(x, u)
	}
	return text
}

// markedUnit reports whether markings tell numbers of the unit.
func markedUnit(u quantity.Unit) bool {
	return u == quantity.Ohm || u == quantity.Farad || u == quantity.Henry
}

// mended is a part with a marking that fits its value: the value's own text, where
// that may be printed on a part, or none.
func mended(k *model.Kind, m *model.Part) reading {
	if _, coded := markedPart(k.Name); coded {
		text := strings.TrimSpace(m.Value)
		if ways := waysToRead(k, text); len(ways) > 0 && agrees(k, text, ways[0].value) && !strings.ContainsAny(text, " .,Ω") {
			return reading{title: "or it reads " + text, help: "Takes " + text + " for what is printed on the part.", marking: text}
		}
	}
	return reading{title: "or drop the marking", help: "Takes the marking away; the value stays.", value: m.Value}
}

// String is "33 kΩ, 5 % (3-digit code)".
func (w way) String() string {
	s := strings.Join(slices.DeleteFunc([]string{w.value, w.span, w.rated}, func(s string) bool { return s == "" }), ", ")
	if w.scheme != "" {
		s += " (" + w.scheme + ")"
	}
	return s
}

// help explains what taking the way does.
func (w way) help(marking string) string {
	return "Takes " + strings.TrimSpace(marking) + " for what is printed on the part: " + w.String() + "."
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
