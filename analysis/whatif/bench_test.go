package whatif

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"copperglass/analysis/drain"
	"copperglass/model/file"
)

// BenchmarkLasting tells what sets how long a battery lasts that lights so many
// LEDs, each with a transistor and two resistors.
func BenchmarkLasting(b *testing.B) {
	for _, n := range []int{5, 25} {
		parts := []string{`{"ref": "BT1", "kind": "battery", "value": "4 x LR20", "tags": {"+": "v", "-": "GND"}}`}
		for i := range n {
			parts = append(parts,
				fmt.Sprintf(`{"ref": "R%d", "kind": "resistor", "value": "10k", "tags": {"1": "v", "2": "b%d"}}`, 1+2*i, i),
				fmt.Sprintf(`{"ref": "Q%d", "kind": "npn", "tags": {"B": "b%d", "C": "c%d", "E": "GND"}}`, i+1, i, i),
				fmt.Sprintf(`{"ref": "R%d", "kind": "resistor", "value": "1k", "tags": {"1": "v", "2": "s%d"}}`, 2+2*i, i),
				fmt.Sprintf(`{"ref": "D%d", "kind": "led", "value": "red", "tags": {"A": "s%d", "K": "c%d"}}`, i+1, i, i))
		}
		d, err := file.Decode(strings.NewReader(`{"format": "copperglass", "version": 1, "parts": [` + strings.Join(parts, ",") + `]}`))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(len(d.Parts)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if c, err := Lasting(b.Context(), d, drain.Options{}, "BT1", nil); err != nil || math.IsNaN(c.Value) {
					b.Fatal(err, c)
				}
			}
		})
	}
}
