package model

import (
	"fmt"
	"strings"
)

// bipolarType is a bipolar transistor that the catalogue knows by its type.
// Its constants are fitted to the gain, the base-emitter voltage and the
// saturation voltage that data sheets give at 25 °C.
type bipolarType struct {
	names      []string
	kind       string  // npn or pnp
	saturation float64 // I_S, A
	beta       float64 // β_F
	gain       span    // of the current gain, from one specimen to the next
	reverse    float64 // β_R
	knee       float64 // I_K, A
	base       float64 // base resistance, Ω
	collector  float64 // collector resistance, Ω
	emitter    float64 // emitter resistance, Ω
	current    float64 // most collector current, A
	power      float64 // most heat, W
	voltage    float64 // most collector-emitter voltage with the base open, V
	about      string
	status     Status // of the fit
	source     string
}

const (
	sheet3904 = "BL Galaxy MMBT3904 specification BL/SSSTC061"
	sheet3906 = "NXP MMBT3906 datasheet, 2003"
	sheet817  = "Nexperia BC817 series datasheet rev. 8, 2022"
	sheet807  = "Philips BC807 datasheet rev. 05, 2005"
	sheet547  = "Fairchild BC547 datasheet, 1997"
	sheet847  = "Nexperia BC847 and BC857 datasheets"
	sheet2222 = "onsemi 2N2222A datasheet"
	sheet2907 = "onsemi 2N2907A datasheet"
	sheet8050 = "JCET 8050SS datasheet"
)

// genericBipolar is what a transistor is taken for whose type nobody knows: an
// estimate between the small types below (gain 120 at 50 to 100 mA, 0.1 V
// saturated at 50/5 mA, 0.70 V base to emitter at 10 mA and 0.80 V at 100 mA).
var genericBipolar = bipolarType{
	saturation: 1.4e-14, beta: 130, reverse: 3, knee: 1, base: 10, collector: 0.5, emitter: 0.2,
	current: 0.5, power: 0.25, voltage: 40, status: Estimate, source: "between " + sheet3904 + " and " + sheet807,
}

var bipolarTypes = []bipolarType{
	{[]string{"2N3904", "MMBT3904"}, "npn", 1e-14, 200, span{100, 300, Confirmed, sheet3904}, 4, 0.1, 10, 1, 0.3, 0.2, 0.25, 40,
		"gain 100 to 300 at 10 mA, 200 mA, 40 V", Estimate, sheet3904},
	{[]string{"2N3906", "MMBT3906"}, "pnp", 1e-14, 200, span{100, 300, Confirmed, sheet3906}, 4, 0.1, 10, 1.5, 0.3, 0.2, 0.25, 40,
		"gain 100 to 300 at 10 mA, 200 mA, 40 V", Estimate, sheet3906},
	gainGrade("BC817-16", "npn", 210, span{100, 250, Confirmed, sheet817}),
	gainGrade("BC817-25 BC817", "npn", 340, span{160, 400, Confirmed, sheet817}),
	gainGrade("BC817-40", "npn", 500, span{250, 600, Confirmed, sheet817}),
	gainGrade("BC807-16 BC327-16", "pnp", 210, span{100, 250, Confirmed, sheet807}),
	gainGrade("BC807-25 BC807 BC327-25 BC327", "pnp", 340, span{160, 400, Confirmed, sheet807}),
	gainGrade("BC807-40 BC327-40", "pnp", 500, span{250, 600, Confirmed, sheet807}),
	smallSignal("BC547A", "npn", 165, span{110, 220, Confirmed, sheet547}, 0.5, "gain 110 to 220 at 2 mA, 100 mA, 45 V"),
	smallSignal("BC547B BC547", "npn", 310, span{200, 450, Confirmed, sheet547}, 0.5, "gain 200 to 450 at 2 mA, 100 mA, 45 V"),
	smallSignal("BC547C", "npn", 600, span{420, 800, Confirmed, sheet547}, 0.5, "gain 420 to 800 at 2 mA, 100 mA, 45 V"),
	smallSignal("BC557A", "pnp", 165, span{110, 220, Confirmed, sheet547}, 0.5, "gain 110 to 220 at 2 mA, 100 mA, 45 V"),
	smallSignal("BC557B BC557", "pnp", 310, span{200, 450, Confirmed, sheet547}, 0.5, "gain 200 to 450 at 2 mA, 100 mA, 45 V"),
	smallSignal("BC557C", "pnp", 600, span{420, 800, Confirmed, sheet547}, 0.5, "gain 420 to 800 at 2 mA, 100 mA, 45 V"),
	smallSignal("BC847A", "npn", 165, span{110, 220, FromMemory, sheet847}, 0.25, "as BC547A, in SOT-23"),
	smallSignal("BC847B BC847", "npn", 310, span{200, 450, FromMemory, sheet847}, 0.25, "as BC547B, in SOT-23"),
	smallSignal("BC847C", "npn", 600, span{420, 800, FromMemory, sheet847}, 0.25, "as BC547C, in SOT-23"),
	smallSignal("BC857A", "pnp", 165, span{110, 220, FromMemory, sheet847}, 0.25, "as BC557A, in SOT-23"),
	smallSignal("BC857B BC857", "pnp", 310, span{200, 450, FromMemory, sheet847}, 0.25, "as BC557B, in SOT-23"),
	smallSignal("BC857C", "pnp", 600, span{420, 800, FromMemory, sheet847}, 0.25, "as BC557C, in SOT-23"),
	{[]string{"2N2222A", "2N2222", "MMBT2222A"}, "npn", 1.5e-14, 230, span{100, 300, FromMemory, sheet2222}, 4, 0.5, 5, 0.5, 0.15, 0.6, 0.25, 40,
		"gain 100 to 300 at 150 mA, 600 mA, 40 V", FromMemory, sheet2222},
	{[]string{"2N2907A", "2N2907", "MMBT2907A"}, "pnp", 1.5e-14, 230, span{100, 300, FromMemory, sheet2907}, 4, 0.5, 5, 0.6, 0.15, 0.6, 0.25, 60,
		"gain 100 to 300 at 150 mA, 600 mA, 60 V", FromMemory, sheet2907},
	{[]string{"8050SS"}, "npn", 4e-14, 200, unknownGain, 5, 1, 2, 0.2, 0.05, 1.5, 0.625, 25,
		"0.5 V at most saturated at 800/80 mA, 1.5 A", FromMemory, sheet8050},
}

// gainGrade is a type of the 500 mA family BC807/BC817, whose grades differ in
// gain only. About 0.1 V saturated at 100/10 mA and 0.3 V at 500/50 mA: curves
// of Nexperia's data sheets (from memory).
func gainGrade(names, kind string, beta float64, gain span) bipolarType {
	about := fmt.Sprintf("gain %g to %g at 100 mA, 500 mA, 45 V", gain.low, gain.high)
	return bipolarType{strings.Fields(names), kind, 4e-14, beta, gain, 5, 0.3, 3, 0.35, 0.1, 0.5, 0.3, 45, about, Estimate, gain.source}
}

// smallSignal is a type of the 100 mA families BC547/BC557 and BC847/BC857. At
// most 0.25 V saturated at 10/0.5 mA, 0.58 to 0.70 V base to emitter at 2 mA:
// data sheets (from memory).
func smallSignal(names, kind string, beta float64, gain span, power float64, about string) bipolarType {
	return bipolarType{strings.Fields(names), kind, 1.5e-14, beta, gain, 5, 0.1, 20, 1, 0.3, 0.1, power, 45, about, FromMemory, gain.source}
}

// params are the constants under the names of the kind's quantities.
func (t *bipolarType) params() Params {
	return Params{
		"saturation_current":       Number(t.saturation),
		"forward_beta":             Number(t.beta),
		"reverse_beta":             Number(t.reverse),
		"knee_current":             Number(t.knee),
		"base_resistance":          Number(t.base),
		"collector_resistance":     Number(t.collector),
		"emitter_resistance":       Number(t.emitter),
		"collector_current_rating": Number(t.current),
		"power_rating":             Number(t.power),
		"voltage_rating":           Number(t.voltage),
	}
}

// bipolarNamed returns the type that text names, or nil.
func bipolarNamed(text string) *bipolarType {
	folded := foldName(text)
	for i := range bipolarTypes {
		if isNamed(bipolarTypes[i].names, folded) {
			return &bipolarTypes[i]
		}
	}
	return nil
}
