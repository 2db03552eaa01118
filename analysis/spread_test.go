package analysis

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"copperglass/assets"
	"copperglass/model"
)

func spread(t testing.TB, d *model.Diagram, o SpreadOptions) *SpreadResult {
	t.Helper()
	s, err := Spread(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	if !s.Result.Solved || s.Converged != s.Samples {
		t.Fatalf("%d of %d samples converged: %v", s.Converged, s.Samples, texts(s.Result.Faults))
	}
	return s
}

func lantern(t testing.TB) *model.Diagram {
	t.Helper()
	text, err := assets.Example("lantern")
	if err != nil {
		t.Fatal(err)
	}
	return decode(t, string(text))
}

// The same seed gives the same samples, and another one others.
func TestSpreadIsRepeatable(t *testing.T) {
	t.Parallel()
	run := func(seed uint64) []float64 {
		o := SpreadOptions{Options: Options{Mode: "White"}, Of: []string{"BT1.+.amps"}, Samples: 20, Seed: seed}
		return spread(t, lantern(t), o).Quantities[0].Samples
	}
	one, two, other := run(7), run(7), run(8)
	if !slices.Equal(one, two) || slices.Equal(one, other) {
		t.Errorf("%v\n%v\n%v", one, two, other)
	}
}

// Twelve LEDs side by side on one resistor get very unequal currents; each
// behind a resistor of its own they share within a third.
func TestUnequalLEDs(t *testing.T) {
	t.Parallel()
	supply := `"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "v", "-": "GND"}`
	bare := decode(t, drawing(supply,
		`"ref": "R1", "kind": "resistor", "value": "12 1 %", "tags": {"1": "v", "2": "a"}`,
		`"ref": "D1", "kind": "led", "value": "red", "count": 12, "tags": {"A": "a", "K": "GND"}`))
	parts := []string{supply}
	for i := range 12 {
		parts = append(parts,
			fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "150 1 %%", "tags": {"1": "v", "2": "a%d"}`, i+1, i),
			fmt.Sprintf(`"ref": "D%d", "kind": "led", "value": "red", "tags": {"A": "a%d", "K": "GND"}`, i+1, i))
	}
	ballast := decode(t, drawing(parts...))
	ratio := func(d *model.Diagram, of string) float64 {
		q := spread(t, d, SpreadOptions{Of: []string{of}, Samples: 500}).Quantities[0]
		return q.P95 / q.P5
	}
	without, with := ratio(bare, "D1#5.A.amps"), ratio(ballast, "D5.A.amps")
	t.Logf("95th over 5th percentile: %.3g without ballast, %.3g with", without, with)
	if without < 4 || with > 4./3 {
		t.Errorf("95th over 5th percentile: %g without ballast, %g with", without, with)
	}
	// The parts of a stack add up to the stack.
	s := spread(t, bare, SpreadOptions{Of: []string{"D1.A.amps", "R1.1.amps", "D1#1.A.amps"}, Samples: 10})
	for i, x := range s.Quantities[0].Samples {
		near(t, "the stack's current", x, s.Quantities[1].Samples[i], 1e-12)
	}
	near(t, "one of twelve", s.Quantities[2].Nominal, s.Quantities[0].Nominal/12, 1e-12)
}

// Every sample of every example converges, in every mode, and drawing stacks
// apart changes nothing.
func TestSpreadOfExamples(t *testing.T) {
	t.Parallel()
	for _, name := range assets.Examples() {
		text, err := assets.Example(name)
		if err != nil {
			t.Fatal(err)
		}
		d := decode(t, string(text))
		modes := []string{""}
		for _, m := range d.Modes {
			modes = append(modes, m.Name)
		}
		for _, mode := range modes {
			r := solve(t, d, Options{Mode: mode})
			var of []string
			for _, p := range d.Parts {
				if q := r.Parts[p.Ref]; q != nil && p.LookupKind().Load {
					of = append(of, p.Ref+"."+q.Pins[0].Name+".amps")
				}
			}
			s := spread(t, d, SpreadOptions{Options: Options{Mode: mode}, Of: of, Samples: 50})
			for _, q := range s.Quantities {
				near(t, name+" "+mode+" "+q.Of, q.Nominal, figure(t, r, d, q.Of), 1e-9*math.Abs(q.Nominal)+1e-15)
				if !(q.Low <= q.P5 && q.P5 <= q.Median && q.Median <= q.P95 && q.P95 <= q.High) {
					t.Errorf("%s %s: %s is out of order", name, mode, q.Of)
				}
			}
		}
	}
}

// A sample solved in the circuit at hand is what solving the drawing with the
// same values gives.
func TestSamplesAreSolutions(t *testing.T) {
	t.Parallel()
	drawings := []*model.Diagram{lantern(t)}
	for seed := range uint64(30) {
		drawings = append(drawings, decode(t, randomDrawing(seed)))
	}
	ctx, compared, leaking := context.Background(), 0, 0
	for i, d := range drawings {
		b, err := newBatch(d, SpreadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		nominal, err := Solve(ctx, b.diagram, b.options)
		if err != nil || !nominal.Solved {
			continue
		}
		w, err := newSampler(ctx, b, nominal, nil)
		if err != nil {
			t.Fatal(err)
		}
		for k := range 5 {
			at, set := make([]float64, len(b.tolerances)), b.options.Set
			for j, tol := range b.tolerances {
				at[j] = tol.At(math.Mod(0.37*float64(j+1)*float64(k+1), 1))
				set = withNumber(set, tol.Parameter, at[j])
			}
			got, err := w.solve(ctx, at)
			if err != nil || !got.Solved {
				continue
			}
			want, err := Solve(ctx, b.diagram, Options{Set: set, Start: got})
			if err != nil || !want.Solved {
				t.Errorf("drawing %d is solved as a sample only", i)
				continue
			}
			for n, v := range want.Volts {
				switch {
				case math.IsNaN(v):
				case math.IsNaN(got.Volts[n]):
					leaking++ // what hangs on leakage alone floats or not by a hair
				default:
					compared++
					near(t, fmt.Sprintf("drawing %d, net %s", i, want.Nets.Nets[n].Name), got.Volts[n], v, 1e-8*math.Abs(v)+1e-9)
				}
			}
		}
	}
	if compared < 500 || leaking > compared/500 {
		t.Errorf("only %d voltages compared; %d float in the sample alone", compared, leaking)
	}
}

func TestSpreadRefuses(t *testing.T) {
	t.Parallel()
	for want, o := range map[string]SpreadOptions{
		"-1 samples":            {Samples: -1},
		"there is no part R99":  {Own: map[string]float64{"R99.resistance": 0.1}},
		"not between 0 and 1":   {Own: map[string]float64{"R1.resistance": 2}},
		"R1.2x.amps":            {Of: []string{"R1.2x.amps"}},
		"there is no net nulla": {Of: []string{"net.nulla.volts"}},
		"no mode \"Dim\"":       {Options: Options{Mode: "Dim"}},
	} {
		_, err := Spread(context.Background(), lantern(t), o)
		if want == "R1.2x.amps" {
			want = "no pin 2x"
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// BenchmarkSpreadLantern is 10,000 samples of the lantern with its white light on,
// its stack of LEDs drawn apart.
func BenchmarkSpreadLantern(b *testing.B) {
	d := lantern(b)
	for b.Loop() {
		spread(b, d, SpreadOptions{Options: Options{Mode: "White"}, Of: []string{"BT1.+.amps"}, Samples: 10000})
	}
}
