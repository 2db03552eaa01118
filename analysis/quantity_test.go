package analysis

import (
	"math"
	"strings"
	"testing"

	"copperglass/model"
)

// 6 V behind 2 Ω on 10 Ω, by Ohm's law: 0.5 A, 5 V, 2.5 W.
func dividerDrawing(t testing.TB) *model.Diagram {
	return decode(t, drawing(
		`"ref": "BT1", "kind": "battery", "params": {"voltage": 6, "resistance": 2}, "tags": {"+": "v", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "10", "tags": {"1": "v", "2": "x"}`,
		`"ref": "P1", "kind": "meter", "params": {"measures": "amps"}, "tags": {"+": "x", "-": "GND"}`,
		`"ref": "P2", "kind": "meter", "tags": {"+": "v", "-": "GND"}`,
		`"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "supply"}, {"number": "2", "role": "ground"}, {"number": "3", "role": "output"}],
			"params": {"supply_current": 0}, "tags": {"1": "v", "2": "GND"}`,
		`"ref": "GND1", "kind": "ground"`,
	))
}

func TestQuantities(t *testing.T) {
	d := dividerDrawing(t)
	r := solve(t, d, Options{Set: model.Setting{"R1": {"tolerance": model.Number(0.01)}, model.Drawing: {"temperature": model.Number(310)}}})
	for name, want := range map[string]float64{
		"net.v.volts":                   5,
		"net.R1.1.volts":                5,
		"net.GND.volts":                 0,
		"R1.1.amps":                     0.5,
		"BT1.+.amps":                    -0.5,
		"R1.watts":                      2.5,
		"BT1.watts":                     -2.5,
		"R1.resistance":                 10,
		"R1.tolerance":                  0.01,
		"BT1.open_circuit_voltage":      6,
		"BT1.internal_resistance":       2,
		"BT1.voltage":                   6,
		"P1.reading":                    0.5,
		"P2.reading":                    5,
		"drawing.temperature":           310,
		"drawing.reference_temperature": model.RoomTemperature,
	} {
		near(t, name, figure(t, r, d, name), want, 1e-12)
	}
	near(t, "battery under load", r.Parts["BT1"].Figure("voltage"), 5, 1e-12)
	if v := figure(t, r, d, "net.IC1.3.volts"); !math.IsNaN(v) {
		t.Errorf("an open pin stands at %g V", v)
	}
	for name, want := range map[string]string{
		"volts":           `"volts" is no quantity; write net.NAME.volts, REF.PIN.amps, REF.watts or REF.NAME`,
		"net.z.volts":     "there is no net z",
		"R9.watts":        "R9.watts: there is no part R9",
		"R1.3.amps":       "R1 has no pin 3",
		"R1.length":       "R1 has no quantity length",
		"P1.measures":     "P1.measures is amps, which is no number",
		"GND1.watts":      "GND1 takes no power",
		"GND1.1.amps":     "GND1 carries no current",
		"drawing.weather": "the drawing has no quantity weather",
	} {
		if _, err := Quantity(r, d, name); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", name, err, want)
		}
	}
}

func TestUnknownMode(t *testing.T) {
	d := decode(t, drawing(battery, load))
	if _, err := Solve(t.Context(), d, Options{Mode: "On"}); err == nil || err.Error() != `there is no mode "On": the drawing has no modes` {
		t.Error(err)
	}
	d.Modes = []*model.Mode{{Name: "Off"}, {Name: "White"}}
	if _, err := Solve(t.Context(), d, Options{Mode: "On"}); err == nil || err.Error() != `there is no mode "On"; the drawing has Off, White` {
		t.Error(err)
	}
	if r := solve(t, d, Options{}); r.Mode != "Off" {
		t.Errorf("the first mode is %q", r.Mode)
	}
}

// The modes of a lamp behind a switch, from Ohm's law; a coin cell's run time
// from the handbook's charge.
func TestModes(t *testing.T) {
	d := decode(t, drawing(
		`"ref": "BT1", "kind": "battery", "params": {"cells": 3, "chemistry": "alkaline", "size": "LR03"}, "tags": {"+": "v", "-": "GND"}`,
		`"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "a"}`,
		`"ref": "R1", "kind": "resistor", "value": "100", "tags": {"1": "a", "2": "b"}`,
		`"ref": "D1", "kind": "led", "value": "red", "count": 2, "tags": {"A": "b", "K": "GND"}`,
	))
	d.Modes = []*model.Mode{{Name: "Off", Set: map[string]string{"S1": "open"}}, {Name: "On", Set: map[string]string{"S1": "closed"}}}
	modes, err := Modes(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	if len(modes) != 2 || modes[0].Name != "Off" || modes[1].Name != "On" {
		t.Fatalf("%+v", modes)
	}
	off, on := modes[0], modes[1]
	near(t, "current when off", off.SupplyCurrent, 0, 1e-12)
	if !math.IsNaN(off.RunTime) {
		t.Errorf("off for %g h", off.RunTime)
	}
	checkBalance(t, d, on.Result)
	led := on.Result.Parts["D1"]
	near(t, "current when on", on.SupplyCurrent, led.Pins[0].Amps, 1e-12)
	near(t, "the LEDs'", on.Loads["D1"].Current, led.Pins[0].Amps, 0)
	near(t, "their power", on.Loads["D1"].Power, led.Power, 0)
	near(t, "power", on.SupplyPower, led.Power+on.Result.Parts["R1"].Power, 1e-9)
	values, _ := d.Resolve(d.Part("BT1"), nil)
	seconds, ok := model.RunTime(values, on.SupplyCurrent)
	if !ok {
		t.Fatal("the handbook does not know the cells")
	}
	near(t, "run time", on.RunTime, seconds/3600, 1e-9*on.RunTime)
}

// A battery that is charged by another delivers nothing.
func TestSupplyCurrentCountsDeliverers(t *testing.T) {
	d := decode(t, drawing(
		`"ref": "G1", "kind": "supply", "params": {"voltage": 6, "resistance": 1}, "tags": {"+": "v", "-": "GND"}`,
		`"ref": "BT1", "kind": "battery", "params": {"voltage": 4, "resistance": 1}, "tags": {"+": "v", "-": "GND"}`))
	modes, err := Modes(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "current", modes[0].SupplyCurrent, 1, 1e-12) // (6 − 4) V / 2 Ω
	near(t, "power", modes[0].SupplyPower, 5, 1e-12)
}

// Of four lamps of 40 Ω in parallel behind 2 Ω, on 6 V, each has a quarter of
// 6 V / 12 Ω; their resistance is that of each.
func TestQuantitiesOfOneOfAStack(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "BT1", "kind": "battery", "params": {"voltage": 6, "resistance": 2}, "tags": {"+": "v", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "40", "count": 4, "tags": {"1": "v", "2": "GND"}`,
	))
	r := solve(t, d, Options{})
	for name, want := range map[string]float64{"R1.1.amps": 0.5, "R1#1.1.amps": 0.125, "R1#4.2.amps": -0.125, "R1#2.watts": 0.625, "R1#3.resistance": 40} {
		near(t, name, figure(t, r, d, name), want, 1e-12)
	}
	for _, name := range []string{"R1#0.watts", "R1#5.watts", "R1#.watts", "BT1#2.watts", "#1.watts"} {
		if _, err := Quantity(r, d, name); err == nil || !strings.Contains(err.Error(), "there is no part") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
