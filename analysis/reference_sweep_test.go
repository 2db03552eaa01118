package analysis

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"copperglass/model"
)

// Points of transfer curves, computed from the laws, and the figures derived
// from them; each point is approached as a sweep does, from the one before.
func TestReferenceSweeps(t *testing.T) {
	t.Parallel()
	for _, c := range readKnown(t, "sweep", 7) {
		d := c.diagram(t)
		var start *Result
		c.checkFigures(t, func(e knownFigure) (float64, float64, bool) {
			if !isQuantity(e.Of) {
				return derivedFigure(t, d, e)
			}
			start = solve(t, d, Options{Set: setting(e.Set), Start: start})
			if e.State != "" {
				checkState(t, c.ID, start, e)
			}
			return figure(t, start, d, e.Of), 0, true
		})
	}
}

// checkState holds the transistor's state against the case's.
func checkState(t *testing.T, id string, r *Result, e knownFigure) {
	t.Helper()
	if got := r.Parts["Q1"].State; string(got) != e.State {
		t.Errorf("%s with %v: Q1 is %s, want %s", id, e.Set, got, e.State)
	}
}

// thermalPoint and dropPoint read figures told in words.
var (
	thermalPoint = regexp.MustCompile(`^VT at ([\d.]+) K$`)
	dropPoint    = regexp.MustCompile(`^dV/dT at constant current, silicon law, V = ([\d.]+) V`)
)

// derivedFigure returns a figure that the sweep list tells in words.
func derivedFigure(t *testing.T, d *model.Diagram, e knownFigure) (x, tol float64, known bool) {
	t.Helper()
	number := func(re *regexp.Regexp) (float64, bool) {
		m := re.FindStringSubmatch(e.Of)
		if m == nil {
			return 0, false
		}
		x, err := strconv.ParseFloat(m[1], 64)
		return x, err == nil
	}
	if kelvin, ok := number(thermalPoint); ok {
		return model.ThermalVoltage(kelvin), 0, true
	}
	if volts, ok := number(dropPoint); ok {
		return siliconSlope(t, volts), 0, true
	}
	switch of := e.Of; {
	case strings.HasPrefix(of, "line regulation from 9 V to 15 V"):
		return (at(t, d, "net.out.volts", "V1.voltage", 15.0) - at(t, d, "net.out.volts", "V1.voltage", 9.0)) / 6, 0, true
	case strings.HasPrefix(of, "position of the greatest sag"):
		return greatestSag(t, d), 0, true
	case of == "greatest sag, V":
		position := greatestSag(t, d)
		return 5*position - at(t, d, "net.w.volts", "P1.position", position), 0, true
	case of == "net.w.volts at 0.5 with 47 kohm":
		return at(t, d, "net.w.volts", "P1.position", 0.5, "RL.resistance", 47e3), 0, true
	case of == "D1.A.amps ratio, 4 cells to 3":
		return at(t, d, "D1.A.amps", "BT1.voltage", 6.0, "BT1.resistance", 1.2) / at(t, d, "D1.A.amps"), 0, true
	case of == "VI.voltage at which net.c.volts = 2.5":
		return where(t, d, "net.c.volts", 2.5, "VI.voltage", 0.9, 1.1), 0, true
	case of == "net.out.volts, ideal meter":
		delete(d.Part("M1").Params, "resistance")
		return at(t, d, "net.out.volts"), 0, true
	case strings.HasPrefix(of, "dV/dT of a silicon diode or base-emitter junction"):
		diode, transistor := slopeAt(t, "diode", "1N4148", 1e-3), slopeAt(t, "npn", "BC547", 1e-3)
		if math.Abs(transistor-e.Value) > e.Tol {
			t.Errorf("%s: %g for a transistor", of, transistor)
		}
		return diode, 0, true
	case strings.HasPrefix(of, "dV/dT of a red LED at 20 mA"):
		return slopeAt(t, "led", "red", 0.020), 0, true
	case strings.HasPrefix(of, "dV/dT of a phosphor white 2835 LED at 120 mA"):
		return slopeAt(t, "led", "white", 0.120), 0, true
	case strings.HasPrefix(of, "current through 150 ohm and a silicon diode on 5 V"):
		rise := at(t, d, "D1.A.amps", "drawing.temperature", 348.15) - at(t, d, "D1.A.amps", "drawing.temperature", 298.15)
		near(t, of+", by how much", rise, 50*2e-3/150, 0.2e-3) // the case's note
		return math.Copysign(1, rise), 0, true
	}
	return 0, 0, false
}

// greatestSag is the position at which the loaded wiper is farthest below the
// straight line, where dv/dx is 5 V.
func greatestSag(t *testing.T, d *model.Diagram) float64 {
	t.Helper()
	slope := func(x float64) float64 {
		of := influence(t, d, Options{Set: setting(map[string]any{"P1.position": x})}, "net.w.volts")
		return of.by("P1.position").Derivative - 5
	}
	return bisect(slope, 0.5, 0.9)
}

// where returns the value of a parameter at which a quantity has the one given.
func where(t *testing.T, d *model.Diagram, of string, want float64, parameter string, low, high float64) float64 {
	t.Helper()
	return bisect(func(x float64) float64 { return at(t, d, of, parameter, x) - want }, low, high)
}

// bisect returns the root of f between two points at which its signs differ.
func bisect(f func(float64) float64, low, high float64) float64 {
	atLow := f(low)
	for range 40 {
		middle := (low + high) / 2
		if f(middle)*atLow > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// siliconSlope is dV/dT of an ideal silicon junction that a current holds at
// the voltage given at 298.15 K.
func siliconSlope(t *testing.T, volts float64) float64 {
	t.Helper()
	const saturation = 1e-14
	amps := saturation * math.Expm1(volts/model.ThermalVoltage(298.15))
	d := decode(t, drawing(
		fmt.Sprintf(`"ref": "G1", "kind": "current_source", "params": {"current": %.17g}, "tags": {"+": "a", "-": "GND"}`, amps),
		`"ref": "D1", "kind": "diode", "params": {"saturation_current": 1e-14, "emission_coefficient": 1, "series_resistance": 0}, "tags": {"A": "a", "K": "GND"}`))
	of := influence(t, d, Options{}, "net.a.volts")
	near(t, "the voltage itself", of.Value, volts, 1e-12)
	return of.by("drawing.temperature").Derivative
}

// slopeAt is dV/dT of a part of the catalogue at a constant current; a
// transistor is joined as a diode.
func slopeAt(t *testing.T, kind, value string, amps float64) float64 {
	t.Helper()
	pins := `"A": "a", "K": "GND"`
	if kind == "npn" {
		pins = `"C": "a", "B": "a", "E": "GND"`
	}
	d := decode(t, drawing(
		fmt.Sprintf(`"ref": "G1", "kind": "current_source", "params": {"current": %g}, "tags": {"+": "a", "-": "GND"}`, amps),
		fmt.Sprintf(`"ref": "X1", "kind": %q, "value": %q, "tags": {%s}`, kind, value, pins)))
	return influence(t, d, Options{}, "net.a.volts").by("drawing.temperature").Derivative
}
