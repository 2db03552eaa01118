package net

import (
	"fmt"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

// Whichever question is the last, building ends there; and questions are not
// far apart.
func TestBuildUntil(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{}
	for i := range 3000 {
		d.Parts = append(d.Parts, &model.Part{
			Ref: fmt.Sprint("R", i), Kind: "resistor", Placed: true, At: geom.Point{X: i * 10, Y: 0},
			Tags: map[string]string{"1": fmt.Sprint("a", i)},
		})
	}
	asked, last := 0, 0
	ended := func() bool { asked++; return asked == last }
	if n := BuildUntil(d, ended); n == nil || len(n.Nets) != len(Build(d).Nets) {
		t.Fatal("not the nets that Build makes")
	}
	whole := asked
	if least := len(d.Parts) / 100; whole < least {
		t.Errorf("asked %d times, want %d", whole, least)
	}
	for last = 1; last <= whole; last++ {
		asked = 0
		if n := BuildUntil(d, ended); n != nil || asked != last {
			t.Errorf("asked %d times when %d was the last: %v", asked, last, n != nil)
		}
	}
}
