package model

import (
	"fmt"
	"math"
	"slices"

	"copperglass/model/quantity"
)

// ledColour is a colour of LED with the constants of a small one:
//
//	V = n V_T ln(1 + I/I_S) + I R_S
//
// and its forward voltage's temperature coefficient at ledTestCurrent.
type ledColour struct {
	name        string
	aliases     []string
	emission    float64 // n
	resistance  float64 // R_S, Ω
	saturation  float64 // I_S, A
	status      Status  // of n, R_S and I_S
	source      string
	coefficient figure // V/K
	rating      figure // A
}

const ledTestCurrent = 0.020 // A

// Sources that several colours share.
const (
	bench   = "bench readings of three LEDs a colour at 20.1 mA and of single ones near 3 mA (two hobby pages)"
	redLED  = "Kingbright WP710A10SEC/E datasheet DSAL0538 V.6A, 2018"
	multi   = "Fedy FD-5WSRGB-A datasheet, 2009"
	phosLED = "Lumileds DS237 datasheet, 2018"
	irLED   = "Vishay TSAL class datasheet"
)

// ledColours are the colours, the commonest in lamps first. The constants are for
// 25 °C and fitted to the voltages in the comments.
var ledColours = []ledColour{
	{name: "white", aliases: []string{"cool white", "cold white"},
		// 2.71 V at 2.49 mA and the typical 3.2 V at 20 mA, n of a fit of 14 readings.
		emission: 2.57, resistance: 20.2, saturation: 8.05e-21,
		status: Calculated, source: "Cree LC513FWH1 datasheet CLD-CT208 (3.2 V typical at 20 mA); breder.org, forward drops (2.71 V at 2.5 mA)",
		coefficient: figure{-3e-3, Confirmed, phosLED + ": −2 to −4 mV/K with phosphor"},
		rating:      figure{0.025, Confirmed, "Cree LC513FWH1 datasheet CLD-CT208"}},
	{name: "warm white", aliases: []string{"neutral white"},
		// 3.00 V typical at 20 mA; n and R_S borrowed from the white fit.
		emission: 2.57, resistance: 12, saturation: 1.41e-20,
		status: Estimate, source: "RND 135-00123 datasheet p. 2 (3.00 V typical at 20 mA)",
		coefficient: figure{-3e-3, Confirmed, phosLED + ": −2 to −4 mV/K with phosphor"},
		rating:      figure{0.025, Confirmed, "RND 135-00123 datasheet p. 2"}},
	{name: "blue",
		// 2.68 V at 2.51 mA and 3.23 V at 20.1 mA, on different LEDs.
		emission: 2.5, resistance: 23.7, saturation: 4.8e-21,
		status: Estimate, source: bench,
		coefficient: figure{-2.5e-3, Confirmed, phosLED + ": royal blue"},
		rating:      figure{0.020, Confirmed, multi}},
	{name: "green", aliases: []string{"pure green", "emerald"},
		// 3.13 V at 20.1 mA; n and R_S borrowed from a white fit: both are InGaN.
		emission: 2.57, resistance: 14, saturation: 3.7e-21,
		status: Estimate, source: bench,
		coefficient: figure{-2.5e-3, Estimate, phosLED + ": royal blue, the same semiconductor"},
		rating:      figure{0.020, Confirmed, multi}},
	{name: "yellow-green", aliases: []string{"lime"},
		// 1.94 V at 3.3 mA and the typical 2.2 V at 20 mA.
		emission: 2, resistance: 10, saturation: 2.5e-19,
		status: Estimate, source: "breder.org, forward drops; robot.lk table of 5 mm LED data",
		coefficient: figure{-1.9e-3, Estimate, redLED + ": red, the same semiconductor"},
		rating:      figure{0.025, Estimate, "NTE30022 datasheet: orange, the same semiconductor"}},
	{name: "yellow",
		emission: 2, resistance: 5.8, saturation: 2.8e-19,
		status: Estimate, source: bench,
		coefficient: figure{-1.9e-3, Estimate, redLED + ": red, the same semiconductor"},
		rating:      figure{0.025, Estimate, "NTE30022 datasheet: orange, the same semiconductor"}},
	{name: "amber",
		// 1.92 V at 3.28 mA and 2.11 V at 20.1 mA.
		emission: 2, resistance: 5.8, saturation: 2.8e-19,
		status: Estimate, source: bench,
		coefficient: figure{-1.9e-3, Estimate, redLED + ": red, the same semiconductor"},
		rating:      figure{0.025, Estimate, "NTE30022 datasheet: orange, the same semiconductor"}},
	{name: "orange",
		// 2.01 V at 20.1 mA; n and R_S as for red.
		emission: 2, resistance: 2, saturation: 4.5e-19,
		status: Estimate, source: bench,
		coefficient: figure{-1.9e-3, Estimate, redLED + ": red, the same semiconductor"},
		rating:      figure{0.025, Confirmed, "NTE30022 datasheet"}},
	{name: "red",
		// 2.00 V at 20.1 mA; R_S between the 0.4 Ω that 1.90 V at 3.3 mA would
		// give and the usual slope of data sheets, 3 Ω.
		emission: 2, resistance: 2, saturation: 5.5e-19,
		status: Estimate, source: redLED + " (2.0 V typical at 20 mA); " + bench,
		coefficient: figure{-1.9e-3, Confirmed, redLED},
		rating:      figure{0.030, Confirmed, redLED}},
	{name: "infrared 850",
		// 1.50 V typical at 50 mA; n and R_S assumed.
		emission: 1.8, resistance: 2, saturation: 3.6e-15,
		status: Estimate, source: "NTE30048 datasheet",
		coefficient: figure{-1.8e-3, FromMemory, irLED},
		rating:      figure{0.100, Confirmed, "NTE30048 datasheet"}},
	{name: "infrared", aliases: []string{"infrared 940", "ir"},
		// 1.20 V at 20 mA; n and R_S assumed.
		emission: 1.6, resistance: 1.5, saturation: 8.7e-15,
		status: FromMemory, source: irLED,
		coefficient: figure{-1.8e-3, FromMemory, irLED},
		rating:      figure{0.100, FromMemory, irLED}},
}

func ledNamed(colour string) *ledColour {
	i := slices.IndexFunc(ledColours, func(c ledColour) bool { return c.name == colour })
	if i < 0 {
		return nil
	}
	return &ledColours[i]
}

// junctionVolts is the forward voltage at 25 °C without the series resistance's share.
func (c *ledColour) junctionVolts(amps float64) float64 {
	return c.emission * ThermalVoltage(RoomTemperature) * math.Log1p(amps/c.saturation)
}

// through returns the colour with its saturation current chosen so that the curve
// passes through a measured forward voltage and current at 25 °C:
//
//	I_S = I / (exp((V − I R_S)/(n V_T)) − 1)
func (c *ledColour) through(volts, amps float64) (*ledColour, error) {
	const least, most = 0.8, 6.0 // V across the junction of any LED
	junction := volts - amps*c.resistance
	if amps <= 0 || junction < least || junction > most {
		return nil, fmt.Errorf("no %s LED takes %s at %s; measure across the LED itself", c.name, quantity.Short(volts, quantity.Volt), quantity.Short(amps, quantity.Ampere))
	}
	own := *c
	own.saturation = amps / math.Expm1(junction/(c.emission*ThermalVoltage(RoomTemperature)))
	return &own, nil
}

// gap is the energy gap in volts that gives the forward voltage its
// temperature coefficient. With saturationCurrentAt, at constant current,
//
//	dV/dT = (V_j − E_g − 3 V_T)/T
//
// where V_j is the voltage across the junction alone.
func (c *ledColour) gap() float64 {
	return c.junctionVolts(ledTestCurrent) - 3*ThermalVoltage(RoomTemperature) - RoomTemperature*c.coefficient.value
}

func ledNames() []string {
	names := make([]string, len(ledColours))
	for i, c := range ledColours {
		names[i] = c.name
	}
	return names
}

func ledHandbook() []HandbookEntry {
	entries := make([]HandbookEntry, len(ledColours))
	for i, c := range ledColours {
		volts := c.junctionVolts(ledTestCurrent) + ledTestCurrent*c.resistance
		entries[i] = HandbookEntry{c.name, quantity.Format(volts, quantity.Volt) + " at 20 mA", c.status, c.source}
	}
	return entries
}
