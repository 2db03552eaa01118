package analysis

import (
	"fmt"
	"testing"

	"copperglass/model"
)

// loadedLatch is a flip-flop on one supply with so many resistors in pairs.
func loadedLatch(t testing.TB, pairs int) *model.Diagram {
	parts := flipFlop()
	for i := range pairs {
		node := fmt.Sprint("m", i)
		parts = append(parts, resistor(fmt.Sprint("RA", i), 1000, "v", node), resistor(fmt.Sprint("RZ", i), 1000, node, "GND"))
	}
	return decode(t, drawing(parts...))
}

// A latch is followed like any circuit for as long as it stays in its state.
// When its base is starved it cannot, and goes to the other without a stop at
// the balance between the two.
func TestLatchIsFollowed(t *testing.T) {
	t.Parallel()
	for state, name := range map[int]string{1: "R4", 2: "R3"} {
		d := loadedLatch(t, 20)
		k := track(t, d, Options{State: state})
		first := k.Result().Clone()
		for i := range 20 {
			r := move(t, k, Move{"RA3", "resistance", model.Number(1000 + float64(i))}, Move{"R1", "resistance", model.Number(1000 + 10*float64(i))})
			if r.Parts["Q1"].State != first.Parts["Q1"].State || r.Parts["Q2"].State != first.Parts["Q2"].State {
				t.Fatalf("state %d is left at step %d", state, i)
			}
		}
		if k.Compiled() != 1 {
			t.Errorf("state %d: compiled %d times", state, k.Compiled())
		}
		for _, ohms := range []float64{30e3, 100e3, 300e3, 1e6, 10e6} {
			r := move(t, k, Move{name, "resistance", model.Number(ohms)})
			want := solve(t, d, Options{Set: r.Set, Start: r})
			if _, apart := furthest(r, want); apart > 1 || !r.Solved {
				t.Errorf("state %d, %s at %g Ω: a fresh look leads elsewhere", state, name, ohms)
			}
		}
		if r := k.Result(); r.Parts["Q1"].State == first.Parts["Q1"].State {
			t.Errorf("state %d outlasts its base current", state)
		}
	}
}

// BenchmarkMoveLatch200 is a turned knob beside a flip-flop.
func BenchmarkMoveLatch200(b *testing.B) {
	k := track(b, loadedLatch(b, 100), Options{})
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		i++
		move(b, k, Move{"RA3", "resistance", model.Number(1000 + float64(i%10))})
	}
}
