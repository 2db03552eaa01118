package analysis

import (
	"context"
	"fmt"
	"math"
	"testing"
)

// A battery that is shorted delivers nothing at its poles, but it discharges
// all the same: 3 V behind 0.5 Ω is 6 A by hand.
func TestAShortedBatteryDischarges(t *testing.T) {
	d := decode(t, drawing(`"ref": "BT1", "kind": "battery", "params": {"voltage": 3, "resistance": 0.5}, "tags": {"+": "v", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "0", "tags": {"1": "v", "2": "GND"}`))
	modes, err := Modes(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	if got := modes[0].SupplyCurrent; math.Abs(got-6) > 1e-9 {
		t.Errorf("supply current is %v A, want 6 A", got)
	}
	if got := modes[0].SupplyPower; math.Abs(got) > 1e-9 {
		t.Errorf("supply power is %v W, want none", got)
	}
}

// Batteries in a row give one current, whatever joins them: 3 V and 1.5 V on
// 45 Ω are 100 mA. A load of 15 Ω between them takes what the lower gives more;
// in parallel both give half.
func TestSupplyCurrentOfSeveral(t *testing.T) {
	t.Parallel()
	cell := func(ref string, volts float64, plus, minus string) string {
		return fmt.Sprintf(`"ref": "%s", "kind": "battery", "params": {"voltage": %v, "resistance": 0.001}, "tags": {"+": "%s", "-": "%s"}`, ref, volts, plus, minus)
	}
	joins := func(ref, kind, more string) string {
		return `"ref": "` + ref + `", "kind": "` + kind + `", "params": {` + more + `}, "tags": {"1": "m", "2": "n"}`
	}
	for name, tt := range map[string]struct {
		parts []string
		amps  float64
	}{
		"a row":            {[]string{cell("BT1", 3, "v", "m"), cell("BT2", 1.5, "m", "GND"), resistor("R1", 45, "v", "GND")}, 0.1},
		"over a switch":    {[]string{cell("BT1", 3, "v", "m"), joins("S1", "switch", `"state": "closed"`), cell("BT2", 1.5, "n", "GND"), resistor("R1", 45, "v", "GND")}, 0.1},
		"over a fuse":      {[]string{cell("BT1", 3, "v", "m"), joins("F1", "fuse", `"resistance": 0.001`), cell("BT2", 1.5, "n", "GND"), resistor("R1", 45, "v", "GND")}, 0.1},
		"with a tap":       {[]string{cell("BT1", 3, "v", "m"), cell("BT2", 1.5, "m", "GND"), resistor("R1", 45, "v", "GND"), resistor("R2", 15, "m", "GND")}, 0.2},
		"in parallel":      {[]string{cell("BT1", 3, "v", "GND"), cell("BT2", 3, "v", "GND"), resistor("R1", 30, "v", "GND")}, 0.1},
		"apart":            {[]string{cell("BT1", 3, "v", "GND"), cell("BT2", 1.5, "w", "GND"), resistor("R1", 30, "v", "GND"), resistor("R2", 15, "w", "GND")}, 0.2},
		"with a voltmeter": {[]string{cell("BT1", 3, "v", "m"), cell("BT2", 1.5, "m", "GND"), resistor("R1", 45, "v", "GND"), `"ref": "P1", "kind": "meter", "params": {"measures": "volts", "resistance": 1e7}, "tags": {"+": "v", "-": "GND"}`}, 0.1},
	} {
		modes, err := Modes(context.Background(), decode(t, drawing(tt.parts...)))
		if err != nil {
			t.Fatal(err)
		}
		if got := modes[0].SupplyCurrent; math.Abs(got-tt.amps) > 1e-4*tt.amps {
			t.Errorf("%s: %v A, want %v A", name, got, tt.amps)
		}
	}
}

// 5 V on 100 Ω and, as a stack of ten, on 1 kΩ each: 250 mW against 25 mW
// each.
func TestHottestPart(t *testing.T) {
	d := decode(t, drawing(supply(5), resistor("R1", 100, "v", "GND"),
		`"ref": "R2", "kind": "resistor", "value": "1k", "count": 10, "tags": {"1": "v", "2": "GND"}`))
	modes, err := Modes(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	if m := modes[0]; m.Hottest != "R1" || math.Abs(m.HottestPower-0.25) > 1e-9 {
		t.Errorf("%s with %v W", m.Hottest, m.HottestPower)
	}
}

// A motor of 2 Ω that makes 5 V by turning takes 0.5 A at 6 V, 3 W: of these
// 0.5 W heat its winding and 2.5 W turn it.
func TestHeatOfAMotor(t *testing.T) {
	d := decode(t, drawing(supply(6), `"ref": "M1", "kind": "motor", "params": {"winding_resistance": 2, "back_voltage": 5}, "tags": {"+": "v", "-": "GND"}`))
	modes, err := Modes(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	if m := modes[0]; m.Hottest != "M1" || math.Abs(m.HottestPower-0.5) > 1e-9 || math.Abs(m.Loads["M1"].Power-3) > 1e-9 {
		t.Errorf("%s with %v W of %v W", m.Hottest, m.HottestPower, m.Loads["M1"].Power)
	}
}
