package model

import (
	"math"
	"testing"
)

// forwardVolts is the voltage at which a part with one junction carries the
// current, by the law of the junction and its series resistance.
func forwardVolts(t *testing.T, p *Part, amps float64, s Setting) float64 {
	t.Helper()
	law := junctionOf(t, p, s).Law
	ohms := resolved(t, p, s).Num("series_resistance")
	return law.Emission*law.ThermalVoltage*math.Log1p(amps/law.SaturationCurrent) + amps*ohms
}

// TestForwardVoltages holds the constants against the voltages of the sources;
// spread is the tolerance stated there, the width of the readings or, for
// typical values of different parts, what the fit must bridge.
func TestForwardVoltages(t *testing.T) {
	t.Parallel()
	const (
		readings = "bench readings, three LEDs a colour"
		drops    = "breder.org, forward drops"
	)
	for _, c := range []struct {
		kind, value         string
		amps, volts, spread float64
		source              string
	}{
		{"led", "white", 0.020, 3.2, 0.05, "Cree LC513FWH1 datasheet, typical"},
		{"led", "white", 0.0025, 2.71, 0.03, drops},
		{"led", "white", 0.001, 2.656, 0.06, "bench readings of one white LED"},
		{"led", "white", 0.010, 2.93, 0.06, "bench readings of one white LED"},
		{"led", "white", 0.0201, 3.33, 0.14, readings},
		{"led", "warm white", 0.020, 3.00, 0.05, "RND 135-00123 datasheet, typical"},
		{"led", "blue", 0.0201, 3.23, 0.06, readings},
		{"led", "blue", 0.0025, 2.68, 0.05, drops},
		{"led", "blue", 0.020, 3.20, 0.1, "Fedy FD-5WSRGB-A datasheet, typical"},
		{"led", "green", 0.0201, 3.13, 0.02, readings},
		{"led", "green", 0.020, 3.20, 0.1, "Fedy FD-5WSRGB-A datasheet, typical"},
		{"led", "yellow-green", 0.0033, 1.94, 0.05, drops},
		{"led", "yellow-green", 0.020, 2.2, 0.05, "robot.lk table of 5 mm LED data"},
		{"led", "yellow", 0.0201, 2.11, 0.06, readings},
		{"led", "amber", 0.0201, 2.11, 0.06, readings},
		{"led", "amber", 0.0033, 1.92, 0.05, drops},
		{"led", "orange", 0.0201, 2.01, 0.05, readings},
		{"led", "red", 0.0201, 2.00, 0.05, readings},
		{"led", "red", 0.020, 2.0, 0.05, "Kingbright WP710A10SEC/E datasheet, typical"},
		{"led", "red", 0.0033, 1.90, 0.05, drops},
		{"led", "infrared 850", 0.050, 1.50, 0.05, "NTE30048 datasheet, typical"},
		{"led", "infrared", 0.020, 1.2, 0.05, "Vishay TSAL class datasheet (from memory)"},
		{"led", "infrared", 0.100, 1.35, 0.1, "Vishay TSAL class datasheet (from memory)"},
		{"diode", "1N4148", 0.001, 0.60, 0.03, "typical curves (from memory)"},
		{"diode", "1N4148", 0.005, 0.67, 0.05, "1N4448WS datasheet, 0.62 to 0.72 V"},
		{"diode", "1N4148", 0.010, 0.72, 0.03, "typical curves (from memory)"},
		{"diode", "1N4148", 0.100, 0.92, 0.05, "typical curves (from memory)"},
		{"diode", "1N4007", 0.100, 0.775, 0.025, "onsemi 1N4001 datasheet (from memory)"},
		{"diode", "SS14", 0.100, 0.325, 0.03, "typical sheets (from memory)"},
	} {
		got := forwardVolts(t, &Part{Ref: "D1", Kind: c.kind, Value: c.value}, c.amps, nil)
		if math.Abs(got-c.volts) > c.spread {
			t.Errorf("%s: %.3f V at %v A, %s gives %v ± %v V", c.value, got, c.amps, c.source, c.volts, c.spread)
		}
	}
}

// TestForwardVoltageLimits holds diodes below the limits of their sheets (all
// from memory but the first).
func TestForwardVoltageLimits(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		value       string
		amps, limit float64
	}{
		{"1N4148", 0.010, 1.0}, // Pan Jit 1N4148W datasheet
		{"1N4007", 1, 1.1},
		{"BAT54", 0.0001, 0.24}, {"BAT54", 0.001, 0.32}, {"BAT54", 0.010, 0.40}, {"BAT54", 0.030, 0.50}, {"BAT54", 0.100, 1.0},
		{"1N5817", 1, 0.45}, {"1N5818", 1, 0.55}, {"1N5819", 1, 0.60}, {"SS14", 1, 0.50}, {"MBR0520", 0.5, 0.385},
	} {
		if got := forwardVolts(t, &Part{Ref: "D1", Kind: "diode", Value: c.value}, c.amps, nil); got > c.limit {
			t.Errorf("%s: %.3f V at %v A, its limit is %v V", c.value, got, c.amps, c.limit)
		}
	}
}

// TestTemperatureCoefficients warms a part by 10 K at constant current.
func TestTemperatureCoefficients(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, value     string
		amps, low, high float64 // A, V/K
		source          string
	}{
		{"led", "red", 0.020, -2.0e-3, -1.8e-3, "Kingbright WP710A10SEC/E datasheet, −1.9 mV/K"},
		{"led", "white", 0.020, -4.0e-3, -2.0e-3, "Lumileds DS237 datasheet, with phosphor"},
		{"led", "warm white", 0.020, -4.0e-3, -2.0e-3, "Lumileds DS237 datasheet, with phosphor"},
		{"led", "blue", 0.020, -2.6e-3, -2.4e-3, "Lumileds DS237 datasheet, royal blue, −2.5 mV/K"},
		{"diode", "", 0.001, -2.5e-3, -1.5e-3, "about −2 mV/K: microelectronics texts"},
		{"zener", "5V1", 0.001, -2.5e-3, -1.5e-3, "about −2 mV/K: microelectronics texts"},
	} {
		p := &Part{Ref: "D1", Kind: c.kind, Value: c.value}
		warm := Setting{"D1": {"temperature": Number(RoomTemperature + 5)}}
		cool := Setting{"D1": {"temperature": Number(RoomTemperature - 5)}}
		slope := (forwardVolts(t, p, c.amps, warm) - forwardVolts(t, p, c.amps, cool)) / 10
		if slope < c.low || slope > c.high {
			t.Errorf("%s %s: %.2f mV/K, %s", c.kind, c.value, 1e3*slope, c.source)
		}
	}
}

// TestHealthCheckVoltages is the check of a maker for a sound LED: above 2.0 V
// at 0.1 mA for blue, green and white, above 1.4 V for red to yellow-green (RND
// 135-00237 datasheet p. 9).
func TestHealthCheckVoltages(t *testing.T) {
	t.Parallel()
	for colour, least := range map[string]float64{
		"white": 2.0, "warm white": 2.0, "blue": 2.0, "green": 2.0,
		"red": 1.4, "orange": 1.4, "amber": 1.4, "yellow": 1.4, "yellow-green": 1.4,
	} {
		if got := forwardVolts(t, &Part{Ref: "D1", Kind: "led", Value: colour}, 1e-4, nil); got < least {
			t.Errorf("%s: %.2f V at 0.1 mA, want %v at least", colour, got, least)
		}
	}
}

// TestZenerDynamicResistance takes the slope of the breakdown at 5 mA and holds
// it below the limits of the Nexperia BZX84 datasheet (from memory).
func TestZenerDynamicResistance(t *testing.T) {
	t.Parallel()
	for value, limit := range map[string]float64{"3V3": 95, "5V1": 60, "6V2": 10, "12V": 25} {
		law := junctionOf(t, &Part{Ref: "D1", Kind: "zener", Value: value}, nil).Law
		ohms := law.BreakdownEmission * law.ThermalVoltage / 0.005
		if ohms >= limit || ohms < limit/4 {
			t.Errorf("%s: %.1f Ω at 5 mA, the limit is %v Ω", value, ohms, limit)
		}
		if law.BreakdownCurrent != 0.005 {
			t.Errorf("%s is tested at %v A", value, law.BreakdownCurrent)
		}
	}
}
