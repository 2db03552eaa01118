package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/model"
)

// randomNet is so many LEDs and resistors between nodes picked at random, on a
// battery: most LEDs block, many nodes hang on leakage, and the graph has no
// order that keeps its factors sparse.
func randomNet(t testing.TB, parts, nets int, leds float64) *model.Diagram {
	return randomNetOf(t, parts, nets, leds, func(r *rand.Rand) float64 { return 10 * float64(1+r.IntN(10000)) })
}

// wideNet is the same with resistors of 1 mΩ to 1 TΩ, each decade as likely.
func wideNet(t testing.TB, parts, nets int, leds float64) *model.Diagram {
	return randomNetOf(t, parts, nets, leds, func(r *rand.Rand) float64 { return math.Pow(10, 15*r.Float64()-3) })
}

func randomNetOf(t testing.TB, parts, nets int, leds float64, ohms func(*rand.Rand) float64) *model.Diagram {
	r := rand.New(rand.NewPCG(1, 77))
	net := func() string { return anyNet(r, nets) }
	list := []string{`"ref": "BT1", "kind": "battery", "params": {"voltage": 9, "resistance": 0.3}, "tags": {"+": "v", "-": "GND"}`}
	for i := range parts {
		if r.Float64() < leds {
			list = append(list, fmt.Sprintf(`"ref": "D%d", "kind": "led", "value": "red", "tags": {"A": %q, "K": %q}`, i, net(), net()))
		} else {
			list = append(list, resistor(fmt.Sprint("R", i), ohms(r), net(), net()))
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

// BenchmarkRandomNet is the hardest a drawing of passive parts and diodes gets. Of
// 10,000 parts it has the easiest kind only: others take a minute.
func BenchmarkRandomNet(b *testing.B) {
	for _, c := range []struct {
		name  string
		net   func(t testing.TB, parts, nets int, leds float64) *model.Diagram
		share float64 // nodes by parts
		leds  float64
		sizes []int
	}{
		{"half LEDs", randomNet, 1, 0.5, []int{1000, 3000, 10000}},
		{"half LEDs, fewer nodes", randomNet, 0.5, 0.5, []int{1000, 3000}},
		{"most LEDs", randomNet, 0.5, 0.8, []int{1000, 3000}},
		{"wide values", wideNet, 0.5, 0.2, []int{1000, 3000}},
	} {
		for _, n := range c.sizes {
			b.Run(fmt.Sprintf("%s/%d", c.name, n), func(b *testing.B) {
				benchmarkSolve(b, c.net(b, n, int(c.share*float64(n)), c.leds), Options{})
			})
		}
	}
}
