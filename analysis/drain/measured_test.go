package drain

import (
	"context"
	"math"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/assets"
	"copperglass/model"
)

// agrees compares the first point of a run with the operating point.
func agrees(t *testing.T, d *model.Diagram, o Options) *Discharge {
	t.Helper()
	out, err := Run(context.Background(), d, o)
	if err != nil || len(out.Points) == 0 {
		return nil // nothing runs down here
	}
	r, err := analysis.Solve(context.Background(), d, analysis.Options{Mode: o.Mode, Set: o.Set})
	if err != nil {
		t.Fatal(err)
	}
	p := d.Part(out.Battery)
	amps := -r.Parts[p.Ref].Pins[0].Amps / float64(p.Multiple())
	near(t, o.Mode+" first amps", out.Points[0].Amps, amps, 1e-9*math.Abs(amps)+1e-15)
	return out
}

// Every example's discharge begins with the operating point that the drawing
// shows, in each of its modes.
func TestFirstPointIsTheOperatingPoint(t *testing.T) {
	t.Parallel()
	ran := 0
	for _, e := range assets.Examples() {
		d := example(t, e)
		modes := []string{""}
		for _, m := range d.Modes {
			modes = append(modes, m.Name)
		}
		for _, mode := range modes {
			if agrees(t, d, Options{Mode: mode, Rough: true}) != nil {
				ran++
			}
		}
	}
	if ran < 5 {
		t.Errorf("only %d runs", ran)
	}
}

const onTen = `"ref": "R1", "kind": "resistor", "value": "10", "tags": {"1": "p", "2": "GND"}`

// A battery with a measured voltage and resistance: 2.6 V over 3 Ω and 10 Ω are
// 0.2 A, whatever its cells would have. The voltage tells the charge left,
// unless that is said; either may be set for one analysis.
func TestMeasuredBattery(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		params string
		set    model.Setting
		amps   float64
		left   [2]float64 // between
	}{
		"drawn":             {`"voltage": 2.6, "resistance": 3`, nil, 0.2, [2]float64{0.1, 0.9}},
		"set":               {`"resistance": 3`, model.Setting{"BT1": {"voltage": model.Number(2.6)}}, 0.2, [2]float64{0.1, 0.9}},
		"more than new":     {`"voltage": 3.9, "resistance": 3`, nil, 0.3, [2]float64{1, 1}},
		"with charge":       {`"voltage": 2.6, "resistance": 3, "charge_left": 0.95`, nil, 0.2, [2]float64{0.95, 0.95}},
		"resistance alone":  {`"resistance": 3, "charge_left": 0.5`, nil, math.NaN(), [2]float64{0.5, 0.5}},
		"less than new has": {`"voltage": 2.6, "resistance": 0.01`, nil, 2.6 / 10.01, [2]float64{0.1, 0.9}},
	} {
		d := decode(t, `"ref": "BT1", "kind": "battery", "value": "2 × LR6", "params": {`+tt.params+`}, "tags": {"+": "p", "-": "GND"}`, onTen)
		out := agrees(t, d, Options{Set: tt.set})
		if out == nil {
			t.Fatalf("%s: no run", name)
		}
		if !math.IsNaN(tt.amps) {
			near(t, name, out.Points[0].Amps, tt.amps, 1e-9)
		}
		if !(out.ChargeLeft >= tt.left[0] && out.ChargeLeft <= tt.left[1]) {
			t.Errorf("%s: %v of the charge left", name, out.ChargeLeft)
		}
		if !strings.Contains(strings.Join(out.Notes, "\n"), "follows the course") {
			t.Errorf("%s: notes %q", name, out.Notes)
		}
	}
}

// Other cells and new ones do not have what was measured at the old: they run as
// they would in a drawing without it.
func TestMeasuredCellsComparedWithOthers(t *testing.T) {
	t.Parallel()
	battery := func(params string) *model.Diagram {
		return decode(t, `"ref": "BT1", "kind": "battery", "value": "2 × LR6", "params": {`+params+`}, "tags": {"+": "p", "-": "GND"}`, onTen)
	}
	lasts := func(d *model.Diagram, fresh bool) (hours []float64) {
		all, err := Compare(context.Background(), d, Options{New: fresh}, func(string, model.Values) ([]model.Params, error) {
			return []model.Params{{"size": model.Word("R6"), "chemistry": model.Word("zinc-carbon")}}, nil
		})
		if err != nil {
			t.Fatal(err)
		}
		for _, run := range all {
			h, _ := run.Lasts()
			hours = append(hours, h)
		}
		return hours
	}
	old, plain := battery(`"voltage": 2.6, "resistance": 3`), battery(`"charge_left": 1`)
	near(t, "new cells", lasts(old, true)[0], lasts(plain, false)[0], 1e-6)
	near(t, "new others", lasts(old, true)[1], lasts(plain, false)[1], 1e-6)
	left := run(t, old, Options{}).ChargeLeft
	same := battery(`"charge_left": 1`)
	same.Part("BT1").Params["charge_left"] = model.Number(left)
	near(t, "others as old", lasts(old, false)[1], lasts(same, false)[1], 1e-6)
}

// Two batteries in a row last as long whichever is drawn first, and each of two
// circuits of their own has a time of its own: BT2 that of a drawing without
// BT1.
func TestEachBatteryLasts(t *testing.T) {
	t.Parallel()
	row := func(a, b string) *Discharge {
		return run(t, decode(t, `"ref": "BT1", "kind": "battery", "value": "`+a+`", "tags": {"+": "p", "-": "m"}`,
			`"ref": "BT2", "kind": "battery", "value": "`+b+`", "tags": {"+": "m", "-": "GND"}`,
			`"ref": "R1", "kind": "resistor", "value": "30", "tags": {"1": "p", "2": "GND"}`), Options{})
	}
	one, other := row("LR6", "R6"), row("R6", "LR6")
	hours, end := one.Lasts()
	swapped, endSwapped := other.Lasts()
	near(t, "hours", hours, swapped, 1e-6)
	if end != endSwapped || one.Battery != "BT2" || other.Battery != "BT1" {
		t.Errorf("ends by %s and %s, follows %s and %s", end, endSwapped, one.Battery, other.Battery)
	}
	first, second := `"ref": "BT1", "kind": "battery", "value": "2 × LR6", "tags": {"+": "p", "-": "GND"}`, `"ref": "BT2", "kind": "battery", "value": "6LR61", "tags": {"+": "q", "-": "GND"}`
	load := `"ref": "R2", "kind": "resistor", "value": "470", "tags": {"1": "q", "2": "GND"}`
	both := run(t, decode(t, first, onTen, second, load), Options{})
	alone, _ := run(t, decode(t, second, load), Options{}).Lasts()
	if len(both.Batteries) != 2 {
		t.Fatalf("%d batteries", len(both.Batteries))
	}
	near(t, "BT2 beside BT1", both.Batteries[1].Hours, alone, 1e-4*alone)
	if b := both.Batteries[0]; both.Battery != "BT1" || !(b.Hours < alone) {
		t.Errorf("%s is followed, BT1 lasts %v h and BT2 %v h", both.Battery, b.Hours, alone)
	}
	for _, p := range both.Points {
		if p.Amps < 0 {
			t.Errorf("%v A after %v h", p.Amps, p.Hours)
		}
	}
}
