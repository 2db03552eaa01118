package tool_test

import (
	"slices"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

// two resistors in a row with a wire between them.
var pair = []string{"R1 resistor 0,0", "R2 resistor 10,0", "2,0 8,0"}

func TestHit(t *testing.T) {
	t.Parallel()
	d := draw(t, append(pair, "8,0 8,6")...).Diagram()
	tests := []struct {
		name string
		p    canvas.Point
		want tool.Target
	}{
		{"a body", at(0, 0.2), tool.Target{Ref: "R1", At: geom.Pt(0, 0)}},
		{"a pin", at(2.2, 0.2), tool.Target{Ref: "R1", Pin: "2", At: geom.Pt(2, 0)}},
		{"a wire", at(4.8, 0.3), tool.Target{Wire: 1, At: geom.Pt(5, 0)}},
		{"the other wire", at(8.3, 4.6), tool.Target{Wire: 2, At: geom.Pt(8, 5)}},
		{"past a wire's end", at(8.1, 6.3), tool.Target{Wire: 2, At: geom.Pt(8, 6)}},
		{"bare paper", at(5, 0.6), tool.Target{At: geom.Pt(5, 1)}},
	}
	for _, test := range tests {
		if got := tool.Hit(d, test.p); got != test.want {
			t.Errorf("%s: %+v, want %+v", test.name, got, test.want)
		}
	}
}

func TestSelect(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.click(0, 0)
	h.selects("R1")
	h.add(10, 0)
	h.selects("R1", "R2")
	h.add(5, 0)
	h.selects("R1", "R2", "#1")
	h.add(0, 0)
	h.selects("R2", "#1")
	h.click(2, 0) // a pin
	h.selects("R1")
	h.click(5, 5)
	h.selects()
	h.SelectAll()
	h.selects("R1", "R2", "#1")
	h.click(10, 0) // one of several
	h.selects("R2")
	h.SelectWires(1)
	h.selects("#1")
	h.wants(pair...)
}

func TestBox(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.begin(-3, -2, 9, 2)
	if o := h.Overlay(); o.Box == nil || *o.Box != (canvas.Rect{Min: at(-3, -2), Max: at(9, 2)}) {
		t.Errorf("the box shown is %v", o.Box)
	}
	h.Release(at(9, 2))
	h.selects("R1", "#1") // R2 is not wholly inside
	h.Press(at(13, 2), tool.Modifiers{Add: true})
	h.Move(at(7, -2))
	h.Release(at(7, -2))
	h.selects("R1", "R2", "#1")
	h.drag(20, 20, 21, 21)
	h.selects()
}

func TestDragPart(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		drawing []string
		drag    [4]float64
		want    []string
	}{
		{"along the wire", pair, [4]float64{0, 0, -3, 0},
			[]string{"R1 resistor -3,0", "R2 resistor 10,0", "-1,0 8,0"}},
		{"across it", pair, [4]float64{0, 0, 0, 3},
			[]string{"R1 resistor 0,3", "R2 resistor 10,0", "2,3 8,3 8,0"}},
		{"onto the wire's other end", pair, [4]float64{0, 0, 6, 0},
			[]string{"R1 resistor 6,0", "R2 resistor 10,0"}},
		{"a corner follows",
			[]string{"R1 resistor 0,0", "R2 resistor 10,6", "2,0 8,0 8,6"}, [4]float64{0, 0, 1, -2},
			[]string{"R1 resistor 1,-2", "R2 resistor 10,6", "3,-2 8,-2 8,6"}},
		{"only the last stretch of a wire that has pins on it",
			[]string{"R1 resistor 0,0", "R2 resistor 6,2 90", "R3 resistor 14,0", "2,0 12,0"}, [4]float64{0, 0, 0, 3},
			[]string{"R1 resistor 0,3", "R2 resistor 6,2 90", "R3 resistor 14,0", "2,3 5,3 5,0 12,0"}},
		{"only up to where another wire ends",
			[]string{"R1 resistor 0,0", "R2 resistor 14,0", "2,0 12,0", "7,0 7,-6"}, [4]float64{14, 0, 14, 4},
			[]string{"R1 resistor 0,0", "R2 resistor 14,4", "2,0 7,0 7,4 12,4", "7,0 7,-6"}},
		{"off a pin it stood on",
			[]string{"R1 resistor 0,0", "R2 resistor 4,0"}, [4]float64{4, 0, 7, 0},
			[]string{"R1 resistor 0,0", "R2 resistor 7,0", "2,0 5,0"}},
		{"off a ground symbol",
			[]string{"R1 resistor 0,0", "GND1 ground 2,0"}, [4]float64{0, 0, -2, 0},
			[]string{"R1 resistor -2,0", "GND1 ground 2,0", "0,0 2,0"}},
		{"off the middle of a wire",
			[]string{"R1 resistor 6,2 90", "0,0 12,0"}, [4]float64{6, 2, 6, 4},
			[]string{"R1 resistor 6,4 90", "0,0 12,0", "6,2 6,0"}},
		{"a wire's end stays with a pin that stays",
			[]string{"R1 resistor 0,0", "R2 resistor 4,0", "2,0 2,6"}, [4]float64{4, 0, 7, 0},
			[]string{"R1 resistor 0,0", "R2 resistor 7,0", "2,0 2,6", "2,0 5,0"}},
		{"a wire from a part to itself goes along",
			[]string{"R1 resistor 0,0", "-2,0 -2,3 2,3 2,0"}, [4]float64{0, 0, 5, 5},
			[]string{"R1 resistor 5,5", "3,5 3,8 7,8 7,5"}},
		{"a wire that slants is laid anew",
			[]string{"R1 resistor 0,0", "R2 resistor 10,4", "2,0 8,4"}, [4]float64{0, 0, 0, -1},
			[]string{"R1 resistor 0,-1", "R2 resistor 10,4", "2,-1 8,-1 8,4"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			d := test.drag
			h.begin(d[0], d[1], d[2], d[3])
			h.wants(test.drawing...) // nothing happens before the button is let go
			shown := show(h.Diagram())
			h.Release(at(d[2], d[3]))
			h.wants(test.want...)
			if !slices.Equal(shown, test.want) {
				t.Errorf("the preview was %v", shown)
			}
			h.Undo()
			h.wants(test.drawing...)
		})
	}
}

func TestDragSeveral(t *testing.T) {
	t.Parallel()
	drawing := []string{
		"R1 resistor 0,0", "R2 resistor 10,0", "R3 resistor 20,0", "2,0 8,0", "5,0 5,4", "12,0 18,0",
	}
	h := draw(t, drawing...)
	h.Select("R1", "R2")
	h.drag(0, 0, 0, 5)
	h.wants("R1 resistor 0,5", "R2 resistor 10,5", "R3 resistor 20,0",
		"2,5 8,5", "5,5 5,4", "12,5 18,5 18,0")
}

func TestDragWire(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		drawing []string
		drag    [4]float64
		want    []string
	}{
		{"slides between pins", pair, [4]float64{5, 0, 6, 3},
			[]string{"R1 resistor 0,0", "R2 resistor 10,0", "2,0 2,3 8,3 8,0"}},
		{"its middle piece slides and the rest follows",
			[]string{"R1 resistor 0,0", "R2 resistor 14,4", "2,0 6,0 6,4 12,4"}, [4]float64{6, 2, 9, 2},
			[]string{"R1 resistor 0,0", "R2 resistor 14,4", "2,0 9,0 9,4 12,4"}},
		{"what ends on it follows",
			append(slices.Clone(pair), "5,0 5,6"), [4]float64{4, 0, 4, 2},
			[]string{"R1 resistor 0,0", "R2 resistor 10,0", "2,0 2,2 8,2 8,0", "5,2 5,6"}},
		{"a wire from it to itself goes along",
			append(slices.Clone(pair), "4,0 4,2 6,2 6,0"), [4]float64{3, 0, 3, -3},
			[]string{"R1 resistor 0,0", "R2 resistor 10,0", "2,0 2,-3 8,-3 8,0", "4,-3 4,-1 6,-1 6,-3"}},
		{"pins on it hold the rest",
			[]string{"R1 resistor 0,0", "R2 resistor 6,2 90", "R3 resistor 14,0", "2,0 12,0"}, [4]float64{9, 0, 9, -2},
			[]string{"R1 resistor 0,0", "R2 resistor 6,2 90", "R3 resistor 14,0", "2,0 6,0 6,-2 12,-2 12,0"}},
		{"a wire joined to nothing goes as it is",
			[]string{"0,0 4,0 4,4"}, [4]float64{2, 0, 3, 1},
			[]string{"1,1 5,1 5,5"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			d := test.drag
			h.drag(d[0], d[1], d[2], d[3])
			h.wants(test.want...)
			h.Undo()
			h.wants(test.drawing...)
		})
	}
}

func TestDragToAndFroChangesNothing(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.begin(0, 0, 5, 5)
	h.Move(at(0.1, 0.1))
	h.Release(at(0.1, 0.1))
	h.wants(pair...)
	if h.history.CanUndo() != "" {
		t.Errorf("there is something to undo: %s", h.history.CanUndo())
	}
}

// A part that hangs together by tags alone has no place to be moved from.
func TestUnplacedPartsStay(t *testing.T) {
	t.Parallel()
	f := model.NewDraft(draw(t, pair...).Diagram())
	f.AddPart(&model.Part{Ref: "R9", Kind: "resistor", Tags: map[string]string{"1": "a"}})
	history := model.NewHistory(f.Diagram())
	e := tool.NewEditor(history)
	before := history.Diagram().Part("R9")
	e.Select("R1", "R9")
	e.Nudge(geom.Pt(1, 1))
	e.Turn()
	e.Mirror()
	if after := history.Diagram().Part("R9"); after != before {
		t.Errorf("R9 was %+v and is %+v", before, after)
	}
	e.Delete()
	if history.Diagram().Part("R9") != nil {
		t.Error("R9 is selected and not deleted")
	}
}

// wall is a row of resistors, pin on pin, between two others: more than a way
// looks about for at first.
var wall = []string{
	"R1 resistor 0,0", "R2 resistor 14,0", "R3 resistor 7,-20 90", "R4 resistor 7,-16 90", "R5 resistor 7,-12 90",
	"R6 resistor 7,-8 90", "R7 resistor 7,-4 90", "R8 resistor 7,0 90", "R9 resistor 7,4 90", "R10 resistor 7,8 90",
	"R11 resistor 7,12 90", "R12 resistor 7,16 90", "R13 resistor 7,20 90", "R14 resistor 7,24 90",
}

func TestDrawWire(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		drawing []string
		drag    [4]float64
		want    []string // the wires there are then
	}{
		{"straight", pair[:2], [4]float64{2, 0, 8, 0}, []string{"2,0 8,0"}},
		{"to bare paper", pair[:2], [4]float64{2, 0, 5, 4}, []string{"2,0 5,0 5,4"}},
		{"leaves a pin outwards", []string{"R1 resistor 0,0", "R2 resistor 10,6 90"}, [4]float64{2, 0, 10, 4}, []string{"2,0 10,0 10,4"}},
		{"onto a wire", append(pair[:2:2], "R3 resistor 5,6 90", "2,0 8,0"), [4]float64{5, 4, 5, 0.2}, []string{"2,0 8,0", "5,4 5,0"}},
		{"around a part in the way", []string{"R1 resistor 0,0", "R2 resistor 7,0 90", "R3 resistor 14,0"}, [4]float64{2, 0, 12, 0},
			[]string{"2,0 6,0 6,3 12,3 12,0"}},
		{"around a pin", []string{"R1 resistor 0,0", "GND1 ground 6,0", "R3 resistor 14,0"}, [4]float64{2, 0, 12, 0},
			[]string{"2,0 5,0 5,-1 12,-1 12,0"}},
		{"through the part itself where pins bar all other ways",
			[]string{"R1 resistor 0,0", "GND1 ground 2,-1 180", "GND2 ground 3,0 270", "GND3 ground 2,1", "GND4 ground 0,8"}, [4]float64{2, 0, 0, 8},
			[]string{"2,0 1,0 1,1 0,1 0,8"}},
		{"around a long row of parts", wall, [4]float64{2, 0, 12, 0}, []string{"2,0 6,0 6,-23 12,-23 12,0"}},
		{"goes on from an end that is free", []string{"R1 resistor 0,0", "2,0 6,0"}, [4]float64{6, 0, 6, 5}, []string{"2,0 6,0 6,5"}},
		{"goes on from a first end", []string{"R1 resistor 10,0", "4,0 8,0"}, [4]float64{4, 0, 0, 0}, []string{"8,0 0,0"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			d := test.drag
			h.drag(d[0], d[1], d[2], d[3])
			parts := show(&model.Diagram{Parts: h.Diagram().Parts})
			h.wants(append(parts, test.want...)...)
			h.Undo()
			h.wants(test.drawing...)
		})
	}
}

func TestWireTool(t *testing.T) {
	t.Parallel()
	h := draw(t, pair[:2]...)
	h.DrawWires(true)
	h.click(2, 0)
	h.Move(at(2, 4))
	h.click(5, 4) // on bare paper: a bend
	h.Move(at(6, 6))
	if !h.Busy() {
		t.Fatal("the wire ended on bare paper")
	}
	h.click(8, 0)
	if h.Busy() {
		t.Error("the wire did not end on a pin")
	}
	h.wants(append(pair[:2:2], "2,0 5,0 5,4 8,4 8,0")...)
	h.Undo() // all of its bends
	h.wants(pair[:2]...)
	h.Redo()

	h.click(12, 0)
	h.click(15, 5)
	h.click(15, 5) // twice at one place: the end
	if h.Busy() {
		t.Error("the wire did not end where it was clicked twice")
	}
	h.Move(at(20, 20))
	h.wants(append(pair[:2:2], "2,0 5,0 5,4 8,4 8,0", "12,0 15,0 15,5")...)

	h.click(0, 10)
	h.Move(at(3, 12))
	h.Cancel()
	if h.Busy() || !h.DrawingWires() {
		t.Error("cancelling should drop the wire and keep the tool")
	}
	h.Cancel()
	if h.DrawingWires() {
		t.Error("cancelling again should drop the tool")
	}
	h.click(0, 0)
	h.selects("R1")
}

func TestPlace(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.Move(at(5, 8))
	if !h.PlaceByKey('r') || h.Placing().Name != "resistor" {
		t.Fatal("R should place a resistor")
	}
	h.Move(at(6, 9))
	h.Turn()
	h.wants(pair...)
	h.click(6, 9)
	h.wants("R1 resistor 0,0", "R2 resistor 10,0", "R3 resistor 6,9 90", "2,0 8,0")
	h.selects("R3")
	if h.Placing() != nil {
		t.Error("the part still hangs on the pointer")
	}
	h.Undo()
	h.wants(pair...)
}

func TestPlaceByKeyGoesRound(t *testing.T) {
	t.Parallel()
	h := draw(t)
	seen := map[string]int{}
	for range 7 {
		h.PlaceByKey('D')
		seen[h.Placing().Name]++
	}
	if len(seen) != 3 || seen["diode"] != 3 {
		t.Errorf("seven presses of D placed %v", seen)
	}
	if h.PlaceByKey('?') {
		t.Error("no kind answers to ?")
	}
	h.Cancel()
	if h.Busy() {
		t.Error("the part still hangs on the pointer")
	}
	h.wants()
}

func TestPlaceOnWire(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		drawing []string
		want    []string // wires
	}{
		{"in its middle", []string{"0,0 12,0"}, []string{"0,0 4,0", "8,0 12,0"}},
		{"from the right", []string{"12,0 0,0"}, []string{"12,0 8,0", "4,0 0,0"}},
		{"at its beginning", []string{"4,0 12,0 12,4"}, []string{"8,0 12,0 12,4"}},
		{"at its end", []string{"4,4 4,0 8,0"}, []string{"4,4 4,0"}},
		{"all of it", []string{"4,0 8,0"}, nil},
		{"not across", []string{"6,-4 6,4"}, []string{"6,-4 6,4"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			h.PlaceByKey('R')
			h.click(6, 0)
			h.wants(append([]string{"R1 resistor 6,0"}, test.want...)...)
			h.Undo()
			h.wants(test.drawing...)
		})
	}
}

// Nothing is set down where it would look as if it were in a wire and is bridged by
// it: what is new goes on hanging.
func TestPlacedPartsAreNotBridged(t *testing.T) {
	t.Parallel()
	h := draw(t, "0,0 12,0", "6,0 6,9")
	h.PlaceByKey('R')
	h.click(6, 0)
	h.wants("0,0 12,0", "6,0 6,9")
	if h.Placing() == nil || !h.Refused() || !slices.Equal(h.Overlay().Cover.Bridges, []string{"R1"}) {
		t.Errorf("hangs %v, refused %t, %+v", h.Placing(), h.Refused(), h.Overlay())
	}
	h.click(6, 4)
	h.wants("R1 resistor 6,4", "0,0 12,0", "6,0 6,9")
}

// A part that nothing is joined to, dragged onto a wire, interrupts it like a
// new one, and so do several; one that is joined goes back.
func TestDragOntoWire(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		drawing []string
		refs    []string
		want    []string
	}{
		{"alone", []string{"R1 resistor 6,8", "0,0 12,0"}, []string{"R1"}, []string{"R1 resistor 6,0", "0,0 4,0", "8,0 12,0"}},
		{"joined", []string{"R1 resistor 6,8", "0,0 12,0", "8,8 12,8 12,4"}, []string{"R1"},
			[]string{"R1 resistor 6,8", "0,0 12,0", "8,8 12,8 12,4"}},
		{"with another", []string{"R1 resistor 6,8", "R2 resistor 6,12", "0,0 12,0"}, []string{"R1", "R2"},
			[]string{"R1 resistor 6,0", "R2 resistor 6,4", "0,0 4,0", "8,0 12,0"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			h.Select(test.refs...)
			h.begin(6, 8, 6, 0)
			if back := slices.Equal(test.want, test.drawing); h.Refused() != back {
				t.Errorf("refused is %t", !back)
			}
			h.Release(at(6, 0))
			h.wants(test.want...)
			h.Undo()
			h.wants(test.drawing...)
		})
	}
}

func TestJoinsAreShown(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		do   func(h *hand)
		want []geom.Point
	}{
		{"nothing new", func(h *hand) { h.begin(0, 0, 0, 3) }, nil},
		{"a pin comes onto a pin", func(h *hand) { h.begin(10, 10, 10, 0) }, []geom.Point{{X: 8, Y: 0}, {X: 12, Y: 0}}},
		{"a part comes into a wire", func(h *hand) { h.begin(10, 10, 5, 0) }, []geom.Point{{X: 3, Y: 0}, {X: 7, Y: 0}}},
		{"a pin comes onto a wire", func(h *hand) { h.begin(10, 10, 7, 0) }, []geom.Point{{X: 5, Y: 0}}},
		{"a wire that ends nowhere", func(h *hand) { h.begin(8, 10, 5, 8) }, nil},
		{"a wire comes to a wire", func(h *hand) { h.begin(8, 10, 5, 0) }, []geom.Point{{X: 5, Y: 0}}},
		{"a wire within its net", func(h *hand) { h.begin(2, 0, 8, 0) }, []geom.Point{{X: 8, Y: 0}}},
		{"a new part in a wire", func(h *hand) { h.PlaceByKey('R'); h.Move(at(5, 0)) }, []geom.Point{{X: 3, Y: 0}, {X: 7, Y: 0}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, append(pair[:3:3], "R3 resistor 10,10")...)
			if test.do(h); !slices.Equal(h.Overlay().Joins, test.want) {
				t.Errorf("joins at %v, want %v", h.Overlay().Joins, test.want)
			}
		})
	}
}

// What a gesture would part is marked where it does.
func TestBreaksAreShown(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		do   func(h *hand)
		want []geom.Point
	}{
		{"a part is moved", func(h *hand) { h.begin(0, 0, 0, 3) }, nil},
		{"a wire slides", func(h *hand) { h.begin(5, 0, 5, 3) }, nil},
		{"a wire is drawn", func(h *hand) { h.begin(8, 10, 5, 0) }, nil},
		{"a part comes into a wire", func(h *hand) { h.begin(10, 10, 5, 0) }, []geom.Point{{X: 5, Y: 0}}},
		{"a new part comes into a wire", func(h *hand) { h.PlaceByKey('R'); h.Move(at(5, 0)) }, []geom.Point{{X: 5, Y: 0}}},
		{"a part is pasted into a wire", func(h *hand) { h.Select("R3"); h.Hang(h.Extract()); h.Move(at(5, 0)) }, []geom.Point{{X: 5, Y: 0}}},
		{"a part leaves its wires", func(h *hand) { h.begin(0, 0, 0, 3); h.LeaveWires() }, []geom.Point{{X: 2, Y: 0}}},
		{"and takes them along again", func(h *hand) { h.begin(0, 0, 0, 3); h.LeaveWires(); h.LeaveWires() }, nil},
		{"a new part comes onto a wire", func(h *hand) { h.PlaceByKey('R'); h.Move(at(7, 0)) }, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, append(pair[:3:3], "R3 resistor 10,10")...)
			if test.do(h); !slices.Equal(h.Overlay().Breaks, test.want) {
				t.Errorf("breaks at %v, want %v", h.Overlay().Breaks, test.want)
			}
		})
	}
}

// Dragged without its wires a part leaves them as they are, and goes into another
// wire as a new one does.
func TestLeaveWires(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 5,0", "0,0 3,0", "7,0 10,0", "0,9 10,9")
	h.LeaveWires() // nothing is dragged
	h.begin(5, 0, 5, 5)
	h.LeaveWires()
	h.Move(at(5, 9))
	h.Release(at(5, 9))
	h.wants("R1 resistor 5,9", "0,0 3,0", "7,0 10,0", "0,9 3,9", "7,9 10,9")
	h.Undo()
	h.wants("R1 resistor 5,0", "0,0 3,0", "7,0 10,0", "0,9 10,9")
}

// Lost releases, cancelled gestures and edits from elsewhere must not do what
// nobody asked for.
func TestInterrupted(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		do   func(h *hand)
	}{
		{"release without press", func(h *hand) { h.Release(at(5, 5)) }},
		{"release of a press before the part was taken", func(h *hand) {
			h.begin(20, 20, 22, 22)
			h.PlaceByKey('R')
			h.Release(at(25, 25))
			h.Cancel()
		}},
		{"cancelled drag", func(h *hand) { h.begin(0, 0, 5, 5); h.Cancel(); h.Release(at(9, 9)) }},
		{"cancelled wire", func(h *hand) { h.begin(2, 0, 5, 5); h.Cancel(); h.Release(at(9, 9)) }},
		{"press whose release was lost", func(h *hand) { h.begin(0, 0, 5, 5); h.click(30, 30) }},
		{"wire whose release was lost", func(h *hand) { h.begin(2, 0, 5, 5); h.click(30, 30) }},
		{"undo in the middle", func(h *hand) { h.begin(0, 0, 5, 5); h.Undo(); h.Release(at(5, 5)) }},
		{"commands in the middle", func(h *hand) {
			h.begin(0, 0, 5, 5)
			h.Turn()
			h.Mirror()
			h.Nudge(geom.Pt(1, 0))
			h.Delete()
			h.Duplicate()
			h.Cancel()
		}},
		{"commands on nothing", func(h *hand) {
			h.Turn()
			h.Mirror()
			h.Nudge(geom.Pt(1, 0))
			h.Delete()
			h.Duplicate()
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, pair...)
			test.do(h)
			h.wants(pair...)
			if h.Busy() {
				t.Error("a gesture is still under way")
			}
		})
	}
}

func TestHistoryChangedBesideTheEditor(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.begin(0, 0, 5, 5)
	f := model.NewDraft(h.history.Diagram())
	f.RemovePart("R1")
	if err := h.history.Do(f.Edit("delete")); err != nil {
		t.Fatal(err)
	}
	h.Release(at(5, 5))
	h.wants(pair[1:]...)
}

func TestWireToolKeepsGoingAfterLostRelease(t *testing.T) {
	t.Parallel()
	h := draw(t, pair[:2]...)
	h.DrawWires(true)
	h.Press(at(2, 0), tool.Modifiers{})
	h.click(8, 0)
	h.wants(pair...)
}

// A wire that hangs on the pointer is bent by a click on bare paper and ended by
// one on a pin, or by the second at one place.
func TestAWireThatHangs(t *testing.T) {
	t.Parallel()
	h := draw(t, pair[:2]...)
	h.BeginWire(at(2, 0))
	h.click(5, 4)
	if hangs, bent := h.HangingWire(); !hangs || !bent {
		t.Fatalf("after a click on bare paper it hangs: %v, bent: %v", hangs, bent)
	}
	h.click(8, 0)
	if h.Busy() || h.DrawingWires() {
		t.Error("the wire goes on behind a pin")
	}
	h.wants(append(pair[:2:2], "2,0 5,0 5,4 8,4 8,0")...)
	h.Undo()

	h.BeginWire(at(2, 0))
	h.click(5, 4)
	h.click(5, 4)
	if h.Busy() {
		t.Error("the wire goes on after two clicks at one place")
	}
	h.wants(append(pair[:2:2], "2,0 5,0 5,4")...)
	h.BeginWire(at(5, 4)) // and on from its end
	h.Move(at(7, 7))
	h.Cancel()
	h.wants(append(pair[:2:2], "2,0 5,0 5,4")...)
	h.selects()

	h.BeginWire(at(8, 0))
	h.click(0, 0)
	if hangs, _ := h.HangingWire(); !hangs {
		t.Error("the wire ends on the body of a part, where it joins nothing")
	}
	h.Cancel()
	h.Undo()

	h.BeginWire(at(8, 0))
	h.click(8, 0)
	if h.Busy() {
		t.Error("a wire that goes nowhere hangs on")
	}
	h.selects()
}

// Where wires end or meet a drag draws another; a click there selects.
func TestDrawWireFromAJoint(t *testing.T) {
	t.Parallel()
	wired := append(pair[:2:2], "R3 resistor 5,6 90", "2,0 8,0")
	for _, test := range []struct {
		name   string
		more   []string
		x0, y0 float64
		want   []string
	}{
		{"where one ends on another", []string{"5,0 5,-3"}, 5, 0, []string{"5,0 5,-3", "5,0 5,4"}},
		{"where two ends meet", []string{"5,0 5,2", "5,2 9,2"}, 5, 2, []string{"5,0 5,2", "5,2 9,2", "5,2 5,4"}},
		{"a loose end goes on", []string{"5,0 5,2"}, 5, 2, []string{"5,0 5,4"}},
	} {
		h := draw(t, append(wired[:4:4], test.more...)...)
		h.drag(test.x0, test.y0, 5, 4)
		h.wants(append(wired[:4:4], test.want...)...)
		h.click(test.x0, test.y0)
		if h.Selection().Empty() {
			t.Errorf("%s: a click selects nothing", test.name)
		}
	}
}

// A new wire leads over a loose end, which it joins, and round a pin.
func TestANewWireJoinsLooseEnds(t *testing.T) {
	t.Parallel()
	h := draw(t, append(pair[:2:2], "R3 resistor 5,6 90", "5,4 5,0")...)
	h.begin(2, 0, 8, 0)
	if got := h.Overlay().Joins; !slices.Contains(got, pt(5, 0)) {
		t.Errorf("the joins shown are %v", got)
	}
	h.Release(at(8, 0))
	h.wants(append(pair[:2:2], "R3 resistor 5,6 90", "5,4 5,0", "2,0 8,0")...)

	h = draw(t, append(pair[:2:2], "R3 resistor 5,2 90")...)
	h.drag(2, 0, 8, 0)
	if got := h.Overlay().Joins; len(got) > 0 || h.history.Diagram().Wires[0].Touches(pt(5, 0)) {
		t.Errorf("the wire %v runs over a pin", h.history.Diagram().Wires[0].Points)
	}
}

// A part that lies along the loose end of a wire comes to its end.
func TestPlaceOnALooseEnd(t *testing.T) {
	t.Parallel()
	for _, test := range []struct {
		name  string
		wires []string
		want  []string
	}{
		{"over the end", []string{"2,0 6,0"}, []string{"2,0 3,0"}},
		{"over both ends of a gap", []string{"2,0 4,0", "8,0 6,0"}, []string{"2,0 3,0", "8,0 7,0"}},
		{"over an end that was drawn the other way", []string{"6,0 2,0 2,5"}, []string{"2,5 2,0 3,0"}},
		{"over the whole of a wire behind a pin", []string{"3,0 5,0"}, nil},
		{"over an end that is joined", []string{"2,0 5,0", "5,0 5,4"}, []string{"2,0 5,0", "5,0 5,4"}},
		{"across", []string{"5,4 5,0"}, []string{"5,4 5,0"}},
	} {
		h := draw(t, test.wires...)
		h.PlaceByKey('R')
		h.click(5, 0)
		t.Log(test.name)
		h.wants(append([]string{"R1 resistor 5,0"}, test.want...)...)
	}
}
