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
		{"R1.resistance", "net.out.volts"}: "no value of R1.resistance between 100 µΩ and 100 MΩ brings net.out.volts to 6 V; it stays 1 V away at least",
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
