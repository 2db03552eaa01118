package ui

import (
	"fmt"
	"math"
	"runtime"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"copperglass/model"
	"copperglass/model/geom"
)

// stages is a sheet of 200 parts: a battery and 49 stages of a transistor with
// a resistor at its base, an LED and a resistor above it, in rows of ten between
// two rails that tags join.
func stages() *model.Diagram {
	f := model.NewDraft(&model.Diagram{})
	const asUsual = -1
	part := func(kind, ref string, x, y, turn int) {
		p := model.LookupKind(kind).NewPart(geom.Pt(x, y))
		if p.Ref = ref; turn != asUsual {
			p.Orient = geom.Orientation{Turn: turn}
		}
		f.AddPart(p)
	}
	wire := func(tag string, xy ...int) {
		w := &model.Wire{Tag: tag}
		for i := 0; i < len(xy); i += 2 {
			w.Points = append(w.Points, geom.Pt(xy[i], xy[i+1]))
		}
		f.AddWire(w)
	}
	part("battery", "BT1", -6, 9, asUsual)
	wire("", -6, 7, -6, 0, 0, 0)
	wire("", -6, 11, -6, 18, 0, 18)
	for i := range 49 {
		x, y := 14*(i%10), 24*(i/10)
		part("npn", fmt.Sprint("Q", i+1), x+8, y+14, 0)
		part("resistor", fmt.Sprint("R", 2*i+1), x+3, y+14, 0)
		part("resistor", fmt.Sprint("R", 2*i+2), x+8, y+3, 90)
		part("led", fmt.Sprint("D", i+1), x+8, y+8, 90)
		wire("", x+5, y+14, x+6, y+14)
		wire("", x+8, y+5, x+8, y+6)
		wire("", x+8, y+10, x+8, y+12)
		wire("", x+8, y+16, x+8, y+18)
		wire("", x+8, y+1, x+8, y)
		wire("", x+1, y+14, x, y+14, x, y)
	}
	for row := range 5 {
		wire("supply", 0, 24*row, 140, 24*row)
		wire("GND", 0, 24*row+18, 140, 24*row+18)
	}
	for i := range 3 {
		part("ground", fmt.Sprint("GND", i+1), 140, 24*i+18, asUsual)
	}
	return f.Diagram()
}

// dragBench is a window of 1920 × 1080 on that sheet, and a hand that carries
// one of its transistors to and fro: routed, solved, laid out and drawn, and the
// panel with it.
func dragBench(b testing.TB) (step func(i int), w *Window) {
	w = New(test.NewTempApp(b), Options{Patience: time.Minute, Later: never, StateFolder: b.TempDir(), Settings: b.TempDir(), Size: fyne.NewSize(1920, 1080)})
	b.Cleanup(func() { w.doc.Close(); w.keeper.Close() })
	w.doc.Replace(stages(), "")
	w.surface.Resize(fyne.NewSize(1920, 1080))
	w.paint()
	if r := w.doc.Result(); r == nil || !r.Solved || len(w.doc.Shown().Parts) != 200 {
		b.Fatalf("%d parts, not solved: %+v", len(w.doc.Shown().Parts), r.Faults)
	}
	at := w.doc.Diagram().Part("Q25").At
	x, y := float64(at.X), float64(at.Y)
	w.hold(x, y, x+1, y)
	return func(i int) {
		w.surface.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: w.at(x+float64(1+i%2), y+float64(i%3))}})
		w.paint()
	}, w
}

// BenchmarkDragOf200 is one frame of a drag in a drawing of 200 parts.
func BenchmarkDragOf200(b *testing.B) {
	step, _ := dragBench(b)
	for i := range 8 {
		step(i)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		step(i)
	}
}

// mostPerFrame is what a frame may allocate once it is like the one before, in
// bytes.
const mostPerFrame = 64 << 10

// TestFramesOf200HardlyAllocate: dragging, hovering and panning, from the event
// to the pixels.
func TestFramesOf200HardlyAllocate(t *testing.T) {
	drag, w := dragBench(t)
	if n := perFrame(drag); n > mostPerFrame {
		t.Errorf("a frame of a drag allocates %.0f bytes", n)
	}
	if r := w.doc.Result(); r == nil || !r.Solved || !w.doc.editor.Busy() {
		t.Fatal("nothing is being dragged, or it is not solved")
	}
	w.surface.DragEnd()
	w.Select()
	hover := func(i int) {
		w.surface.MouseMoved(mouse(w.at(float64(14*(i%9)+8), 6), 0))
		w.paint()
	}
	if n := perFrame(hover); n > mostPerFrame {
		t.Errorf("a frame of hovering allocates %.0f bytes", n)
	}
	pan := func(i int) {
		w.surface.pan(fyne.NewDelta(float32(3*(i%2*2-1)), 0))
		w.paint()
	}
	if n := perFrame(pan); n > mostPerFrame {
		t.Errorf("a frame of panning allocates %.0f bytes", n)
	}
}

// mostPerTurn is what a frame of a turn of a knob may allocate, in bytes. Half of
// it is the toolkit's shaping of some ten new texts of figures in the panel.
const mostPerTurn = 272 << 10

// TestTurnsHardlyAllocate: what stays as it is on a page costs a turn nothing.
func TestTurnsHardlyAllocate(t *testing.T) {
	step, w := turnBench(t, true, "R4")
	if n := perFrame(step); n > mostPerTurn {
		t.Errorf("a frame of a turn on the lantern allocates %.0f bytes", n)
	}
	if !w.doc.Previewing() || !w.doc.Result().Solved {
		t.Fatal("nothing is being turned, or it is not solved")
	}
	step, _ = turnBench(t, false, "R50")
	if n := perFrame(step); n > mostPerTurn {
		t.Errorf("a frame of a turn among 200 parts allocates %.0f bytes", n)
	}
}

// TestAFieldFollowsItsKnob in each frame, though fields wait for rest otherwise.
func TestAFieldFollowsItsKnob(t *testing.T) {
	step, w := turnBench(t, true, "R4")
	f, last := w.inspector.page.fields[0], ""
	for i := range 3 {
		step(100 * i)
		if f.entry.Text != f.text() || f.entry.Text == last {
			t.Errorf("the field says %s, the knob %s", f.entry.Text, f.text())
		}
		last = f.entry.Text
	}
}

// perFrame returns what a frame allocates in steady state, in bytes. What else
// goes on in the process only adds to it, so it is the least of several rounds.
func perFrame(frame func(i int)) float64 {
	const rounds, frames = 6, 12
	least := math.Inf(1)
	for range rounds {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		for i := range frames {
			frame(i)
		}
		runtime.ReadMemStats(&after)
		least = min(least, float64(after.TotalAlloc-before.TotalAlloc)/frames)
	}
	return least
}

// BenchmarkHoverOf200 and BenchmarkPanOf200 are frames of the same drawing.
func BenchmarkHoverOf200(b *testing.B) {
	_, w := dragBench(b)
	w.surface.DragEnd()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		w.surface.MouseMoved(mouse(w.at(float64(14*(i%9)+8), 6), 0))
		w.paint()
	}
}

func BenchmarkPanOf200(b *testing.B) {
	_, w := dragBench(b)
	w.surface.DragEnd()
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		w.surface.pan(fyne.NewDelta(float32(3*(i%2*2-1)), 0))
		w.paint()
	}
}

// turnBench is a window on the lantern in a mode of its own, or on the 200 parts,
// with a part as a knob, and a hand that turns it.
func turnBench(b testing.TB, lantern bool, ref string) (step func(i int), w *Window) {
	w = New(test.NewTempApp(b), Options{Patience: time.Minute, Later: never, StateFolder: b.TempDir(), Settings: b.TempDir(), Size: fyne.NewSize(1920, 1080)})
	b.Cleanup(func() { w.doc.Close(); w.keeper.Close() })
	if lantern {
		w.OpenExample("lantern")
		w.SetMode("White")
	} else {
		w.doc.Replace(stages(), "")
	}
	w.surface.Resize(fyne.NewSize(1920, 1080))
	w.Select(ref)
	w.inspector.ask(w.inspector.knobTopic(ref, model.LookupKind("resistor").Param("resistance")))
	w.paint()
	var d *dial
	for _, o := range test.LaidOutObjects(w.inspector.object) {
		if found, ok := o.(*dial); ok {
			d = found
		}
	}
	if d == nil {
		b.Fatal("no dial")
	}
	return func(i int) {
		d.SetValue(0.3 + 0.001*float64(i%400))
		w.paint()
	}, w
}

// BenchmarkTurn is one frame of turning a knob: the change, the solution of the
// chosen mode and of the others, the figures in the panel, the scene and the
// picture.
func BenchmarkTurn(b *testing.B) {
	for _, c := range []struct {
		name, ref string
		lantern   bool
	}{{"lantern", "R4", true}, {"200", "R50", false}} {
		b.Run(c.name, func(b *testing.B) {
			step, _ := turnBench(b, c.lantern, c.ref)
			for i := range 8 {
				step(i)
			}
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				step(i)
			}
		})
	}
}
