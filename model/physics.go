package model

import (
	"math"

	"copperglass/model/quantity"
)

// The constants of the SI that junctions need, exact since 2019 (BIPM, The
// International System of Units, 9th edition).
const (
	boltzmann        = 1.380649e-23    // k, J/K
	elementaryCharge = 1.602176634e-19 // q, C
)

// RoomTemperature is 25 °C in kelvin: the temperature where nothing is said.
const RoomTemperature = 298.15

// ThermalVoltage returns kT/q in volts at a temperature in kelvin.
func ThermalVoltage(kelvin float64) float64 { return boltzmann * kelvin / elementaryCharge }

// saturationCurrentAt carries a saturation current from the reference
// temperature t0 to t, both in kelvin:
//
//	I_S(T) = I_S (T/T₀)^(3/n) exp((E_g/(n V_T0)) (1 − T₀/T)),  V_T0 = kT₀/q
//
// with the emission coefficient n and the energy gap E_g in volts.
func saturationCurrentAt(is, n, gap, t, t0 float64) float64 {
	if t == t0 {
		return is
	}
	return is * math.Pow(t/t0, 3/n) * math.Exp(gap/(n*ThermalVoltage(t0))*(1-t0/t))
}

// temperatureParams are quantities of every kind.
func temperatureParams() []Param {
	return []Param{
		{Name: "temperature", Meaning: "temperature", Unit: quantity.Kelvin, Default: Number(RoomTemperature), Min: 50, Max: 1000},
		{Name: "reference_temperature", Meaning: "temperature at which the junction's values hold", Unit: quantity.Kelvin, Default: Number(RoomTemperature), Min: 50, Max: 1000},
	}
}
