package analysis

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

// Pins of random circuits go from net to net: what the tracker finds is what a
// fresh solution does, to the word. Only what may be a latch begins where it stood,
// not from nothing: now and then it is in another state then, to which a fresh
// solution that begins there keeps, or a net that leakage determines is told to
// float from one side and, its equation being solved to the last digit, not from
// the other.
func TestRedrawOnRandomCircuits(t *testing.T) {
	t.Parallel()
	compared, latches, leaks, elsewhere := 0, 0, 0, 0
	for seed := range uint64(120) {
		d := randomCircuit(seed)
		if seed%2 == 0 {
			d = decode(t, randomDrawing(seed))
		}
		k := track(t, d, Options{Survey: true})
		random := rand.New(rand.NewPCG(seed, 8))
		for i := range 6 {
			d = retagged(d, random)
			if err := k.Redraw(t.Context(), d); err != nil {
				t.Fatal(err)
			}
			want, err := Solve(t.Context(), d, Options{Survey: true})
			if err != nil {
				t.Fatal(err)
			}
			what, got := fmt.Sprintf("circuit %d, step %d", seed, i), k.Result()
			mayLeak := false
			if got.Solved && want.Solved {
				compared++
				checkPlain(t, d, got)
				if got.latches {
					latches++
					if !sameButForLeakage(got, want) {
						elsewhere++
						want = solve(t, d, Options{Start: got})
					}
					mayLeak = slices.ContainsFunc(slices.Concat(got.Volts, want.Volts), math.IsNaN)
				}
				if !sameButForLeakage(got, want) {
					t.Errorf("%s: another operating point than a fresh solution's", what)
				}
			}
			switch {
			case slices.Equal(texts(got.Faults), texts(want.Faults)):
			case mayLeak:
				leaks++
			default:
				t.Errorf("%s: faults %q, want %q", what, texts(got.Faults), texts(want.Faults))
			}
		}
	}
	t.Logf("%d compared, %d may be latches, of which %d differ by leakage and %d are in another state", compared, latches, leaks, elsewhere)
	if compared < 400 || leaks > latches/10 || elsewhere > latches/20 {
		t.Error("too few, or too many differ")
	}
}

// sameButForLeakage reports whether two results differ by the voltages of nets
// through which no more than a picoampere flows, and by no more than a
// femtoampere in any current, beside the rounding of the largest.
func sameButForLeakage(got, want *Result) bool {
	rounding := leakage + roundingError*largestAmps(want)
	for n, v := range want.Volts {
		if math.IsNaN(v) || math.Abs(got.Volts[n]-v) <= 1e-9*math.Abs(v)+1e-12 {
			continue
		}
		for _, id := range want.Nets.Nets[n].Pins {
			if p := want.Parts[id.Ref]; p != nil && math.Abs(p.Pin(id.Pin).Amps) > 1e-12 {
				return false
			}
		}
	}
	for ref, p := range want.Parts {
		for i, pin := range p.Pins {
			if !(math.Abs(got.Parts[ref].Pins[i].Amps-pin.Amps) <= 1e-9*math.Abs(pin.Amps)+rounding) {
				return false
			}
		}
	}
	return true
}

// retagged is d with one pin's tag as another pin's.
func retagged(d *model.Diagram, r *rand.Rand) *model.Diagram {
	for range 100 {
		from, to := d.Parts[r.IntN(len(d.Parts))], d.Parts[r.IntN(len(d.Parts))]
		if len(from.Tags) == 0 || len(to.Tags) == 0 {
			continue
		}
		tag := func(p *model.Part) string {
			pins := slices.Sorted(maps.Keys(p.Tags))
			return pins[r.IntN(len(pins))]
		}
		f, p, pin, name := model.NewDraft(d), to.Clone(), tag(to), from.Tags[tag(from)]
		if p.Tags[pin] == name {
			continue
		}
		p.Tags[pin] = name
		f.SetPart(to.Ref, p)
		return f.Diagram().Snapshot()
	}
	return d
}

// A part that is dragged with its wires joins the same pins in another place:
// nothing is compiled, and faults are where they are then.
func TestRedrawElsewhere(t *testing.T) {
	t.Parallel()
	d := sheet(40)
	d.Wires = append(d.Wires, &model.Wire{ID: 1000, Points: []geom.Point{geom.Pt(12, 5), geom.Pt(16, 5)}})
	k := track(t, d, Options{})
	for _, c := range []struct {
		what   string
		change func(f *model.Draft)
		anew   bool
	}{
		{"a part with its wires", func(f *model.Draft) {
			p := d.Part("D2").Clone()
			p.At.Y++
			f.SetPart("D2", p)
			f.SetWire(&model.Wire{ID: 10, Points: []geom.Point{geom.Pt(24, 5), geom.Pt(24, 8)}})
			f.SetWire(&model.Wire{ID: 11, Points: []geom.Point{geom.Pt(24, 12), geom.Pt(24, 13)}})
		}, false},
		{"the loose end of a wire", func(f *model.Draft) {
			f.SetWire(&model.Wire{ID: 1000, Points: []geom.Point{geom.Pt(12, 5), geom.Pt(17, 6)}})
		}, false},
		{"a part and a value", func(f *model.Draft) {
			f.SetWire(&model.Wire{ID: 1000, Points: []geom.Point{geom.Pt(12, 5), geom.Pt(17, 7)}})
			p := d.Part("R2").Clone()
			p.Value, p.At.X = "330", p.At.X+1
			f.SetPart("R2", p)
			f.SetWire(&model.Wire{ID: 9, Points: []geom.Point{geom.Pt(12, 0), geom.Pt(25, 0), geom.Pt(25, 1)}})
			f.SetWire(&model.Wire{ID: 10, Points: []geom.Point{geom.Pt(25, 5), geom.Pt(24, 8)}})
			f.SetWire(&model.Wire{ID: 15, Points: []geom.Point{geom.Pt(25, 0), geom.Pt(36, 0), geom.Pt(36, 1)}})
		}, true},
		{"it to another part", func(f *model.Draft) {
			f.SetWire(&model.Wire{ID: 1000, Points: []geom.Point{geom.Pt(12, 5), geom.Pt(20, 6)}})
		}, true},
	} {
		f := model.NewDraft(d)
		c.change(f)
		d = f.Diagram().Snapshot()
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

// A latch stays in its state when a part is joined elsewhere, and both states are
// found; cut open it has one.
func TestRedrawKeepsState(t *testing.T) {
	t.Parallel()
	with := func(parts ...string) *model.Diagram { return decode(t, drawing(append(flipFlop(), parts...)...)) }
	for state := 1; state <= 2; state++ {
		k := track(t, with(resistor("R9", 1e4, "v", "x")), Options{State: state, Survey: true})
		first := k.Result().Clone()
		for _, end := range []string{"GND", "y", "v"} {
			d := with(resistor("R9", 1e4, end, "x"), resistor("R8", 1e4, "x", "GND"))
			if err := k.Redraw(t.Context(), d); err != nil {
				t.Fatal(err)
			}
			r := k.Result()
			checkPlain(t, d, r)
			if r.Number != state || len(r.States()) != 2 || r.Parts["Q1"].State != first.Parts["Q1"].State || r.Parts["Q2"].State != first.Parts["Q2"].State {
				t.Errorf("from state %d, R9 at %s: state %d of %d", state, end, r.Number, len(r.States()))
			}
		}
		d := decode(t, drawing(flipFlop()[:2]...))
		if err := k.Redraw(t.Context(), d); err != nil {
			t.Fatal(err)
		}
		if r := k.Result(); r.Number != 0 || len(r.States()) != 0 {
			t.Errorf("state %d of a circuit that has no others", r.Number)
		}
	}
}
