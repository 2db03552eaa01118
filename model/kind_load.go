package model

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"copperglass/model/quantity"
)

// Motor is the voltage it makes by turning, behind its winding.
func (catalogue) Motor() Kind {
	return Kind{
		Name:   "motor",
		Title:  "DC motor",
		About:  "A brushed motor: turning, it makes a voltage of its own against the one that drives it.",
		Prefix: "M", Key: 'M', Order: 19,
		Pins:     upright("+", "-"),
		PinWords: polesInWords(),
		Load:     true,
		Params: []Param{
			{Name: "winding_resistance", Meaning: "resistance of the winding", Unit: quantity.Ohm, Default: Number(10), Max: 1e15, Source: "a small motor for 3 to 6 V, between 2 and 20 Ω; estimate"},
			{Name: "back_voltage", Meaning: "voltage it makes by turning; 0 when held still", Unit: quantity.Volt, Default: Number(0), Min: -1e6, Max: 1e6, Source: "held still, where nothing is said"},
		},
		FromValue: motorValue,
		Suggest:   "10 Ω",
		Equation:  behindResistance("back_voltage", "winding_resistance"),
	}
}

// motorValue reads a winding resistance, with or without a back voltage; a text
// that begins with a letter is only a name.
func motorValue(text string) (Params, error) {
	params, err := readSlots(text, slot{"winding_resistance", quantity.Ohm}, slot{"back_voltage", quantity.Volt})
	switch {
	case err == nil:
		return params, nil
	case strings.IndexFunc(strings.TrimSpace(text), unicode.IsLetter) == 0:
		return nil, nil
	}
	return nil, fmt.Errorf("%q tells no winding resistance; write it as in 10 Ω, with the back voltage as in 10 Ω 2 V", excerpt(text))
}

// Fuse is a small resistance.
func (catalogue) Fuse() Kind {
	return Kind{
		Name:   "fuse",
		Title:  "Fuse",
		About:  "A thin wire that melts when the current stays above its rating.",
		Prefix: "F", Key: 'F', Order: 20,
		Pins: sideways("1", "2"),
		Params: []Param{
			{Name: "resistance", Meaning: "resistance while whole", Unit: quantity.Ohm, Default: Number(0), Max: 1e15,
				Source: "a link; with a rating, a tenth of a volt at that current, below the limits of IEC 60127-2 (estimate)"},
			{Name: "current_rating", Meaning: "current it carries for good", Unit: quantity.Ampere, Min: 1e-6, Max: 1e6},
		},
		FromValue:   fuseValue,
		FromMarking: fuseValue,
		Typical:     fuseTypical,
		Suggest:     "500 mA",
		Equation: func(_ *Part, v Values, to Equation) {
			to.Resistance(Resistance{"1", "2", v.Num("resistance")})
		},
	}
}

// fuseText is a rating as printed on a fuse: the letters of its speed (IEC
// 60127), the current, perhaps L or H for what it can break, and the voltage.
var fuseText = regexp.MustCompile(`(?i)^\s*(?:FF|F|M|TT|T)?\s*([\d.,]+\s*m?A)?\s*[LH]?\s*(?:[\d.,]+\s*V)?\s*$`)

var errNoRating = errors.New("tells no current; write the rating as in 500 mA")

func fuseValue(text string) (Params, error) {
	if m := fuseText.FindStringSubmatch(text); m != nil && m[1] != "" {
		text = m[1]
	}
	params, err := readSlots(text, slot{"current_rating", quantity.Ampere})
	if err != nil {
		return nil, fmt.Errorf("%q %w", excerpt(text), errNoRating)
	}
	return params, nil
}

// fuseDrop is the voltage in volts across a fuse at its rated current
// (estimate).
const fuseDrop = 0.1

func fuseTypical(v Values, to Params) {
	if amps := v.Num("current_rating"); amps > 0 {
		to["resistance"] = Number(fuseDrop / amps)
	}
}
