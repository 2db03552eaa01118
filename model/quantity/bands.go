package quantity

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// colour is one row of the colour code of IEC 60062:2016. What a colour does not have
// is −1 as digit and 0 as tolerance or coefficient.
type colour struct {
	name, code string
	digit      int
	power      int     // of ten, as multiplier
	percent    float64 // tolerance
	ppm        float64 // temperature coefficient, 1e-6/K
}

// The tolerances of orange, yellow and grey are those of the 2016 edition; earlier
// tables leave the first two empty and have 0.05 % for grey.
var colours = [13]colour{
	{"pink", "PK", -1, -3, 0, 0},
	{"silver", "SR", -1, -2, 10, 0},
	{"gold", "GD", -1, -1, 5, 0},
	{"black", "BK", 0, 0, 0, 250},
	{"brown", "BN", 1, 1, 1, 100},
	{"red", "RD", 2, 2, 2, 50},
	{"orange", "OG", 3, 3, 0.05, 15},
	{"yellow", "YE", 4, 4, 0.02, 25},
	{"green", "GN", 5, 5, 0.5, 20},
	{"blue", "BU", 6, 6, 0.25, 10},
	{"violet", "VT", 7, 7, 0.1, 5},
	{"grey", "GY", 8, 8, 0.01, 1},
	{"white", "WH", 9, 9, 0, 0},
}

func colourNamed(word string) (colour, bool) {
	switch strings.ToLower(word) { // other names in common use
	case "gray":
		word = "grey"
	case "purple":
		word = "violet"
	}
	for _, c := range colours {
		if strings.EqualFold(word, c.name) || strings.EqualFold(word, c.code) {
			return c, true
		}
	}
	return colour{}, false
}

// colourWords splits a text at spaces, hyphens, commas and slashes, and reports
// whether any of the words is a colour, so that the text is meant as bands.
func colourWords(text string) (words []string, ok bool) {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" -,/", r) }) {
		words = append(words, unfused(word)...)
	}
	return words, slices.ContainsFunc(words, func(word string) bool {
		_, ok := colourNamed(word)
		return ok
	})
}

// unfused splits names of colours that are written without anything between them;
// any other word stays as it is.
func unfused(word string) []string {
	var parts []string
	for rest := strings.ToLower(word); rest != ""; {
		name := colourBefore(rest)
		if name == "" {
			return []string{word}
		}
		parts = append(parts, name)
		rest = rest[len(name):]
	}
	return parts
}

// colourBefore is the name of a colour that a text begins with, or "".
func colourBefore(text string) string {
	for _, other := range []string{"gray", "purple"} {
		if strings.HasPrefix(text, other) {
			return other
		}
	}
	for _, c := range colours {
		if strings.HasPrefix(text, c.name) {
			return c.name
		}
	}
	return ""
}

// readBands reads colour bands from both ends of the part. The order written goes
// first; the other is offered when it gives a preferred value that is not absurd, and
// stands alone when the order written has no meaning.
func readBands(words []string, part Part) (Readings, error) {
	bands, err := bandsOf(words, part)
	if err != nil {
		return nil, err
	}
	if len(bands) == 1 {
		return Readings{{Unit: Ohm, Scheme: "single black band"}}, nil
	}
	turned := slices.Clone(bands)
	slices.Reverse(turned)
	forward, err := decode(bands, part)
	backward, turnedErr := decode(turned, part)
	backward.Scheme += ", read from the other end"
	switch {
	case err != nil && turnedErr != nil:
		return nil, fmt.Errorf("%w, and from the other end %w", err, turnedErr)
	case err != nil:
		return Readings{backward}, nil
	case turnedErr != nil || backward.Value == forward.Value || !isUsual(turned, backward):
		return Readings{forward}, nil
	}
	forward.Unlikely = !isUsual(bands, forward)
	return Readings{forward, backward}, nil
}

func bandsOf(words []string, part Part) ([]colour, error) {
	if part == Capacitor {
		return nil, errors.New("colour bands are read on resistors and inductors only")
	}
	bands := make([]colour, len(words))
	for i, word := range words {
		c, ok := colourNamed(word)
		if !ok {
			return nil, noColour(word)
		}
		bands[i] = c
	}
	return bands, checkCount(bands, part)
}

func noColour(word string) error {
	if near := nearColour(word); near != "" {
		return fmt.Errorf("%s is no colour of the code, but %s is", quote(word), near)
	}
	return fmt.Errorf("%s is no colour of the code", quote(word))
}

// checkCount has a single black band as a zero-ohm link (common practice, no source)
// and three or four bands on inductors.
func checkCount(bands []colour, part Part) error {
	n := len(bands)
	switch {
	case n == 1 && bands[0].digit != 0:
		return errors.New("one band has a meaning only when it is black")
	case n == 1 && part == Inductor, n == 2, n > 6:
		return fmt.Errorf("a part has three to six bands, not %d", n)
	case n > 4 && part == Inductor:
		return fmt.Errorf("an inductor has three or four bands, not %d", n)
	}
	return nil
}

// decode reads bands in the order given: two digits, with five or six bands three,
// then multiplier, tolerance and temperature coefficient as far as there are bands.
// Without a tolerance band it is 20 %. Inductors count in microhenries.
func decode(bands []colour, part Part) (Reading, error) {
	digits, rest := bands[:2], bands[2:]
	if len(bands) > 4 {
		digits, rest = bands[:3], bands[3:]
	}
	r := Reading{Unit: Ohm, Scheme: fmt.Sprintf("%d bands", len(bands)), TolerancePercent: symmetrical(20)}
	var text strings.Builder
	for _, c := range digits {
		if c.digit < 0 {
			return r, fmt.Errorf("%s is no digit", c.name)
		}
		text.WriteByte(byte('0' + c.digit))
	}
	power := rest[0].power
	if part == Inductor {
		r.Unit, power = Henry, power-6
	}
	r.Value = decimal(text.String(), power)
	if digits[0].digit == 0 {
		r.Note = "makers do not begin with a black band"
	}
	if len(digits) == 2 {
		r.remark(E24)
	}
	return r, r.takeBands(rest[1:])
}

// takeBands reads the tolerance and temperature-coefficient bands.
func (r *Reading) takeBands(bands []colour) error {
	if len(bands) > 0 {
		c := bands[0]
		if c.percent == 0 {
			return fmt.Errorf("%s is no tolerance", c.name)
		}
		r.TolerancePercent = symmetrical(c.percent)
		r.doubtTolerance(c)
	}
	if len(bands) > 1 {
		if r.PPMPerKelvin = bands[1].ppm; r.PPMPerKelvin == 0 {
			return fmt.Errorf("%s is no temperature coefficient", bands[1].name)
		}
	}
	return nil
}

// doubtTolerance notes the colours on which published tables disagree.
func (r *Reading) doubtTolerance(c colour) {
	switch {
	case r.Note != "":
	case c.name == "grey":
		r.Note = "grey is 0.01 % in IEC 60062:2016, 0.05 % in earlier tables"
	case c.name == "orange" || c.name == "yellow":
		r.Note = fmt.Sprintf("%s as tolerance is new in IEC 60062:2016", c.name)
	}
}

// isUsual reports whether makers would mark the value of r so: a preferred value of
// the tolerance's series, no leading zero, not absurdly large. Three bands (20 %) go
// with E6, four with E24, more with E96, or E192 for 0.5 % and closer.
func isUsual(bands []colour, r Reading) bool {
	finest, limit := E96, largestResistor
	switch {
	case len(bands) == 3:
		finest = E6
	case len(bands) == 4:
		finest = E24
	case r.TolerancePercent.Plus <= 0.5:
		finest = E192
	}
	if r.Unit == Henry {
		limit = largestInductor
	}
	return bands[0].digit > 0 && r.Value <= limit && preferredIn(r.Value, finest)
}

// largestInductor bounds what is likely on colour bands: common practice, no source.
const largestInductor = 1.0 // H
