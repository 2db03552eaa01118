package model

import (
	"fmt"
	"math"
	"strings"
)

// Spread is how much a quantity differs between parts of one type: its production
// tolerance.
type Spread struct {
	Param string
	// Low and High are the ends of the range as multiples of the value. Both
	// are 1 where the value is what the drawing says, and nothing else is known.
	Low, High float64
	// Logarithmic says that all logarithms in the range are equally likely, and
	// not all values.
	Logarithmic bool
	Status      Status // of the range; empty where the source says it all
	Source      string // of the range, or why there is none
}

// Varies reports whether the range is more than a single value.
func (s Spread) Varies() bool { return s.Low != s.High }

// Foundation is the source of the range and how reliable it is, in words for people.
func (s Spread) Foundation() string {
	switch {
	case s.Status == "":
		return s.Source
	case s.Status == CommonPractice:
		return s.Source + "; " + string(s.Status)
	}
	return fmt.Sprintf("%s (%s)", s.Source, s.Status)
}

// either is a range of ±fraction.
func either(param string, fraction float64, status Status, source string) Spread {
	return Spread{Param: param, Low: 1 - fraction, High: 1 + fraction, Status: status, Source: source}
}

// fixed is a quantity that is taken as it stands.
func fixed(param, why string) Spread { return Spread{Param: param, Low: 1, High: 1, Source: why} }

// Why a quantity has no range.
const (
	asDrawn  = "as the drawing says: a source may be of any grade"
	byHand   = "as the drawing says: it is set by hand"
	contacts = "the handbook knows no spread of contacts"
)

// Spreads returns the ranges that the handbook knows for the quantities of p,
// whose values are v. A tolerance that is marked replaces the first one. What
// is not in the list has no range in the handbook.
func (p *Part) Spreads(v Values) []Spread {
	switch p.Kind {
	case "resistor":
		return []Spread{usually("resistance", 0.05)}
	case "potentiometer":
		return []Spread{usually("resistance", 0.2), fixed("position", byHand)}
	case "capacitor":
		return []Spread{usually("capacitance", 0.2)}
	case "inductor":
		return []Spread{usually("inductance", 0.2)}
	case "diode":
		return []Spread{p.diodeSpread(v)}
	case "zener":
		return zenerSpreads()
	case "led":
		return []Spread{movedForward(v, "emission_coefficient", 0.1, FromMemory, "bins of 0.2 V, usual for LEDs of 20 mA")}
	case "npn", "pnp":
		return p.bipolarSpreads(v)
	case "nmos", "pmos":
		return p.fieldEffectSpreads(v)
	case "battery":
		return batterySpreads(v)
	case "supply":
		return []Spread{fixed("voltage", asDrawn), fixed("resistance", asDrawn)}
	case "current_source":
		return []Spread{fixed("current", asDrawn)}
	case "switch", "button":
		return []Spread{fixed("closed_resistance", contacts)}
	case "chip":
		return chipSpreads()
	case "lamp":
		return []Spread{either("rated_power", 0.1, CommonPractice, "lamps at their rated voltage"), fixed("rated_voltage", "the voltage at which the power is told")}
	case "motor":
		return []Spread{either("winding_resistance", 0.1, CommonPractice, "windings of small motors"), fixed("back_voltage", "it follows the speed that the drawing assumes")}
	case "fuse":
		return []Spread{either("resistance", 0.5, Estimate, "about the drop of a tenth of a volt at the rating, below the limits of IEC 60127-2")}
	}
	return nil
}

// usually is a range for parts without a marking.
func usually(param string, fraction float64) Spread {
	return either(param, fraction, CommonPractice, "usual where nothing is marked")
}

// movedForward is the range of a saturation current that moves the forward
// voltage by that many volts either way:
//
//	I_S exp(±ΔV/(n V_T))
func movedForward(v Values, emission string, volts float64, status Status, source string) Spread {
	shift := math.Exp(volts / (v.Num(emission) * ThermalVoltage(v.Num("reference_temperature"))))
	return Spread{"saturation_current", 1 / shift, shift, true, status, source}
}

// typeText is what may name the type of the part.
func (p *Part) typeText() string {
	if strings.TrimSpace(p.Value) != "" {
		return p.Value
	}
	return p.Marking
}

func (p *Part) diodeSpread(v Values) Spread {
	const volts, sheet = 0.05, "0.62 to 0.72 V at 5 mA, Taiwan Semiconductor 1N4448WS datasheet G14"
	if t := diodeNamed(p.typeText()); t == nil || t == &diodeTypes[0] {
		return movedForward(v, "emission_coefficient", volts, Confirmed, sheet)
	}
	return movedForward(v, "emission_coefficient", volts, Estimate, "as small silicon diodes, "+sheet)
}

func zenerSpreads() []Spread {
	return []Spread{
		either("breakdown_voltage", 0.05, FromMemory, "Nexperia BZX84 datasheet, grade C"),
		either("breakdown_emission", 0.5, Estimate, "up to three quarters of the dynamic resistances that the Nexperia BZX84 datasheet allows"),
	}
}

// unknownGain is the gain of a transistor of unknown type.
var unknownGain = span{60, 250, Estimate, "between small types at 50 to 100 mA, " + sheet3904 + " and " + sheet807}

// bipolarSpreads gives β_F the ratio of the data sheet's gain limits to their
// geometric mean, not the limits themselves: those include the fall of the gain
// towards the knee current, which β_F does not. The base-emitter voltage is within
// the limits of types for general use.
func (p *Part) bipolarSpreads(v Values) []Spread {
	gain, status, sheet := unknownGain, Estimate, "as "+sheet3904
	if t := bipolarNamed(p.typeText()); t != nil {
		gain = t.gain
	}
	if gain.source == sheet3904 || gain.source == sheet3906 {
		status, sheet = Confirmed, gain.source
	}
	middle := math.Sqrt(gain.low * gain.high)
	return []Spread{
		{"forward_beta", gain.low / middle, gain.high / middle, true, gain.status, fmt.Sprintf("gain %g to %g: %s", gain.low, gain.high, gain.source)},
		movedForward(v, "forward_emission", 0.1, status, "0.65 to 0.85 V base to emitter at 10 mA: "+sheet),
	}
}

func (p *Part) fieldEffectSpreads(v Values) []Spread {
	t := fieldEffectNamed(p.typeText())
	switch {
	case t == nil && p.Kind == "pmos":
		t = &fieldEffectTypes[len(fieldEffectTypes)-1]
	case t == nil:
		t = &fieldEffectTypes[0]
	}
	source := fmt.Sprintf("threshold %g to %g V: %s", t.gate.low, t.gate.high, t.gate.source)
	return []Spread{
		{Param: "threshold_voltage", Low: t.gate.low / t.threshold, High: t.gate.high / t.threshold, Status: t.gate.status, Source: source},
		either("transconductance", 0.2, Estimate, "on-resistance 41 mΩ typical, 50 mΩ at most, and as far the other way: AOS AO3401A datasheet rev. 3, 2011"),
	}
}

// cellSpread is the tolerance of the cells of a chemistry: ± volts of their
// open-circuit voltage, and ± a fraction of their resistance.
type cellSpread struct {
	volts, ohms figure
}

const rested = "open-circuit voltages of makers' handbooks"

var cellSpreads = map[string]cellSpread{
	"alkaline":        {figure{0.05, FromMemory, rested}, figure{0.4, Estimate, "cells of the handbook, LR6 and LR03"}},
	"zinc-carbon":     {figure{0.06, FromMemory, "Linden's Handbook of Batteries ch. 9"}, figure{0.5, Estimate, "cells of the handbook, R6 and R03"}},
	"lithium":         {figure{0.02, FromMemory, "1.79 to 1.83 V new, Energizer lithium handbook form 12004-A"}, figure{0.25, FromMemory, "0.09 to 0.15 Ω, Energizer lithium handbook"}},
	"NiMH":            {figure{0.025, Confirmed, "1.40 to 1.45 V off the charger, voltagebasics.com"}, figure{0.2, Calculated, "0.038 to 0.053 Ω, 1 Ω load test of AA NiMH cells (CandlePowerForums)"}},
	"Li-ion":          {figure{0.04, FromMemory, "textbook values of open-circuit voltages"}, figure{0.2, Confirmed, "0.070 to 0.100 Ω, forum measurements of the NCR18650B"}},
	"LFP":             {figure{0.03, FromMemory, "textbook values of open-circuit voltages"}, figure{0.5, FromMemory, "0.03 to 0.09 Ω, makers' data"}},
	"lithium coin":    {figure{0.05, Estimate, "as alkaline cells"}, figure{0.25, FromMemory, "15 to 25 Ω for CR2025, makers' data"}},
	"alkaline button": {figure{0.05, FromMemory, rested}, figure{0.5, FromMemory, "3 to 9 Ω for LR44, makers' data"}},
}

// batterySpreads takes the cells of a battery as all alike, for they are bought
// together. Where only the battery's voltage is known and not its cells, that
// voltage is taken as it stands.
func batterySpreads(v Values) []Spread {
	known, ok := cellSpreads[v.Text("chemistry")]
	if !ok {
		known = cellSpreads["alkaline"]
	}
	resistance := either("resistance", known.ohms.value, known.ohms.status, known.ohms.source)
	c, volts := cellOf(v), math.Abs(v.Num("voltage"))
	if c == nil || volts == 0 {
		return []Spread{resistance, fixed("voltage", "as the drawing says: its cells are not known")}
	}
	fraction := min(1, v.Num("cells")*c.inside*known.volts.value/volts)
	return []Spread{
		resistance,
		either("voltage", fraction, known.volts.status, fmt.Sprintf("±%g V a cell, %s", known.volts.value, known.volts.source)),
		fixed("charge_left", "as the drawing says"),
	}
}

func chipSpreads() []Spread {
	const pin = "a small microcontroller's pin has half of the worst-case resistance: typical curves of the Atmel ATtiny13A"
	return []Spread{
		either("output_resistance_high", 0.5, FromMemory, pin),
		either("output_resistance_low", 0.5, FromMemory, pin),
		{"supply_current", 0.4, 4, true, FromMemory, "0.2 to 2 mA about 0.5 mA and in proportion, makers' sheets of small microcontrollers"},
	}
}
