package model

import "copperglass/model/quantity"

// Chip is a box of switches between its outputs and its supply.
func (catalogue) Chip() Kind {
	return Kind{
		Name:   "chip",
		Title:  "Chip",
		About:  "A box with pins as you describe them; each output is joined to supply or ground, or let go, as the mode says; outputs sag under load, and the protection at its pins is not modelled.",
		Prefix: "IC", Key: 'U', Order: 15,
		Pins:      chipPins,
		Params:    chipParams(),
		PinStates: []string{"high", "low", "off"},
		NewPins:   eightPins(),
		Equation:  chipEquation,
	}
}

func chipParams() []Param {
	pin := "a small microcontroller's strong pin at 3 V, worst case of the Atmel ATtiny13A datasheet 8126F, table 18-1 (calculated)"
	return []Param{
		{Name: "supply_current", Meaning: "current it takes from supply to ground", Unit: quantity.Ampere, Default: Number(5e-4), Max: 1e6,
			Source: "a small microcontroller that runs, 0.2 to 2 mA in makers' sheets (from memory)"},
		{Name: "brown_out_voltage", Meaning: "supply below which it stops", Unit: quantity.Volt, Default: Number(1.8), Max: 1e6,
			Source: "least supply of the MSP430G22x0 and of the ATtiny13A's low-voltage grade, makers' sheets (confirmed and from memory)"},
		{Name: "supply_voltage_rating", Meaning: "most supply it stands; the protection at its pins is not modelled", Unit: quantity.Volt, Default: Number(6), Max: 1e6,
			Source: "absolute maximum of small 5 V microcontrollers, 6 V for the ATtiny13A and 6.5 V for the PIC12F; 4.1 V for 3 V types as the MSP430G22x0 (from memory)"},
		{Name: "package_pins", Meaning: "leads of its case, where they are known", Min: 3, Max: 256},
		{Name: "output_resistance_high", Meaning: "resistance from a high output to supply, by which it sags under load", Unit: quantity.Ohm, Default: Number(70), Max: 1e15, Source: pin},
		{Name: "output_resistance_low", Meaning: "resistance from a low output to ground, by which it rises under load", Unit: quantity.Ohm, Default: Number(60), Max: 1e15, Source: pin},
	}
}

// eightPins are those of an unmarked chip in the commonest small case, none
// of them known yet.
func eightPins() []ChipPin {
	var pins []ChipPin
	for _, number := range []string{"1", "2", "3", "4"} {
		pins = append(pins, ChipPin{Number: number, Role: "none", Side: "left"})
	}
	for _, number := range []string{"8", "7", "6", "5"} {
		pins = append(pins, ChipPin{Number: number, Role: "none", Side: "right"})
	}
	return pins
}

// chipEquation joins each output to the first supply or ground pin, as the
// value under its number says; a pin without a state is off.
func chipEquation(p *Part, v Values, to Equation) {
	supply, ground := pinWithRole(p, "supply"), pinWithRole(p, "ground")
	for _, pin := range p.Pins {
		state, isOutput := v.Text(pin.Number), pin.Role == "output"
		switch {
		case isOutput && state == "high" && supply != "":
			to.Resistance(Resistance{supply, pin.Number, v.Num("output_resistance_high")})
		case (isOutput || pin.Role == "open_drain") && state == "low" && ground != "":
			to.Resistance(Resistance{pin.Number, ground, v.Num("output_resistance_low")})
		}
	}
	if amps := v.Num("supply_current"); amps != 0 && supply != "" && ground != "" {
		to.CurrentSource(CurrentSource{ground, supply, amps}) // into supply, out of ground
	}
}

// pinWithRole returns the number of the first pin in that role, or "".
func pinWithRole(p *Part, role string) string {
	for _, pin := range p.Pins {
		if pin.Role == role {
			return pin.Number
		}
	}
	return ""
}
