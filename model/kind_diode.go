package model

import (
	"fmt"
	"regexp"

	"copperglass/model/geom"
	"copperglass/model/quantity"
)

// Diode is a junction.
func (catalogue) Diode() Kind {
	small := diodeTypes[0]
	defaults := junctionDefaults{small.saturation, small.emission, small.resistance, small.gap, small.rating.value,
		"as 1N4148: " + small.source, "as 1N4148: " + small.rating.source}
	return Kind{
		Name:   "diode",
		Title:  "Diode",
		About:  "Lets current through from A to K once some tenths of a volt drive it, and blocks the other way.",
		Prefix: "D", Key: 'D', Order: 8,
		Orient:      geom.Orientation{Turn: 90},
		Pins:        sideways("A", "K"),
		PinWords:    junctionInWords(),
		Params:      append(junctionParams(defaults), optionalBreakdown(), reverseRating()),
		FromValue:   diodeValue,
		FromMarking: diodeValue,
		Equation:    junctionEquation,
		Handbook:    diodeHandbook(),
	}
}

// diodeValue reads a type; one the catalogue does not know is only a name.
func diodeValue(text string) (Params, error) {
	d := diodeNamed(text)
	if d == nil {
		return nil, nil
	}
	return Params{
		"saturation_current":   Number(d.saturation),
		"emission_coefficient": Number(d.emission),
		"series_resistance":    Number(d.resistance),
		"energy_gap":           Number(d.gap),
		"current_rating":       Number(d.rating.value),
		reverseVoltageRating:   Number(diodeReverse(text).value),
	}, nil
}

// reverseVoltageRating is the name of the quantity.
const reverseVoltageRating = "reverse_voltage_rating"

func reverseRating() Param {
	usual := diodeReverse("1N4148")
	return Param{Name: reverseVoltageRating, Meaning: "most reverse voltage it may block for long", Unit: quantity.Volt, Default: Number(usual.value), Max: 1e6,
		Source: fmt.Sprintf("as 1N4148: %s (%s)", usual.source, usual.status)}
}

// Zener is a junction that is used in breakdown.
func (catalogue) Zener() Kind {
	return Kind{
		Name:   "zener",
		Title:  "Zener diode",
		About:  "A diode meant to be driven backwards: from K to A it holds nearly the same voltage over a wide range of current.",
		Prefix: "D", Key: 'D', Order: 10,
		Orient:      geom.Orientation{Turn: 270},
		Pins:        sideways("A", "K"),
		PinWords:    junctionInWords(),
		Params:      zenerParams(),
		FromValue:   zenerValue,
		FromMarking: zenerValue,
		Typical:     zenerTypical,
		Suggest:     "5V1",
		Equation:    junctionEquation,
		Handbook:    zenerHandbook(),
	}
}

// zenerParams are those of a junction with the test current of such diodes;
// the forward constants give 0.71 V at 10 mA.
func zenerParams() []Param {
	params := junctionParams(junctionDefaults{1e-14, 1, 0, siliconGap, 0.2,
		"0.9 V at most at 10 mA, Nexperia BZX84 datasheet (from memory)", "Nexperia BZX84 datasheet (from memory)"})
	for i := range params {
		switch params[i].Name {
		case "breakdown_current":
			params[i].Default, params[i].Source = Number(zenerTestCurrent), "Nexperia BZX84 datasheet, up to 24 V (from memory)"
		case "breakdown_emission":
			params[i].Source = "by its voltage: half of the limits of the Nexperia BZX84 datasheet (estimate)"
		}
	}
	return append(params,
		Param{Name: "breakdown_voltage", Meaning: "reverse voltage at the breakdown current", Unit: quantity.Volt, Required: true, Min: 1e-3, Max: 1e6},
		Param{Name: "tolerance", Meaning: "largest deviation of the breakdown voltage, as a fraction", Default: Number(0.05), Max: 1, Source: "Nexperia BZX84 datasheet, grade C (from memory)"},
		Param{Name: "power_rating", Meaning: "most heat it may give off for long", Unit: quantity.Watt, Default: Number(0.3), Max: 1e6, Source: "Nexperia BZX84 datasheet (from memory)"},
	)
}

// zenerName is a voltage with V for the decimal mark at the end of a type such
// as BZX84C5V1, and before it the grade.
var zenerName = regexp.MustCompile(`^BZ[A-Z]\d+([ABC]?)(\d+V\d*)$`)

// zenerGrades are the tolerances of the grades that are better than the usual C:
// Nexperia BZX84 datasheet (from memory).
var zenerGrades = map[string]float64{"A": 0.01, "B": 0.02}

// zenerValue reads "5V1", "5.1 V" or a type that ends so.
func zenerValue(text string) (Params, error) {
	grade := ""
	if m := zenerName.FindStringSubmatch(foldName(text)); m != nil {
		grade, text = m[1], m[2]
	}
	params, err := readSlots(text, slot{"breakdown_voltage", quantity.Volt}, slot{"power_rating", quantity.Watt}, slot{"tolerance", quantity.None})
	if err != nil {
		return nil, fmt.Errorf("%q tells no breakdown voltage; write it as in 5V1 or BZX84C5V1", excerpt(text))
	}
	if tolerance, ok := zenerGrades[grade]; ok {
		params["tolerance"] = Number(tolerance)
	}
	return params, nil
}

func zenerTypical(v Values, to Params) {
	if volts := v.Num("breakdown_voltage"); volts > 0 {
		to["breakdown_emission"] = Number(zenerEmission(volts))
	}
}
