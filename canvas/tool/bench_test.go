package tool_test

import (
	"fmt"
	"runtime"
	"testing"

	"copperglass/canvas/tool"
	"copperglass/model/geom"
)

// largeDrawing is a sheet of 200 parts: 50 stages of a transistor with a
// resistor at its base, an LED and a resistor above it and a ground below,
// between two rails for each row of ten.
func largeDrawing(b testing.TB) *hand {
	var lines, wires []string
	for i := range 50 {
		x, y := 14*(i%10), 24*(i/10)
		lines = append(lines,
			fmt.Sprintf("Q%d npn %d,%d", i+1, x+8, y+14),
			fmt.Sprintf("R%d resistor %d,%d", 2*i+1, x+3, y+14),
			fmt.Sprintf("R%d resistor %d,%d 90", 2*i+2, x+8, y+3),
			fmt.Sprintf("D%d led %d,%d 90", i+1, x+8, y+8),
		)
		wires = append(wires,
			fmt.Sprintf("%d,%d %d,%d", x+5, y+14, x+6, y+14),
			fmt.Sprintf("%d,%d %d,%d", x+8, y+5, x+8, y+6),
			fmt.Sprintf("%d,%d %d,%d", x+8, y+10, x+8, y+12),
			fmt.Sprintf("%d,%d %d,%d", x+8, y+16, x+8, y+18),
			fmt.Sprintf("%d,%d %d,%d", x+8, y+1, x+8, y),
			fmt.Sprintf("%d,%d %d,%d %d,%d", x+1, y+14, x, y+14, x, y+19),
		)
	}
	for row := range 5 {
		for _, y := range []int{0, 18, 19} {
			wires = append(wires, fmt.Sprintf("%d,%d %d,%d", 0, 24*row+y, 140, 24*row+y))
		}
	}
	return draw(b, append(lines, wires...)...)
}

// moves measures one move of the pointer, with what is shown for it, to and
// fro between places that the drawing sees as different.
func moves(b *testing.B, h *hand, x, y float64) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		h.Move(at(x+float64(1+i%5), y+float64(1+i%3)))
		h.Diagram()
		h.Overlay()
	}
}

// frameBytes is the most that a gesture may ask for in a frame, for the lists of
// what it changes and the names of nets; what is drawn comes on top.
const frameBytes = 48 << 10

// A frame of a gesture keeps its memory for the next. It is no parallel test:
// the others would be counted too.
func TestGesturesHardlyAllocate(t *testing.T) {
	for name, begin := range map[string]func(h *hand){
		"a part is dragged": func(h *hand) { h.Press(at(64, 62), tool.Modifiers{}) },
		"a wire slides":     func(h *hand) { h.Press(at(70, 67), tool.Modifiers{}) },
		"a part is placed":  func(h *hand) { h.PlaceByKey('R') },
		"a wire is drawn":   func(h *hand) { h.Press(at(8, 12), tool.Modifiers{}) },
	} {
		h := largeDrawing(t)
		begin(h)
		frame := func(i int) {
			h.Move(at(64+float64(1+i%5), 62+float64(1+i%3)))
			h.Diagram()
			h.Overlay()
		}
		for i := range 15 {
			frame(i)
		}
		const frames = 30
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		for i := range frames {
			frame(i)
		}
		runtime.ReadMemStats(&after)
		if got := (after.TotalAlloc - before.TotalAlloc) / frames; got > frameBytes {
			t.Errorf("%s: %d bytes a frame, more than %d", name, got, frameBytes)
		}
	}
}

func BenchmarkHit(b *testing.B) {
	h := largeDrawing(b)
	d := h.Diagram()
	b.ReportAllocs()
	for b.Loop() {
		tool.Hit(d, at(70, 60))
	}
}

func BenchmarkDragPart(b *testing.B) {
	h := largeDrawing(b)
	h.Press(at(64, 62), tool.Modifiers{}) // a transistor in the middle
	moves(b, h, 64, 62)
}

func BenchmarkDragHalf(b *testing.B) {
	h := largeDrawing(b)
	for i := range 25 {
		h.add(float64(14*(2*i%10)+8), float64(24*(2*i/10)+14))
	}
	h.Press(at(8, 14), tool.Modifiers{})
	moves(b, h, 8, 14)
}

func BenchmarkDragAll(b *testing.B) {
	h := largeDrawing(b)
	h.SelectAll()
	h.Press(at(8, 14), tool.Modifiers{})
	moves(b, h, 8, 14)
}

func BenchmarkDrawWire(b *testing.B) {
	h := largeDrawing(b)
	h.Press(at(8, 12), tool.Modifiers{}) // a pin
	moves(b, h, 104, 84)
}

func BenchmarkSlideWire(b *testing.B) {
	h := largeDrawing(b)
	h.Press(at(70, 67), tool.Modifiers{}) // a rail with ten wires on it
	moves(b, h, 70, 67)
}

func BenchmarkPlace(b *testing.B) {
	h := largeDrawing(b)
	h.PlaceByKey('R')
	moves(b, h, 70, 60)
}

func BenchmarkNudge(b *testing.B) {
	h := largeDrawing(b)
	h.Select("Q25")
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		h.Nudge(geom.Pt(1-2*(i%2), 0))
	}
}
