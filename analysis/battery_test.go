package analysis

import (
	"context"
	"fmt"
	"math"
	"testing"
)

// The cells alone limit white LEDs straight on three of them. The handbook data
// reckons, for AAA cells after about a minute, that zinc-carbon gives 10 to
// 25 % less than alkaline from about five LEDs on, and hardly less with one
// (calculated there from a fit of a bench reading, order of magnitude). The
// limits leave room for our LEDs, which have more resistance than that fit.
func TestZincCarbonAgainstAlkalineOnLEDs(t *testing.T) {
	t.Parallel()
	amps := func(cell string, leds int, left float64) float64 {
		d := decode(t, drawing(
			fmt.Sprintf(`"ref": "BT1", "kind": "battery", "value": "3 × %s", "params": {"charge_left": %v}, "tags": {"+": "v", "-": "GND"}`, cell, left),
			fmt.Sprintf(`"ref": "D1", "kind": "led", "value": "white", "count": %d, "tags": {"A": "v", "K": "GND"}`, leds)))
		r, err := Solve(context.Background(), d, Options{})
		if err != nil || !r.Solved {
			t.Fatalf("not solved: %v %v", err, r)
		}
		return r.Parts["D1"].Pins[0].Amps
	}
	for _, tt := range []struct {
		zinc, alkaline string
		leds           int
		low, high      float64 // of what alkaline gives
	}{
		{"R03", "LR03", 1, 0.90, 1.05},
		{"R03", "LR03", 5, 0.75, 0.95},
		{"R03", "LR03", 9, 0.70, 0.90},
		{"R6", "LR6", 12, 0.70, 0.92},
	} {
		for _, left := range []float64{1, 0.5} {
			ratio := amps(tt.zinc, tt.leds, left) / amps(tt.alkaline, tt.leds, left)
			if math.IsNaN(ratio) || left == 1 && (ratio < tt.low || ratio > tt.high) {
				t.Errorf("%d LEDs, charge %v: %s gives %.3f of %s, want %v to %v", tt.leds, left, tt.zinc, ratio, tt.alkaline, tt.low, tt.high)
			}
			if left == 0.5 && tt.leds >= 5 && ratio > 0.95 {
				t.Errorf("%d LEDs, half used: %s gives %.3f of %s, want clearly less", tt.leds, tt.zinc, ratio, tt.alkaline)
			}
		}
	}
}
