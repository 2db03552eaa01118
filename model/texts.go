package model

import (
	"fmt"
	"strings"
	"unicode"

	"copperglass/model/quantity"
)

// slot is a quantity that the text of a value may hold.
type slot struct {
	name string
	unit quantity.Unit
}

// longestValue bounds in bytes what is looked at as several quantities.
const longestValue = 200

// readSlots reads a text of one or more quantities, such as "100 µF 16 V", each
// into the first slot of its unit. The first slot must be filled; the others take
// only what is written with a unit.
func readSlots(text string, slots ...slot) (Params, error) {
	x, err := quantity.Parse(text, slots[0].unit)
	if err == nil {
		return Params{slots[0].name: Number(x)}, nil
	}
	if len(text) > longestValue {
		return nil, err
	}
	out := Params{}
	for _, group := range quantityGroups(text) {
		if !out.fill(group, slots) {
			return nil, err
		}
	}
	if !out[slots[0].name].IsSet() {
		return nil, err
	}
	return out, nil
}

// fill puts the quantity in text into the first free slot of its unit.
func (p Params) fill(text string, slots []slot) bool {
	for i, s := range slots {
		x, err := quantity.Parse(text, s.unit)
		if err != nil || p[s.name].IsSet() || i > 0 && endsInDigit(text) {
			continue
		}
		p[s.name] = Number(x)
		return true
	}
	return false
}

// quantityGroups splits a text into quantities: a word that begins with a
// figure begins one, and the words behind it belong to it.
func quantityGroups(text string) []string {
	var groups []string
	for _, w := range strings.FieldsFunc(text, separatesQuantities) {
		w = strings.TrimRight(w, ",;")
		switch {
		case w == "":
		case len(groups) == 0 || unicode.IsDigit(rune(w[0])) || w[0] == '.':
			groups = append(groups, w)
		default:
			groups[len(groups)-1] += " " + w
		}
	}
	return groups
}

func separatesQuantities(r rune) bool { return unicode.IsSpace(r) || r == '/' || r == '±' }

func endsInDigit(s string) bool { return s != "" && unicode.IsDigit(rune(s[len(s)-1])) }

// refuseBare returns an error for a number without any letter where the bare
// unit is so large that the number is more likely a code off the part.
func refuseBare(text, unit, example string) error {
	if strings.ContainsFunc(text, unicode.IsLetter) {
		return nil
	}
	return fmt.Errorf("%q alone would be in %s; write a value such as %s, or enter it as the marking", excerpt(text), unit, example)
}

// readMarkingOf reads a marking as its likeliest meaning, and its tolerance
// into a quantity of that name where the marking tells one.
func readMarkingOf(part quantity.Part, name, rating string) func(string) (Params, error) {
	return func(text string) (Params, error) {
		readings, err := quantity.ReadMarking(text, part)
		if err != nil {
			return nil, err
		}
		likely := readings[0]
		out := Params{name: Number(likely.Value)}
		if t := max(likely.TolerancePercent.Plus, -likely.TolerancePercent.Minus); t > 0 {
			out["tolerance"] = Number(t / 100)
		}
		if likely.Rated > 0 && rating != "" {
			out[rating] = Number(likely.Rated)
		}
		return out, nil
	}
}

// excerpt is the beginning of a text, for messages.
func excerpt(text string) string {
	const most = 24 // characters
	runes := []rune(text[:min(len(text), 4*most+4)])
	if len(runes) <= most {
		return text
	}
	return string(runes[:most]) + "…"
}

// foldName brings a name to one form for comparison: capitals, without
// spaces, hyphens and underscores.
func foldName(s string) string {
	return strings.ToUpper(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '-' || r == '_' {
			return -1
		}
		return r
	}, s))
}
