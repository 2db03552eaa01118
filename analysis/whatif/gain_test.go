package whatif

import (
	"context"
	"math"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/quantity"
)

// switched is an LED that a transistor of known grade switches.
func switched(t *testing.T) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "47", "tags": {"1": "p", "2": "a"}},
		{"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "c"}},
		{"ref": "Q1", "kind": "npn", "value": "BC847B", "tags": {"C": "c", "B": "b", "E": "GND"}},
		{"ref": "R2", "kind": "resistor", "value": "1k", "tags": {"1": "p", "2": "b"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A base resistor that lets the transistor set the current rests on its gain, and
// what a weak and a strong one give is what the circuit with such gains gives; a
// resistor in the load's path does not.
func TestAimTellsWhatRestsOnAGain(t *testing.T) {
	t.Parallel()
	aim := Aim{Parameter: "R2.resistance", Of: "D1.A.amps", Want: 0.02, Series: quantity.E24}
	h, err := Run(context.Background(), switched(t), aim)
	if err != nil || len(h.Gains) != 1 || h.Gains[0].Part != "Q1" {
		t.Fatalf("%+v, %v", h, err)
	}
	g := h.Gains[0]
	for gain, want := range map[float64]float64{g.Low: g.Least, g.High: g.Most} {
		set := model.Setting{"R2": {"resistance": model.Number(h.Preferred)}, "Q1": {"forward_beta": model.Number(gain)}}
		r, err := analysis.Solve(context.Background(), switched(t), analysis.Options{Set: set})
		if err != nil {
			t.Fatal(err)
		}
		if amps := r.Parts["D1"].Pins[0].Amps; math.Abs(amps/want-1) > 1e-6 {
			t.Errorf("a gain of %v gives %v A, want %v A", gain, want, amps)
		}
	}
	if !(g.Low < g.High && g.Least < 0.9*h.Reached && g.Most > 1.1*h.Reached) {
		t.Errorf("%+v about %v A", g, h.Reached)
	}
	write := func(x float64) string { return quantity.Short(x, quantity.Ampere) }
	if said := h.GainWords(write); len(said) != 1 || !strings.Contains(said[0], "gain of Q1") || !strings.Contains(said[0], write(g.Least)) || !strings.Contains(said[0], "load’s own path") {
		t.Errorf("%q", said)
	}
	aim.Parameter = "R1.resistance"
	if h, err = Run(context.Background(), switched(t), aim); err != nil || len(h.Gains) > 0 || h.GainWords(write) != nil {
		t.Errorf("%+v, %v", h, err)
	}
}
