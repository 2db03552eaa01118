package model

import (
	"copperglass/model/geom"
	"copperglass/model/quantity"
)

// Capacitor is open at rest.
func (catalogue) Capacitor() Kind {
	return Kind{
		Name:   "capacitor",
		Title:  "Capacitor",
		About:  "Stores charge: it carries current only while the voltage across it changes, and none at rest.",
		Prefix: "C", Key: 'C', Order: 6,
		Orient:   geom.Orientation{Turn: 90},
		Pins:     capacitorPins,
		PinWords: polesInWords(),
		Params: []Param{
			{Name: "capacitance", Meaning: "capacitance", Unit: quantity.Farad, Required: true, Max: 1e6},
			{Name: "series_resistance", Meaning: "resistance in series with the ideal capacitor", Unit: quantity.Ohm, Default: Number(0.03), Max: 1e15,
				Source: "ceramic types, 0.01 to 0.1 Ω (confirmed by a maker's table of series resistances); polarised ones by their capacitance"},
			{Name: "initial_voltage", Meaning: "voltage from pin 1 or + to the other where a run over time begins; unset, as at rest", Unit: quantity.Volt, Min: -1e6, Max: 1e6},
			{Name: "polarised", Meaning: "has a plus and a minus pin", Default: Flag(false)},
			{Name: "voltage_rating", Meaning: "most voltage it may have across it", Unit: quantity.Volt, Max: 1e6},
			markedTolerance(),
		},
		FromValue:   capacitorValue,
		FromMarking: readMarkingOf(quantity.Capacitor, "capacitance", "voltage_rating"),
		Typical:     capacitorTypical,
		Suggest:     "100n",
		Equation:    atRestOpen,
	}
}

// capacitorPins are + and − where the part is described so.
func capacitorPins(p *Part) []Pin {
	_, plus := p.Tags["+"]
	_, minus := p.Tags["-"]
	if polarised, _ := p.Params["polarised"].Enabled(); polarised || plus || minus {
		return sideways("+", "-")(p)
	}
	return sideways("1", "2")(p)
}

func capacitorValue(text string) (Params, error) {
	if err := refuseBare(text, "farads", "100n"); err != nil {
		return nil, err
	}
	return readSlots(text, slot{"capacitance", quantity.Farad}, slot{"voltage_rating", quantity.Volt}, slot{"tolerance", quantity.None})
}

// electrolyticResistance is the typical series resistance in ohms of standard
// 10 V aluminium electrolytic capacitors by their capacitance in farads, at
// room temperature: Peak ESR60/70 user guide, 2012, p. 9 (confirmed).
var electrolyticResistance = curve{
	{4.7e-6, 40}, {10e-6, 20}, {22e-6, 9}, {47e-6, 4.2}, {100e-6, 2}, {220e-6, 0.9}, {470e-6, 0.42}, {1000e-6, 0.2},
}

func capacitorTypical(v Values, to Params) {
	if farads := v.Num("capacitance"); v.Enabled("polarised") && farads > 0 {
		to["series_resistance"] = Number(electrolyticResistance.atPower(farads))
	}
}

// atRestOpen is the equation of what carries no current at rest.
func atRestOpen(*Part, Values, Equation) {}

// Inductor is its winding's resistance at rest.
func (catalogue) Inductor() Kind {
	return Kind{
		Name:   "inductor",
		Title:  "Inductor",
		About:  "A coil: it opposes changes of its current, and at rest is no more than the resistance of its wire.",
		Prefix: "L", Key: 'L', Order: 7,
		Pins: sideways("1", "2"),
		Params: []Param{
			{Name: "inductance", Meaning: "inductance", Unit: quantity.Henry, Required: true, Max: 1e6},
			{Name: "series_resistance", Meaning: "resistance of the winding", Unit: quantity.Ohm, Default: Number(0.1), Max: 1e15,
				Source: "10 µH on a small drum core, makers' sheets (from memory)"},
			{Name: "initial_current", Meaning: "current from pin 1 to pin 2 where a run over time begins; unset, as at rest", Unit: quantity.Ampere, Min: -1e6, Max: 1e6},
			markedTolerance(),
		},
		FromValue: func(text string) (Params, error) {
			if err := refuseBare(text, "henries", "100µ"); err != nil {
				return nil, err
			}
			return readSlots(text, slot{"inductance", quantity.Henry}, slot{"tolerance", quantity.None})
		},
		FromMarking: readMarkingOf(quantity.Inductor, "inductance", ""),
		Suggest:     "100µ",
		Equation: func(_ *Part, v Values, to Equation) {
			to.Resistance(Resistance{"1", "2", v.Num("series_resistance")})
		},
	}
}
