package model

import (
	"errors"
	"fmt"
	"math"

	"copperglass/model/quantity"
)

// Lamp is a tungsten filament.
func (catalogue) Lamp() Kind {
	return Kind{
		Name:   "lamp",
		Title:  "Filament lamp",
		About:  "A wire that glows: its resistance rises many times over as it gets hot.",
		Prefix: "E", Key: 'E', Order: 18,
		Pins: sideways("1", "2"),
		Load: true,
		Params: []Param{
			{Name: "rated_voltage", Meaning: "voltage it is made for", Unit: quantity.Volt, Required: true, Min: 1e-6, Max: 1e6},
			{Name: "rated_power", Meaning: "power at the rated voltage", Unit: quantity.Watt, Required: true, Min: 1e-9, Max: 1e6},
			{Name: "cold_resistance", Meaning: "resistance of the cold filament", Unit: quantity.Ohm, Min: 1e-9, Max: 1e15,
				Source: "a twelfth of the hot one: tungsten at 2400 K against 300 K, Jones and Langmuir 1927 (from memory)"},
		},
		FromValue:   lampValue,
		FromMarking: lampValue,
		Typical:     lampTypical,
		Suggest:     "2.5 V 0.3 A",
		Equation:    lampEquation,
	}
}

// lampValue reads a voltage with a current or a power: "2.5 V 0.3 A", "12 V 5 W".
func lampValue(text string) (Params, error) {
	params, err := readSlots(text, slot{"rated_voltage", quantity.Volt}, slot{"rated_power", quantity.Watt}, slot{"current", quantity.Ampere})
	if err != nil {
		return nil, err
	}
	if amps, ok := params["current"].Num(); ok {
		volts, _ := params["rated_voltage"].Num()
		params["rated_power"] = Number(volts * amps)
		delete(params, "current")
	}
	if !params["rated_power"].IsSet() {
		return nil, fmt.Errorf("%q: %w", excerpt(text), errHalfALamp)
	}
	return params, nil
}

var errHalfALamp = errors.New("a lamp needs its voltage and its current or power; write them as in 2.5 V 0.3 A")

// hotOverCold is the ratio of a tungsten filament's resistance at 2400 K to
// that at 300 K: tables of H. A. Jones and I. Langmuir, General Electric
// Review 30 (1927) (from memory).
const hotOverCold = 12

func lampTypical(v Values, to Params) {
	if v.Num("rated_voltage") > 0 && v.Num("rated_power") > 0 {
		to["cold_resistance"] = Number(hotResistance(v) / hotOverCold)
	}
}

// hotResistance is the resistance at rated power.
func hotResistance(v Values) float64 {
	volts := v.Num("rated_voltage")
	return volts * volts / v.Num("rated_power")
}

func lampEquation(_ *Part, v Values, to Equation) {
	hot := hotResistance(v)
	cold := min(v.Num("cold_resistance"), hot)
	if cold == hot {
		to.Resistance(Resistance{"1", "2", hot})
		return
	}
	to.Law(Law{[]string{"1", "2"}, newFilament(cold, hot, v.Num("rated_power")).currents})
}

// filament is a glowing wire whose heat leaves by radiation alone. With the
// temperature T over the surroundings' T_a, x = T/T_a to the power m is its
// resistance over the cold one:
//
//	R = R_c x,  x = (T/T_a)^m        resistivity of tungsten, m = 1.2
//	P = P_r (T⁴ − T_a⁴)/(T_r⁴ − T_a⁴)  law of Stefan and Boltzmann
//
// so that V² = P R = R_c P_r x (x^a − 1)/(x_r^a − 1) with a = 4/m and x_r =
// R_hot/R_c: R is R_c at rest and R_hot at the rated power P_r, and rises
// smoothly with |V|. The exponent m is that of H. A. Jones and I. Langmuir,
// General Electric Review 30 (1927) (from memory).
type filament struct {
	cold  float64 // R_c, Ω
	scale float64 // R_c P_r/(x_r^a − 1), V²
}

const filamentExponent = 4 / 1.2 // a

func newFilament(cold, hot, watts float64) filament {
	return filament{cold, cold * watts / math.Expm1(filamentExponent*math.Log(hot/cold))}
}

// currents is the function of a Law between two terminals.
func (f filament) currents(volts, amps, slopes []float64) {
	i, g := f.current(volts[0] - volts[1])
	amps[0], amps[1] = i, -i
	slopes[0], slopes[1], slopes[2], slopes[3] = g, -g, -g, g
}

// current returns the current at a voltage and its slope in siemens. With
// t = x (x^a − 1) = V²/scale and e = dln t/dln x = 1 + a x^a/(x^a − 1),
//
//	I = V/(R_c x),  dI/dV = (1 − dln x/dln V)/(R_c x) = (1 − 2/e)/(R_c x)
//
// where e grows beyond all bounds as x nears 1, so that the slope of the cold
// filament is 1/R_c.
func (f filament) current(volts float64) (amps, slope float64) {
	y := filamentHeat(min(volts*volts/f.scale, 1e200))
	ohms := f.cold * math.Exp(y)
	excess := -math.Expm1(-filamentExponent * y) // (x^a − 1)/x^a
	return volts / ohms, (1 - 2*excess/(excess+filamentExponent)) / ohms
}

// filamentHeat returns ln x for x (x^a − 1) = t ≥ 0 by Newton's method. The
// left side is convex in ln x and the first guess lies above the root, so that
// the steps come down to it without overshooting.
func filamentHeat(t float64) float64 {
	y := math.Log1p(t) / filamentExponent
	for range 100 {
		e := math.Expm1(filamentExponent * y)
		step := (math.Exp(y)*e - t) / (math.Exp(y) * (e + filamentExponent*(e+1)))
		y -= step
		if step <= 1e-16*y {
			break
		}
	}
	return max(y, 0)
}
