package analysis

import (
	"context"
	"slices"
	"testing"

	"copperglass/model"
)

// Figures are there without a search; it finds the states that Solve finds, and
// leaves the figures as they are.
func TestSurveyWhenThereIsTime(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(append([]string{supply(5)}, crossed("x", 1000, 10e3)...)...))
	k := track(t, d, Options{Alone: true})
	r := k.Result()
	if r.Number != 0 || r.Others != nil {
		t.Fatalf("state %d with %d others before they are looked for", r.Number, len(r.Others))
	}
	before := slices.Clone(r.Volts)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	if err := k.Survey(ended); err == nil || k.Result().Others != nil {
		t.Errorf("cancelled: %v, %d others", err, len(k.Result().Others))
	}
	for range 2 {
		if err := k.Survey(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	all := states(t, d, Options{})
	kept := k.Keep()
	if !slices.Equal(kept.Volts, before) || len(kept.States()) != len(all) {
		t.Errorf("%d states at %v, and %v before", len(kept.States()), kept.Volts, before)
	}
	for i, one := range kept.States() {
		if one.Number != i+1 || !isAmong(one, all[i:i+1]) {
			t.Errorf("state %d: %v, want %v", one.Number, one.Volts, all[i].Volts)
		}
	}
	if r := move(t, k, Move{"Rx1", "resistance", model.Number(1010)}); r.Number != 0 || r.Others != nil {
		t.Error("the states of the former values are still there")
	}
	if err := k.Survey(t.Context()); err != nil || len(k.Result().States()) != 2 {
		t.Errorf("after a move: %v, %d states", err, len(k.Result().States()))
	}
}

// Where transistors cannot hold each other nothing is looked for.
func TestSurveyOfNothing(t *testing.T) {
	t.Parallel()
	k := track(t, decode(t, drawing(supply(5), resistor("R1", 100, "v", "GND"))), Options{Alone: true})
	if err := k.Survey(t.Context()); err != nil || k.Result().Number != 0 {
		t.Error(err, k.Result().Number)
	}
}

// BenchmarkFirstFigures is what stands between a drawing of latches and its first
// figures, with the search for other states and without.
func BenchmarkFirstFigures(b *testing.B) {
	d := decode(b, drawing(flipFlops(33)...))
	for name, alone := range map[string]bool{"searched": false, "alone": true} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				track(b, d, Options{Alone: alone})
			}
		})
	}
}
