package analysis

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// countdown is a context that ends when it has been asked so many times, and
// counts on.
type countdown struct {
	context.Context
	asked, last int
}

func (c *countdown) Err() error {
	if c.asked++; c.last > 0 && c.asked >= c.last {
		return context.Canceled
	}
	return nil
}

// mesh is a square of resistors with a diode to ground at every node, fed at
// one corner: its factors are long work.
func mesh(t *testing.T, side int) *model.Diagram {
	node := func(i, j int) string { return fmt.Sprintf("n%d_%d", i, j) }
	parts := []string{supply(5), resistor("R0", 10, "v", node(0, 0))}
	for i := range side {
		for j := range side {
			k := len(parts)
			if i+1 < side {
				parts = append(parts, resistor(fmt.Sprint("R", k), 100, node(i, j), node(i+1, j)))
			}
			if j+1 < side {
				parts = append(parts, resistor(fmt.Sprint("S", k), 100, node(i, j), node(i, j+1)))
			}
			parts = append(parts, plainDiode(fmt.Sprint("D", k), node(i, j), "GND", 1e-12))
		}
	}
	return decode(t, drawing(parts...))
}

// Whenever the context ends, the next look at it is the last but few, so that
// nothing long is begun any more; and it is looked at often, also while the
// matrix is ordered and factored.
func TestCancelledAnywhere(t *testing.T) {
	t.Parallel()
	for name, d := range map[string]*model.Diagram{
		"a mesh": mesh(t, 28), "a latch": decode(t, drawing(flipFlop()...)),
		"a current that nothing takes": decode(t, drawing(`"ref": "G1", "kind": "current_source", "value": "1 A", "tags": {"+": "a", "-": "GND"}`, plainDiode("D1", "b", "a", 1e-12), plainDiode("D2", "b", "GND", 1e-12))),
	} {
		whole := &countdown{Context: t.Context()}
		r, err := Solve(whole, d, Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if least := 3 * r.Iterations / 2; whole.asked < least && name == "a mesh" {
			t.Errorf("%s: looked at the context %d times in %d iterations", name, whole.asked, r.Iterations)
		}
		for last := 1; last <= whole.asked; last += 1 + whole.asked/40 {
			c := &countdown{Context: t.Context(), last: last}
			if _, err := Solve(c, d, Options{}); err != context.Canceled || c.asked > last+8 {
				t.Errorf("%s: ended with %v, %d looks after look %d of %d", name, err, c.asked-last, last, whole.asked)
			}
		}
	}
}

// Each step of the way asks at least once in so many parts, also those that are
// next to nothing in a small drawing.
func TestEachStepOfPartsAsks(t *testing.T) {
	t.Parallel()
	const n = 8 * askEvery
	d := sheet(n)
	r := solve(t, d, Options{})
	c := r.circuit
	asks := func(step string, loops int, do func(ctx context.Context)) {
		t.Helper()
		q := &countdown{Context: t.Context()}
		if do(q); q.asked < loops*(len(r.Volts)/askEvery) {
			t.Errorf("%s: %d questions for %d parts and %d nets, want %d", step, q.asked, n, len(r.Volts), loops*(len(r.Volts)/askEvery))
		}
	}
	doubled := *d
	doubled.Parts = append(slices.Clone(d.Parts), d.Parts[0])
	twice := net.Build(&doubled)
	asks("names", 1, func(ctx context.Context) { doubledNames(ctx, &doubled, twice) })
	asks("pins beside loose ends", 1, func(ctx context.Context) { besidePin(ctx, placedPins(ctx, d), geom.Pt(0, 0)) })
	asks("tags", 1, func(ctx context.Context) { strayTags(ctx, d, r.Nets) })
	asks("signs", 1, func(ctx context.Context) { idleSigns(ctx, d, r.Nets) })
	asks("compiling", 2, func(ctx context.Context) { compileUntil(ctx, d, r.Nets, r.Set, &stock{}) })
	asks("open pins", 1, func(ctx context.Context) { c.openPins(ctx) })
	asks("sources", 1, func(ctx context.Context) { c.sourceFaults(ctx) })
	asks("current sources", 1, func(ctx context.Context) { c.strandedSources(ctx) })
	asks("bounds", 1, func(ctx context.Context) { c.bounds(ctx) })
	asks("blank figures", 1, func(ctx context.Context) { new(Result).blank(ctx, c) })
	asks("the workspace of a report", 3, func(ctx context.Context) { newTally(ctx, c) })
	asks("a report", 3, func(ctx context.Context) { r.report(ctx, c, r.point, r.open) })
	asks("loops", 2, func(ctx context.Context) { c.newLoops(ctx) })
	asks("a chain of sources", 1, func(ctx context.Context) {
		s := decode(t, drawing(chainOfSources(n)...))
		ideal, _ := compile(s, net.Build(s), nil)
		ideal.overloads(ctx)
	})
	asks("floating nets", 1, func(ctx context.Context) { c.floatingNets(ctx) })
}

// chainOfSources is n sources without resistance one on top of the other.
func chainOfSources(n int) []string {
	parts := []string{`"ref": "V0", "kind": "supply", "params": {"voltage": 1, "resistance": 0}, "tags": {"+": "n0", "-": "GND"}`}
	for i := 1; i < n; i++ {
		parts = append(parts, fmt.Sprintf(`"ref": "V%d", "kind": "supply", "params": {"voltage": 1, "resistance": 0}, "tags": {"+": "n%d", "-": "n%d"}`, i, i, i-1))
	}
	return parts
}
