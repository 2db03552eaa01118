package model

import (
	"fmt"
	"strings"

	"copperglass/model/quantity"
)

// Supply is a voltage behind a resistance.
func (catalogue) Supply() Kind {
	return Kind{
		Name:   "supply",
		Title:  "Voltage supply",
		About:  "Holds a steady voltage between + and −, as a bench supply or a USB socket does.",
		Prefix: "G", Key: 'G', Order: 2,
		Pins:     upright("+", "-"),
		PinWords: polesInWords(),
		Params: []Param{
			{Name: "voltage", Meaning: "voltage from + to − without load", Unit: quantity.Volt, Required: true, Min: -1e9, Max: 1e9},
			{Name: "resistance", Meaning: "internal resistance", Unit: quantity.Ohm, Default: Number(0), Max: 1e15, Source: "ideal, where nothing is said"},
		},
		FromValue: func(text string) (Params, error) {
			return readSlots(text, slot{"voltage", quantity.Volt}, slot{"resistance", quantity.Ohm})
		},
		Suggest:  "5 V",
		Equation: behindResistance("voltage", "resistance"),
	}
}

// behindResistance is a voltage from + to − behind a resistance, by the names
// of the two quantities.
func behindResistance(volts, ohms string) func(*Part, Values, Equation) {
	return func(_ *Part, v Values, to Equation) {
		to.VoltageSource(VoltageSource{"+", "-", v.Num(volts), v.Num(ohms)})
	}
}

// CurrentSource drives a steady current.
func (catalogue) CurrentSource() Kind {
	return Kind{
		Name:   "current_source",
		Title:  "Current source",
		About:  "Drives a steady current out of + through the circuit and back into −, whatever the voltage.",
		Prefix: "G", Key: 'G', Order: 3,
		Pins:     upright("+", "-"),
		PinWords: polesInWords(),
		Params: []Param{
			{Name: "current", Meaning: "current out of + through the circuit into −", Unit: quantity.Ampere, Required: true, Min: -1e9, Max: 1e9},
		},
		FromValue: func(text string) (Params, error) { return readSlots(text, slot{"current", quantity.Ampere}) },
		Suggest:   "20 mA",
		Equation: func(_ *Part, v Values, to Equation) {
			to.CurrentSource(CurrentSource{"+", "-", v.Num("current")})
		},
	}
}

// Meter measures; an ideal one does not disturb what it measures.
func (catalogue) Meter() Kind {
	return Kind{
		Name:   "meter",
		Title:  "Meter",
		About:  "Reads the voltage across it or the current through it, and disturbs nothing unless it has a resistance.",
		Prefix: "P", Key: 'P', Order: 21,
		Pins:     upright("+", "-"),
		PinWords: polesInWords(),
		Params: []Param{
			{Name: "measures", Meaning: "what it reads", Default: Word("volts"), Choices: []string{"volts", "amps"}, Source: "a voltmeter, where nothing is said"},
			{Name: "resistance", Meaning: "resistance between its leads; unset, an ideal meter", Unit: quantity.Ohm, Max: 1e15},
		},
		FromValue: meterValue,
		Suggest:   "volts",
		Equation:  meterEquation,
	}
}

// meterEquation is open for an ideal voltmeter and a link for an ideal ammeter.
func meterEquation(_ *Part, v Values, to Equation) {
	if v["resistance"].IsSet() || v.Text("measures") != "volts" {
		to.Resistance(Resistance{"+", "-", v.Num("resistance")})
	}
}

// meterValue reads what a meter measures from its unit or a word for it.
func meterValue(text string) (Params, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "v", "mv", "volt", "volts", "voltmeter":
		return Params{"measures": Word("volts")}, nil
	case "a", "ma", "µa", "ua", "amp", "amps", "ammeter":
		return Params{"measures": Word("amps")}, nil
	}
	return nil, fmt.Errorf("%q is nothing a meter reads; write volts or amps", excerpt(text))
}
