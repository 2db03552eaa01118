package drain

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"copperglass/model"
)

func others(_ string, v model.Values) ([]model.Params, error) { return model.OtherCells(v), nil }

// Alkaline, zinc-carbon and NiMH cells are of one size: each run has its own
// first light, and beside each other they are of one measure.
func TestCompare(t *testing.T) {
	t.Parallel()
	all, err := Compare(context.Background(), lantern(t), Options{Mode: "White", New: true}, others)
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]Course{}
	for _, run := range all {
		by[run.Chemistry] = run
		near(t, run.Cells+": amps of its LEDs at first", run.LightBeside(run.Points[0], all[0].Discharge)*all[0].FirstLight, run.FirstLight, 1e-12)
	}
	alkaline, zinc, hydride := by["alkaline"], by["zinc-carbon"], by["NiMH"]
	if alkaline.Cells != all[0].Cells || zinc.Discharge == nil || hydride.Discharge == nil {
		t.Fatalf("runs on %v", by)
	}
	first, then, ok := alkaline.Brighter(zinc.Discharge)
	near(t, "brighter at first", first, alkaline.FirstLight/zinc.FirstLight, 1e-12)
	// Then the zinc-carbon cells give half of their own first light.
	want := first * alkaline.lightAt(zinc.Ends.HalfLight) / 0.5
	if !ok || math.Abs(then-want) > 0.01*want || !(then > first) {
		t.Errorf("then %g, want %g; at first %g", then, want, first)
	}
	if first, _, _ := zinc.Brighter(alkaline.Discharge); !(first < 1) {
		t.Errorf("zinc-carbon is %g times as bright as alkaline", first)
	}
}

// The sentence names the brighter first, and what has gone dark as spent.
func TestBrightness(t *testing.T) {
	t.Parallel()
	span := func(hours float64) string { return fmt.Sprintf("%g hours", hours) }
	run := func(cells string, first, half float64, light ...float64) Course {
		var points []Point
		for i, l := range light {
			points = append(points, Point{Hours: float64(i), Light: l})
		}
		return Course{Cells: cells, Discharge: &Discharge{FirstLight: first, Points: points, Ends: Ends{HalfLight: half, BrownOut: missing, EndPoint: missing}}}
	}
	steady := run("A", 0.3, 1.5, 1, 0.9, 0.1)
	weak := run("B", 0.2, 1, 1, 0.5, 0.4)
	long := run("C", 0.1, 5, 1, 0.9, 0.8, 0.7, 0.6, 0.5)
	dark := run("D", 0, missing, missing)
	elsewhere := run("E", 0.3, 1.5, 1, 0.9, 0.1)
	elsewhere.Battery, elsewhere.Batteries = "BT1", []Lasting{{Battery: "BT1"}, {Battery: "BT2", Lights: true}}
	for _, tt := range []struct {
		a, b Course
		want string
	}{
		// 0.3 to 0.2 A; after an hour 0.27 to 0.1 A.
		{weak, steady, "On A it is 1.5 times as bright as on B at first, and 2.7 times after 1 hours, when the latter are down to half their light."},
		{steady, long, "On A it is 3 times as bright as on C at first; the former are spent when the latter are down to half their light after 5 hours."},
		{steady, dark, ""},
		{elsewhere, weak, ""},
	} {
		if got := Brightness(tt.a, tt.b, span); got != tt.want {
			t.Errorf("%q, want %q", got, tt.want)
		}
	}
}

// What cannot be lit cannot be brighter, and a caller's error comes through.
func TestCompareWithoutLight(t *testing.T) {
	t.Parallel()
	d := decode(t, bt1, resistor("10"))
	all, err := Compare(context.Background(), d, Options{}, others)
	if err != nil || len(all) < 3 {
		t.Fatalf("%d runs, %v", len(all), err)
	}
	if _, _, ok := all[0].Brighter(all[1].Discharge); ok || !math.IsNaN(all[0].LightBeside(all[0].Points[0], all[1].Discharge)) {
		t.Error("resistors shine")
	}
	wrong := errors.New("no such cells")
	if _, err := Compare(context.Background(), d, Options{}, func(string, model.Values) ([]model.Params, error) { return nil, wrong }); !errors.Is(err, wrong) {
		t.Errorf("%v", err)
	}
}

// From new cells is as with all of the charge left, whatever the drawing says.
func TestFromNewCells(t *testing.T) {
	t.Parallel()
	d := lantern(t)
	drawn, renewed := run(t, d, Options{Mode: "White"}), run(t, d, Options{Mode: "White", New: true})
	full := run(t, d, Options{Mode: "White", Set: model.Setting{"BT1": {"charge_left": model.Number(1)}}})
	a, _ := renewed.Lasts()
	b, _ := full.Lasts()
	near(t, "hours", a, b, 1e-9*b)
	near(t, "charge drawn", drawn.ChargeLeft, 0.7, 1e-12)
	near(t, "charge of new cells", renewed.ChargeLeft, 1, 0)
}

// Each mode has its run, and it is the one that drain shows.
func TestOfModes(t *testing.T) {
	t.Parallel()
	d := lantern(t)
	all, err := OfModes(context.Background(), d, Options{})
	if err != nil || len(all) != len(d.Modes) {
		t.Fatalf("%d runs, %v", len(all), err)
	}
	a, _ := all["White"].Lasts()
	b, _ := run(t, d, Options{Mode: "White"}).Lasts()
	near(t, "White", a, b, 1e-9*b)
	if _, end := all["Off"].Lasts(); end != TenYears {
		t.Errorf("off ends by %s", end)
	}
	d.Part("BT1").Value = "4.5 V"
	if all, err := OfModes(context.Background(), d, Options{}); err != nil || len(all) != 0 {
		t.Errorf("%d runs of cells that nobody knows, %v", len(all), err)
	}
}
