package model

import "copperglass/model/quantity"

// Switch stays as it is set.
func (catalogue) Switch() Kind {
	return Kind{
		Name:   "switch",
		Title:  "Switch",
		About:  "Makes or breaks a connection and stays as it is set.",
		Prefix: "S", Key: 'S', Order: 16,
		Pins:     sideways("1", "2"),
		Params:   contactParams("whether it is closed"),
		Equation: contactEquation,
	}
}

// Button is open unless it is pressed.
func (catalogue) Button() Kind {
	return Kind{
		Name:   "button",
		Title:  "Push button",
		About:  "Closes a connection while it is pressed and is open at rest.",
		Prefix: "S", Key: 'S', Order: 17,
		Pins:     sideways("1", "2"),
		Params:   contactParams("whether it is pressed"),
		Equation: contactEquation,
	}
}

func contactParams(meaning string) []Param {
	return []Param{
		{Name: "state", Meaning: meaning, Default: Word("open"), Choices: []string{"open", "closed"}, Source: "at rest, where nothing is said"},
		{Name: "closed_resistance", Meaning: "resistance while closed", Unit: quantity.Ohm, Default: Number(0), Max: 1e15, Source: "ideal, where nothing is said"},
	}
}

func contactEquation(_ *Part, v Values, to Equation) {
	if v.Text("state") == "closed" {
		to.Resistance(Resistance{"1", "2", v.Num("closed_resistance")})
	}
}
