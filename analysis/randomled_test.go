package analysis

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"

	"copperglass/model"
)

// leakyNet is so many LEDs and resistors between nodes picked at random, on a
// battery: mostly LEDs block, groups of nodes hang on 1e-20 A and less, and
// beside that leakage stand resistances of any size.
func leakyNet(t testing.TB, seed uint64) *model.Diagram {
	r := rand.New(rand.NewPCG(seed, 3))
	between := func(low, high float64) float64 { return logUniform(r, low, high) }
	parts := int(between(50, 1000))
	nets := 2 + int(float64(parts)*between(0.2, 1))
	leds := 0.1 + 0.85*r.Float64()
	ohms := []func() float64{
		func() float64 { return between(10, 1e6) },
		func() float64 { return between(1e-2, 1e9) },
		func() float64 { return 10 * float64(1+r.IntN(10000)) },
	}[r.IntN(3)]
	colours := []string{"red", "green", "white", "blue", "yellow", "infrared"}
	mixed := r.IntN(2) == 0
	net := func() string { return anyNet(r, nets) }
	list := []string{fmt.Sprintf(`"ref": "BT1", "kind": "battery", "params": {"voltage": %g, "resistance": %g}, "tags": {"+": "v", "-": "GND"}`, between(0.3, 20), between(0.01, 10))}
	for i := range parts {
		if r.Float64() >= leds {
			list = append(list, resistor(fmt.Sprint("R", i), ohms(), net(), net()))
			continue
		}
		colour := "red"
		if mixed {
			colour = colours[r.IntN(len(colours))]
		}
		list = append(list, fmt.Sprintf(`"ref": "D%d", "kind": "led", "value": %q, "tags": {"A": %q, "K": %q}`, i, colour, net(), net()))
	}
	return decode(t, drawing(list...))
}

var leaky = flag.Uint64("leaky", 24, "how many random nets of LEDs TestLeakyNets solves beside those kept")

// Where next to nothing flows the currents add up all the same. The first nets
// were refused at some time, as by ordinary arithmetic what leaks from a group of
// nodes is lost beside the conductances within it.
func TestLeakyNets(t *testing.T) {
	t.Parallel()
	seeds := []uint64{14, 48, 158, 170, 185, 203, 211, 249, 549, 1442}
	for seed := range *leaky {
		seeds = append(seeds, seed)
	}
	for _, seed := range seeds {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			d := leakyNet(t, seed)
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
		})
	}
}
