package drain

import (
	"context"
	"fmt"
	"testing"

	"copperglass/model"
)

// wall is a battery with n LEDs, each behind a resistor of its own, in two
// modes: all of them lit, and none.
func wall(n int) *model.Diagram {
	d := &model.Diagram{Parts: []*model.Part{
		{Ref: "BT1", Kind: "battery", Value: "3 × LR6", Tags: map[string]string{"+": "p", "-": "GND"}},
		{Ref: "S1", Kind: "switch", Tags: map[string]string{"1": "p", "2": "q"}},
	}}
	for i := range n {
		middle := fmt.Sprint("m", i)
		d.Parts = append(d.Parts,
			&model.Part{Ref: fmt.Sprint("R", i+1), Kind: "resistor", Value: fmt.Sprint(1000*n, " Ω"), Tags: map[string]string{"1": "q", "2": middle}},
			&model.Part{Ref: fmt.Sprint("D", i+1), Kind: "led", Value: "red", Tags: map[string]string{"A": middle, "K": "GND"}})
	}
	for _, state := range []string{"open", "closed"} {
		d.Modes = append(d.Modes, &model.Mode{Name: state, Set: map[string]string{"S1": state}})
	}
	return d
}

// BenchmarkOfModes follows a drawing of so many parts in both of its modes.
func BenchmarkOfModes(b *testing.B) {
	for _, parts := range []int{20, 200, 2000, 20_000} {
		d := wall(parts / 2)
		b.Run(fmt.Sprint(parts), func(b *testing.B) {
			for b.Loop() {
				runs, err := OfModes(context.Background(), d, Options{})
				if err != nil || len(runs["closed"].Points) == 0 {
					b.Fatal(err, runs)
				}
			}
		})
	}
}
