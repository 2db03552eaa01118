package tool_test

import (
	"fmt"
	"slices"
	"testing"

	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

// A turned part goes to free paper: its body and its leads cross nothing.
func TestTurnsGoToFreePaper(t *testing.T) {
	t.Parallel()
	loop := []string{"BT1 battery 0,10", "R2 resistor 16,12 90", "0,8 0,6 16,6 16,10", "0,12 0,14 16,14"}
	tests := []struct {
		name, part string
		want       string
		aside      int
	}{
		{"room enough", "R9 resistor 8,10", "R9 resistor 8,10 90", 0},
		{"a pin would meet a wire, a step on a lead would cross it", "R9 resistor 8,12", "R9 resistor 8,11 90", 1},
		{"its body would cross a wire", "R9 resistor 8,13", "R9 resistor 8,11 90", 2},
		{"its body would lie along a wire", "R9 resistor 8,7 90", "R9 resistor 8,7 180", 0},
		{"a pin away from where its body would be in a wire", "R9 resistor 8,6 90", "R9 resistor 8,7 180", 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, append(loop[:4:4], test.part)...)
			h.Select("R9")
			h.Turn()
			got := show(h.history.Diagram())
			if !slices.Contains(got, test.want) || h.Overlay().Aside != test.aside || h.Overlay().Stuck {
				t.Errorf("got %v, %+v, want %s", got, h.Overlay(), test.want)
			}
			if c := h.Overlay().Cover; !c.Empty() {
				t.Errorf("covers %+v", c)
			}
		})
	}
}

// Where there is no room a part stays, and says so until something else is done.
func TestTurnsWithoutRoomStay(t *testing.T) {
	t.Parallel()
	var drawing []string
	drawing = append(drawing, "R1 resistor 20,20")
	for y := 9; y <= 31; y += 2 { // wires so close that an upright part has no room
		if y != 20 {
			drawing = append(drawing, wireLine(4, 36, y))
		}
	}
	h := draw(t, drawing...)
	h.Select("R1")
	before := h.history.Revision()
	h.Turn()
	if h.history.Revision() != before || !h.Overlay().Stuck {
		t.Fatalf("R1 turned: %v, %+v", show(h.history.Diagram()), h.Overlay())
	}
	h.Select()
	if h.Overlay().Stuck {
		t.Error("nothing is selected, and it is stuck")
	}
	h.Select("R1")
	h.Nudge(geom.Pt(40, 0))
	h.Turn()
	if h.Overlay().Stuck || h.Diagram().Part("R1").Orient.Turn != 90 {
		t.Errorf("on free paper R1 is %+v", h.Diagram().Part("R1"))
	}
}

func wireLine(x0, x1, y int) string { return fmt.Sprintf("%d,%d %d,%d", x0, y, x1, y) }

// What keys have joined and covered is marked as long as things stand there.
func TestNudgesTellWhatTheyJoin(t *testing.T) {
	t.Parallel()
	drawing := []string{"R1 resistor 0,0", "R2 resistor 10,0", "2,0 8,0", "R3 resistor 20,10", "R4 resistor 26,10", "22,10 24,10"}
	h := draw(t, drawing...)
	marks := func(joins []geom.Point, nets []string, parts ...string) {
		t.Helper()
		o := h.Overlay()
		if !slices.Equal(o.Joins, joins) || !slices.Equal(o.Nets, nets) || !slices.Equal(o.Cover.Parts, parts) {
			t.Errorf("marked are %v, %v, %v; want %v, %v, %v\n%v", o.Joins, o.Nets, o.Cover.Parts, joins, nets, parts, show(h.Diagram()))
		}
	}
	h.Select("R3")
	marks(nil, nil)
	h.Nudge(geom.Pt(-6, -9))
	marks(nil, nil)
	h.Nudge(geom.Pt(0, -1))
	marks([]geom.Point{{X: 12}}, []string{"R2.2", "R3.1"})
	if !h.Overlay().Done {
		t.Error("it is not said to be done")
	}
	h.Select("R1")
	marks(nil, nil)
	h.Select("R3")
	marks([]geom.Point{{X: 12}}, []string{"R2.2", "R3.1"}) // it can still be gone on with
	h.Undo()
	h.Nudge(geom.Pt(-6, -9))
	h.Nudge(geom.Pt(-2, -1))
	marks(nil, nil, "R2")
	h.Nudge(geom.Pt(0, -9))
	marks(nil, nil)
	if d := grown(draw(t, drawing...).Diagram(), h.Diagram()); d != "" {
		t.Errorf("what was only passed is joined: %s", d)
	}
}

// A wire does not come back over the lead of the part it is joined to, nor along
// the word beside the lead of a chip.
func TestWiresKeepOffLeads(t *testing.T) {
	t.Parallel()
	h := draw(t, "D1 led 6,0 90", "R1 resistor 0,10", "R2 resistor 20,10", "2,10 18,10", "6,2 6,10")
	h.drag(6, 0, 5, 9)
	h.wants("D1 led 5,9 90", "R1 resistor 0,10", "R2 resistor 20,10", "2,10 18,10", "5,11 6,11 6,10")
	chip := &model.Part{Ref: "IC1", Kind: "chip", Placed: true, Pins: []model.ChipPin{{Number: "1", Role: "output"}, {Number: "2", Role: "ground"}}}
	out := chip.PlacedPins()[0]
	f := model.NewDraft(&model.Diagram{Parts: []*model.Part{chip}})
	r := model.LookupKind("resistor").NewPart(out.At.Add(geom.Pt(out.Out.X*8, 0)))
	r.Ref = "R1"
	f.AddPart(r)
	end := r.PlacedPins()[0].At
	if out.Out.X < 0 {
		end = r.PlacedPins()[1].At
	}
	f.AddWire(&model.Wire{Points: []geom.Point{out.At, end}})
	history := model.NewHistory(f.Diagram())
	k := &hand{tool.NewEditor(history), t, history}
	k.Select("R1")
	k.Nudge(geom.Pt(0, -1))
	w := k.Diagram().Wires[0]
	if at, next := w.Points[0], w.Points[1]; at != out.At || next.Y != at.Y {
		t.Errorf("the wire leaves the chip along %v", w.Points)
	}
}
