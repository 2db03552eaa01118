package drain

import (
	"fmt"
	"math"
	"testing"

	"copperglass/model"
)

// lit is a battery on a resistance that a switch closes in mode Lit and on
// one that a second switch closes in mode Dim.
func lit(t *testing.T, value string) *model.Diagram {
	t.Helper()
	d := decode(t, `"ref": "BT1", "kind": "battery", "value": "`+value+`", "tags": {"+": "p", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "10", "tags": {"1": "p", "2": "q"}`, `"ref": "S1", "kind": "switch", "tags": {"1": "q", "2": "GND"}`,
		`"ref": "R2", "kind": "resistor", "value": "100", "tags": {"1": "p", "2": "r"}`, `"ref": "S2", "kind": "switch", "tags": {"1": "r", "2": "GND"}`)
	d.Modes = []*model.Mode{
		{Name: "Off", Set: map[string]string{"S1": "open", "S2": "open"}, EachDay: "rest"},
		{Name: "Dim", Set: map[string]string{"S1": "open", "S2": "closed"}, EachDay: "1 h"},
		{Name: "Lit", Set: map[string]string{"S1": "closed", "S2": "open"}, EachDay: "2 h"},
	}
	return d
}

// The drawing's own schedule: 1.5 V make 150 mA for 2 h and 15 mA for 1 h, which
// are 315 mAh a day; 1.26 Ah last for 4 days. The points show the mode that
// takes the most, though the day begins with another.
func TestScheduleOfTheDrawing(t *testing.T) {
	t.Parallel()
	d := lit(t, "LR6")
	day, err := d.Day()
	if err != nil {
		t.Fatal(err)
	}
	out := run(t, d, Options{Day: day, Cells: map[string]Cell{"BT1": curveCell{1.26, level(1.5), level(0), math.NaN()}}})
	if out.Mode != "Lit" {
		t.Errorf("shows %s", out.Mode)
	}
	near(t, "amps", out.Points[0].Amps, 0.15, 1e-9)
	hours, end := out.Lasts()
	near(t, "days", hours/24, 4, 1e-9)
	if end != UsedUp {
		t.Errorf("ends by %s", end)
	}
}

// The end point of 1.2 V is met first by the phase with the heaviest load,
// wherever in the day it stands: on 10 Ω and 0.5 Ω, from 1.5 V falling by 0.4 V
// an ampere hour, the poles have 1.2 V at E = 1.26 V, after 0.6 Ah. A day takes
// 2 h E/10.5 + 1 h E/100.5, so that ln E falls by 0.4 (2/10.5 + 1/100.5) a day.
func TestEndsInAnyPhase(t *testing.T) {
	t.Parallel()
	cells := map[string]Cell{"BT1": curveCell{2, falling(1.5, 0.4), level(0.5), 1.2}}
	want := 24 * math.Log(1.5/1.26) / (0.4 * (2/10.5 + 1/100.5))
	for _, day := range [][]Phase{{{Mode: "Lit", Hours: 2}, {Mode: "Dim", Hours: 1}}, {{Mode: "Dim", Hours: 1}, {Mode: "Lit", Hours: 2}, {Mode: "Off", Hours: 21}}} {
		hours, end := run(t, lit(t, "LR6"), Options{Day: day, Cells: cells}).Lasts()
		near(t, fmt.Sprint(day), hours, want, 1e-6*want)
		if end != AtEndPoint {
			t.Errorf("%v ends by %s", day, end)
		}
	}
}

// A fuller battery never lasts for less: it passes on its way through every
// state that a lesser charge begins with.
func TestMoreChargeLastsLonger(t *testing.T) {
	t.Parallel()
	for _, value := range []string{"3 × LR6", "3 × R6", "3 × NiMH AA", "CR2032"} {
		before := 0.0
		for _, left := range []float64{0.05, 0.2, 0.5, 0.7, 0.9, 1} {
			d := lantern(t)
			d.Part("BT1").Value = value
			out := run(t, d, Options{Mode: "White", Set: model.Setting{"BT1": {"charge_left": model.Number(left)}}})
			hours, _ := out.Lasts()
			if !(hours > before) {
				t.Errorf("%s at %g: %g h, and %g h with less", value, left, hours, before)
			}
			near(t, "charge at first", out.ChargeLeft, left, 1e-12)
			before = hours
		}
	}
}

// The charge that has gone is the fraction used times the capacity, and the
// energy what the falling voltage gave with it: ∫(E − a q) dq = E q − a q²/2.
func TestBooksByClosedForm(t *testing.T) {
	t.Parallel()
	const capacity, e, a, from = 2.0, 1.5, 0.4, 0.75
	d := decode(t, `"ref": "BT1", "kind": "battery", "value": "LR6", "count": 2, "params": {"charge_left": 0.75}, "tags": {"+": "p", "-": "GND"}`, resistor("10"))
	out := run(t, d, Options{Cells: map[string]Cell{"BT1": curveCell{capacity, falling(e, a), level(0.5), math.NaN()}}})
	last := out.Points[len(out.Points)-1]
	whole := func(q float64) float64 { return e*q - a*q*q/2 }
	begin, end := capacity*(1-from), capacity*(1-last.ChargeLeft)
	near(t, "Ah of both", out.Books.Charge["BT1"]/3600, 2*(end-begin), 1e-9*2*(end-begin))
	near(t, "Wh of both", out.Books.Energy/3600, 2*(whole(end)-whole(begin)), 1e-9*out.Books.Energy/3600)
	// Both together have 0.25 Ω before 10 Ω.
	near(t, "to the load", out.Books.Taken/out.Books.Energy, 10/10.25, 1e-9)
}

// What ends first is what ends the use of the battery.
func TestLasts(t *testing.T) {
	t.Parallel()
	course := []Point{{Hours: 0}, {Hours: 10}}
	for name, tt := range map[string]struct {
		run   Discharge
		hours float64
		end   End
	}{
		"used up":            {Discharge{Points: course, Stop: Empty, Ends: Ends{HalfLight: 3, BrownOut: missing, EndPoint: missing}}, 10, UsedUp},
		"end point":          {Discharge{Points: course, Stop: Empty, Ends: Ends{HalfLight: 3, BrownOut: missing, EndPoint: 8}}, 8, AtEndPoint},
		"the chip first":     {Discharge{Points: course, Stop: Empty, Ends: Ends{HalfLight: 3, BrownOut: 5, EndPoint: 8}}, 5, ChipStops},
		"end point first":    {Discharge{Points: course, Stop: Faint, Ends: Ends{HalfLight: 3, BrownOut: 9, EndPoint: 8}}, 8, AtEndPoint},
		"one of a row":       {Discharge{Points: course, Stop: Faint, Ends: Ends{HalfLight: 3, BrownOut: missing, EndPoint: missing}, Batteries: []Lasting{{Empty: 7, InRow: true}, {Empty: 5}, {Empty: missing, InRow: true}}}, 7, UsedUp},
		"longer than it ran": {Discharge{Points: course, Stop: Horizon, Ends: Ends{HalfLight: missing, BrownOut: missing, EndPoint: missing}}, 10, TenYears},
	} {
		if hours, end := tt.run.Lasts(); hours != tt.hours || end != tt.end {
			t.Errorf("%s: %v h by %s", name, hours, end)
		}
	}
	if hours, _ := (&Discharge{}).Lasts(); !math.IsNaN(hours) {
		t.Errorf("no run lasts %v h", hours)
	}
}

// Rough runs find the same times to a thousandth, on cells from the handbook
// whose curves have corners, and with an LED whose light falls to a half on the
// way.
func TestRoughRuns(t *testing.T) {
	t.Parallel()
	for _, cells := range []string{"3 × LR6", "3 × R6", "3 × AA NiMH", "CR2032"} {
		d := decode(t, `"ref": "BT1", "kind": "battery", "value": "`+cells+`", "tags": {"+": "p", "-": "GND"}`,
			`"ref": "R1", "kind": "resistor", "value": "33", "tags": {"1": "p", "2": "q"}`, `"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "q", "K": "GND"}`)
		exactly, roughly := run(t, d, Options{}), run(t, d, Options{Rough: true})
		want, end := exactly.Lasts()
		hours, roughEnd := roughly.Lasts()
		near(t, cells, hours, want, 1e-3*want)
		near(t, cells+" at half light", roughly.Ends.HalfLight, exactly.Ends.HalfLight, 1e-3*want)
		if end != roughEnd || len(roughly.Points) > len(exactly.Points)/3 {
			t.Errorf("%s: ends by %s instead of %s, with %d points instead of %d", cells, roughEnd, end, len(roughly.Points), len(exactly.Points))
		}
	}
}

// Cells that give nothing last longer than ten years, and are not used up.
func TestNothingFlows(t *testing.T) {
	t.Parallel()
	d := lit(t, "LR6")
	d.Modes = d.Modes[:1]
	for _, rough := range []bool{false, true} {
		if hours, end := run(t, d, Options{Mode: "Off", Rough: rough}).Lasts(); end != TenYears || hours != 87_660 {
			t.Errorf("lasts %v h and ends by %s", hours, end)
		}
	}
}
