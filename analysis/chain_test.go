package analysis

import (
	"fmt"
	"testing"

	"copperglass/model"
)

// inverters is a chain of so many stages, each of which turns the signal over.
func inverters(t testing.TB, stages int, stage func(i int, from, to string) []string) *model.Diagram {
	parts := []string{supply(5)}
	from := "v"
	for i := range stages {
		to := fmt.Sprint("n", i)
		parts = append(parts, stage(i, from, to)...)
		from = to
	}
	return decode(t, drawing(parts...))
}

func bipolarStage(i int, from, to string) []string {
	base := fmt.Sprint("b", i)
	return []string{
		resistor(fmt.Sprint("RB", i), 10e3, from, base), resistor(fmt.Sprint("RC", i), 1e3, "v", to),
		fmt.Sprintf(`"ref": "Q%d", "kind": "npn", "tags": {"C": %q, "B": %q, "E": "GND"}`, i, to, base),
	}
}

func complementaryStage(i int, from, to string) []string {
	return []string{
		fmt.Sprintf(`"ref": "QP%d", "kind": "pmos", "tags": {"D": %q, "G": %q, "S": "v"}`, i, to, from),
		fmt.Sprintf(`"ref": "QN%d", "kind": "nmos", "tags": {"D": %q, "G": %q, "S": "GND"}`, i, to, from),
	}
}

// However long a chain is, Newton's method takes few iterations, and every
// second stage is high.
func TestChains(t *testing.T) {
	t.Parallel()
	for name, stage := range map[string]func(int, string, string) []string{"bipolar": bipolarStage, "complementary": complementaryStage} {
		for _, stages := range []int{20, 100, 500} {
			r, err := Solve(t.Context(), inverters(t, stages, stage), Options{})
			if err != nil {
				t.Fatal(err)
			}
			if !r.Solved || r.Iterations > 20 {
				t.Errorf("%d %s stages: solved %v, %d iterations by %s", stages, name, r.Solved, r.Iterations, r.Method)
				continue
			}
			for i := range stages {
				if high := r.Volts[r.Nets.Find(fmt.Sprint("n", i))] > 2.5; high != (i%2 == 1) {
					t.Fatalf("%d %s stages: stage %d is high: %v", stages, name, i, high)
				}
			}
		}
	}
}
