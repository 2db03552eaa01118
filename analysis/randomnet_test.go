package analysis

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"copperglass/model"
)

// randomNet is so many LEDs and resistors between nodes picked at random, on a
// battery: most LEDs block, many nodes hang on leakage, and the graph has no
// order that keeps its factors sparse.
func randomNet(t testing.TB, parts, nets int, leds float64) *model.Diagram {
	r := rand.New(rand.NewPCG(1, 77))
	net := func() string {
		switch k := r.IntN(nets); k {
		case 0:
			return "GND"
		case 1:
			return "v"
		default:
			return fmt.Sprint("n", k)
		}
	}
	list := []string{`"ref": "BT1", "kind": "battery", "params": {"voltage": 9, "resistance": 0.3}, "tags": {"+": "v", "-": "GND"}`}
	for i := range parts {
		if r.Float64() < leds {
			list = append(list, fmt.Sprintf(`"ref": "D%d", "kind": "led", "value": "red", "tags": {"A": %q, "K": %q}`, i, net(), net()))
		} else {
			list = append(list, resistor(fmt.Sprint("R", i), 10*float64(1+r.IntN(10000)), net(), net()))
		}
	}
	return decode(t, drawing(list...))
}

// However many nodes hang on leakage only, Newton's method takes few iterations.
func TestRandomNets(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		parts, nets int
		leds        float64
		most        int
	}{{600, 600, 0.2, 160}, {600, 300, 0.2, 60}, {600, 300, 0.5, 160}, {600, 150, 0.5, 100}, {600, 300, 0.8, 200}, {1000, 500, 0.5, 100}} {
		t.Run(fmt.Sprintf("%d/%d/%g", tt.parts, tt.nets, tt.leds), func(t *testing.T) {
			t.Parallel()
			d := randomNet(t, tt.parts, tt.nets, tt.leds)
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
			if r.Iterations > tt.most {
				t.Errorf("%d iterations by %s, more than %d", r.Iterations, r.Method, tt.most)
			}
		})
	}
}

// BenchmarkRandomNet is the hardest a drawing of passive parts and diodes gets.
func BenchmarkRandomNet(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		for _, nets := range []int{n, n / 2} {
			b.Run(fmt.Sprintf("%d/%d", n, nets), func(b *testing.B) {
				benchmarkSolve(b, randomNet(b, n, nets, 0.5), Options{})
			})
		}
	}
}
