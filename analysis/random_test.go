package analysis

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// randomDrawing returns up to twenty parts joined at random: diodes against
// each other, transistors upside down, pins left open, batteries in parallel.
func randomDrawing(seed uint64) string {
	r := rand.New(rand.NewPCG(seed, 1))
	nets := 3 + r.IntN(8)
	net := func() string { return anyNet(r, nets) }
	between := func(low, high float64) float64 { return logUniform(r, low, high) }
	parts := []string{fmt.Sprintf(`"ref": "BT1", "kind": "battery", "params": {"voltage": %g, "resistance": %g}, "tags": {"+": "v", "-": "GND"}`, between(1, 20), between(0.1, 5))}
	for i := range 3 + r.IntN(17) {
		var text string
		switch r.IntN(10) {
		case 0:
			text = fmt.Sprintf(`"kind": "diode", "tags": {"A": %q, "K": %q}`, net(), net())
		case 1:
			text = fmt.Sprintf(`"kind": "led", "value": "white", "tags": {"A": %q, "K": %q}`, net(), net())
		case 2:
			text = fmt.Sprintf(`"kind": "zener", "value": "5.1 V", "tags": {"A": %q, "K": %q}`, net(), net())
		case 3:
			text = fmt.Sprintf(`"kind": "npn", "tags": {"C": %q, "B": %q, "E": %q}`, net(), net(), net())
		case 4:
			text = fmt.Sprintf(`"kind": "pnp", "tags": {"C": %q, "B": %q, "E": %q}`, net(), net(), net())
		case 5:
			text = fmt.Sprintf(`"kind": "nmos", "tags": {"D": %q, "G": %q, "S": %q}`, net(), net(), net())
		case 6:
			text = fmt.Sprintf(`"kind": "battery", "params": {"voltage": %g, "resistance": %g}, "tags": {"+": %q, "-": %q}`, between(1, 5), between(0.1, 5), net(), net())
		default:
			text = fmt.Sprintf(`"kind": "resistor", "params": {"resistance": %g}, "tags": {"1": %q, "2": %q}`, between(0.1, 1e7), net(), net())
		}
		parts = append(parts, fmt.Sprintf(`"ref": "X%d", "count": %d, %s`, i, 1+r.IntN(3), text))
	}
	return drawing(parts...)
}

// Whatever is joined to whatever, an operating point is found, and its figures
// satisfy Kirchhoff's laws.
func TestRandomCircuits(t *testing.T) {
	for seed := range uint64(2000) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			d := decode(t, randomDrawing(seed))
			solve(t, d, Options{})
		})
	}
}
