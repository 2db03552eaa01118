package main

import (
	"context"
	"fmt"
	"io"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/geom"
)

// loads is a battery with resistors across it, each with a lead to a net that
// floats.
func loads(n int) *model.Diagram {
	f := model.NewDraft(&model.Diagram{})
	add := func(kind, value string, tags map[string]string) {
		p := model.LookupKind(kind).NewPart(geom.Pt(8*len(f.Diagram().Parts), 0))
		p.Ref, p.Value, p.Tags = fmt.Sprint("X", len(f.Diagram().Parts)), value, tags
		f.AddPart(p)
	}
	add("battery", "6 V", map[string]string{"+": "supply", "-": "GND"})
	for i := range n {
		add("resistor", "4.7 kΩ", map[string]string{"1": "supply", "2": "GND"})
		add("resistor", "4.7 kΩ", map[string]string{"1": fmt.Sprint("a", i), "2": fmt.Sprint("b", i)})
	}
	return f.Diagram()
}

// BenchmarkTables shows how the tables of a solution grow with the drawing: four
// times the parts are to take about four times as long.
func BenchmarkTables(b *testing.B) {
	for _, n := range []int{1000, 4000, 16_000} {
		d := loads(n)
		r, err := analysis.Solve(context.Background(), d, analysis.Options{})
		if err != nil || !r.Solved {
			b.Fatal(err, r.Faults)
		}
		b.Run(fmt.Sprint(len(d.Parts), " parts"), func(b *testing.B) {
			for b.Loop() {
				if err := writeSolution(io.Discard, d, r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
