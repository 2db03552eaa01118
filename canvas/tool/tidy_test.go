package tool_test

import (
	"math/rand/v2"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

// meets returns a place that a wire passes twice, but for the end of a ring.
func meets(w *model.Wire) (geom.Point, bool) {
	seen := map[geom.Point]bool{w.Points[0]: true}
	for i := 1; i < len(w.Points); i++ {
		from, to := w.Points[i-1], w.Points[i]
		by := to.Sub(from)
		for steps := max(by.X, -by.X, by.Y, -by.Y); from != to; {
			from = from.Add(geom.Pt(by.X/steps, by.Y/steps))
			if seen[from] && (from != w.Points[0] || w.Ends()[0] != w.Ends()[1]) {
				return from, true
			}
			seen[from] = true
		}
	}
	return geom.Point{}, false
}

// However parts are moved, turned and mirrored, and wires slide, no wire comes to run in a circle
// of its own.
func TestWiresRunInNoCircles(t *testing.T) {
	t.Parallel()
	laid := 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 12))
		h := randomDrawing(t, r, 5+r.IntN(20))
		for i := range 20 {
			h.Select(h.Diagram().Parts[r.IntN(len(h.Diagram().Parts))].Ref)
			before := h.history.Diagram()
			h.randomMove(r)
			for _, w := range h.history.Diagram().Wires {
				if old := before.Wire(w.ID); old == w {
					continue
				}
				laid++
				if p, ok := meets(w); ok {
					t.Fatalf("seed %d, step %d: a wire passes %v twice: %v\n%v", seed, i, p, w.Points, show(before))
				}
			}
		}
	}
	if laid < 1000 {
		t.Errorf("only %d wires were laid anew", laid)
	}
}

// A wire whose part is turned to the other side ends on what it was joined to
// where it comes to it first, and does not go round to where it ended.
func TestTurningLeavesNoLoops(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		drawing []string
		do      func(h *hand)
		want    []string
	}{
		{"onto the wire it ends on", []string{"R1 resistor 12,0", "R2 resistor 6,-6 90", "R3 resistor -6,4", "6,-4 6,4 -4,4", "10,0 6,0"},
			func(h *hand) { h.Select("R1"); h.Nudge(geom.Pt(-10, 8)) },
			[]string{"R1 resistor 2,8", "R2 resistor 6,-6 90", "R3 resistor -6,4", "6,-4 6,4 -4,4", "0,8 0,4"}},
		{"past a branch of its own", []string{"R1 resistor 0,0", "R3 resistor 20,0", "2,0 18,0", "10,0 10,9"},
			func(h *hand) { h.Select("R1"); h.Nudge(geom.Pt(13, 6)) },
			[]string{"R1 resistor 13,6", "R3 resistor 20,0", "15,6 15,0 18,0", "10,0 10,9", "15,0 10,0"}},
		{"turned twice", []string{"R1 resistor 0,0", "R2 resistor 10,0", "R3 resistor -10,0", "2,0 8,0", "-2,0 -8,0", "4,0 4,6", "-4,0 -4,6"},
			func(h *hand) { h.Select("R1"); h.Turn(); h.Turn() },
			[]string{"R1 resistor 0,0 180", "R2 resistor 10,0", "R3 resistor -10,0", "-2,0 -2,-1 4,-1 4,0 8,0", "2,0 2,1 -3,1 -3,0 -8,0", "4,0 4,6", "-4,0 -4,6"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			test.do(h)
			h.wants(test.want...)
		})
	}
}

// A wire keeps a step off the edge of a chip.
func TestWiresKeepOffChips(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor -12,-4", "R2 resistor 20,-4", "R3 resistor -12,4", "R4 resistor 20,4")
	h.Move(at(0, 0))
	h.Place(model.LookupKind("chip"))
	h.click(0, 0)
	h.drag(-10, -4, 18, -4)
	h.drag(-10, 4, 18, 4)
	h.wants(append(show(&model.Diagram{Parts: h.Diagram().Parts}), "-10,-4 -5,-4 -5,-5 18,-5 18,-4", "-10,4 -5,4 -5,5 18,5 18,4")...)
}
