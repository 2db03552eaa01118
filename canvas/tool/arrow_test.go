package tool_test

import (
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
)

// ends returns where the only selected arrow has its tip and its tail, in grid
// steps.
func (h *hand) ends() [2]canvas.Point {
	h.t.Helper()
	all := h.Handles()
	if len(all) != 2 {
		h.t.Fatalf("the arrow has handles %v", all)
	}
	steps := func(p canvas.Point) canvas.Point { return canvas.Pt(p.X/canvas.Grid, p.Y/canvas.Grid) }
	return [2]canvas.Point{steps(all[0]), steps(all[1])}
}

func TestArrowsAreStretchedByTheirEnds(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name           string
		from, to       [2]float64
		tip, tail      canvas.Point
		turn           int
		length, rise   float64
		changesNothing bool
	}{
		{"the tip away", [2]float64{10, 5}, [2]float64{14, 8}, canvas.Pt(14, 8), canvas.Pt(6, 5), 0, 8, 3, false},
		{"the tip past the tail", [2]float64{10, 5}, [2]float64{2, 6}, canvas.Pt(2, 6), canvas.Pt(6, 5), 180, 4, -1, false},
		{"the tail away", [2]float64{6, 5}, [2]float64{7, 1}, canvas.Pt(10, 5), canvas.Pt(7, 1), 0, 3, 4, false},
		{"the tail past the tip", [2]float64{6, 5}, [2]float64{13, 4}, canvas.Pt(10, 5), canvas.Pt(13, 4), 180, 3, -1, false},
		{"straight up", [2]float64{6, 5}, [2]float64{10, 0}, canvas.Pt(10, 5), canvas.Pt(10, 0), 0, 0, 5, false},
		{"onto itself", [2]float64{6, 5}, [2]float64{10, 5}, canvas.Pt(10, 5), canvas.Pt(6, 5), 0, 4, 0, true},
		{"too far", [2]float64{6, 5}, [2]float64{-300, 5}, canvas.Pt(10, 5), canvas.Pt(6, 5), 0, 4, 0, true},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, "A1 arrow 10,5", "R1 resistor 30,30")
			h.Select("A1")
			h.drag(test.from[0], test.from[1], test.to[0], test.to[1])
			if got := h.ends(); got != [2]canvas.Point{test.tip, test.tail} {
				t.Errorf("the arrow goes from %v to %v, want from %v to %v", got[1], got[0], test.tail, test.tip)
			}
			p := h.Diagram().Part("A1")
			if x, y := model.ArrowTail(p); p.Orient.Turn != test.turn || x != -test.length || y != -test.rise {
				t.Errorf("it lies by %d° with length %g and rise %g", p.Orient.Turn, -x, -y)
			}
			if !symbol.Extent(p).Inset(-1).Contains(canvas.Pt(test.tail.X*canvas.Grid, test.tail.Y*canvas.Grid)) {
				t.Errorf("the tail is not where the symbol has it: %v", symbol.Extent(p))
			}
			if _, undone := h.Undo(); undone == test.changesNothing {
				t.Errorf("there is something to undo: %v", undone)
			}
			h.wants("A1 arrow 10,5", "R1 resistor 30,30")
		})
	}
}

// An arrow is stretched however it lies, its other end stays, and without a move
// nothing happens. Of several that are selected none has handles.
func TestArrowsHaveHandlesWhenSelectedAlone(t *testing.T) {
	t.Parallel()
	h := draw(t, "A1 arrow 10,10", "A2 arrow 30,10")
	for turns := range 8 {
		h.Select("A1")
		h.Turn()
		if turns == 3 {
			h.Mirror()
		}
		before := h.ends()
		tail := before[1]
		h.drag(tail.X, tail.Y, tail.X, tail.Y)
		if got := h.ends(); got != before {
			t.Fatalf("turn %d: without a move the ends go from %v to %v", turns, before, got)
		}
		h.drag(tail.X, tail.Y, tail.X+2, tail.Y+1)
		if got := h.ends(); got != [2]canvas.Point{before[0], tail.Add(canvas.Pt(2, 1))} {
			t.Fatalf("turn %d: the ends are %v after the tail was dragged from %v", turns, got, before)
		}
		h.Undo()
	}
	h.Select("A1", "A2")
	if all := h.Handles(); all != nil {
		t.Errorf("of two selected arrows there are handles %v", all)
	}
	h.Select()
	h.Press(at(30, 10), tool.Modifiers{})
	h.Move(at(30, 14))
	h.Release(at(30, 14))
	if p := h.Diagram().Part("A2"); p.At != pt(30, 14) || p.Params != nil {
		t.Errorf("an arrow that is not selected is moved whole: it is %+v", p)
	}
}
