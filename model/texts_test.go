package model

import (
	"math"
	"strings"
	"testing"
)

// TestValues reads what people write as a value.
func TestValues(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, text string
		want       Params
	}{
		{"resistor", "4k7", Params{"resistance": Number(4700)}},
		{"resistor", "0R", Params{"resistance": Number(0)}},
		{"resistor", " Link ", Params{"resistance": Number(0)}},
		{"resistor", "10k ±1 %", Params{"resistance": Number(10e3), "tolerance": Number(0.01)}},
		{"resistor", "100 Ω 5% 1 W", Params{"resistance": Number(100), "tolerance": Number(0.05), "power_rating": Number(1)}},
		{"potentiometer", "B10k", Params{"resistance": Number(10e3)}},
		{"capacitor", "100n", Params{"capacitance": Number(100e-9)}},
		{"capacitor", "100 µF/16 V", Params{"capacitance": Number(100e-6), "voltage_rating": Number(16)}},
		{"inductor", "4µ7", Params{"inductance": Number(4.7e-6)}},
		{"fuse", "T500mA", Params{"current_rating": Number(0.5)}},
		{"fuse", "F1A L250V", Params{"current_rating": Number(1)}},
		{"fuse", "2 A", Params{"current_rating": Number(2)}},
		{"zener", "5V1", Params{"breakdown_voltage": Number(5.1)}},
		{"zener", "5.1 V", Params{"breakdown_voltage": Number(5.1)}},
		{"zener", "BZX84C5V1", Params{"breakdown_voltage": Number(5.1)}},
		{"zener", "bzx84-c12v", Params{"breakdown_voltage": Number(12)}},
		{"zener", "12 V 500 mW", Params{"breakdown_voltage": Number(12), "power_rating": Number(0.5)}},
		{"led", "white", Params{"colour": Word("white")}},
		{"led", "Warm-White LED", Params{"colour": Word("warm white")}},
		{"led", "5 mm cool white", Params{"colour": Word("white")}},
		{"led", "yellow-green", Params{"colour": Word("yellow-green")}},
		{"led", "IR", Params{"colour": Word("infrared")}},
		{"led", "infrared 850 nm", Params{"colour": Word("infrared 850")}},
		{"battery", "3 × LR6", Params{"cells": Number(3), "size": Word("LR6")}},
		{"battery", "3xAA", Params{"cells": Number(3), "size": Word("AA")}},
		{"battery", "4 AA NiMH", Params{"cells": Number(4), "size": Word("AA"), "chemistry": Word("NiMH")}},
		{"battery", "2*zinc carbon D", Params{"cells": Number(2), "size": Word("D"), "chemistry": Word("zinc-carbon")}},
		{"battery", "3 × 1.5 V", Params{"cells": Number(3), "voltage": Number(4.5)}},
		{"battery", "4.5 V", Params{"voltage": Number(4.5)}},
		{"battery", "9 V", Params{"voltage": Number(9)}},
		{"battery", "2 × 9V block", Params{"cells": Number(2), "size": Word("9V")}},
		{"battery", "PP3 zinc-carbon", Params{"size": Word("9V"), "chemistry": Word("zinc-carbon")}},
		{"battery", "cr2032", Params{"size": Word("CR2032")}},
		{"battery", "18650", Params{"size": Word("18650")}},
		{"battery", "3.7 V Li-ion", Params{"voltage": Number(3.7), "chemistry": Word("Li-ion")}},
		{"supply", "3V3", Params{"voltage": Number(3.3)}},
		{"supply", "5 V 0.1 Ω", Params{"voltage": Number(5), "resistance": Number(0.1)}},
		{"current_source", "20 mA", Params{"current": Number(0.02)}},
		{"lamp", "2.5 V 0.3 A", Params{"rated_voltage": Number(2.5), "rated_power": Number(0.75)}},
		{"lamp", "12V/5W", Params{"rated_voltage": Number(12), "rated_power": Number(5)}},
		{"motor", "10 Ω", Params{"winding_resistance": Number(10)}},
		{"motor", "N20", nil},
		{"meter", "mA", Params{"measures": Word("amps")}},
		{"npn", "a name", nil},
		{"diode", "1N4148", Params{"saturation_current": Number(2.5e-9), "emission_coefficient": Number(1.85),
			"series_resistance": Number(0.6), "energy_gap": Number(1.11), "reverse_voltage_rating": Number(75), "current_rating": Number(0.15)}},
	} {
		got, err := LookupKind(c.kind).FromValue(c.text)
		if err != nil {
			t.Errorf("%s %q: %v", c.kind, c.text, err)
			continue
		}
		compareParams(t, c.kind+" "+c.text, got, c.want)
	}
}

// compareParams allows numbers the last digit.
func compareParams(t *testing.T, what string, got, want Params) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
	for name, w := range want {
		g := got[name]
		x, isNumber := w.Num()
		y, _ := g.Num()
		if isNumber && math.Abs(x-y) > 1e-12*math.Abs(x) || !isNumber && !g.Same(w) {
			t.Errorf("%s: %s is %v, want %v", what, name, g, w)
		}
	}
}

func TestMarkings(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, text string
		want       Params
	}{
		{"resistor", "471", Params{"resistance": Number(470), "tolerance": Number(0.05)}},
		{"resistor", "01C", Params{"resistance": Number(10e3), "tolerance": Number(0.01)}},
		{"resistor", "yellow violet red gold", Params{"resistance": Number(4700), "tolerance": Number(0.05)}},
		{"resistor", "000", Params{"resistance": Number(0)}},
		{"potentiometer", "103", Params{"resistance": Number(10e3), "tolerance": Number(0.05)}},
		{"capacitor", "104", Params{"capacitance": Number(100e-9)}},
		{"inductor", "101", Params{"inductance": Number(100e-6)}},
		{"inductor", "101 2A", Params{"inductance": Number(100e-6)}},
		{"capacitor", "104K 50V", Params{"capacitance": Number(100e-9), "tolerance": Number(0.1), "voltage_rating": Number(50)}},
		{"resistor", "2k2 1/4W", Params{"resistance": Number(2200), "power_rating": Number(0.25)}},
	} {
		got, err := LookupKind(c.kind).FromMarking(c.text)
		if err != nil {
			t.Errorf("%s %q: %v", c.kind, c.text, err)
			continue
		}
		compareParams(t, c.kind+" "+c.text, got, c.want)
	}
}

// TestUnreadableValues wants one sentence in small letters that says what to
// write and repeats no more than the beginning of what was written.
func TestUnreadableValues(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("very long ", 1000)
	for _, c := range []struct{ kind, text string }{
		{"resistor", "abc"}, {"resistor", "10 V"}, {"resistor", "-5"}, {"resistor", "4k7 5"}, {"resistor", long},
		{"capacitor", "104"}, {"capacitor", "16 V"}, {"capacitor", long},
		{"inductor", "101"}, {"potentiometer", "?"},
		{"zener", "1N4733"}, {"zener", long},
		{"led", "mauve"}, {"led", long},
		{"battery", "3 × XYZ"}, {"battery", "×"}, {"battery", "AA mouldy"}, {"battery", long},
		{"supply", "on"}, {"current_source", "5 V"},
		{"lamp", "2.5 V"}, {"lamp", "0.3 A"}, {"lamp", "2.5 V 0.3 A 4"}, {"lamp", long},
		{"motor", "3 V"}, {"fuse", "slow"}, {"meter", "ohms"},
		{"npn", "BC807-25"}, {"pmos", "2N7002"},
	} {
		params, err := LookupKind(c.kind).FromValue(c.text)
		if err == nil {
			t.Errorf("%s %q gives %v", c.kind, excerpt(c.text), params)
			continue
		}
		if text := err.Error(); len(text) > 300 || strings.Contains(text, "\n") || strings.HasSuffix(text, ".") {
			t.Errorf("%s %q: %q", c.kind, excerpt(c.text), text)
		}
	}
}

func TestImpossibleQuantitiesAreRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, name string
		value      Value
	}{
		{"resistor", "resistance", Number(-1)},
		{"resistor", "resistance", Number(math.NaN())},
		{"resistor", "resistance", Number(math.Inf(1))},
		{"potentiometer", "position", Number(1.5)},
		{"battery", "charge_left", Number(-0.1)},
		{"battery", "cells", Number(0)},
		{"battery", "chemistry", Word("coal")},
		{"led", "colour", Word("mauve")},
		{"switch", "state", Word("ajar")},
		{"nmos", "body_diode", Word("yes")},
		{"diode", "saturation_current", Number(0)},
		{"npn", "forward_beta", Number(0)},
	} {
		if err := LookupKind(c.kind).Param(c.name).Check(c.value); err == nil {
			t.Errorf("%s.%s takes %v", c.kind, c.name, c.value)
		}
	}
}

// FuzzValues reads any text as a value of every kind and asks for an error or
// for quantities that the kind knows.
func FuzzValues(f *testing.F) {
	for _, seed := range []string{"4k7", "3 × LR6", "2.5 V 0.3 A", "BZX84C5V1", "warm white", "T500mA", "10k ±1 %", "×", "\xff", "1e999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, k := range Kinds() {
			if k.FromValue == nil {
				continue
			}
			params, err := k.FromValue(text)
			if err != nil && params != nil {
				t.Errorf("%s %q: both %v and %v", k.Name, text, params, err)
			}
			for name := range params {
				if k.Param(name) == nil {
					t.Errorf("%s %q sets the unknown %q", k.Name, text, name)
				}
			}
		}
	})
}
