package main

import (
	"bytes"
	"context"
	"math"
	"testing"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/net"
)

// Every shape has about the parts that were asked for, is written, read and
// solved without a fault, and its branches carry the same current whatever
// their number.
func TestShapes(t *testing.T) {
	t.Parallel()
	for _, s := range shapes {
		for _, n := range []int{10, 400} {
			d := s.draw(n)
			if math.Abs(float64(len(d.Parts)-n)) > perBranch {
				t.Errorf("%s has %d parts, not about %d", s.name, len(d.Parts), n)
			}
			r, err := analysis.Solve(context.Background(), d, analysis.Options{})
			if err != nil || !r.Solved || len(r.Faults) > 0 {
				t.Fatalf("%s of %d parts: %v, %v", s.name, n, err, r.Faults)
			}
			if last := r.Parts[d.Parts[len(d.Parts)-1].Ref]; last == nil || r.Parts["D1"].Pins[0].Amps < 1e-3 {
				t.Errorf("%s of %d parts carries no current", s.name, n)
			}
		}
	}
}

// Four times the parts may take hardly more than four times the work. It is
// counted in allocations, which do not depend on the machine nor on how busy it
// is; package net counts what its searches look at. Allocations are the whole
// program's, so nothing else may run meanwhile.
func TestWorkGrowsWithSize(t *testing.T) {
	for _, s := range shapes {
		small, large := work(t, s.draw(200)), work(t, s.draw(800))
		for i, step := range []string{"loading", "building nets", "solving"} {
			if growth := large[i] / small[i]; growth < 3 || growth > 4.4 {
				t.Errorf("%s: %s makes %.0f allocations, and %.0f for four times the parts", s.name, step, small[i], large[i])
			}
		}
	}
}

func work(t *testing.T, d *model.Diagram) [3]float64 {
	t.Helper()
	var text bytes.Buffer
	if err := file.Encode(&text, d); err != nil {
		t.Fatal(err)
	}
	return [3]float64{
		testing.AllocsPerRun(1, func() { _, _ = file.Decode(bytes.NewReader(text.Bytes())) }),
		testing.AllocsPerRun(1, func() { net.Build(d) }),
		testing.AllocsPerRun(1, func() { _, _ = analysis.Solve(context.Background(), d, analysis.Options{}) }),
	}
}

// The fit finds the exponent of times that follow one exactly, and looks at no
// size below the first that counts.
func TestExponent(t *testing.T) {
	t.Parallel()
	var costs []cost
	for _, n := range sizes {
		c := cost{parts: n}
		c.columns[1].ns = 7 * math.Pow(float64(n), 1.25)
		costs = append(costs, c)
	}
	costs[0].columns[1].ns = 1e9
	if e := exponent(costs, 1); math.Abs(e-1.25) > 1e-12 {
		t.Errorf("exponent %g, want 1.25", e)
	}
}
