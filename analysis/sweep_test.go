package analysis

import (
	"context"
	"fmt"
	"math"
	"testing"

	"copperglass/model"
	"copperglass/model/quantity"
)

func sweep(t testing.TB, d *model.Diagram, o SweepOptions) *SweepResult {
	t.Helper()
	s, err := Sweep(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	if s.Solved() != len(s.Points) {
		t.Fatalf("%d of %d points solved: %v", s.Solved(), len(s.Points), texts(s.Faults))
	}
	return s
}

func spaced(t testing.TB, first, last float64, n int) []float64 {
	t.Helper()
	values, err := Spaced(first, last, n, false)
	if err != nil {
		t.Fatal(err)
	}
	return values
}

// The transfer curve of the sweep cases' inverter falls all the way and
// nowhere by more than its slope allows: β R_C/R_B = 9.1 V per volt.
func TestSweepIsContinuous(t *testing.T) {
	t.Parallel()
	c := readKnown(t, "sweep", 7)[5]
	s := sweep(t, c.diagram(t), SweepOptions{Parameter: "VI.voltage", Values: spaced(t, 0, 5, 501), Of: []string{"net.c.volts"}})
	if s.Unit != quantity.Volt || s.Units[0] != quantity.Volt {
		t.Errorf("units %v, %v", s.Unit, s.Units)
	}
	for i, p := range s.Points[1:] {
		fall := s.Points[i].There[0] - p.There[0]
		if !(fall >= -1e-9 && fall <= 9.1*0.01) {
			t.Errorf("at %g V it falls by %g V", p.Value, fall)
		}
	}
}

// A trigger of two transistors with a common emitter resistor (O. H. Schmitt,
// Journal of Scientific Instruments 15, 1938, with valves): it switches higher
// on the way up than on the way down.
func TestHysteresis(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "V1", "kind": "supply", "value": "9 V", "tags": {"+": "v", "-": "GND"}`,
		`"ref": "V2", "kind": "supply", "value": "0 V", "params": {"resistance": 1}, "tags": {"+": "in", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "10k", "tags": {"1": "v", "2": "c1"}`,
		`"ref": "R2", "kind": "resistor", "value": "10k", "tags": {"1": "c1", "2": "b2"}`,
		`"ref": "R3", "kind": "resistor", "value": "10k", "tags": {"1": "b2", "2": "GND"}`,
		`"ref": "R4", "kind": "resistor", "value": "2k2", "tags": {"1": "v", "2": "out"}`,
		`"ref": "R5", "kind": "resistor", "value": "1k", "tags": {"1": "e", "2": "GND"}`,
		`"ref": "Q1", "kind": "npn", "tags": {"C": "c1", "B": "in", "E": "e"}`,
		`"ref": "Q2", "kind": "npn", "tags": {"C": "out", "B": "b2", "E": "e"}`))
	s := sweep(t, d, SweepOptions{Parameter: "V2.voltage", Values: spaced(t, 0, 5, 251), Of: []string{"net.out.volts"}, Back: true})
	up, down := math.NaN(), math.NaN()
	for _, p := range s.Points {
		if math.IsNaN(up) && p.There[0] > 8 {
			up = p.Value
		}
		if math.IsNaN(down) && p.Back[0] > 8 {
			down = p.Value
		}
	}
	t.Logf("switches at %g V going up, %g V coming down", up, down)
	if !(up > down+0.3) {
		t.Errorf("switches at %g V going up, %g V coming down", up, down)
	}
}

// At constant current a silicon junction falls by (1.11 V + 3 V_T − V)/T, about
// 2 mV/K at 0.6 V (common practice, no source), and a battery of the handbook's
// alkaline cells has more resistance when it is cold.
func TestSweepOverTemperature(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "G1", "kind": "current_source", "value": "1 mA", "tags": {"+": "a", "-": "GND"}`,
		`"ref": "D1", "kind": "diode", "params": {"saturation_current": 1e-14, "emission_coefficient": 1, "series_resistance": 0}, "tags": {"A": "a", "K": "GND"}`,
		`"ref": "G2", "kind": "current_source", "value": "1 mA", "tags": {"+": "b", "-": "GND"}`,
		`"ref": "Q1", "kind": "npn", "tags": {"C": "b", "B": "b", "E": "GND"}`,
		`"ref": "BT1", "kind": "battery", "value": "2 × LR6", "tags": {"+": "p", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "10", "tags": {"1": "p", "2": "GND"}`))
	of := []string{"net.a.volts", "net.b.volts", "net.p.volts"}
	s := sweep(t, d, SweepOptions{Parameter: "drawing.temperature", Values: spaced(t, 253.15, 333.15, 81), Of: of})
	const perKelvin = 1.380649e-23 / 1.602176634e-19 // k/q, V/K
	for i, p := range s.Points[2:] {
		before, mid := s.Points[i], s.Points[i+1]
		want := (mid.There[0] - 1.11 - 3*perKelvin*mid.Value) / mid.Value
		near(t, fmt.Sprintf("dV/dT of the diode at %g K", mid.Value), (p.There[0]-before.There[0])/2, want, 1e-8)
		if slope := (p.There[1] - before.There[1]) / 2; slope > -1.3e-3 || slope < -2.3e-3 {
			t.Errorf("dV/dT of the transistor at %g K: %g", mid.Value, slope)
		}
		if p.There[2] < mid.There[2]-1e-12 { // above 40 °C the handbook says no more: level but for rounding
			t.Errorf("the battery falls as it gets warmer, at %g K", mid.Value)
		}
	}
}

func TestSpaced(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		first, last float64
		n           int
		log         bool
		want        string
	}{
		{0, 1, 5, false, "[0 0.25 0.5 0.75 1]"},
		{5, -5, 3, false, "[5 0 -5]"},
		{1, 1000, 4, true, "[1 10 100 1000]"},
		{0, 1, 3, true, "from 0 to 1 there are no equal ratios: both must be above 0"},
		{3, 3, 4, false, "from 3 to 3 nothing moves: give two ends that differ"},
		{1, 2, 1, false, "1 steps: there must be from 2 to 1000000"},
	} {
		values, err := Spaced(c.first, c.last, c.n, c.log)
		for i, v := range values {
			values[i] = math.Round(v*1e9) / 1e9
		}
		got := fmt.Sprint(values)
		if err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("from %g to %g: %s, want %s", c.first, c.last, got, c.want)
		}
	}
}

// BenchmarkSweep is 1,000 points of the supply of 200 parts, each of them three
// figures.
func BenchmarkSweep(b *testing.B) {
	d, values := board(b, 200), spaced(b, 1, 7, 1000)
	b.ReportAllocs()
	for b.Loop() {
		sweep(b, d, SweepOptions{Parameter: "BT1.voltage", Values: values, Of: []string{"BT1.+.amps", "D1.A.amps", "net.v.volts"}})
	}
}
