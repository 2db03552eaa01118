package tool_test

import (
	"slices"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

// stage is a transistor between a rail above and one below, with what it works
// for. The base is fed from the left.
var stage = []string{
	"R1 resistor 9,3 90", "D1 led 8,14 90", "R2 resistor 16,3 90", "Q1 npn 24,12", "R3 resistor 24,3 90", "BT1 battery 0,10",
	"0,8 0,0 24,0 24,1", "8,0 8,1 9,1", "16,0 16,1", "9,5 9,12 8,12", "16,5 16,12 22,12", "24,5 24,10", "24,14 24,20 0,20 0,12", "8,16 8,20",
}

// wireWith returns the wire that ends at p.
func wireWith(t *testing.T, d *model.Diagram, p geom.Point) *model.Wire {
	t.Helper()
	for _, w := range d.Wires {
		if ends := w.Ends(); ends[0] == p || ends[1] == p {
			return w
		}
	}
	t.Fatalf("no wire ends at %v: %v", p, show(d))
	return nil
}

// A rail that goes on beyond the corner at a turned part's pin stays where it is.
func TestTurningKeepsTheRail(t *testing.T) {
	t.Parallel()
	h := draw(t, stage...)
	before := h.history.Diagram()
	h.Select("Q1")
	h.Turn()
	h.Turn()
	w := wireWith(t, h.Diagram(), geom.Pt(0, 12))
	for x := 0; x <= 21; x++ {
		if !w.Touches(geom.Pt(x, 20)) {
			t.Fatalf("the rail has left (%d, 20): %v", x, show(h.Diagram()))
		}
	}
	if d := comeApart(before, h.Diagram()) + grown(before, h.Diagram()); d != "" {
		t.Error(d)
	}
	h.Turn()
	h.Turn()
	h.wants(stage...)
}

// Where a branch would have to bend, its joint slides along the rail.
func TestJointsSlideAlongRails(t *testing.T) {
	t.Parallel()
	fork := []string{"R1 resistor 8,4 90", "R2 resistor 20,0", "R3 resistor -2,0", "0,0 18,0", "8,0 8,2"}
	with := func(r1, branch string) []string {
		all := slices.Clone(fork)
		all[0], all[4] = r1, branch
		return all
	}
	tests := []struct {
		name    string
		drawing []string
		by      geom.Point
		want    []string
	}{
		{"a step aside", fork, geom.Pt(1, 0), with("R1 resistor 9,4 90", "9,0 9,2")},
		{"aside and away", fork, geom.Pt(3, 2), with("R1 resistor 11,6 90", "11,0 11,4")},
		{"away", fork, geom.Pt(0, 2), with("R1 resistor 8,6 90", "8,0 8,4")},
		{"past the end of the rail", fork, geom.Pt(14, 3), with("R1 resistor 22,7 90", "8,0 8,2 22,2 22,5")},
		{"not onto what crosses", append(with("R1 resistor 8,4 90", "8,0 8,2"), "9,-5 9,1 12,1"), geom.Pt(1, 0),
			append(with("R1 resistor 9,4 90", "8,0 8,2 9,2"), "9,-5 9,1 12,1")},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			before := h.history.Diagram()
			h.Select("R1")
			h.Nudge(test.by)
			if d := comeApart(before, h.Diagram()) + grown(before, h.Diagram()); d != "" {
				t.Error(d)
			}
			h.wants(test.want...)
		})
	}
}
