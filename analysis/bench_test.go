package analysis

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"copperglass/model"
	"copperglass/model/geom"
)

// BenchmarkLantern is what happens after each edit of a drawing of ten parts:
// netlist, equations and operating point.
func BenchmarkLantern(b *testing.B) {
	for _, c := range readCases(b) {
		if c.ID != "KD-07" {
			continue
		}
		d := c.diagram(b)
		d.Modes = d.Modes[2:] // both lights
		benchmarkBoth(b, "both", d)
	}
}

// BenchmarkBoard is the same for circuits of many parts: switched LEDs side by
// side on one battery. A chain, where each stage drives the next, is as hard as
// circuits get.
func BenchmarkBoard(b *testing.B) {
	for _, n := range []int{20, 200, 2000} {
		benchmarkBoth(b, fmt.Sprintf("%d", n), board(b, n))
		benchmarkBoth(b, fmt.Sprintf("chain/%d", n), stages(b, n))
	}
}

func benchmarkBoth(b *testing.B, name string, d *model.Diagram) {
	b.Run(name+"/cold", func(b *testing.B) { benchmarkSolve(b, d, Options{}) })
	b.Run(name+"/warm", func(b *testing.B) {
		benchmarkSolve(b, d, Options{Start: solve(b, d, Options{})})
	})
}

func benchmarkSolve(b *testing.B, d *model.Diagram, o Options) {
	b.ReportAllocs()
	var r *Result
	for b.Loop() {
		var err error
		if r, err = Solve(context.Background(), d, o); err != nil || !r.Solved {
			b.Fatal(err, r.Faults)
		}
	}
	b.ReportMetric(float64(r.Iterations), "iterations")
}

// BenchmarkPalette is how long circuits of 100 parts of all kinds take that are
// joined at random: the median, what nine in ten stay below, and the longest.
func BenchmarkPalette(b *testing.B) {
	for b.Loop() {
		var took []float64
		for seed := range uint64(20) {
			d := largeCircuit(seed, 100)
			begin := time.Now()
			if _, err := Solve(b.Context(), d, Options{}); err != nil {
				b.Fatal(err)
			}
			took = append(took, 1e3*time.Since(begin).Seconds())
		}
		slices.Sort(took)
		b.ReportMetric(took[10], "ms-median")
		b.ReportMetric(took[17], "ms-90%")
		b.ReportMetric(took[19], "ms-max")
	}
}

// board is about n parts: a battery, and LEDs with a transistor and two
// resistors each.
func board(t testing.TB, n int) *model.Diagram {
	parts := []string{`"ref": "BT1", "kind": "battery", "params": {"voltage": 6, "resistance": 0.3}, "tags": {"+": "v", "-": "GND"}`}
	for i := range (n - 1) / 4 {
		parts = append(parts,
			fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "10k", "tags": {"1": "v", "2": "b%d"}`, 1+2*i, i),
			fmt.Sprintf(`"ref": "Q%d", "kind": "npn", "tags": {"B": "b%d", "C": "c%d", "E": "GND"}`, i+1, i, i),
			fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "470", "tags": {"1": "v", "2": "s%d"}`, 2+2*i, i),
			fmt.Sprintf(`"ref": "D%d", "kind": "led", "value": "red", "tags": {"A": "s%d", "K": "c%d"}`, i+1, i, i),
		)
	}
	return decode(t, drawing(parts...))
}

// stages is a chain of switched LEDs of about n parts: each LED's voltage
// drives the next transistor.
func stages(t testing.TB, n int) *model.Diagram {
	parts := []string{
		`"ref": "BT1", "kind": "battery", "params": {"voltage": 6, "resistance": 0.3}, "tags": {"+": "v", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "10k", "tags": {"1": "v", "2": "s0"}`,
	}
	for i := range (n - 2) / 4 {
		parts = append(parts,
			fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "22k", "tags": {"1": "s%d", "2": "b%d"}`, 10+2*i, i, i),
			fmt.Sprintf(`"ref": "Q%d", "kind": "npn", "tags": {"B": "b%d", "C": "c%d", "E": "GND"}`, i+1, i, i),
			fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "470", "tags": {"1": "v", "2": "s%d"}`, 11+2*i, i+1),
			fmt.Sprintf(`"ref": "D%d", "kind": "led", "value": "red", "tags": {"A": "s%d", "K": "c%d"}`, i+1, i+1, i),
		)
	}
	return decode(t, drawing(parts...))
}

// sheet is about n parts on paper: between two rails drawn on from branch to
// branch, LEDs with a transistor and two resistors each.
func sheet(n int) *model.Diagram {
	d := &model.Diagram{}
	part := func(ref, kind, value string, x, y, turn int) {
		d.Parts = append(d.Parts, &model.Part{Ref: ref, Kind: kind, Value: value, Placed: true, At: geom.Pt(x, y), Orient: geom.Orientation{Turn: turn}})
	}
	wire := func(points ...geom.Point) {
		d.Wires = append(d.Wires, &model.Wire{ID: model.WireID(len(d.Wires) + 1), Points: points})
	}
	part("BT1", "battery", "", 0, 10, 0)
	part("GND1", "ground", "", 0, 20, 0)
	wire(geom.Pt(0, 8), geom.Pt(0, 0))
	wire(geom.Pt(0, 12), geom.Pt(0, 20))
	for i := range n / 4 {
		x, number := 12*(i+1), fmt.Sprint(i+1)
		part("R"+number, "resistor", "470", x, 3, 90)
		part("D"+number, "led", "red", x, 9, 90)
		part("Q"+number, "npn", "", x, 15, 0)
		part("RB"+number, "resistor", "10k", x-4, 8, 90)
		wire(geom.Pt(x-12, 0), geom.Pt(x, 0), geom.Pt(x, 1))
		wire(geom.Pt(x, 5), geom.Pt(x, 7))
		wire(geom.Pt(x, 11), geom.Pt(x, 13))
		wire(geom.Pt(x, 17), geom.Pt(x, 20), geom.Pt(x-12, 20))
		wire(geom.Pt(x-4, 0), geom.Pt(x-4, 6))
		wire(geom.Pt(x-4, 10), geom.Pt(x-4, 15), geom.Pt(x-2, 15))
	}
	return d
}

// BenchmarkDrag200 is what a dragged wire costs in a drawing of 200 parts: the
// end of one goes from a resistor to an LED and on to nothing.
func BenchmarkDrag200(b *testing.B) {
	d := sheet(200)
	var drawn []*model.Diagram
	for _, end := range []geom.Point{geom.Pt(22, 15), geom.Pt(24, 11), geom.Pt(22, 13)} {
		f := model.NewDraft(d)
		f.SetWire(&model.Wire{ID: 14, Points: []geom.Point{geom.Pt(20, 10), geom.Pt(20, 15), end}})
		drawn = append(drawn, f.Diagram().Snapshot())
	}
	benchmarkRedraw(b, d, drawn)
}

// BenchmarkDragPart200 is what a part costs that is dragged with its wires.
func BenchmarkDragPart200(b *testing.B) {
	d := sheet(200)
	var drawn []*model.Diagram
	for y := range 2 {
		f, p := model.NewDraft(d), d.Part("D2").Clone()
		p.At.Y += y
		f.SetPart("D2", p)
		f.SetWire(&model.Wire{ID: 10, Points: []geom.Point{geom.Pt(24, 5), geom.Pt(24, 7+y)}})
		f.SetWire(&model.Wire{ID: 11, Points: []geom.Point{geom.Pt(24, 11+y), geom.Pt(24, 13)}})
		drawn = append(drawn, f.Diagram().Snapshot())
	}
	benchmarkRedraw(b, d, drawn)
}

func benchmarkRedraw(b *testing.B, d *model.Diagram, drawn []*model.Diagram) {
	k := track(b, d, Options{Survey: true})
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if err := k.Redraw(b.Context(), drawn[i%len(drawn)]); err != nil || !k.Result().Solved {
			b.Fatal(err, k.Result().Faults)
		}
	}
}

// BenchmarkRedrawLatches is what a resistor's end costs that goes from net to net
// in a drawing of 33 flip-flops.
func BenchmarkRedrawLatches(b *testing.B) {
	for _, survey := range []bool{false, true} {
		b.Run(fmt.Sprintf("survey=%v", survey), func(b *testing.B) {
			k := track(b, latchesWith(b, "c3"), Options{Survey: survey})
			drawn := []*model.Diagram{latchesWith(b, "c4"), latchesWith(b, "c3")}
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if err := k.Redraw(b.Context(), drawn[i%2]); err != nil || !k.Result().Solved {
					b.Fatal(err, k.Result().Faults)
				}
			}
		})
	}
}

// latchesWith are 33 flip-flops with a resistor from a net to another of them.
func latchesWith(t testing.TB, net string) *model.Diagram {
	return decode(t, drawing(append(flipFlops(33), resistor("R1", 1e5, net, "c5"))...))
}
