package analysis

import (
	"strings"
	"testing"

	"copperglass/model"
)

// Every number that makes a part of any kind what it is has a range with a
// source, or is told to have none.
func TestEveryParameterIsAccountedFor(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{}
	for _, k := range model.Kinds() {
		d.Parts = append(d.Parts, &model.Part{Ref: "X" + k.Name, Kind: k.Name, Value: k.Suggest})
	}
	r, err := rangesOf(d, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]int{}
	for _, tol := range r.varied {
		said[tol.Parameter]++
		if !(tol.Low < tol.Nominal && tol.Nominal < tol.High) || tol.Source == "" {
			t.Errorf("%+v", tol)
		}
		for _, end := range []float64{0, 1} {
			if x := tol.At(end); x < tol.Low*(1-1e-12) || x > tol.High*(1+1e-12) {
				t.Errorf("%s: %g is outside %g to %g", tol.Parameter, x, tol.Low, tol.High)
			}
		}
	}
	for _, s := range r.steady {
		said[s.Parameter]++
	}
	for _, p := range d.Parts {
		k := p.LookupKind()
		values, _ := d.Resolve(p, nil)
		for _, q := range k.Params {
			_, isNumber := values[q.Name].Num()
			want := 0
			if k.Equation != nil && isNumber && mayVary(q.Name) {
				want = 1
			}
			if name := p.Ref + "." + q.Name; said[name] != want {
				t.Errorf("%s is told %d times, want %d", name, said[name], want)
			}
		}
	}
}

// The handbook's ranges end at a parameter's limits; the person's must keep
// within them, and go before all others.
func TestRangesKeepLimits(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "D1", "kind": "led", "params": {"saturation_current": 0.5, "emission_coefficient": 1}, "tags": {"A": "a", "K": "GND"}`,
		`"ref": "P1", "kind": "potentiometer", "value": "10k", "params": {"position": 0.9}, "tags": {"1": "a", "W": "b", "2": "GND"}`,
		`"ref": "V1", "kind": "supply", "value": "-5 V", "tags": {"+": "a", "-": "GND"}`))
	r, err := rangesOf(d, nil, map[string]float64{"P1.position": 0.1, "V1.voltage": 0.02})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][2]float64{"D1.saturation_current": {0.0102, 1}, "P1.position": {0.81, 0.99}, "P1.resistance": {8e3, 12e3}, "V1.voltage": {-5.1, -4.9}}
	for _, tol := range r.varied {
		ends, ok := want[tol.Parameter]
		if !ok {
			t.Errorf("%s varies", tol.Parameter)
		}
		near(t, tol.Parameter+" at least", tol.Low, ends[0], 0.01*max(ends[1], -ends[0]))
		near(t, tol.Parameter+" at most", tol.High, ends[1], 1e-9*max(ends[1], -ends[0]))
		delete(want, tol.Parameter)
	}
	if len(want) > 0 {
		t.Errorf("without a range: %v", want)
	}
	for fraction, text := range map[float64]string{0.2: "P1.position", 1.5: "not between 0 and 1", -0.1: "not between 0 and 1"} {
		if _, err := rangesOf(d, nil, map[string]float64{"P1.position": fraction}); err == nil || !strings.Contains(err.Error(), text) {
			t.Errorf("%v: %v, want %q", fraction, err, text)
		}
	}
}
