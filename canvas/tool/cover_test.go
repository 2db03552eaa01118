package tool_test

import (
	"slices"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

// What would lie under what is being set down is told before it is.
func TestCoverIsShown(t *testing.T) {
	t.Parallel()
	drawing := []string{"R1 resistor 0,0", "R2 resistor 10,0", "2,0 8,0", "R3 resistor 20,20", "0,10 30,10"}
	tests := []struct {
		name         string
		do           func(h *hand)
		parts        []string
		ink          bool // whether there is a mark
		hides, turns bool
	}{
		{"bare paper", func(h *hand) { h.PlaceByKey('R'); h.Move(at(20, 5)) }, nil, false, false, false},
		{"a part on a part", func(h *hand) { h.PlaceByKey('R'); h.Move(at(0, 0)) }, []string{"R1"}, true, true, false},
		{"a step beside its place", func(h *hand) { h.PlaceByKey('R'); h.Move(at(1, 0)) }, []string{"R1"}, true, false, false},
		{"across a part", func(h *hand) { h.PlaceByKey('R'); h.Turn(); h.Move(at(0, 0)) }, []string{"R1"}, true, false, false},
		{"pin on pin", func(h *hand) { h.PlaceByKey('R'); h.Move(at(-4, 0)) }, nil, false, false, false},
		{"pin on pin, at a right angle", func(h *hand) { h.PlaceByKey('R'); h.Turn(); h.Move(at(-2, 2)) }, nil, false, false, false},
		{"along a wire", func(h *hand) { h.PlaceByKey('R'); h.Move(at(10, 10)) }, nil, false, false, false},
		{"across a wire", func(h *hand) { h.PlaceByKey('R'); h.Turn(); h.Move(at(10, 10)) }, nil, true, false, true},
		{"across a wire, turned into it", func(h *hand) { h.PlaceByKey('R'); h.Turn(); h.Move(at(10, 10)); h.Turn() }, nil, false, false, false},
		{"three pins on a wire", func(h *hand) { h.PlaceByKey('Q'); h.Move(at(10, 10)) }, nil, true, false, false},
		{"a sign on a part", func(h *hand) { h.PlaceByKey('0'); h.Move(at(0, 0)) }, nil, false, false, false},
		{"dragged onto a part", func(h *hand) { h.begin(20, 20, 0, 0) }, []string{"R1"}, true, true, false},
		{"dragged across a wire", func(h *hand) { h.Select("R3"); h.Turn(); h.begin(20, 20, 10, 10) }, nil, true, false, true},
		{"what is joined does not go into a wire", func(h *hand) { h.Select("R1"); h.Turn(); h.begin(0, 0, 10, 10) }, nil, true, false, false},
		{"in the hand of the keys", func(h *hand) { h.Select("R3"); h.PickUp(at(20, 20)); h.Move(at(10, 0)) }, []string{"R2"}, true, true, false},
		{"pasted", func(h *hand) { h.Select("R3"); h.Hang(h.Extract()); h.Move(at(10, 0)) }, []string{"R2"}, true, true, false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, drawing...)
			test.do(h)
			got := h.Overlay().Cover
			if !slices.Equal(got.Parts, test.parts) || got.Empty() == test.ink || got.Hides != test.hides || got.Turns != test.turns {
				t.Errorf("covers %+v, want %+v", got, test)
			}
		})
	}
}

// No gesture leaves one part exactly on another.
func TestNothingIsHidden(t *testing.T) {
	t.Parallel()
	two := []string{"R1 resistor 0,0", "R2 resistor 0,8"}
	tests := []struct {
		name string
		do   func(h *hand)
		want []string
	}{
		{"a new part goes on hanging", func(h *hand) { h.PlaceByKey('R'); h.click(0, 0); h.click(9, 0) }, append(two[:2:2], "R3 resistor 9,0")},
		{"a dragged part goes back", func(h *hand) { h.drag(0, 8, 0, 0) }, two},
		{"and can be dragged further", func(h *hand) { h.begin(0, 8, 0, 0); h.Move(at(0, 1)); h.Release(at(0, 1)) }, []string{"R1 resistor 0,0", "R2 resistor 0,1"}},
		{"a nudged part hops over", func(h *hand) {
			h.Select("R2")
			for range 7 {
				h.Nudge(geom.Pt(0, -1))
			}
			h.Nudge(geom.Pt(0, -1))
		}, []string{"R1 resistor 0,0", "R2 resistor 0,-1"}},
		{"what is in line with itself stays", func(h *hand) { h.Select("R1", "R2"); h.Align(tool.AlignTop) }, two},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, two...)
			test.do(h)
			h.wants(test.want...)
		})
	}
}

// Whatever had no room in line is named.
func TestAlignTellsWhatStayed(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0", "R2 resistor 0,8", "R3 resistor 12,4")
	h.Select("R1", "R2", "R3")
	if stayed := h.Align(tool.AlignTop); !slices.Equal(stayed, []string{"R2"}) {
		t.Errorf("%v stayed, want R2: it would lie on R1", stayed)
	}
	h.wants("R1 resistor 0,0", "R2 resistor 0,8", "R3 resistor 12,0")
	h = draw(t, "R1 resistor 0,0", "R2 resistor 10,3", "R3 resistor 20,6")
	h.Select("R1", "R2", "R3")
	if stayed := h.Align(tool.AlignTop); len(stayed) > 0 {
		t.Errorf("%v stayed", stayed)
	}
}

// Every pin of every kind, however it lies, is found where it stands.
func TestEveryPinIsHit(t *testing.T) {
	t.Parallel()
	for _, k := range model.Kinds() {
		for turn := 0; turn < 360; turn += 90 {
			p := k.NewPart(geom.Pt(3, -2))
			p.Ref, p.Orient.Turn = "X1", turn
			for _, pin := range p.PlacedPins() {
				off := canvas.OnGrid(pin.At).Add(canvas.Pt(4, -4))
				if got := tool.Hit(&model.Diagram{Parts: []*model.Part{p}}, off); got.Pin != pin.Name || got.At != pin.At {
					t.Errorf("%s turned by %d: at pin %s is %+v", k.Name, turn, pin.Name, got)
				}
			}
		}
	}
}
