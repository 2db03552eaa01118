package analysis

import (
	"context"
	"strings"
	"testing"

	"copperglass/model/file"
)

// Any drawing that can be read gives a result: figures that balance, or faults
// that stop the analysis; never a panic.
func FuzzSolve(f *testing.F) {
	for _, c := range readCases(f)[:20] {
		f.Add(string(c.Drawing))
	}
	f.Add(drawing())
	f.Add(drawing(`"ref": "U1", "kind": "chip"`))
	f.Add(drawing(`"ref": "Z1", "kind": "valve"`))
	f.Add(wired(`{"points": [[0, 0], [3, 0], [3, 4], [0, 4]]}`))
	f.Add(randomDrawing(1))
	f.Fuzz(func(t *testing.T, text string) {
		d, err := file.Decode(strings.NewReader(text))
		if err != nil || len(d.Parts) > 50 {
			return
		}
		r, err := Solve(context.Background(), d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if stops := len(r.Faults) > 0 && r.Faults[0].Stops; r.Solved == stops {
			t.Errorf("solved: %v, faults %q", r.Solved, texts(r.Faults))
		}
		if r.Solved {
			checkBalance(t, d, r)
		}
	})
}
