package whatif

import (
	"context"
	"math"
	"strings"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/file"
)

// lit is an LED at 5 V behind 100 Ω and, with 0 Ω, a link.
func lit(t *testing.T) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "G1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
		{"ref": "R1", "kind": "resistor", "value": "100", "tags": {"1": "p", "2": "a"}},
		{"ref": "R2", "kind": "resistor", "value": "0", "tags": {"1": "k", "2": "GND"}},
		{"ref": "D1", "kind": "led", "value": "red", "count": 2, "tags": {"A": "a", "K": "k"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func explain(t *testing.T, d *model.Diagram, set model.Setting, of string) *Causes {
	t.Helper()
	c, err := Explain(context.Background(), d, analysis.Options{Set: set}, of)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// A curve that lies δ higher is one whose saturation current is exp(−δ/nV_T)
// times as large: solved again, the current moves as the curve's share says.
func TestCurveOfAJunction(t *testing.T) {
	t.Parallel()
	d := lit(t)
	c := explain(t, d, nil, "D1.A.amps")
	j, ok := c.Curve(d, "D1")
	if !ok || j.Name != "forward voltage" || !(j.Volts > 1.5 && j.Volts < 2.5) {
		t.Fatalf("%+v %v", j, ok)
	}
	v, _ := d.Resolve(d.Part("D1"), nil)
	const small = 1e-4 // of the voltage
	shifted := v.Num("saturation_current") * math.Exp(-small*j.Volts/(v.Num("emission_coefficient")*model.ThermalVoltage(v.Num("reference_temperature"))))
	moved := explain(t, d, model.Setting{"D1": {"saturation_current": model.Number(shifted)}}, "D1.A.amps")
	if want := (moved.Value/c.Value - 1) / small; math.Abs(j.Percent-want) > 2e-3*math.Abs(want) || want > -0.1 {
		t.Errorf("%v %%, solved again %v %%", j.Percent, want)
	}
	if _, ok := c.Curve(d, "R1"); ok {
		t.Error("a resistor has no junction")
	}
}

// What limits a current is said in the first sentence, and that a link does not.
func TestSentenceOfCauses(t *testing.T) {
	t.Parallel()
	d := lit(t)
	ballasted := explain(t, d, nil, "D1#1.A.amps").Sentence
	if !strings.HasPrefix(ballasted, "Limited by R1 (") || strings.Contains(ballasted, "link") || !strings.Contains(ballasted, "G1’s voltage: 1 % more of it makes 1.") {
		t.Errorf("%q", ballasted)
	}
	bare := explain(t, d, model.Setting{"R1": {"resistance": model.Number(0)}, "G1": {"voltage": model.Number(2), "resistance": model.Number(1)}}, "D1.A.amps").Sentence
	if !strings.Contains(bare, "R1, R2 are links and limit nothing") {
		t.Errorf("%q", bare)
	}
	dark := explain(t, d, model.Setting{"G1": {"voltage": model.Number(0)}}, "D1.A.amps")
	if !dark.Leaks() || dark.Sentence != "" {
		t.Errorf("dark: %q", dark.Sentence)
	}
}

// The order is the one in which people ask, and what is over its rating is told
// with what it was: two LEDs behind 100 Ω share some 30 mA, behind 50 Ω some
// 60 mA, which is 30 mA each against 30 mA allowed (and behind 30 Ω more).
func TestWhatPeopleAskFirst(t *testing.T) {
	t.Parallel()
	c, err := Compare(context.Background(), lit(t), analysis.Options{}, model.Setting{"R1": {"resistance": model.Number(30)}})
	if err != nil {
		t.Fatal(err)
	}
	var refs []string
	for _, x := range c.Telling() {
		ref, _, _ := strings.Cut(x.Of, ".")
		if n := len(refs); n == 0 || refs[n-1] != ref {
			refs = append(refs, ref)
		}
		if want := 1 + strings.Count(x.Of, "D1"); x.Count != want {
			t.Errorf("%s: shared by %d", x.Of, x.Count)
		}
	}
	if got := strings.Join(refs, " "); got != "D1 G1 R1 R2 net" {
		t.Errorf("in the order %s", got)
	}
	words := ""
	for _, o := range c.Overloads {
		words += o.Words() + "\n"
	}
	if !strings.Contains(words, "D1: ") || !strings.Contains(words, " mA each, now over its limit of 30 mA (") || !strings.Contains(words, "R1: ") {
		t.Errorf("%q", words)
	}
}

func TestInModes(t *testing.T) {
	t.Parallel()
	d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [
		{"ref": "G1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}},
		{"ref": "S1", "kind": "switch", "tags": {"1": "p", "2": "a"}},
		{"ref": "R1", "kind": "resistor", "value": "1k", "tags": {"1": "a", "2": "GND"}}],
		"modes": [{"name": "Off", "set": {"S1": "open"}}, {"name": "On", "set": {"S1": "closed"}}]}`))
	if err != nil {
		t.Fatal(err)
	}
	all, err := InModes(context.Background(), d, nil, model.Setting{"R1": {"resistance": model.Number(2000)}})
	if err != nil || len(all) != 2 {
		t.Fatalf("%v %v", all, err)
	}
	if n := len(all[0].Telling()); n != 0 || all[0].Before.Mode != "Off" {
		t.Errorf("%d differences while it is off", n)
	}
	if s := all[1].Supply; math.Abs(s[0]-5e-3) > 1e-9 || math.Abs(s[1]-2.5e-3) > 1e-9 {
		t.Errorf("the supply gives %v", s)
	}
}
