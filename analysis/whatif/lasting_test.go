package whatif

import (
	"context"
	"math"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/model"
	"copperglass/model/file"
)

// glow is an LED on used cells behind a resistor and a link.
func glow(t *testing.T, cells string) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "BT1", "kind": "battery", "value": "` + cells + `", "params": {"charge_left": 0.7}, "tags": {"+": "p", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "47", "tags": {"1": "p", "2": "a"}},
		{"ref": "R2", "kind": "resistor", "value": "0", "tags": {"1": "k", "2": "GND"}},
		{"ref": "D1", "kind": "led", "value": "white", "tags": {"A": "a", "K": "k"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// What sets how long a battery lasts is what the discharge, followed again, makes
// of it: more charge and more resistance last longer. An influence of a value is
// that of a step of another size, and that of a link is what one ohm does.
func TestWhatSetsHowLongItLasts(t *testing.T) {
	t.Parallel()
	d := glow(t, "3 × LR6")
	hours := func(ref, name string, x float64) float64 {
		run, err := drain.Run(context.Background(), d, drain.Options{Set: model.Setting{ref: {name: model.Number(x)}}})
		if err != nil {
			t.Fatal(err)
		}
		h, _ := run.Lasts()
		return h
	}
	last := 0
	all, err := Lasting(context.Background(), d, drain.Options{}, "BT1", func(done, of int) {
		if last++; done != last || done > of {
			t.Errorf("%d of %d after %d", done, of, last-1)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if want := hours("R1", "resistance", 47); all.Value != want || !strings.Contains(all.Sentence, "more hours") {
		t.Errorf("%v h, want %v; %q", all.Value, want, all.Sentence)
	}
	seen := 0
	for _, s := range all.List {
		ref, name, _ := strings.Cut(s.Parameter, ".")
		switch s.Parameter {
		case "R1.resistance", "BT1.charge_left":
			const step = 0.004
			want := (hours(ref, name, s.Value*(1+step)) - hours(ref, name, s.Value*(1-step))) / (2 * step * all.Value)
			if !(s.Relative > 0.05) || math.Abs(s.Relative/want-1) > 0.02 {
				t.Errorf("%s: %v %%, want %v %%", s.Parameter, s.Relative, want)
			}
			seen++
		case "R2.resistance":
			if want := hours("R2", "resistance", 1) - all.Value; s.Derivative != want || !(want > 0) {
				t.Errorf("1 Ω more: %v h, want %v h", s.Derivative, want)
			}
			seen++
		case "BT1.voltage", "BT1.resistance":
			t.Errorf("%s follows the cells' curve", s.Parameter)
		}
	}
	if j, ok := all.Curve(d, "D1"); seen != 3 || !ok || !(j.Percent > 0) {
		t.Errorf("%d of three are there, and the LED's voltage does %v", seen, j)
	}
}

// At the end of its range a value is moved inwards only: new cells are not filled
// beyond.
func TestWhatSetsHowLongNewCellsLast(t *testing.T) {
	t.Parallel()
	all, err := Explain(context.Background(), glow(t, "3 × LR6"), analysis.Options{Set: model.Setting{"BT1": {"charge_left": model.Number(1)}}}, "BT1.lasts")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all.List {
		if s.Parameter == "BT1.charge_left" && s.Value == 1 && s.Relative > 0.05 {
			return
		}
	}
	t.Errorf("%+v", all.List)
}

func TestNobodyKnowsHowLongItLasts(t *testing.T) {
	t.Parallel()
	for of, want := range map[string]string{"R1.lasts": "R1 is no battery", "BT1.lasts": "only the voltage of BT1 is known"} {
		if _, err := Explain(context.Background(), glow(t, "4.5 V"), analysis.Options{}, of); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", of, err)
		}
	}
}
