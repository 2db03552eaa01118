package model

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"copperglass/model/geom"
	"copperglass/model/quantity"
)

// LED is a junction whose constants follow from its colour.
func (catalogue) LED() Kind {
	white := ledNamed("white")
	defaults := junctionDefaults{white.saturation, white.emission, white.resistance, white.gap(), white.rating.value,
		"by its colour, here white: " + white.source, "by its colour, here white: " + white.rating.source}
	return Kind{
		Name:   "led",
		Title:  "LED",
		About:  "A diode that shines while current flows from A to K; its colour sets the voltage it takes.",
		Prefix: "D", Key: 'D', Order: 9,
		Orient:   geom.Orientation{Turn: 90},
		Pins:     sideways("A", "K"),
		PinWords: junctionInWords(),
		Load:     true,
		Params: slices.Concat([]Param{
			{Name: "colour", Meaning: "colour of the light", Default: Word("white"), Choices: ledNames(), Source: "where nothing is said"},
		}, junctionParams(defaults), []Param{optionalBreakdown()}),
		FromValue: ledValue,
		Typical:   ledTypical,
		Suggest:   "white",
		Equation:  junctionEquation,
		Handbook:  ledHandbook(),
	}
}

// ledVoltage is a forward voltage behind a colour, and at which current.
var ledVoltage = regexp.MustCompile(`(?i)^(.*\pL)[\s,]+([\d.,]+\s*m?V)(?:[\s,]+(?:(?:at|@)\s*)?([\d.,]+\s*[mµu]?A))?\s*$`)

// ledValue reads a colour, and behind it a forward voltage that somebody has
// measured, at 20 mA or at the current that is named: "red 1.8 V 5 mA".
func ledValue(text string) (Params, error) {
	m := ledVoltage.FindStringSubmatch(text)
	if m == nil {
		return ledColourValue(text)
	}
	params, err := ledColourValue(m[1])
	if err != nil {
		return nil, err
	}
	volts, err := quantity.Parse(m[2], quantity.Volt)
	if err != nil {
		return nil, err
	}
	amps := ledTestCurrent
	if m[3] != "" {
		if amps, err = quantity.Parse(m[3], quantity.Ampere); err != nil {
			return nil, err
		}
	}
	c, err := ledNamed(Values(params).Text("colour")).through(volts, amps)
	if err != nil {
		return nil, err
	}
	params["saturation_current"], params["energy_gap"] = Number(c.saturation), Number(c.gap())
	return params, nil
}

// ledColourValue reads a colour, with or without "LED" and a diameter beside it:
// "red", "5 mm warm white LED".
func ledColourValue(text string) (Params, error) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(" -_,", r) })
	words = slices.DeleteFunc(words, func(w string) bool {
		return w == "led" || w == "mm" || w == "3" || w == "5" || w == "3mm" || w == "5mm" || w == "nm"
	})
	said := strings.TrimSuffix(strings.Join(words, " "), "nm")
	for _, c := range ledColours {
		if said == strings.ReplaceAll(c.name, "-", " ") || slices.Contains(c.aliases, said) {
			return Params{"colour": Word(c.name)}, nil
		}
	}
	return nil, fmt.Errorf("%q is no colour of LED that the catalogue knows; write one of %s", excerpt(text), strings.Join(ledNames(), ", "))
}

func ledTypical(v Values, to Params) {
	c := ledNamed(v.Text("colour"))
	if c == nil {
		return
	}
	to["saturation_current"] = Number(c.saturation)
	to["emission_coefficient"] = Number(c.emission)
	to["series_resistance"] = Number(c.resistance)
	to["energy_gap"] = Number(c.gap())
	to["current_rating"] = Number(c.rating.value)
}
