package net_test

import (
	"fmt"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// A wire is under a part where it leads from pin to pin through it.
func TestUnderlain(t *testing.T) {
	t.Parallel()
	r1 := resistor("R1", 0, 0) // its pins at (0, −2) and (0, 2)
	q1 := symbol("Q1", "npn", "", 20, 0)
	tests := []struct {
		name  string
		parts []*model.Part
		wires []*model.Wire
		want  string
	}{
		{"along it", []*model.Part{r1}, []*model.Wire{wire(0, -6, 0, 6)}, "R1 1 2 [0]"},
		{"from pin to pin", []*model.Part{r1}, []*model.Wire{wire(0, -2, 0, 2)}, "R1 1 2 [0]"},
		{"two that meet under it", []*model.Part{r1}, []*model.Wire{wire(0, 6, 0, 1), wire(0, 1, 0, -4)}, "R1 1 2 [0 1]"},
		{"with a bend at the pin", []*model.Part{r1}, []*model.Wire{wire(5, -2, 0, -2, 0, 2, 5, 2)}, "R1 1 2 [0]"},
		{"around it", []*model.Part{r1}, []*model.Wire{wire(0, -2, 3, -2, 3, 2, 0, 2)}, ""},
		{"interrupted", []*model.Part{r1}, []*model.Wire{wire(0, -6, 0, -2), wire(0, 2, 0, 6)}, ""},
		{"a gap in it, and a way around", []*model.Part{r1}, []*model.Wire{wire(0, -2, 0, 1), wire(0, -2, 4, -2, 4, 2, 0, 2)}, ""},
		{"across it", []*model.Part{r1}, []*model.Wire{wire(-4, 0, 4, 0)}, ""},
		{"off the sheet", []*model.Part{{Ref: "R1", Kind: "resistor"}}, []*model.Wire{wire(0, -6, 0, 6)}, ""},
		{"collector to emitter", []*model.Part{q1}, []*model.Wire{wire(20, -4, 20, 4)}, "Q1 C E [0]"},
		{"two parts", []*model.Part{r1, resistor("R2", 0, 10)}, []*model.Wire{wire(0, -6, 0, 20)}, "R1 1 2 [0], R2 1 2 [0]"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			d := &model.Diagram{Parts: test.parts, Wires: test.wires}
			var got []string
			for _, u := range net.Build(d).Underlain(d) {
				got = append(got, fmt.Sprint(d.Parts[u.Part].Ref, " ", u.Pins[0], " ", u.Pins[1], " ", u.Wires))
			}
			if got := strings.Join(got, ", "); got != test.want {
				t.Errorf("got %q, want %q", got, test.want)
			}
		})
	}
}

// However a part lies, the wire between its pins is found.
func TestUnderlainWhateverWayItLies(t *testing.T) {
	t.Parallel()
	for turn := 0; turn < 360; turn += 90 {
		p := resistor("R1", 3, 4)
		p.Orient = geom.Orientation{Turn: turn, Mirror: turn > 90}
		pins := p.PlacedPins()
		a, b := pins[0].At, pins[1].At
		d := &model.Diagram{Parts: []*model.Part{p}, Wires: []*model.Wire{wire(a.X, a.Y, b.X, b.Y)}}
		if got := net.Build(d).Underlain(d); len(got) != 1 {
			t.Errorf("turned by %d: %v", turn, got)
		}
	}
}
