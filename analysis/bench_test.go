package analysis

import (
	"context"
	"fmt"
	"testing"

	"copperglass/model"
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
