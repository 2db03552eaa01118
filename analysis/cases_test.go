package analysis

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

// opCase is a circuit with known figures: from textbooks, or worked out from
// the laws at 45 digits. Each names its source.
type opCase struct {
	ID, Title, Source string
	Drawing           json.RawMessage
	Checks            []struct {
		Quantity, Mode, Basis string
		Value, Tol            float64
	}
}

func readCases(t testing.TB) []opCase {
	t.Helper()
	text, err := os.ReadFile("../testdata/cases-op.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []opCase
	if err := json.Unmarshal(text, &cases); err != nil {
		t.Fatal(err)
	}
	return cases
}

func (c *opCase) diagram(t testing.TB) *model.Diagram {
	t.Helper()
	d, err := file.Decode(bytes.NewReader(c.Drawing))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestCases(t *testing.T) {
	cases := readCases(t)
	if len(cases) != 110 {
		t.Fatalf("%d cases, want 110", len(cases))
	}
	for _, c := range cases {
		t.Run(c.ID, func(t *testing.T) {
			t.Parallel()
			d := c.diagram(t)
			results := map[string]*Result{}
			for _, q := range c.Checks {
				r := results[q.Mode]
				if r == nil {
					r = solve(t, d, Options{Mode: q.Mode})
					results[q.Mode] = r
				}
				if got := figure(t, r, d, q.Quantity); !(math.Abs(got-q.Value) <= q.Tol) {
					t.Errorf("%s in mode %q: got %.15g, want %.15g within %g (%s; %s)", q.Quantity, q.Mode, got, q.Value, q.Tol, q.Basis, c.Source)
				}
			}
		})
	}
}
