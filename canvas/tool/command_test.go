package tool_test

import (
	"fmt"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

func TestTurnAndMirror(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name    string
		drawing []string
		do      func(e *tool.Editor)
		want    []string
	}{
		{"a part with a straight wire", pair, func(e *tool.Editor) { e.Select("R1"); e.Turn() },
			[]string{"R1 resistor 0,0 90", "R2 resistor 10,0", "0,2 8,2 8,0"}},
		{"back", pair, func(e *tool.Editor) { e.Select("R1"); e.TurnBack() },
			[]string{"R1 resistor 0,0 270", "R2 resistor 10,0", "0,-2 8,-2 8,0"}},
		{"mirror", []string{"R1 resistor 0,0", "R2 resistor 8,6 90", "2,0 8,0 8,4"}, func(e *tool.Editor) { e.Select("R1"); e.Mirror() },
			[]string{"R1 resistor 0,0 mirrored", "R2 resistor 8,6 90", "-2,0 -2,1 8,1 8,4"}},
		{"several with the wires between them", pair, func(e *tool.Editor) { e.Select("R1", "R2"); e.Turn() },
			[]string{"R1 resistor 5,-5 90", "R2 resistor 5,5 90", "5,-3 5,3"}},
		{"several mirrored", []string{"R1 resistor 0,0", "R2 resistor 9,0", "2,0 7,0"}, func(e *tool.Editor) { e.Select("R1", "R2"); e.Mirror() },
			[]string{"R1 resistor 9,0 mirrored", "R2 resistor 0,0 mirrored", "7,0 2,0"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, test.drawing...)
			test.do(h.Editor)
			h.wants(test.want...)
			h.Undo()
			h.wants(test.drawing...)
		})
	}
}

// Four quarters, a quarter and back, and two mirrorings bring everything to
// where it was, whatever the middle.
func TestTurnsComeRound(t *testing.T) {
	t.Parallel()
	for _, far := range []string{"R2 resistor 9,0", "R2 resistor 9,4", "R2 resistor 8,5", "R2 resistor -7,-4 180"} {
		drawing := []string{"R1 resistor 0,0", far}
		for _, steps := range [][]func(*tool.Editor){
			{(*tool.Editor).Turn, (*tool.Editor).Turn, (*tool.Editor).Turn, (*tool.Editor).Turn},
			{(*tool.Editor).Turn, (*tool.Editor).Turn, (*tool.Editor).TurnBack, (*tool.Editor).TurnBack},
			{(*tool.Editor).TurnBack, (*tool.Editor).TurnBack, (*tool.Editor).TurnBack, (*tool.Editor).TurnBack},
			{(*tool.Editor).Mirror, (*tool.Editor).Mirror},
		} {
			h := draw(t, drawing...)
			h.Select("R1", "R2")
			for _, step := range steps {
				step(h.Editor)
			}
			h.wants(drawing...)
		}
	}
}

func TestNudge(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.Select("R1")
	h.Nudge(geom.Pt(0, 1))
	h.Nudge(geom.Pt(0, 1))
	h.wants("R1 resistor 0,2", "R2 resistor 10,0", "2,2 8,2 8,0")
	h.Select("R2")
	h.Nudge(geom.Pt(2, 0))
	h.wants("R1 resistor 0,2", "R2 resistor 12,0", "2,2 10,2 10,0")
	h.Undo() // of R2 alone
	h.wants("R1 resistor 0,2", "R2 resistor 10,0", "2,2 8,2 8,0")
	h.Undo()
	h.wants(pair...)
}

func TestNudgeWireStaysJoined(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.SelectWires(1)
	h.Nudge(geom.Pt(1, 0))
	h.wants(pair...)
	h.Nudge(geom.Pt(0, 1))
	h.Nudge(geom.Pt(0, 1))
	h.wants("R1 resistor 0,0", "R2 resistor 10,0", "2,0 2,2 8,2 8,0")
}

func TestDelete(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.Select("R1")
	h.Delete()
	h.wants("R2 resistor 10,0", "2,0 8,0")
	h.selects()
	h.Undo()
	h.wants(pair...)
	h.click(0, 0)
	h.add(5, 0)
	h.Delete()
	h.wants("R2 resistor 10,0")
}

func TestDuplicate(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.Select("R1", "R2")
	h.Duplicate()
	h.wants("R1 resistor 0,0", "R2 resistor 10,0", "R3 resistor 2,2", "R4 resistor 12,2", "2,0 8,0", "4,2 10,2")
	h.selects("R3", "R4", "#2")
	h.Undo()
	h.wants(pair...)
}

func TestDuplicateJoinsNothing(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0", "0,2 0,8")
	h.Select("R1")
	h.Duplicate() // at 2,2 its pin would be on the wire
	h.wants("R1 resistor 0,0", "R2 resistor 4,4", "0,2 0,8")
}

// A copy of a loop lies clear of its original: no ink of a part on another's,
// and no wire through a part.
func TestDuplicateCoversNothing(t *testing.T) {
	t.Parallel()
	h := draw(t, "BT1 battery 0,0", "D1 led 6,4", "0,-2 6,-2 6,2", "6,6 0,6 0,2")
	h.SelectAll()
	h.Duplicate()
	d := h.history.Diagram()
	for i, p := range d.Parts {
		for _, q := range d.Parts[:i] {
			if symbol.Extent(p).Overlaps(symbol.Extent(q)) {
				t.Errorf("%s at %v covers %s at %v", p.Ref, p.At, q.Ref, q.At)
			}
		}
		pins := map[geom.Point]bool{}
		for _, pin := range p.PlacedPins() {
			pins[pin.At] = true
		}
		for _, w := range d.Wires {
			for j := 1; j < len(w.Points); j++ {
				a, b := w.Points[j-1], w.Points[j]
				middle := canvas.Pt(float64(a.X+b.X)*canvas.Grid/2, float64(a.Y+b.Y)*canvas.Grid/2)
				if !pins[a] && !pins[b] && symbol.Extent(p).Contains(middle) {
					t.Errorf("%s lies under the wire from %v to %v", p.Ref, a, b)
				}
			}
		}
	}
	h.Undo()
	h.wants("BT1 battery 0,0", "D1 led 6,4", "0,-2 6,-2 6,2", "6,6 0,6 0,2")
}

func TestPaste(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	h.SelectAll()
	cut := h.Extract()
	h.Delete()
	h.wants()
	h.Hang(cut)
	h.click(20, 10.2)
	h.wants("R1 resistor 15,10", "R2 resistor 25,10", "17,10 23,10")
	h.Hang(cut)
	h.click(20, 20)
	h.wants("R1 resistor 15,10", "R2 resistor 25,10", "R3 resistor 15,20", "R4 resistor 25,20", "17,10 23,10", "17,20 23,20")
	h.selects("R3", "R4", "#2")
	h.Hang(&model.Diagram{})
	h.selects("R3", "R4", "#2")
}

// What is pasted hangs on the pointer, can be turned there, and shows what it
// would join.
func TestPasteHangs(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,0", "R2 resistor 10,0", "2,0 8,0")
	h.Select("R1", "R2")
	cut := h.Extract()
	h.Move(at(5, 9))
	h.Hang(cut)
	if hangs := h.Hanging(); !hangs.Parts["R3"] || !hangs.Parts["R4"] || !hangs.Wires[2] {
		t.Errorf("on the pointer hangs %v", hangs)
	}
	h.wants("R1 resistor 0,0", "R2 resistor 10,0", "2,0 8,0")
	h.Turn()
	h.Move(at(12, 7))
	if got := fmt.Sprint(h.Overlay().Joins); got != "[{12 0}]" {
		t.Errorf("it would join at %v", got)
	}
	h.Move(at(2, 2))
	if got := fmt.Sprint(h.Overlay().Joins); got != "[{2 0}]" {
		t.Errorf("it would join at %v", got)
	}
	h.Move(at(12, 7))
	h.click(12, 7)
	h.wants("R1 resistor 0,0", "R2 resistor 10,0", "R3 resistor 12,2 90", "R4 resistor 12,12 90", "2,0 8,0", "12,4 12,10")
	h.Undo()
	h.Hang(cut)
	h.Cancel()
	h.wants("R1 resistor 0,0", "R2 resistor 10,0", "2,0 8,0")
}

// One part of two pins that is pasted onto a wire goes into it.
func TestPasteIntoWire(t *testing.T) {
	t.Parallel()
	h := draw(t, "R1 resistor 0,10", "0,0 10,0")
	h.Select("R1")
	h.Hang(h.Extract())
	h.click(5, 0)
	h.wants("R1 resistor 0,10", "R2 resistor 5,0", "0,0 3,0", "7,0 10,0")
}

// Parts without a place, or of a kind that nobody knows, get fresh refs, too.
func TestPasteUnknown(t *testing.T) {
	t.Parallel()
	h := draw(t, "X7 widget 0,0")
	from := &model.Diagram{Parts: []*model.Part{{Ref: "x7", Kind: "widget"}}}
	h.Insert("paste", from, geom.Pt(3, 3))
	h.wants("X7 widget 0,0", "x1 widget 0,0")
}

// A part that is deleted is no longer set by any mode, until it comes back.
func TestDeleteFromModes(t *testing.T) {
	t.Parallel()
	h := draw(t, "S1 switch 0,0", "S10 switch 10,0")
	f := model.NewDraft(h.history.Diagram())
	f.AddMode(&model.Mode{Name: "On", Set: map[string]string{"S1": "closed", "S10": "closed"}})
	f.AddMode(&model.Mode{Name: "Off", Set: map[string]string{"S10": "open"}})
	if err := h.Do(f.Edit("modes")); err != nil {
		t.Fatal(err)
	}
	sets := func() string {
		var all []any
		for _, m := range h.history.Diagram().Modes {
			all = append(all, m.Name, m.Set)
		}
		return strings.TrimSpace(fmt.Sprintln(all...))
	}
	before := sets()
	h.Select("S1")
	h.Delete()
	if got := sets(); got != "On map[S10:closed] Off map[S10:open]" {
		t.Errorf("the modes are %s", got)
	}
	h.Undo()
	if got := sets(); got != before {
		t.Errorf("the modes are %s after undo, want %s", got, before)
	}
}
