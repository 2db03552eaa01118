package analysis

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/model"
)

// After each move the tracker's figures are those of a fresh solution.
func TestTracker(t *testing.T) {
	ctx := context.Background()
	d := stages(t, 60)
	k, err := Track(ctx, d, Options{})
	if err != nil {
		t.Fatal(err)
	}
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
		m := moves[random.IntN(len(moves))]
		x := model.Number(m.low + (m.high-m.low)*random.Float64())
		set.Set(m.ref, m.name, x)
		if err := k.Move(ctx, m.ref, m.name, x); err != nil {
			t.Fatal(err)
		}
		got, want := k.Result(), solve(t, d, Options{Set: set})
		checkBalance(t, d, got)
		for n, v := range want.Volts {
			near(t, fmt.Sprintf("move %d of %s.%s: net %s", i, m.ref, m.name, want.Nets.Nets[n].Name), got.Volts[n], v, 1e-8*math.Abs(v)+1e-9)
		}
	}
}

// BenchmarkMove is what a turned knob costs: one resistor's value moves by a
// per cent.
func BenchmarkMove(b *testing.B) {
	for _, n := range []int{20, 200, 2000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			k, err := Track(b.Context(), board(b, n), Options{})
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				i++
				if err := k.Move(b.Context(), "R2", "resistance", model.Number(470+float64(i%10))); err != nil || !k.Result().Solved {
					b.Fatal(err)
				}
			}
		})
	}
}
