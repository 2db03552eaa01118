package analysis

import (
	"context"
	"math"
	"strings"
	"testing"

	"copperglass/model"
)

// What sets a run time is the difference that each parameter makes to it.
func TestInfluenceOnRunTime(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "BT1", "kind": "battery", "value": "3 × LR6", "params": {"charge_left": 0.8}, "count": 2, "tags": {"+": "p", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "47", "tags": {"1": "p", "2": "q"}`,
		`"ref": "D1", "kind": "led", "value": "white", "tags": {"A": "q", "K": "GND"}`))
	all, err := Influence(context.Background(), d, Options{}, "BT1.run_time_hours")
	if err != nil {
		t.Fatal(err)
	}
	hours := func(name string, x float64) float64 {
		ref, param, _ := strings.Cut(name, ".")
		r := solve(t, d, Options{Set: model.Setting{ref: {param: model.Number(x)}}})
		v, _ := d.Resolve(d.Part("BT1"), r.Set)
		seconds, ok := model.RunTime(v, -r.Parts["BT1"].Pins[0].Amps/2)
		if !ok {
			t.Fatal("the run time is not known")
		}
		return seconds / 3600
	}
	if want := hours("R1.resistance", 47); math.Abs(all.Value/want-1) > 1e-9 {
		t.Errorf("%v h, want %v", all.Value, want)
	}
	seen := 0
	for _, s := range all.List {
		switch s.Parameter {
		case "R1.resistance", "BT1.resistance", "BT1.voltage", "D1.series_resistance":
			const step = 1e-4
			want := (hours(s.Parameter, s.Value*(1+step)) - hours(s.Parameter, s.Value*(1-step))) / (2 * step * s.Value)
			if math.Abs(s.Derivative/want-1) > 1e-5 {
				t.Errorf("%s: %v, want %v", s.Parameter, s.Derivative, want)
			}
			seen++
		}
	}
	if seen != 4 {
		t.Errorf("%d of the four parameters are there: %v", seen, all.List)
	}
	if _, err := Influence(context.Background(), d, Options{}, "R1.run_time_hours"); err == nil || !strings.Contains(err.Error(), "R1 is no battery") {
		t.Errorf("%v", err)
	}
}
