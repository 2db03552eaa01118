package model

import (
	"fmt"

	"copperglass/model/quantity"
)

// NMOS is an n-channel field-effect transistor.
func (catalogue) NMOS() Kind {
	return fieldEffectKind(Kind{
		Name:  "nmos",
		Title: "N-channel MOSFET",
		About: "A voltage at G above S opens the way from D to S without taking any current.",
		Order: 14,
		Pins:  transistor("G", "D", "S", "D", "G", "S"),
	}, 1, fieldEffectTypes[0])
}

// PMOS is a p-channel field-effect transistor.
func (catalogue) PMOS() Kind {
	return fieldEffectKind(Kind{
		Name:  "pmos",
		Title: "P-channel MOSFET",
		About: "A voltage at G below S opens the way from S to D without taking any current.",
		Order: 13,
		Pins:  transistor("G", "S", "D", "D", "G", "S"),
	}, -1, fieldEffectTypes[len(fieldEffectTypes)-1])
}

// fieldEffectKind fills in what both polarities share; like is the type whose
// constants are the defaults.
func fieldEffectKind(k Kind, polarity float64, like fieldEffectType) Kind {
	k.Prefix, k.Key = "Q", 'Q'
	k.PinWords = map[string]string{"D": "drain", "G": "gate", "S": "source"}
	k.Params = fieldEffectParams(like)
	k.FromValue = transistorValue(k.Name)
	k.FromMarking = k.FromValue
	k.Handbook = transistorHandbook(k.Name)
	k.Equation = func(_ *Part, v Values, to Equation) { fieldEffectEquation(v, polarity, to) }
	return k
}

// fieldEffectParams has a transconductance that gives like's on-resistance at
// 4.5 V by itself: the pure square law is what is computed where nothing is
// said.
func fieldEffectParams(like fieldEffectType) []Param {
	const gate = 4.5 // V
	gain := 1 / (like.onResistance(gate) * (gate - like.threshold))
	source := "as " + like.names[0] + ": " + like.source
	return []Param{
		{Name: "threshold_voltage", Meaning: "gate voltage at which it begins to conduct, positive for enhancement", Unit: quantity.Volt, Default: Number(like.threshold), Min: -1e3, Max: 1e3, Source: source},
		{Name: "transconductance", Meaning: "transconductance parameter k", Unit: quantity.AmperePerSquareVolt, Default: Number(gain), Min: 1e-15, Max: 1e6, Source: source},
		{Name: "drain_current_rating", Meaning: "most drain current it may carry for long", Unit: quantity.Ampere, Default: Number(like.current), Max: 1e6, Source: source},
		{Name: "power_rating", Meaning: "most heat it may give off for long", Unit: quantity.Watt, Default: Number(like.power), Max: 1e6, Source: source},
		{Name: "voltage_rating", Meaning: "most voltage between drain and source", Unit: quantity.Volt, Default: Number(like.voltage), Max: 1e6, Source: source},
		{Name: "gate_voltage_rating", Meaning: "most voltage between gate and source, either way", Unit: quantity.Volt, Default: Number(like.drive.value), Max: 1e6,
			Source: fmt.Sprintf("as %s: %s (%s)", like.names[0], like.drive.source, like.drive.status)},
		{Name: "channel_modulation", Meaning: "channel-length modulation λ", Unit: quantity.PerVolt, Default: Number(0), Max: 1e3, Source: "ideal, where nothing is said"},
		{Name: "drain_resistance", Meaning: "resistance of the drain lead and layer", Unit: quantity.Ohm, Default: Number(0), Max: 1e9, Source: "ideal, where nothing is said"},
		{Name: "subthreshold", Meaning: "whether the current goes on smoothly below the threshold", Default: Flag(true), Source: "as real ones do"},
		{Name: "body_diode", Meaning: "whether it has the diode between source and drain", Default: Flag(true), Source: "as all discrete ones have; common practice, no source"},
		{Name: "body_diode_saturation_current", Meaning: "saturation current of the body diode", Unit: quantity.Ampere, Default: Number(1e-13), Min: 1e-100, Max: 1, Source: "0.7 to 0.8 V at a tenth of an ampere; estimate"},
		{Name: "energy_gap", Meaning: "energy gap that sets how the body diode moves with temperature", Unit: quantity.Volt, Default: Number(siliconGap), Max: 20, Source: "silicon, textbook value (from memory)"},
	}
}

// fieldEffectEquation is the transistor behind its drain resistance, with the
// body diode across both.
func fieldEffectEquation(v Values, polarity float64, to Equation) {
	drain := behind(to, "D", "drain", v.Num("drain_resistance"))
	to.FieldEffect(FieldEffect{drain, "G", "S", FieldEffectLaw{
		Polarity:          polarity,
		Threshold:         v.Num("threshold_voltage"),
		Transconductance:  v.Num("transconductance"),
		ChannelModulation: v.Num("channel_modulation"),
		Subthreshold:      v.Enabled("subthreshold"),
		ThermalVoltage:    ThermalVoltage(v.Num("temperature")),
	}})
	if v.Enabled("body_diode") {
		to.Junction(bodyDiode(v, polarity))
	}
}

// bodyDiode conducts from source to drain of an n-channel transistor and the
// other way in a p-channel one.
func bodyDiode(v Values, polarity float64) Junction {
	law := JunctionLaw{
		SaturationCurrent: scaledSaturation(v, "body_diode_saturation_current", 1),
		Emission:          1,
		ThermalVoltage:    ThermalVoltage(v.Num("temperature")),
	}
	if polarity > 0 {
		return Junction{"S", "D", law}
	}
	return Junction{"D", "S", law}
}
