package model

import (
	"math"

	"copperglass/model/quantity"
)

// schottkyBarrier takes the place of the energy gap, in volts, in how the saturation
// current of a metal-semiconductor diode depends on temperature: textbook value
// (from memory).
const schottkyBarrier = 0.69

// diodeType is a diode that the catalogue knows by its type, with constants
// that fit the forward voltages named, at 25 °C.
type diodeType struct {
	names      []string
	emission   float64 // n
	resistance float64 // R_S, Ω
	saturation float64 // I_S, A
	gap        float64 // V
	about      string  // the forward voltages it fits
	status     Status
	source     string
	rating     figure // A
}

var diodeTypes = []diodeType{
	{[]string{"1N4148", "1N4148W", "1N4148WS", "1N4448", "1N914", "LL4148", "BAS16"}, 1.85, 0.6, 2.5e-9, siliconGap,
		"0.61 V at 1 mA, 0.73 V at 10 mA, 0.89 V at 100 mA", FromMemory, "typical curves of 1N4148 datasheets",
		figure{0.150, Confirmed, "Pan Jit 1N4148W datasheet"}},
	{[]string{"1N4001", "1N4002", "1N4003", "1N4004", "1N4005", "1N4006", "1N4007", "M7"}, 1.8, 0.054, 5.93e-9, siliconGap,
		"0.78 V at 100 mA, 0.93 V at 1 A", FromMemory, "onsemi 1N4001 datasheet (1.1 V at most at 1 A)",
		figure{1, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"BAT54", "BAT54W", "BAT54WS"}, 1.05, 2.5, 1.04e-7, schottkyBarrier,
		"0.25 V at 1 mA, 0.33 V at 10 mA", Estimate, "below the limits of the Nexperia BAT54 datasheet (0.32 V at 1 mA, 0.40 V at 10 mA)",
		figure{0.200, FromMemory, "Nexperia BAT54 datasheet"}},
	{[]string{"1N5819", "1N5818", "SS14", "SS13", "SS12"}, 1.05, 0.098, 2.13e-6, schottkyBarrier,
		"0.30 V at 100 mA, 0.45 V at 1 A", Estimate, "onsemi 1N5819 datasheet (0.60 V at most at 1 A)",
		figure{1, FromMemory, "onsemi 1N5819 datasheet"}},
	{[]string{"1N5817"}, 1.05, 0.06, 5.62e-6, schottkyBarrier,
		"0.27 V at 100 mA, 0.39 V at 1 A", Estimate, "onsemi 1N5817 datasheet (0.45 V at most at 1 A)",
		figure{1, FromMemory, "onsemi 1N5817 datasheet"}},
	{[]string{"MBR0520"}, 1.05, 0.1, 7.4e-6, schottkyBarrier,
		"0.27 V at 100 mA, 0.35 V at 0.5 A", Estimate, "onsemi MBR0520 datasheet (0.385 V at most at 0.5 A)",
		figure{0.5, FromMemory, "onsemi MBR0520 datasheet"}},
}

// diodeReverses are the greatest reverse voltages of the types in volts: the working
// voltage where the data sheet distinguishes it from the peak.
var diodeReverses = []struct {
	names []string
	most  figure
}{
	{[]string{"1N4148", "1N4148W", "1N4148WS", "1N4448"}, figure{75, Confirmed, "Pan Jit 1N4148W datasheet"}},
	{[]string{"1N914", "LL4148", "BAS16"}, figure{75, FromMemory, "makers' sheets"}},
	{[]string{"1N4001"}, figure{50, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"1N4002"}, figure{100, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"1N4003"}, figure{200, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"1N4004"}, figure{400, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"1N4005"}, figure{600, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"1N4006"}, figure{800, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"1N4007", "M7"}, figure{1000, FromMemory, "onsemi 1N4001 datasheet"}},
	{[]string{"BAT54", "BAT54W", "BAT54WS"}, figure{30, FromMemory, "Nexperia BAT54 datasheet"}},
	{[]string{"1N5817"}, figure{20, FromMemory, "onsemi 1N5817 datasheet"}},
	{[]string{"1N5818"}, figure{30, FromMemory, "onsemi 1N5817 datasheet"}},
	{[]string{"1N5819"}, figure{40, FromMemory, "onsemi 1N5817 datasheet"}},
	{[]string{"SS12"}, figure{20, FromMemory, "makers' sheets"}},
	{[]string{"SS13"}, figure{30, FromMemory, "makers' sheets"}},
	{[]string{"SS14"}, figure{40, FromMemory, "makers' sheets"}},
	{[]string{"MBR0520"}, figure{20, FromMemory, "onsemi MBR0520 datasheet"}},
}

// diodeReverse returns the greatest reverse voltage of a type in volts, zero for one
// that diodeReverses lacks.
func diodeReverse(name string) figure {
	for _, r := range diodeReverses {
		if isNamed(r.names, foldName(name)) {
			return r.most
		}
	}
	return figure{}
}

// diodeNamed returns the type that text names, or nil.
func diodeNamed(text string) *diodeType {
	folded := foldName(text)
	for i := range diodeTypes {
		if isNamed(diodeTypes[i].names, folded) {
			return &diodeTypes[i]
		}
	}
	return nil
}

func diodeHandbook() []HandbookEntry {
	var entries []HandbookEntry
	for _, d := range diodeTypes {
		for _, name := range d.names {
			entries = append(entries, HandbookEntry{name, d.about, d.status, d.source})
		}
	}
	return entries
}

// zenerTestCurrent is the current in amperes at which the voltage of small
// voltage-regulator diodes is given up to 24 V: Nexperia BZX84 datasheet (from
// memory).
const zenerTestCurrent = 0.005

// zenerResistance is the typical dynamic resistance in ohms at the test
// current by the logarithm of the breakdown voltage in volts: half of the
// limits 95, 60, 10 and 25 Ω of the Nexperia BZX84 datasheet for C3V3, C5V1,
// C6V2 and C12 (estimate from figures recalled).
var zenerResistance = curve{
	{math.Log(3.3), 47}, {math.Log(5.1), 30}, {math.Log(6.2), 5}, {math.Log(12), 12},
}

// zenerEmission is the emission coefficient that gives the breakdown its
// dynamic resistance r at the test current: r = n_BV V_T / I.
func zenerEmission(volts float64) float64 {
	return zenerResistance.at(math.Log(volts)) * zenerTestCurrent / ThermalVoltage(RoomTemperature)
}

func zenerHandbook() []HandbookEntry {
	var entries []HandbookEntry
	for _, volts := range []float64{3.3, 3.9, 4.7, 5.1, 5.6, 6.2, 6.8, 8.2, 10, 12} {
		entries = append(entries, HandbookEntry{
			Value:  quantity.Short(volts, quantity.Volt),
			About:  quantity.Format(zenerResistance.at(math.Log(volts)), quantity.Ohm) + " dynamic resistance at 5 mA",
			Status: Estimate, Source: "half of the limits of the Nexperia BZX84 datasheet",
		})
	}
	return entries
}
