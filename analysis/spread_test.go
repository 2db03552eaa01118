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

// moments returns the mean and the standard deviation.
func moments(x []float64) (mean, deviation float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		deviation += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, math.Sqrt(deviation)
}

// toleranceCase says how a case of the tolerance list is put to the program.
type toleranceCase struct {
	of    string
	scale float64 // from the quantity to the case's figure
	own   map[string]float64
}

var toleranceCases = map[string]toleranceCase{
	"MTO-01": {of: "net.out.volts", scale: 1},
	"MTO-02": {of: "net.out.volts", scale: 1, own: map[string]float64{"V1.voltage": 0.02}},
	"MTO-03": {of: "net.a.volts", scale: 1000},
	"MTO-04": {of: "net.a.volts", scale: 100},
}

// Worst cases and first-order rules hold to the tolerance stated; mean and
// deviation of the samples are within five standard errors of the exact ones.
func TestKnownTolerances(t *testing.T) {
	t.Parallel()
	checked := 0
	for _, c := range readKnown(t, "tolerance", 12) {
		how, ok := toleranceCases[c.ID]
		if !ok {
			continue
		}
		d := c.diagram(t)
		const samples = 4000
		s := spread(t, d, SpreadOptions{Of: []string{how.of}, Samples: samples, Own: how.own})
		q := s.Quantities[0]
		mean, deviation := moments(q.Samples)
		of := influence(t, d, Options{}, how.of)
		rule := 0.0
		for _, tol := range s.Tolerances {
			rule = math.Hypot(rule, of.by(tol.Parameter).Derivative*(tol.High-tol.Nominal))
		}
		for _, e := range c.Expected {
			got, tol := math.NaN(), e.Tol
			switch {
			case e.Of == "nominal":
				got = q.Nominal
			case e.Of == "least":
				got = q.Low
			case e.Of == "greatest":
				got = q.High
			case e.Of == "rss of the tolerances":
				got = rule
			case strings.HasPrefix(e.Of, "standard deviation, first order"):
				got = rule / math.Sqrt(3)
			case e.Of == "mean, uniform":
				got, tol = mean, 5*deviation*how.scale/math.Sqrt(samples)
			case e.Of == "standard deviation, uniform":
				got, tol = deviation, 5*deviation*how.scale/math.Sqrt(2*samples)
			case e.Of == "2.5 % point":
				got, tol = percentile(q.Samples, 0.025), 0.003*e.Value
			case e.Of == "97.5 % point":
				got, tol = percentile(q.Samples, 0.975), 0.003*e.Value
			case strings.HasPrefix(e.Of, "share of the first-order variance, "):
				parameter := strings.TrimPrefix(e.Of, "share of the first-order variance, ")
				for _, tol := range s.Tolerances {
					if tol.Parameter == parameter {
						one := of.by(parameter).Derivative * (tol.High - tol.Nominal)
						got = one * one / (rule * rule) / how.scale
					}
				}
			default:
				continue
			}
			checked++
			near(t, c.ID+" "+e.Of, got*how.scale, e.Value, tol)
		}
	}
	if checked < 25 {
		t.Errorf("only %d figures checked", checked)
	}
}

// The points of the tolerance list that are operating points.
func TestKnownBins(t *testing.T) {
	t.Parallel()
	checked := 0
	for _, c := range readKnown(t, "tolerance", 12) {
		if c.Drawing == nil {
			continue
		}
		d := c.diagram(t)
		for _, e := range c.Expected {
			if isQuantity(e.Of) {
				checked++
				r := solve(t, d, Options{Set: setting(e.Set)})
				near(t, fmt.Sprintf("%s: %s with %v", c.ID, e.Of, e.Set), figure(t, r, d, e.Of), e.Value, e.Tol)
			}
		}
	}
	if checked < 10 {
		t.Errorf("only %d figures checked", checked)
	}
}

// A bin moves the forward voltage by 0.1 V either way: on 5 V with 150 Ω that
// is 3 % of the current, as the tolerance list has it.
func TestBinsAreWorstCases(t *testing.T) {
	t.Parallel()
	var c knownCase
	for _, c = range readKnown(t, "tolerance", 12) {
		if c.ID == "MTO-07" {
			break
		}
	}
	s := spread(t, c.diagram(t), SpreadOptions{Of: []string{"D1.A.amps"}, Own: map[string]float64{"R1.resistance": 0}})
	q := s.Quantities[0]
	near(t, "low", q.Low, c.Expected[2].Value, c.Expected[2].Tol)
	near(t, "nominal", q.Nominal, c.Expected[1].Value, c.Expected[1].Tol)
	near(t, "high", q.High, c.Expected[0].Value, c.Expected[0].Tol)
	if !math.IsNaN(q.Median) {
		t.Errorf("a median of no samples: %g", q.Median)
	}
}

// Parameters are quantities, too: a 5 % resistor with a 20 % capacitor has its
// time constant within 0.76 to 1.26 s.
func TestSpreadOfParameters(t *testing.T) {
	t.Parallel()
	for _, c := range readKnown(t, "tolerance", 12) {
		if c.ID != "MTO-11" {
			continue
		}
		s := spread(t, c.diagram(t), SpreadOptions{Of: []string{"R1.resistance", "C1.capacitance"}, Samples: 100})
		r1, c1 := s.Quantities[0], s.Quantities[1]
		near(t, "least", r1.Low*c1.Low, c.Expected[1].Value, c.Expected[1].Tol)
		near(t, "greatest", r1.High*c1.High, c.Expected[2].Value, c.Expected[2].Tol)
	}
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
	ctx, compared := context.Background(), 0
	for i, d := range drawings {
		b, err := newBatch(d, SpreadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		w, err := newBench(ctx, b)
		if err != nil || w == nil {
			continue
		}
		for k := range 5 {
			at, set := make([]float64, len(b.tolerances)), b.options.Set
			for j, tol := range b.tolerances {
				at[j] = tol.at(math.Mod(0.37*float64(j+1)*float64(k+1), 1))
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
				if !math.IsNaN(v) {
					compared++
					near(t, fmt.Sprintf("drawing %d, net %s", i, want.Nets.Nets[n].Name), got.Volts[n], v, 1e-8*math.Abs(v)+1e-9)
				}
			}
		}
	}
	if compared < 500 {
		t.Errorf("only %d voltages compared", compared)
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

// BenchmarkSpread is 10,000 samples of the lantern with its white light on,
// its stack of LEDs drawn apart.
func BenchmarkSpread(b *testing.B) {
	d := lantern(b)
	for b.Loop() {
		spread(b, d, SpreadOptions{Options: Options{Mode: "White"}, Of: []string{"BT1.+.amps"}, Samples: 10000})
	}
}
