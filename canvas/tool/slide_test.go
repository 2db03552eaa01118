package tool_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// A piece of a wire stops before a part that it would run under, and goes on
// behind it.
func TestSlidesStopBeforeParts(t *testing.T) {
	t.Parallel()
	drawing := []string{"R1 resistor 0,0", "R2 resistor 0,12", "R3 resistor 10,6 90", "2,0 4,0 4,12 2,12"}
	tests := []struct {
		to    float64
		wire  string
		stops []string
	}{
		{7, "2,0 7,0 7,12 2,12", nil},
		{10, "2,0 9,0 9,12 2,12", []string{"R3"}},
		{11, "2,0 11,0 11,12 2,12", nil},
		{14, "2,0 14,0 14,12 2,12", nil},
	}
	for _, test := range tests {
		t.Run(fmt.Sprint("to ", test.to), func(t *testing.T) {
			t.Parallel()
			h := draw(t, drawing...)
			h.begin(4, 6, test.to, 6)
			if got := h.Overlay().Stops; !slices.Equal(got, test.stops) || !h.Sliding() {
				t.Errorf("%v stop it, want %v; slides: %t", got, test.stops, h.Sliding())
			}
			h.Release(at(test.to, 6))
			h.wants(append(drawing[:3:3], test.wire)...)
		})
	}
}

// Where there is no place between parts either, it stays on this side of them.
func TestSlidesStayBeforeManyParts(t *testing.T) {
	t.Parallel()
	drawing := []string{"R1 resistor 0,0", "R2 resistor 0,12"}
	for x := 10; x <= 30; x += 4 {
		drawing = append(drawing, fmt.Sprintf("R%d resistor %d,6", x, x))
	}
	for _, to := range []float64{26, 22, 30} {
		h := draw(t, append(drawing, "2,0 4,0 4,12 2,12")...)
		h.begin(4, 9, 24, 9)
		h.Move(at(to, 9))
		if len(h.Overlay().Stops) == 0 {
			t.Errorf("to %g nothing is in the way", to)
		}
		h.Release(at(to, 9))
		h.wants(append(drawing, "2,0 7,0 7,12 2,12")...)
	}
}

// Where the end of a rail draws back, what is joined to the rail stays joined by
// the piece that was there.
func TestRailsStayWhereTheirEndSlidesAway(t *testing.T) {
	t.Parallel()
	parts := []string{"BT1 battery 0,10", "GND1 ground 0,20", "R1 resistor 4,17 90", "D1 led 20,15 90"}
	draws := func(wires ...string) []string { return append(parts[:4:4], wires...) }
	whole := []string{"0,12 0,20 20,20 20,17", "4,19 4,20"}
	tests := []struct {
		name string
		to   float64
		want []string
	}{
		{"past what is joined to it", 8, []string{"0,12 8,12 8,20 20,20 20,17", "4,19 4,20", "8,20 0,20"}},
		{"not as far", 2, []string{"0,12 2,12 2,20 20,20 20,17", "4,19 4,20", "2,20 0,20"}},
		{"past its other end", 24, []string{"0,12 24,12 24,20 20,20 20,17", "4,19 4,20", "20,20 0,20"}},
		{"away", -3, []string{"0,12 -3,12 -3,20 20,20 20,17", "4,19 4,20", "-3,20 0,20"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			h := draw(t, draws(whole...)...)
			before := h.history.Diagram()
			h.drag(0, 16, test.to, 16)
			if test.to < 0 { // the rail itself goes on to the corner
				test.want = test.want[:2]
			}
			h.wants(draws(test.want...)...)
			if d := comeApart(before, h.Diagram()) + grown(before, h.Diagram()); d != "" {
				t.Error(d)
			}
			h.Undo()
			h.wants(draws(whole...)...)
		})
	}
}

// hidden returns the parts that a wire runs under well within their ink.
func hidden(d *model.Diagram) map[string]bool {
	found := map[string]bool{}
	for _, p := range d.Parts {
		if k := p.LookupKind(); !p.Placed || k.Equation == nil {
			continue
		}
		inner := symbol.Extent(p).Inset(0.3 * canvas.Grid)
		for _, w := range d.Wires {
			for i := 1; i < len(w.Points); i++ {
				a, b := canvas.OnGrid(w.Points[i-1]), canvas.OnGrid(w.Points[i])
				const steps = 40
				for j := range steps + 1 {
					if q := a.Add(canvas.Pt((b.X-a.X)*float64(j)/steps, (b.Y-a.Y)*float64(j)/steps)); inner.Contains(q) {
						found[fmt.Sprint(p.Ref, " ", w.ID)] = true
					}
				}
			}
		}
	}
	return found
}

// Wherever a wire slides, it runs under no part that it did not run under, and
// joins nothing without a mark.
func TestSlidesHideNothing(t *testing.T) {
	t.Parallel()
	slid, stopped := 0, 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 9))
		h := randomDrawing(t, r, 4+r.IntN(12))
		for i := range 12 {
			before := h.history.Diagram()
			if len(before.Wires) == 0 {
				break
			}
			w := before.Wires[r.IntN(len(before.Wires))]
			x, y := float64(w.Points[0].X+w.Points[1].X)/2, float64(w.Points[0].Y+w.Points[1].Y)/2
			h.click(x+1000, y)
			h.begin(x, y, x+float64(r.IntN(25)-12), y+float64(r.IntN(25)-12))
			if !h.Sliding() {
				h.Cancel()
				continue
			}
			after, marks := h.Diagram(), h.Overlay()
			was := hidden(before)
			for what := range hidden(after) {
				if !was[what] && before.Wire(wireOf(what)) != nil {
					t.Fatalf("seed %d, step %d: %s lies hidden\n%v\n%v", seed, i, what, show(before), show(after))
				}
			}
			if apart := comeApart(before, after); apart != "" {
				t.Fatalf("seed %d, step %d: %s came apart\n%v\n%v", seed, i, apart, show(before), show(after))
			}
			if joins := grown(before, after); joins != "" && len(marks.Joins) == 0 {
				t.Fatalf("seed %d, step %d: %s without a mark\n%v\n%v", seed, i, joins, show(before), show(after))
			}
			if after != before {
				slid++
			}
			stopped += len(marks.Stops)
			h.Release(at(x, y))
		}
	}
	if slid < 200 || stopped < 20 {
		t.Errorf("only %d slid, %d stopped", slid, stopped)
	}
}

// wireOf returns the wire of what hidden tells.
func wireOf(what string) (id model.WireID) {
	fmt.Sscan(strings.Fields(what)[1], &id)
	return id
}

// bridged returns the parts that wires bridge under them.
func bridged(d *model.Diagram) map[string]bool {
	found := map[string]bool{}
	for _, u := range net.Build(d).Underlain(d) {
		found[d.Parts[u.Part].Ref] = true
	}
	return found
}

// No gesture leaves a part that a wire bridges under it and that it did not before;
// and whatever joins or parts anything is marked, before the button is let go or,
// where keys do it, as long as things stand there.
func TestNothingChangesUnseen(t *testing.T) {
	t.Parallel()
	refused, joins := 0, 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 10))
		h := randomDrawing(t, r, 4+r.IntN(14))
		for i := range 14 {
			h.randomSelection(r)
			before := h.history.Diagram()
			did, marks := h.seenMove(r)
			after := h.history.Diagram()
			was := bridged(before)
			for ref := range bridged(after) {
				if !was[ref] {
					t.Fatalf("seed %d, step %d, %s: %s is bridged by a wire under it\n%v\n%v", seed, i, did, ref, show(before), show(after))
				}
			}
			if len(marks.Cover.Bridges) > 0 {
				refused++
			}
			if apart := comeApart(before, after); apart != "" && len(marks.Breaks) == 0 {
				t.Fatalf("seed %d, step %d, %s: %s came apart without a mark\n%v\n%v", seed, i, did, apart, show(before), show(after))
			}
			if together := grown(before, after); together != "" {
				joins++
				if len(marks.Joins) == 0 {
					t.Fatalf("seed %d, step %d, %s: %s without a mark\n%v\n%v", seed, i, did, together, show(before), show(after))
				}
			}
		}
	}
	if refused < 3 || joins < 30 {
		t.Errorf("only %d refused, %d joins", refused, joins)
	}
}

// seenMove moves what is selected by mouse or by keys and returns what was marked
// meanwhile, or afterwards.
func (h *hand) seenMove(r *rand.Rand) (did string, marks tool.Overlay) {
	by := geom.Pt(r.IntN(21)-10, r.IntN(21)-10)
	sel := h.Selection()
	switch r.IntN(6) {
	case 0:
		h.Turn()
		did = "turn"
	case 1:
		h.Mirror()
		did = "mirror"
	case 2, 3:
		h.Nudge(by)
		did = fmt.Sprint("nudge by ", by)
	default:
		for _, p := range h.Diagram().Parts {
			if sel.Parts[p.Ref] {
				h.PickUp(canvas.OnGrid(p.At))
				to := canvas.OnGrid(p.At.Add(by))
				h.Move(to)
				if r.IntN(3) == 0 {
					h.LeaveWires()
				}
				marks = h.Overlay()
				h.Release(to)
				return fmt.Sprint("carry by ", by), marks
			}
		}
	}
	return did, h.Overlay()
}
