package model

import (
	"fmt"

	"copperglass/model/quantity"
)

// NPN is a bipolar transistor.
func (catalogue) NPN() Kind {
	return bipolarKind(Kind{
		Name:  "npn",
		Title: "NPN transistor",
		About: "A small current into B lets a much larger one flow from C to E.",
		Order: 12,
		Pins:  transistor("B", "C", "E", "C", "B", "E"),
	}, 1)
}

// PNP is a bipolar transistor of the other polarity.
func (catalogue) PNP() Kind {
	return bipolarKind(Kind{
		Name:  "pnp",
		Title: "PNP transistor",
		About: "A small current out of B lets a much larger one flow from E to C.",
		Order: 11,
		Pins:  transistor("B", "E", "C", "C", "B", "E"),
	}, -1)
}

// bipolarKind fills in what both polarities share.
func bipolarKind(k Kind, polarity float64) Kind {
	k.Prefix, k.Key = "Q", 'Q'
	k.PinWords = map[string]string{"B": "base", "C": "collector", "E": "emitter"}
	k.Params = bipolarParams()
	k.FromValue = transistorValue(k.Name)
	k.FromMarking = k.FromValue
	k.Handbook = transistorHandbook(k.Name)
	k.Equation = func(_ *Part, v Values, to Equation) { bipolarEquation(v, polarity, to) }
	return k
}

// transistorValue reads a type; one the catalogue does not know is only a name.
func transistorValue(kind string) func(string) (Params, error) {
	return func(text string) (Params, error) {
		t, known := transistorNamed()[foldName(text)]
		switch {
		case !known:
			return nil, nil
		case t.kind != kind:
			return nil, fmt.Errorf("%s is of the kind %s and not %s; change the part's kind or its type", t.name, t.kind, kind)
		}
		return t.params.clone(), nil
	}
}

func bipolarParams() []Param {
	g := genericBipolar
	ideal := "ideal, where nothing is said"
	return []Param{
		{Name: "forward_beta", Meaning: "current gain β with the collector reverse biased", Default: Number(g.beta), Min: 1e-3, Max: 1e9, Source: g.source},
		{Name: "collector_current_rating", Meaning: "most collector current it may carry for long", Unit: quantity.Ampere, Default: Number(g.current), Max: 1e6, Source: g.source},
		{Name: "power_rating", Meaning: "most heat it may give off for long", Unit: quantity.Watt, Default: Number(g.power), Max: 1e6, Source: "SOT-23, " + sheet3904 + " (confirmed)"},
		{Name: "voltage_rating", Meaning: "most voltage between collector and emitter", Unit: quantity.Volt, Default: Number(g.voltage), Max: 1e6, Source: g.source},
		{Name: "saturation_current", Meaning: "saturation current", Unit: quantity.Ampere, Default: Number(g.saturation), Min: 1e-100, Max: 1, Source: g.source},
		{Name: "reverse_beta", Meaning: "current gain β with collector and emitter exchanged", Default: Number(g.reverse), Min: 1e-6, Max: 1e9, Source: g.source},
		{Name: "forward_emission", Meaning: "emission coefficient of the base-emitter junction", Default: Number(1), Min: 0.1, Max: 100, Source: ideal},
		{Name: "reverse_emission", Meaning: "emission coefficient of the base-collector junction", Default: Number(1), Min: 0.1, Max: 100, Source: ideal},
		{Name: "early_voltage", Meaning: "Early voltage; 0 for none", Unit: quantity.Volt, Default: Number(0), Max: 1e9, Source: ideal},
		{Name: "knee_current", Meaning: "collector current where the gain begins to fall; 0 for nowhere", Unit: quantity.Ampere, Default: Number(g.knee), Max: 1e6, Source: g.source},
		{Name: "base_resistance", Meaning: "resistance of the base lead and layer", Unit: quantity.Ohm, Default: Number(g.base), Max: 1e9, Source: g.source},
		{Name: "collector_resistance", Meaning: "resistance of the collector lead and layer", Unit: quantity.Ohm, Default: Number(g.collector), Max: 1e9, Source: g.source},
		{Name: "emitter_resistance", Meaning: "resistance of the emitter lead and layer", Unit: quantity.Ohm, Default: Number(g.emitter), Max: 1e9, Source: g.source},
		{Name: "energy_gap", Meaning: "energy gap that sets how the saturation current moves with temperature", Unit: quantity.Volt, Default: Number(siliconGap), Max: 20, Source: "silicon, textbook value (from memory)"},
		{Name: "beta_temperature_coefficient", Meaning: "relative change of the current gains per kelvin", Unit: quantity.PerKelvin, Default: Number(0), Min: -1, Max: 1, Source: "none, where nothing is said"},
	}
}

// bipolarEquation is the transistor behind its three ohmic resistances.
func bipolarEquation(v Values, polarity float64, to Equation) {
	c := behind(to, "C", "collector", v.Num("collector_resistance"))
	b := behind(to, "B", "base", v.Num("base_resistance"))
	e := behind(to, "E", "emitter", v.Num("emitter_resistance"))
	to.Bipolar(Bipolar{c, b, e, bipolarLaw(v, polarity)})
}

func bipolarLaw(v Values, polarity float64) BipolarLaw {
	n := v.Num("forward_emission")
	gain := gainFactor(v)
	return BipolarLaw{
		Polarity:          polarity,
		SaturationCurrent: scaledSaturation(v, "saturation_current", n),
		ForwardBeta:       gain * v.Num("forward_beta"),
		ReverseBeta:       gain * v.Num("reverse_beta"),
		ForwardEmission:   n,
		ReverseEmission:   v.Num("reverse_emission"),
		EarlyVoltage:      v.Num("early_voltage"),
		KneeCurrent:       v.Num("knee_current"),
		ThermalVoltage:    ThermalVoltage(v.Num("temperature")),
	}
}

// gainFactor is how far the gains have moved from the reference temperature,
// linear in temperature and kept positive.
func gainFactor(v Values) float64 {
	const least = 1e-3
	return max(least, 1+v.Num("beta_temperature_coefficient")*(v.Num("temperature")-v.Num("reference_temperature")))
}
