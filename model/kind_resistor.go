package model

import (
	"strings"

	"copperglass/model/geom"
	"copperglass/model/quantity"
)

// Resistor is Ohm's law. At 0 Ω it is a link.
func (catalogue) Resistor() Kind {
	return Kind{
		Name:   "resistor",
		Title:  "Resistor",
		About:  "Lets a current through in proportion to the voltage across it; at 0 Ω it is a plain link.",
		Prefix: "R", Key: 'R', Order: 4,
		Pins: sideways("1", "2"),
		Params: []Param{
			resistanceParam(),
			{Name: "tolerance", Meaning: "largest deviation from the value, as a fraction", Default: Number(0.05), Max: 1,
				Source: "usual where none is told; common practice, no source"},
			{Name: "case_size", Meaning: "case, which says what it stands", Default: Word(usualCase), Choices: resistorCaseNames(), Source: "where nothing is said"},
			{Name: "power_rating", Meaning: "most heat it may give off for long", Unit: quantity.Watt, Default: Number(0.125), Max: 1e6, Source: resistorPowers},
			{Name: "voltage_rating", Meaning: "most voltage it stands for long", Unit: quantity.Volt, Default: Number(150), Max: 1e6, Source: resistorVolts},
		},
		FromValue:   resistorValue,
		FromMarking: readMarkingOf(quantity.Resistor, "resistance", "power_rating"),
		Typical:     resistorTypical,
		Suggest:     "1k",
		Equation: func(_ *Part, v Values, to Equation) {
			to.Resistance(Resistance{"1", "2", v.Num("resistance")})
		},
	}
}

func resistanceParam() Param {
	return Param{Name: "resistance", Meaning: "resistance", Unit: quantity.Ohm, Required: true, Max: 1e15}
}

// resistorValue reads "4k7", "10k 1 %" or a word for a link.
func resistorValue(text string) (Params, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "link", "jumper", "wire":
		return Params{"resistance": Number(0)}, nil
	}
	return readSlots(text, slot{"resistance", quantity.Ohm}, slot{"tolerance", quantity.None}, slot{"power_rating", quantity.Watt})
}

// Potentiometer is two resistors that share its resistance.
func (catalogue) Potentiometer() Kind {
	return Kind{
		Name:   "potentiometer",
		Title:  "Potentiometer",
		About:  "A resistor with a sliding contact W that divides it in two; position 0 is at pin 1.",
		Prefix: "RV", Key: 'R', Order: 5,
		Pins:     potentiometerPins,
		PinWords: map[string]string{"W": "wiper"},
		Params: []Param{
			resistanceParam(),
			{Name: "position", Meaning: "place of the wiper, 0 at pin 1 to 1 at pin 2", Default: Number(0.5), Max: 1,
				Source: "midway, where nothing is said"},
			markedTolerance(),
			{Name: "power_rating", Meaning: "most heat its whole track may give off for long", Unit: quantity.Watt, Default: Number(0.1), Max: 1e6,
				Source: "small trimmers, 0.1 to 0.5 W in makers' sheets (from memory)"},
		},
		FromValue: func(text string) (Params, error) {
			return readSlots(withoutTaper(text), slot{"resistance", quantity.Ohm}, slot{"tolerance", quantity.None})
		},
		FromMarking: func(text string) (Params, error) {
			return readMarkingOf(quantity.Resistor, "resistance", "")(withoutTaper(text))
		},
		Suggest:  "10k",
		Equation: potentiometerEquation,
	}
}

func potentiometerPins(p *Part) []Pin {
	ends := sideways("1", "2")(p)
	return []Pin{ends[0], {"W", geom.Pt(0, 2), downwards}, ends[1]}
}

// potentiometerEquation has position · resistance between pin 1 and the wiper.
func potentiometerEquation(_ *Part, v Values, to Equation) {
	whole, position := v.Num("resistance"), v.Num("position")
	to.Resistance(Resistance{"1", "W", position * whole})
	to.Resistance(Resistance{"W", "2", (1 - position) * whole})
}

// withoutTaper drops the letter that tells the taper of a potentiometer, as in
// "B10K": common practice, no source.
func withoutTaper(text string) string {
	t := strings.TrimSpace(text)
	if len(t) > 1 && strings.IndexByte("ABCabc", t[0]) >= 0 && t[1] >= '0' && t[1] <= '9' {
		return t[1:]
	}
	return text
}

// markedTolerance is the tolerance of a part that has none but what is marked.
func markedTolerance() Param {
	return Param{Name: "tolerance", Meaning: "largest deviation from the value, as a fraction, where it is known", Max: 1}
}
