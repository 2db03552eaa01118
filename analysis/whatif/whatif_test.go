package whatif

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/quantity"
)

func divider(t *testing.T) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "G1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "0", "tags": {"1": "p", "2": "out"}},
		{"ref": "R2", "kind": "resistor", "value": "1k", "tags": {"1": "out", "2": "GND"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// 1.2 V across 1 kΩ out of 5 V leave 3.8 V to R1 at 1.2 mA: 3166.7 Ω, of E24
// 3.3 kΩ, which give 5 V · 1/4.3.
func TestAim(t *testing.T) {
	t.Parallel()
	h, err := Run(context.Background(), divider(t), Aim{Parameter: "R1.resistance", Of: "net.out.volts", Want: 1.2, Series: quantity.E24})
	if err != nil {
		t.Fatal(err)
	}
	check := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) < 1e-9*want) {
			t.Errorf("%s: %.12g, want %.12g", what, got, want)
		}
	}
	check("value", h.Value, 3.8/1.2e-3)
	check("preferred", h.Preferred, 3300)
	check("reached", h.Reached, 5/4.3)
	check("before", h.Before, 5)
	check("heat", h.Watts, 3300*(5/4300.)*(5/4300.))
}

// The sign of a current depends on the pin, not on what is wanted.
func TestAimAtASize(t *testing.T) {
	t.Parallel()
	h, err := Run(context.Background(), divider(t), Aim{Parameter: "R1.resistance", Of: "R2.2.amps", Want: 2e-3})
	if err != nil || math.Abs(h.Value-1500) > 1e-6 {
		t.Errorf("%v %v, want 1500 Ω", h, err)
	}
}

func TestAimThatCannotBeMet(t *testing.T) {
	t.Parallel()
	for aim, want := range map[wish]string{
		{"R1.resistance", "net.out.volts"}: "no value of R1.resistance between 100 µΩ and 100 MΩ brings net.out.volts to 6 V; it comes to between 50 µV and 5 V",
		{"R1.taste", "net.out.volts"}:      "there is no parameter R1.taste",
		{"R9.resistance", "net.out.volts"}: "there is no parameter R9.resistance",
		{"R1.resistance", "net.in.volts"}:  "there is no net in",
	} {
		_, err := Run(context.Background(), divider(t), Aim{Parameter: aim.parameter, Of: aim.of, Want: 6})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v, want %q", aim, err, want)
		}
	}
}

// Where the sign is a direction only, a wish below nought wants that direction;
// a voltage's sign always counts.
func TestAimKeepsTheSign(t *testing.T) {
	t.Parallel()
	h, err := Run(context.Background(), divider(t), Aim{Parameter: "R1.resistance", Of: "R2.2.amps", Want: -2e-3})
	if err != nil || math.Abs(h.Value-1500) > 1e-6 || math.Abs(h.Reached+2e-3) > 1e-9 {
		t.Errorf("%v %v, want 1500 Ω", h, err)
	}
	for of, want := range map[string]float64{"R2.1.amps": -2e-3, "net.out.volts": -1.2} {
		_, err := Run(context.Background(), divider(t), Aim{Parameter: "R1.resistance", Of: of, Want: want})
		var u *Unreached
		if !errors.As(err, &u) || u.Least < 0 {
			t.Errorf("%s = %v: %v", of, want, err)
		}
	}
}

// worn is a lamp circuit on half-used cells.
func worn(t *testing.T) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "params": {"temperature": 290}, "parts": [
		{"ref": "BT1", "kind": "battery", "value": "3 × LR6", "params": {"charge_left": 0.3}, "tags": {"+": "p", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "0", "tags": {"1": "p", "2": "a"}},
		{"ref": "D1", "kind": "led", "value": "white", "tags": {"A": "a", "K": "GND"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Only what is made in preferred values is rounded to them; cells are counted.
func TestAimRoundsWhatIsMadeInSteps(t *testing.T) {
	t.Parallel()
	for parameter, want := range map[string]func(x, exact float64) bool{
		"R1.resistance":       func(x, exact float64) bool { return x == quantity.Nearest(quantity.E24, exact) },
		"BT1.cells":           func(x, exact float64) bool { return x == math.Round(exact) && x != exact },
		"BT1.charge_left":     func(x, exact float64) bool { return x == exact },
		"drawing.temperature": func(x, exact float64) bool { return x == exact },
	} {
		d := worn(t)
		if parameter != "R1.resistance" {
			d.Part("R1").Value = "33"
		}
		want20 := Aim{Parameter: parameter, Of: "D1.A.amps", Want: 0.02, Series: quantity.E24}
		if parameter == "drawing.temperature" {
			r, err := analysis.Solve(context.Background(), d, analysis.Options{Set: model.Setting{model.Drawing: {"temperature": model.Number(301)}}})
			if err != nil {
				t.Fatal(err)
			}
			want20.Want = r.Parts["D1"].Pins[0].Amps
		}
		h, err := Run(context.Background(), d, want20)
		if err != nil {
			t.Errorf("%s: %v", parameter, err)
			continue
		}
		if !want(h.Preferred, h.Value) {
			t.Errorf("%s: %v for %v", parameter, h.Preferred, h.Value)
		}
	}
}

// A resistor for half-used cells lets new ones give more: what it gives then is
// what the drawing with new cells gives, and the value from new cells on is a
// larger one.
func TestAimTellsOfNewCells(t *testing.T) {
	t.Parallel()
	h, err := Run(context.Background(), worn(t), Aim{Parameter: "R1.resistance", Of: "D1.A.amps", Want: 0.02, Series: quantity.E24})
	if err != nil || h.Fresh == nil {
		t.Fatal(h, err)
	}
	set := model.Setting{"BT1": {"charge_left": model.Number(1)}, "R1": {"resistance": model.Number(h.Preferred)}}
	r, err := analysis.Solve(context.Background(), worn(t), analysis.Options{Set: set})
	if err != nil {
		t.Fatal(err)
	}
	if amps := r.Parts["D1"].Pins[0].Amps; math.Abs(h.Renewed.Reached/amps-1) > 1e-6 || amps < 0.022 {
		t.Errorf("with new cells %v A, want %v A", h.Renewed.Reached, amps)
	}
	if !(h.Fresh.Preferred > h.Preferred && math.Abs(h.Fresh.Reached/0.02-1) < 0.1) {
		t.Errorf("%v Ω, from new cells %v Ω for %v A", h.Preferred, h.Fresh.Preferred, h.Fresh.Reached)
	}
	set = model.Setting{"R1": {"resistance": model.Number(h.Fresh.Preferred)}}
	if r, err = analysis.Solve(context.Background(), worn(t), analysis.Options{Set: set}); err != nil {
		t.Fatal(err)
	}
	if amps := r.Parts["D1"].Pins[0].Amps; math.Abs(h.Renewed.Drawn/amps-1) > 1e-6 || !(amps < h.Fresh.Reached) {
		t.Errorf("as drawn %v A, want %v A", h.Renewed.Drawn, amps)
	}
	write := func(x float64) string { return quantity.Short(x, quantity.None) }
	if advice, _ := h.Renewal(write, write); !strings.HasSuffix(advice, "; as the cells are drawn that gives "+write(h.Renewed.Drawn)+".") {
		t.Errorf("%q", advice)
	}
	fresh := worn(t)
	fresh.Part("BT1").Params = nil
	if h, err = Run(context.Background(), fresh, Aim{Parameter: "R1.resistance", Of: "D1.A.amps", Want: 0.02}); err != nil || h.Fresh != nil {
		t.Errorf("new cells: %v %v", h, err)
	}
}

// A resistor that lets the cells last for 100 hours does so in a run with it.
func TestAimAtARunTime(t *testing.T) {
	t.Parallel()
	h, err := Run(context.Background(), worn(t), Aim{Parameter: "R1.resistance", Of: "BT1.lasts", Want: 100})
	if err != nil {
		t.Fatal(err)
	}
	run, err := drain.Run(context.Background(), worn(t), drain.Options{Set: model.Setting{"R1": {"resistance": model.Number(h.Value)}}})
	if err != nil {
		t.Fatal(err)
	}
	if hours, _ := run.Lasts(); math.Abs(hours-100) > 0.3 {
		t.Errorf("%v Ω lasts %v h", h.Value, hours)
	}
	d := worn(t)
	h, err = Run(context.Background(), d, Aim{Parameter: "R1.resistance", Of: "BT1.run_time_hours", Want: 100})
	if err != nil {
		t.Fatal(err)
	}
	d.Part("R1").Params = model.Params{"resistance": model.Number(h.Value)}
	modes, err := analysis.Modes(context.Background(), d)
	if err != nil || math.Abs(modes[0].RunTime-100) > 1e-3 {
		t.Errorf("%v h, %v", modes[0].RunTime, err)
	}
}

// wish names a parameter and a quantity.
type wish struct{ parameter, of string }

func TestCompare(t *testing.T) {
	t.Parallel()
	c, err := Compare(context.Background(), divider(t), analysis.Options{}, model.Setting{"R1": {"resistance": model.Number(1000)}})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string][2]float64{}
	for _, d := range c.Differences {
		got[d.Of] = [2]float64{d.Before, d.After}
	}
	for of, want := range map[string][2]float64{
		"net.out.volts": {5, 2.5}, "R2.1.amps": {5e-3, 2.5e-3}, "R1.watts": {0, 6.25e-3}, "G1.watts": {-25e-3, -12.5e-3},
	} {
		if g := got[of]; math.Abs(g[0]-want[0]) > 1e-12 || math.Abs(g[1]-want[1]) > 1e-12 {
			t.Errorf("%s: %v, want %v", of, g, want)
		}
	}
	if _, ok := got["net.p.volts"]; ok {
		t.Error("the supply's voltage does not change")
	}
}
