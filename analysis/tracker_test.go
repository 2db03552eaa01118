package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"copperglass/analysis/newton"
	"copperglass/model"
)

func track(t testing.TB, d *model.Diagram, o Options) *Tracker {
	t.Helper()
	k, err := Track(t.Context(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func move(t testing.TB, k *Tracker, moves ...Move) *Result {
	t.Helper()
	if err := k.Move(t.Context(), moves...); err != nil {
		t.Fatal(err)
	}
	return k.Result()
}

// After each move the tracker's figures are those of a fresh solution.
func TestTracker(t *testing.T) {
	t.Parallel()
	d := stages(t, 60)
	k := track(t, d, Options{})
	random := rand.New(rand.NewPCG(5, 6))
	moves := []struct {
		ref, name string
		low, high float64
	}{
		{"R1", "resistance", 5e3, 2e4}, {"R11", "resistance", 100, 1000}, {"BT1", "voltage", 4, 8}, {"BT1", "resistance", 0.1, 2},
		{"Q3", "forward_beta", 50, 400}, {"D2", "emission_coefficient", 1.5, 2.5}, {"R13", "resistance", 0, 0}, {"R13", "resistance", 0.2, 1e3},
		{"drawing", "temperature", 270, 330},
	}
	set := model.Setting{}
	for i := range 100 {
		var batch []Move
		for range 1 + random.IntN(3) {
			m := moves[random.IntN(len(moves))]
			x := model.Number(m.low + (m.high-m.low)*random.Float64())
			set.Set(m.ref, m.name, x)
			batch = append(batch, Move{m.ref, m.name, x})
		}
		checkFollowed(t, fmt.Sprint("move ", i), d, move(t, k, batch...), solve(t, d, Options{Set: set}))
	}
}

// checkFollowed compares a tracker's result with a fresh one of the same state.
func checkFollowed(t testing.TB, what string, d *model.Diagram, got, want *Result) {
	t.Helper()
	checkBalance(t, d, got)
	if !slices.Equal(texts(got.Faults), texts(want.Faults)) {
		t.Errorf("%s: faults %q, want %q", what, texts(got.Faults), texts(want.Faults))
	}
	if _, apart := furthest(got, want); apart > 1 {
		n, _ := furthest(got, want)
		t.Errorf("%s: net %s: %.15g V, want %.15g V", what, want.Nets.Nets[n].Name, got.Volts[n], want.Volts[n])
	}
	for ref, p := range want.Parts {
		for i, pin := range p.Pins {
			near(t, what+": "+ref+"."+pin.Name, got.Parts[ref].Pins[i].Amps, pin.Amps, 1e-9*largestAmps(want)+1e-15)
		}
	}
}

// furthest returns the net at which two results differ most, in units of the
// difference that is allowed: a billionth, or of a microvolt.
func furthest(got, want *Result) (at int, apart float64) {
	for n, v := range want.Volts {
		x := math.Abs(got.Volts[n]-v) / (1e-9*math.Abs(v) + 1e-15)
		if math.IsNaN(got.Volts[n]) != math.IsNaN(v) {
			x = math.Inf(1)
		}
		if x > apart {
			at, apart = n, x
		}
	}
	return at, apart
}

func largestAmps(r *Result) float64 {
	amps := 0.0
	for _, p := range r.Parts {
		for _, pin := range p.Pins {
			amps = max(amps, math.Abs(pin.Amps))
		}
	}
	return amps
}

// A random walk of values of random circuits: each operating point that the
// tracker finds bears the independent verification and is that of a fresh
// solution; or it is one to which a fresh solution that begins there keeps,
// either another stable state of a latch, or the same with volts at a net that
// only leakage determines, where the fresh one found it to float.
func TestTrackerOnRandomCircuits(t *testing.T) {
	t.Parallel()
	var compared, elsewhere, moves, compiled int
	for seed := range uint64(60) {
		d := randomCircuit(seed)
		k := track(t, d, Options{})
		random := rand.New(rand.NewPCG(seed, 7))
		set := model.Setting{}
		one := &named{TB: t, name: fmt.Sprint("circuit ", seed)}
		for range 6 {
			m := randomMove(d, set, random)
			set.Set(m.Ref, m.Name, m.Value)
			got := move(one, k, m)
			moves++
			want, err := Solve(t.Context(), d, Options{Set: set})
			if err != nil {
				t.Fatal(err)
			}
			if !got.Solved || !want.Solved {
				if !slices.Equal(texts(got.Faults), texts(want.Faults)) {
					one.Errorf("%v: faults %q, want %q", m, texts(got.Faults), texts(want.Faults))
				}
				continue
			}
			compared++
			checkPlain(one, d, got)
			if _, apart := furthest(got, want); apart > 1 {
				if !want.latches && !moreIsKnown(got, want) {
					one.Errorf("%v: another operating point than a fresh solution's", m)
				}
				elsewhere++
				want = solve(one, d, Options{Set: set, Start: got})
				if _, apart := furthest(got, want); apart > 1 && moreIsKnown(got, want) {
					continue
				}
			}
			checkFollowed(one, fmt.Sprint(m), d, got, want)
		}
		compiled += k.Compiled()
	}
	t.Logf("%d moves, %d compared, %d in another state, %d compiled", moves, compared, elsewhere, compiled)
	if compared < 250 || elsewhere > compared/20 || compiled > moves/2 {
		t.Errorf("%d moves, %d compared, %d in another state, %d compiled", moves, compared, elsewhere, compiled)
	}
}

// moreIsKnown reports whether got differs from want only by the voltages of nets
// that float in want and by no more than leakage currents.
func moreIsKnown(got, want *Result) bool {
	for n, v := range want.Volts {
		if !math.IsNaN(v) && !(math.Abs(got.Volts[n]-v) <= 1e-9*math.Abs(v)+1e-15) {
			return false
		}
	}
	for ref, p := range want.Parts {
		for i, pin := range p.Pins {
			if !(math.Abs(got.Parts[ref].Pins[i].Amps-pin.Amps) <= 1e-9*math.Abs(pin.Amps)+leakage) {
				return false
			}
		}
	}
	return true
}

// randomMove moves a number of some part by up to a decade, now and then to an
// end of its range, or a word to another.
func randomMove(d *model.Diagram, set model.Setting, r *rand.Rand) Move {
	for {
		p := d.Parts[r.IntN(len(d.Parts))]
		k := p.LookupKind()
		q := &k.Params[r.IntN(len(k.Params))]
		values, _ := d.Resolve(p, set)
		x, isNumber := values[q.Name].Num()
		switch {
		case len(q.Choices) > 0:
			return Move{p.Ref, q.Name, model.Word(q.Choices[r.IntN(len(q.Choices))])}
		case !isNumber || strings.HasSuffix(q.Name, "rating"):
			continue
		case strings.HasSuffix(q.Name, "temperature"):
			x = 250 + 100*r.Float64()
		case r.IntN(20) == 0:
			x = q.Min
		default:
			x *= math.Pow(10, 2*r.Float64()-1)
		}
		if q.Min != 0 || q.Max != 0 {
			x = min(max(x, q.Min), q.Max)
		}
		return Move{p.Ref, q.Name, model.Number(x)}
	}
}

// What makes another circuit of the drawing is compiled anew, and nothing else
// is.
func TestTrackerTellsWhatChangesTheCircuit(t *testing.T) {
	t.Parallel()
	d := decode(t, `{"format": "copperglass", "version": 1, "parts": [
		{"ref": "BT1", "kind": "battery", "params": {"voltage": 3, "resistance": 1}, "tags": {"+": "v", "-": "GND"}},
		{"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "w", "-": "GND"}},
		{"ref": "R9", "kind": "resistor", "value": "1k", "tags": {"1": "w", "2": "GND"}},
		{"ref": "S1", "kind": "switch", "tags": {"1": "v", "2": "s"}},
		{"ref": "R1", "kind": "resistor", "value": "100", "tags": {"1": "s", "2": "o"}},
		{"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "o", "K": "GND"}},
		{"ref": "IC1", "kind": "chip", "pins": [{"number": "1", "role": "supply"}, {"number": "2", "role": "output"}, {"number": "3", "role": "ground"}],
		 "tags": {"1": "v", "2": "o", "3": "GND"}}]}`)
	k := track(t, d, Options{})
	for _, c := range []struct {
		ref, name string
		value     model.Value
		anew      bool
	}{
		{"S1", "state", model.Word("closed"), true},
		{"S1", "state", model.Word("closed"), false},
		{"R1", "resistance", model.Number(220), false},
		{"R1", "resistance", model.Number(0.9), false},
		{"R1", "resistance", model.Number(0), true},
		{"R1", "resistance", model.Number(100), true},
		{"D1", "saturation_current", model.Number(1e-18), false},
		{"D1", "series_resistance", model.Number(0), true},
		{"D1", "colour", model.Word("blue"), false},
		{"BT1", "voltage", model.Number(4), false},
		{"BT1", "resistance", model.Number(0), true},
		{"V1", "voltage", model.Number(6), false},
		{"drawing", "temperature", model.Number(320), false},
		{"V1", "voltage", model.Number(0), true},
		{"IC1", "2", model.Word("high"), true},
		{"IC1", "output_resistance_high", model.Number(50), false},
		{"R1", "resistance", model.Number(-1), true}, // refused, and said
		{"R7", "resistance", model.Number(1), true},  // there is none, and that is said
	} {
		before := k.Compiled()
		set := model.Setting{c.ref: {c.name: c.value}}
		got := move(t, k, Move{c.ref, c.name, c.value})
		if anew := k.Compiled() > before; anew != c.anew {
			t.Errorf("%v: compiled anew: %v, want %v", set, anew, c.anew)
		}
		want := solve(t, d, Options{Set: got.Set})
		checkFollowed(t, fmt.Sprint(set), d, got, want)
	}
}

// A latch stays in the state it is in, whichever that is, when values are set
// and when they are redrawn.
func TestTrackerKeepsTheState(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "V1", "kind": "supply", "value": "5 V 1 Ω", "tags": {"+": "v", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "1k", "tags": {"1": "v", "2": "c1"}`,
		`"ref": "R2", "kind": "resistor", "value": "1k", "tags": {"1": "v", "2": "c2"}`,
		`"ref": "R3", "kind": "resistor", "value": "10k", "tags": {"1": "c1", "2": "b2"}`,
		`"ref": "R4", "kind": "resistor", "value": "10k", "tags": {"1": "c2", "2": "b1"}`,
		`"ref": "Q1", "kind": "npn", "tags": {"C": "c1", "B": "b1", "E": "GND"}`,
		`"ref": "Q2", "kind": "npn", "tags": {"C": "c2", "B": "b2", "E": "GND"}`))
	for _, side := range []string{"R3", "R4"} {
		// One side cannot be: its base gets nothing.
		k := track(t, d, Options{Set: model.Setting{side: {"resistance": model.Number(1e9)}}})
		off, on := "Q2", "Q1"
		if side == "R4" {
			off, on = on, off
		}
		for _, ohms := range []float64{1e6, 1e5, 2e4, 1e4} {
			r := move(t, k, Move{side, "resistance", model.Number(ohms)})
			if r.Parts[off].State != CutOff || r.Parts[on].State != Saturated {
				t.Errorf("at %g Ω: %s is %s, %s is %s", ohms, off, r.Parts[off].State, on, r.Parts[on].State)
			}
		}
		f := model.NewDraft(d)
		p := d.Part("R1").Clone()
		p.Value = "1k1"
		f.SetPart("R1", p)
		if err := k.Redraw(t.Context(), f.Diagram()); err != nil {
			t.Fatal(err)
		}
		if r := k.Result(); r.Parts[off].State != CutOff || r.Parts[on].State != Saturated {
			t.Errorf("redrawn: %s is %s, %s is %s", off, r.Parts[off].State, on, r.Parts[on].State)
		}
	}
}

// Redrawing a value is like setting it; redrawing anything else is a fresh
// start.
func TestRedraw(t *testing.T) {
	t.Parallel()
	d := stages(t, 60)
	k := track(t, d, Options{})
	changed := func(ref string, change func(p *model.Part)) {
		f := model.NewDraft(d)
		p := d.Part(ref).Clone()
		change(p)
		f.SetPart(ref, p)
		d = f.Diagram().Snapshot()
	}
	for _, c := range []struct {
		what   string
		change func()
		anew   bool
	}{
		{"value", func() { changed("R11", func(p *model.Part) { p.Value = "680" }) }, false},
		{"the same once more", func() {}, false},
		{"colour", func() { changed("D2", func(p *model.Part) { p.Value = "white" }) }, false},
		{"params", func() {
			changed("Q3", func(p *model.Part) { p.Params = model.Params{"forward_beta": model.Number(77)} })
		}, false},
		{"misread", func() { changed("D2", func(p *model.Part) { p.Value = "pitch black" }) }, true},
		{"mended", func() { changed("D2", func(p *model.Part) { p.Value = "green" }) }, true},
		{"count", func() { changed("D2", func(p *model.Part) { p.Count = 3 }) }, true},
		{"value and count", func() {
			changed("R11", func(p *model.Part) { p.Value = "470" })
			changed("D3", func(p *model.Part) { p.Count = 2 })
		}, true},
		{"value after that", func() { changed("R13", func(p *model.Part) { p.Value = "560" }) }, false},
		{"tag", func() { changed("R11", func(p *model.Part) { p.Tags = map[string]string{"1": "v", "2": "s2"} }) }, true},
	} {
		c.change()
		before := k.Compiled()
		if err := k.Redraw(t.Context(), d); err != nil {
			t.Fatal(err)
		}
		if anew := k.Compiled() > before; anew != c.anew {
			t.Errorf("%s: compiled anew: %v, want %v", c.what, anew, c.anew)
		}
		checkFollowed(t, c.what, d, k.Result(), solve(t, d, Options{}))
	}
}

// The equations that a move has brought up to date are those that evaluating
// all of them gives.
func TestRevisedEquations(t *testing.T) {
	t.Parallel()
	k := track(t, stages(t, 60), Options{})
	for i := range 5 {
		x := float64(i)
		moves := []Move{{"R11", "resistance", model.Number(300 + 50*x)}, {"Q2", "forward_beta", model.Number(100 + 20*x)}, {"D2", "colour", model.Word("green")}, {"BT1", "voltage", model.Number(5 + x/4)}}
		move(t, k, moves[i%4])
		for j := range moves {
			k.set(&moves[j])
		}
		if !k.change() {
			t.Fatal("the circuit is another")
		}
		got := k.series.Revise()
		want, slopes := got.Scratch(), slices.Clone(got.Slopes.Values)
		k.system.Evaluate(k.at, newton.Aid{}, want)
		for n, f := range want.Residual {
			near(t, fmt.Sprintf("move %d: residual %d", i, n), got.Residual[n], f, 1e-12*want.Terms[n])
		}
		if !slices.Equal(slopes, want.Slopes.Values) {
			t.Errorf("move %d: slopes differ", i)
		}
		move(t, k)
	}
}

// A copy of a result stays as it is.
func TestCloneStays(t *testing.T) {
	t.Parallel()
	d := stages(t, 20)
	k := track(t, d, Options{})
	copied, want := k.Result().Clone(), solve(t, d, Options{})
	move(t, k, Move{"BT1", "voltage", model.Number(3)}, Move{"R1", "resistance", model.Number(1e5)})
	checkFollowed(t, "the copy", d, copied, want)
}

// Moving several values and reading what comes of it allocates nothing once it
// has been done before. (Not in parallel, or the others' would be counted.)
func TestMoveAllocatesNothing(t *testing.T) {
	d := board(t, 200)
	link := &model.Part{Ref: "S1", Kind: "switch", Params: model.Params{"state": model.Word("closed")}, Tags: map[string]string{"1": "s1", "2": "s2"}}
	d.Parts = append(slices.Clone(d.Parts), link)
	k := track(t, d, Options{})
	var gauges []*Gauge
	for _, name := range []string{"net.v.volts", "BT1.+.amps", "S1.1.amps", "Q3.watts", "Q3.forced_beta", "D1.voltage", "R2.resistance", "drawing.temperature"} {
		g, err := NewGauge(k.Result(), d, name)
		if err != nil {
			t.Fatal(err)
		}
		gauges = append(gauges, g)
	}
	i, sum := 0, 0.0
	step := func() {
		i++
		x := float64(i % 7)
		move(t, k, Move{"R2", "resistance", model.Number(470 + x)}, Move{"D1", "saturation_current", model.Number(1e-18 * (1 + x))},
			Move{"Q3", "forward_beta", model.Number(150 + x)}, Move{"BT1", "voltage", model.Number(6 + x/10)},
			Move{"drawing", "temperature", model.Number(298 + x)})
		for _, g := range gauges {
			sum += g.Read(k.Result())
		}
	}
	step()
	if n := testing.AllocsPerRun(50, step); n != 0 {
		t.Errorf("%g allocations a step", n)
	}
	if math.IsNaN(sum) || k.Compiled() != 1 {
		t.Errorf("sum %g after %d compilations", sum, k.Compiled())
	}
}

// BenchmarkMove200 is what a turned knob costs in a drawing of 200 parts: one
// resistor's value moves by a per cent, and a current is read.
func BenchmarkMove200(b *testing.B) { benchmarkMove(b, 200) }

func BenchmarkMove2000(b *testing.B) { benchmarkMove(b, 2000) }

func benchmarkMove(b *testing.B, parts int) {
	d := board(b, parts)
	k := track(b, d, Options{})
	g, err := NewGauge(k.Result(), d, "BT1.+.amps")
	if err != nil {
		b.Fatal(err)
	}
	step := func(i int) {
		if r := move(b, k, Move{"R2", "resistance", model.Number(470 + float64(i%10))}); !r.Solved || !(g.Read(r) < 0) {
			b.Fatal(r.Faults)
		}
	}
	step(0)
	b.ReportAllocs()
	for i := 1; b.Loop(); i++ {
		step(i)
	}
}
