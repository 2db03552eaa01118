package analysis

import (
	"context"
	"fmt"
	"testing"

	"copperglass/model"
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
