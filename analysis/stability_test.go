package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/analysis/newton"
	"copperglass/model"
	"copperglass/model/net"
)

// bare is an npn transistor without resistances of its own, so that its nodes
// are its nets.
func bare(ref, base, collector string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "npn", "params": {"base_resistance": 0, "collector_resistance": 0, "emitter_resistance": 0, "early_voltage": 0, "knee_current": 0}, "tags": {"B": %q, "C": %q, "E": "GND"}`, ref, base, collector)
}

// crossed is a latch of two transistors of which each holds the other down.
// Its names begin with a letter of its own.
func crossed(name string, load, drive float64) []string {
	return []string{
		resistor("R"+name+"1", load, "v", name+"c1"), resistor("R"+name+"2", load, "v", name+"c2"),
		resistor("R"+name+"3", drive, name+"c1", name+"b2"), resistor("R"+name+"4", drive, name+"c2", name+"b1"),
		bare("Q"+name+"1", name+"b1", name+"c1"), bare("Q"+name+"2", name+"b2", name+"c2"),
	}
}

// folded is one half of a latch that drives itself: by symmetry it stands where
// the latch is balanced.
func folded(t *testing.T, load, drive float64) *Result {
	t.Helper()
	return solve(t, decode(t, drawing(supply(5), resistor("R1", load, "v", "c"), resistor("R2", drive, "c", "b"), bare("Q1", "b", "c"))), Options{})
}

// bench solves a drawing's equations from chosen voltages.
type bench struct {
	*survey
	d *model.Diagram
}

func newBench(t *testing.T, d *model.Diagram) *bench {
	return &bench{newSurvey(t.Context(), d, solve(t, d, Options{})), d}
}

// from returns the operating point that Newton's method finds from voltages of
// nets by name, nil where that does not lead to one.
func (b *bench) from(volts map[string]float64) *Result {
	x := newton.NewPoint(b.unknowns)
	for i, n := range b.nets.Nets {
		if j := b.place[i]; j >= 0 {
			x.High[j] = volts[n.Name]
		}
	}
	y, stats := b.solve(x, newton.Settings{})
	r := &Result{Nets: b.nets, Set: b.base.Set, Method: stats.Method, Iterations: stats.Iterations}
	r.blank(b.ctx, b.circuit)
	if stats.Status != newton.Converged || r.verify(r.report(b.ctx, b.circuit, y, stats.Open)).stop() {
		return nil
	}
	r.Solved = true
	return r
}

// Two latches of two transistors on one supply, weakly coupled, have the three
// states of one with the three of the other: nine operating points, of which
// the four stay in which neither is balanced. Newton's method finds the nine
// from where those of the latches alone are put together, and no tenth from
// anywhere; the survey finds the four.
func TestNineOperatingPoints(t *testing.T) {
	t.Parallel()
	parts := append([]string{supply(5), resistor("R9", 1e6, "xc1", "yc1")}, crossed("x", 1000, 10e3)...)
	d := decode(t, drawing(append(parts, crossed("y", 2200, 15e3)...)...))
	b := newBench(t, d)
	var nine []*Result
	stable := 0
	for i := range 3 {
		for j := range 3 {
			volts := map[string]float64{"v": 5}
			put(volts, "x", i, folded(t, 1000, 10e3))
			put(volts, "y", j, folded(t, 2200, 15e3))
			r := b.from(volts)
			if r == nil || isAmong(r, nine) {
				t.Fatalf("states %d and %d of the latches: %v", i, j, r)
			}
			checkPlain(t, d, r)
			nine = append(nine, r)
			if got, want := b.growth(r.point) == nil, i != 1 && j != 1; got != want {
				t.Errorf("states %d and %d are stable: %v", i, j, got)
			} else if got {
				stable++
			}
		}
	}
	random := rand.New(rand.NewPCG(9, 9))
	for range 300 {
		volts := map[string]float64{"v": 5}
		for _, n := range []string{"xc1", "xc2", "yc1", "yc2"} {
			volts[n] = 5 * random.Float64()
		}
		for _, n := range []string{"xb1", "xb2", "yb1", "yb2"} {
			volts[n] = 0.8 * random.Float64()
		}
		if r := b.from(volts); r == nil || !isAmong(r, nine) {
			t.Errorf("a tenth operating point, or none, from %v", volts)
		}
	}
	all := states(t, d, Options{})
	if stable != 4 || len(all) != 4 {
		t.Fatalf("%d are stable and %d were found", stable, len(all))
	}
	for _, r := range all {
		if !isAmong(r, nine) {
			t.Errorf("not among the nine: %s", InWords([]*Result{all[0], r})[1])
		}
	}
}

// put puts a latch with that name into state 0 or 2, one of its transistors on,
// or 1, balanced as the folded one.
func put(volts map[string]float64, name string, state int, balance *Result) {
	level := func(name string) float64 {
		i := slices.IndexFunc(balance.Nets.Nets, func(n net.Net) bool { return n.Name == name })
		return balance.Volts[i]
	}
	on, off := "1", "2"
	switch state {
	case 1:
		for _, k := range []string{"1", "2"} {
			volts[name+"c"+k], volts[name+"b"+k] = level("c"), level("b")
		}
		return
	case 2:
		on, off = off, on
	}
	volts[name+"c"+on], volts[name+"b"+on] = 0.05, 0.7
	volts[name+"c"+off], volts[name+"b"+off] = 4.6, 0.05
}

// A balanced latch is where Newton's method ends that begins with all voltages
// alike. It is not shown: what is shown is a stable state, and how it was found
// is said.
func TestBalanceIsLeft(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(append([]string{supply(5)}, crossed("x", 1000, 10e3)...)...))
	b := newBench(t, d)
	volts := map[string]float64{"v": 5}
	put(volts, "x", 1, folded(t, 1000, 10e3))
	balance := b.from(volts)
	if balance == nil || balance.Parts["Qx1"].State != balance.Parts["Qx2"].State {
		t.Fatal("the latch is not balanced")
	}
	v := b.growth(balance.point)
	if v == nil {
		t.Fatal("the balance counts as stable")
	}
	place := func(name string) int {
		return b.place[slices.IndexFunc(b.nets.Nets, func(n net.Net) bool { return n.Name == name })]
	}
	if c := v[place("xc1")] * v[place("xc2")]; !(c < 0) {
		t.Errorf("both collectors grow the same way: %g", c)
	}
	r := solve(t, d, Options{Start: balance})
	if r.Parts["Qx1"].State == r.Parts["Qx2"].State || isAmong(balance, []*Result{r}) {
		t.Errorf("shown with Qx1 %s and Qx2 %s", r.Parts["Qx1"].State, r.Parts["Qx2"].State)
	}
	if want := "Newton's method from the former solution, which led to a balance that cannot last, then a charge at every node that settles from there"; r.Method != want {
		t.Errorf("found by %s", r.Method)
	}
}

// inverterRing returns inverters of which each drives the next and the last the first.
func inverterRing(n int) []string {
	parts := []string{supply(5)}
	for i := range n {
		k := fmt.Sprint(i)
		parts = append(parts, resistor("R"+k, 1000, "v", "c"+k), resistor("RB"+k, 10e3, "c"+k, fmt.Sprint("b", (i+1)%n)), bare("Q"+k, "b"+k, "c"+k))
	}
	return parts
}

// A ring of an odd number of inverters has one operating point, which it swings
// about: it is shown, and a note says so. A ring of an even number is a latch.
func TestRings(t *testing.T) {
	t.Parallel()
	for n, want := range map[int]int{3: 0, 4: 2, 5: 0, 6: 2} {
		d := decode(t, drawing(inverterRing(n)...))
		r := solve(t, d, Options{})
		if got := len(r.States()); got != want {
			t.Errorf("%d inverters: %d stable states, want %d", n, got, want)
		}
		if len(r.Faults) != n%2 {
			t.Errorf("%d inverters: %q", n, texts(r.Faults))
		}
	}
}

// The s of a balanced latch in closed form: what grows is odd, so that of each
// half the other is the mirror image with the sign turned.
func TestGrowthIsThatOfTheLatch(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(append([]string{supply(5)}, crossed("x", 1000, 10e3)...)...))
	b := newBench(t, d)
	volts := map[string]float64{"v": 5}
	put(volts, "x", 1, folded(t, 1000, 10e3))
	balance := b.from(volts)
	if b.growth(balance.point) == nil {
		t.Fatal("the balance is taken for stable")
	}
	// (1/R + 1/R_B + s) v_c + (1/R_B + g_m) v_b = 0 at the collector and
	// (1/R_B) v_c + (1/R_B + g_π + s) v_b = 0 at the base.
	q := balance.Parts["Qx1"]
	gm, gpi := q.Pin("C").Amps/thermal, q.Pin("B").Amps/thermal
	a, e, c := 1e-3+1e-4, 1e-4+gpi, 1e-4
	// s² + (a + e) s + a e − c (c + g_m) = 0
	want := (-(a + e) + math.Sqrt((a-e)*(a-e)+4*c*(c+gm))) / 2
	near(t, "s in siemens", b.disturbance.s, want, 1e-3*want)
}

// A knob beside a flip-flop is followed, stability test and all, without
// allocation. (Not in parallel, or the allocations of others would be counted.)
func TestLatchMoveAllocatesNothing(t *testing.T) {
	k := track(t, loadedLatch(t, 10), Options{})
	i := 0
	step := func() {
		i++
		move(t, k, Move{"RA3", "resistance", model.Number(1000 + float64(i%7))})
	}
	for range 10 {
		step()
	}
	if n := testing.AllocsPerRun(50, step); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
