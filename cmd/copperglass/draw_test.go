//go:build linux

package main

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"copperglass/analysis"
	"copperglass/model/file"
)

// TestDrawsALargeCircuit draws 25 parts in the real window, with a stumble on
// the way, saves them and solves the file.
func TestDrawsALargeCircuit(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "ladder.cglass")
	p := launch(t, setup{}, "--empty")
	p.untilTitle(untitled)
	p.drawLadder()
	p.drawBranches()
	p.saveAs(path)
	p.untilTitle("ladder.cglass – Copperglass")
	p.close()
	p.untilEnded()
	checkLadder(t, path)
}

// rungs is how many the ladder has.
const rungs = 10

// drawLadder draws a supply of 9 V on a ladder of 1 kΩ along and 2 kΩ across,
// with twice the 2 kΩ at its end. Parts meet pin on pin; all across but the first
// are pasted.
func (p *program) drawLadder() {
	p.t.Helper()
	p.put(p.grid(0, 8), "g", "g")
	p.fill("9 V")
	p.drag(p.grid(0, 10), p.grid(4*rungs, 10))
	p.put(p.grid(2, 10), "0")
	p.put(p.grid(4, 8), "r", "period")
	p.fill("2k")
	p.keys("ctrl+c")
	for k := 2; k <= rungs; k++ {
		p.put(p.grid(4*k, 8), "ctrl+v")
	}
	p.typeText("x2")
	for k := 1; k <= rungs; k++ {
		p.put(p.grid(4*k-2, 6), "r")
	}
}

// drawBranches draws an LED with 1 kΩ and a potentiometer of 10 kΩ, its wiper
// grounded, across the supply. A resistor put into their wire by mistake is
// taken out again, and one put onto another is not set down at all.
func (p *program) drawBranches() {
	p.t.Helper()
	p.drag(p.grid(0, 6), p.grid(-1, 6))
	p.drag(p.grid(-1, 6), p.grid(-1, 18))
	p.drag(p.grid(-1, 18), p.grid(24, 18))
	p.put(p.grid(6, 18), "r")
	p.keys("Escape", "j")
	p.put(p.grid(2, 6), "r")
	p.keys("Escape")
	p.put(p.grid(14, 16), "r", "period")
	p.put(p.grid(14, 12), "d", "d", "period", "period")
	p.put(p.grid(24, 16), "r", "r", "period")
	p.drag(p.grid(24, 14), p.grid(24, 10))
	p.drag(p.grid(22, 16), p.grid(22, 10))
}

// checkLadder compares the solved file with what is worked out by hand. Seen
// from any rung but the last the rest of the ladder is 1 kΩ and then 2 kΩ beside
// 2 kΩ, which is 2 kΩ: each rung has half the voltage of the one before it. The
// LED's branch obeys
//
//	E = I (R + R_S) + n V_T ln(I/I_S + 1)
//
// as in checkByHand, and half the potentiometer's 10 kΩ is short-circuited.
func checkLadder(t *testing.T, path string) {
	t.Helper()
	d, err := file.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	r, err := analysis.Solve(context.Background(), d, analysis.Options{})
	if err != nil || !r.Solved || len(r.Faults) > 0 || len(d.Parts) != 25 {
		t.Fatalf("%d parts, solved %v, faults %v, %v", len(d.Parts), r.Solved, r.Faults, err)
	}
	volts := func(ref, pin string) float64 { return r.Volts[r.Nets.Pin(ref, pin)] }
	const supply = 9.0
	for k := 1; k <= rungs; k++ {
		along := d.Parts[2+rungs+k-1]
		want := supply / math.Pow(2, float64(k))
		if got := volts(along.Ref, "2"); math.Abs(got-want) > 1e-9 {
			t.Errorf("rung %d, behind %s, has %g V, by hand %g V", k, along.Ref, got, want)
		}
	}
	led := resolved(t, d, "D1")
	const thermal = 1.380649e-23 * 298.15 / 1.602176634e-19
	shining := halve(0, supply/1000, func(i float64) float64 {
		return i*(1000+led.Num("series_resistance")) + led.Num("emission_coefficient")*thermal*math.Log(i/led.Num("saturation_current")+1) - supply
	})
	if got := math.Abs(r.Parts["D1"].Pins[0].Amps); math.Abs(got-shining) > 1e-9*shining {
		t.Errorf("%g A through the LED, by hand %g A", got, shining)
	}
	want := supply/2000 + shining + supply/5000
	if got := math.Abs(r.Parts["G1"].Pins[0].Amps); math.Abs(got-want) > 1e-9*want {
		t.Errorf("the supply gives %g A, by hand %g A", got, want)
	}
}
