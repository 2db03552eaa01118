package review

import (
	"fmt"
	"testing"

	"copperglass/model"
)

// BenchmarkReview reviews LEDs with a transistor and two resistors each, side by
// side on one battery.
func BenchmarkReview(b *testing.B) {
	for _, n := range []int{200, 1000, 5000} {
		d := switchedLEDs(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r, err := Run(b.Context(), d, Options{})
				if err != nil || len(r.Faults) > 0 {
					b.Fatal(err, r.Faults)
				}
			}
		})
	}
}

// switchedLEDs is a drawing of about n parts.
func switchedLEDs(t testing.TB, n int) *model.Diagram {
	parts := []string{`"ref": "BT1", "kind": "battery", "params": {"voltage": 6, "resistance": 0.3}, "tags": {"+": "v", "-": "GND"}`}
	for i := range (n - 1) / 4 {
		parts = append(parts,
			fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "10k", "tags": {"1": "v", "2": "b%d"}`, 1+2*i, i),
			fmt.Sprintf(`"ref": "Q%d", "kind": "npn", "tags": {"B": "b%d", "C": "c%d", "E": "GND"}`, i+1, i, i),
			fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "470", "tags": {"1": "v", "2": "s%d"}`, 2+2*i, i),
			fmt.Sprintf(`"ref": "D%d", "kind": "led", "value": "red", "tags": {"A": "s%d", "K": "c%d"}`, i+1, i, i),
		)
	}
	return decode(t, parts, "")
}
