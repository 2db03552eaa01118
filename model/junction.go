package model

import "copperglass/model/quantity"

// siliconGap is the energy gap of silicon in volts: textbook value (from
// memory).
const siliconGap = 1.11

// junctionDefaults are the catalogue's constants of a kind with one junction.
type junctionDefaults struct {
	saturationCurrent, emission, resistance, gap, rating float64
	source, ratingSource                                 string
}

// junctionParams are the quantities of a kind with one junction, but for its
// breakdown voltage.
func junctionParams(d junctionDefaults) []Param {
	return []Param{
		{Name: "current_rating", Meaning: "most forward current it may carry for long", Unit: quantity.Ampere, Default: Number(d.rating), Max: 1e6, Source: d.ratingSource},
		{Name: "series_resistance", Meaning: "resistance in series with the junction", Unit: quantity.Ohm, Default: Number(d.resistance), Max: 1e15, Source: d.source},
		{Name: "saturation_current", Meaning: "saturation current of the junction", Unit: quantity.Ampere, Default: Number(d.saturationCurrent), Min: 1e-100, Max: 1, Source: d.source},
		{Name: "emission_coefficient", Meaning: "emission coefficient of the junction", Default: Number(d.emission), Min: 0.1, Max: 100, Source: d.source},
		{Name: "energy_gap", Meaning: "energy gap that sets how the saturation current moves with temperature", Unit: quantity.Volt, Default: Number(d.gap), Max: 20, Source: d.source},
		{Name: "breakdown_current", Meaning: "current at the breakdown voltage", Unit: quantity.Ampere, Default: Number(1e-4), Min: 1e-30, Max: 1e3, Source: "usual test current of diodes; common practice, no source"},
		{Name: "breakdown_emission", Meaning: "emission coefficient of the breakdown", Default: Number(1), Min: 1e-3, Max: 1e3, Source: "the sharpest knee that fits the law of a junction"},
	}
}

// optionalBreakdown is the breakdown voltage of a kind that has none unless it
// is given.
func optionalBreakdown() Param {
	return Param{Name: "breakdown_voltage", Meaning: "reverse voltage at which it breaks down; unset, never", Unit: quantity.Volt, Min: 1e-3, Max: 1e6}
}

// junctionEquation is a junction from A to K behind its series resistance.
func junctionEquation(_ *Part, v Values, to Equation) {
	anode := behind(to, "A", "anode", v.Num("series_resistance"))
	to.Junction(Junction{anode, "K", junctionLaw(v)})
}

// behind puts a resistance at a pin and returns the terminal behind it. At 0 Ω
// that is the pin itself.
func behind(to Equation, pin, inner string, ohms float64) (terminal string) {
	if ohms == 0 {
		return pin
	}
	to.Resistance(Resistance{pin, inner, ohms})
	return inner
}

func junctionLaw(v Values) JunctionLaw {
	n := v.Num("emission_coefficient")
	return JunctionLaw{
		SaturationCurrent: scaledSaturation(v, "saturation_current", n),
		Emission:          n,
		BreakdownVoltage:  v.Num("breakdown_voltage"),
		BreakdownCurrent:  v.Num("breakdown_current"),
		BreakdownEmission: v.Num("breakdown_emission"),
		ThermalVoltage:    ThermalVoltage(v.Num("temperature")),
	}
}

// scaledSaturation is the saturation current of that name at the part's
// temperature.
func scaledSaturation(v Values, name string, emission float64) float64 {
	return saturationCurrentAt(v.Num(name), emission, v.Num("energy_gap"), v.Num("temperature"), v.Num("reference_temperature"))
}
