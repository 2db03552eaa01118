package analysis

import (
	"context"
	"testing"
)

// An npn with 1 kΩ at its collector and 100 kΩ at its base: with next to no
// drive it is cut off, and at 5 V, with 43 µA for 4.9 mA, it is as good as
// saturated if its gain is 200. The way is one stretch after the other.
func TestStretches(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(supply(5), resistor("R1", 1000, "v", "c"), resistor("R2", 100_000, "in", "b"),
		`"ref": "G2", "kind": "supply", "params": {"voltage": 5}, "tags": {"+": "in", "-": "GND"}`,
		`"ref": "Q1", "kind": "npn", "params": {"forward_beta": 200}, "tags": {"C": "c", "B": "b", "E": "GND"}`))
	values, err := Spaced(0, 5, 51, false)
	if err != nil {
		t.Fatal(err)
	}
	ref, list, err := Stretches(context.Background(), d, Options{}, "G2.voltage", values)
	if err != nil || ref != "Q1" || len(list) != 3 {
		t.Fatal(ref, list, err)
	}
	for i, state := range []string{"cut-off", "active", "saturated"} {
		if list[i].State != state || i > 0 && list[i].From != list[i-1].To {
			t.Errorf("%+v", list)
		}
	}
	if list[0].From != 0 || list[2].To != 5 {
		t.Errorf("%+v", list)
	}
	if ref, list, err = Stretches(context.Background(), d, Options{}, "R1.resistance", []float64{1e3, 1.1e3}); err != nil || ref != "" || list != nil {
		t.Errorf("nothing changes: %s %v %v", ref, list, err)
	}
}
