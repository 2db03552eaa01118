package model

import (
	"math"
	"strings"
	"testing"
)

// An LED whose voltage has been measured takes just that at that current, by the
// law of the junction with its resistance in series, and keeps its colour's
// temperature coefficient.
func TestAnLEDTakesTheVoltageThatWasMeasured(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text, colour string
		volts, amps  float64
	}{
		{"red 1.9 V", "red", 1.9, 0.02},
		{"red 1.8V 5mA", "red", 1.8, 0.005},
		{"warm white LED, 2,85 V at 10 mA", "warm white", 2.85, 0.01},
		{"yellow-green 2.1 V @ 20 mA", "yellow-green", 2.1, 0.02},
		{"infrared 1150 mV", "infrared", 1.15, 0.02},
	} {
		d := &Diagram{Parts: []*Part{{Ref: "D1", Kind: "led", Value: c.text}}}
		v, problems := d.Resolve(d.Parts[0], nil)
		if problems != nil || v.Text("colour") != c.colour {
			t.Errorf("%s: %s, %v", c.text, v.Text("colour"), problems)
			continue
		}
		thermal := v.Num("emission_coefficient") * ThermalVoltage(RoomTemperature)
		volts := thermal*math.Log1p(c.amps/v.Num("saturation_current")) + c.amps*v.Num("series_resistance")
		if math.Abs(volts-c.volts) > 1e-9 {
			t.Errorf("%s takes %v V", c.text, volts)
		}
		warm := volts + forwardDrift(v, c.amps)
		usual, _ := d.Resolve(&Part{Ref: "D2", Kind: "led", Value: c.colour}, nil)
		if drift, want := warm-volts, forwardDrift(usual, c.amps); math.Abs(drift-want) > 0.05*math.Abs(want) {
			t.Errorf("%s moves by %v V for a kelvin, others of its colour by %v", c.text, drift, want)
		}
	}
}

// forwardDrift is how far the forward voltage at a current moves for one kelvin.
func forwardDrift(v Values, amps float64) float64 {
	at := func(kelvin float64) float64 {
		n := v.Num("emission_coefficient")
		is := saturationCurrentAt(v.Num("saturation_current"), n, v.Num("energy_gap"), kelvin, RoomTemperature)
		return n * ThermalVoltage(kelvin) * math.Log1p(amps/is)
	}
	return at(RoomTemperature+1) - at(RoomTemperature)
}

func TestWhatNoLEDTakesIsRefused(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"red 0.1 V", "white 12 V", "red 1.9 V 0 mA", "white 3 V 1 A", "red 1.9.9 V", "mauve 2 V", "red V", "3 V"} {
		if params, err := ledValue(text); err == nil {
			t.Errorf("%q is read as %v", text, params)
		} else if strings.HasSuffix(err.Error(), ".") {
			t.Errorf("%q: %v", text, err)
		}
	}
}
