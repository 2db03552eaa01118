package analysis

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"sync"
	"sync/atomic"
	"testing"
)

var soak = flag.Uint64("soak", 2000, "how many random circuits TestSoak solves")

// Whatever is joined to whatever: an operating point is found that bears
// verification, or the circuit is refused for a fault of its structure that
// bears verification too.
func TestSoak(t *testing.T) {
	t.Parallel()
	var next, solved, refused, wrong atomic.Uint64
	var workers sync.WaitGroup
	for range 2 {
		workers.Go(func() {
			for seed := next.Add(1) - 1; seed < *soak; seed = next.Add(1) - 1 {
				one := &named{TB: t, name: fmt.Sprintf("circuit %d", seed)}
				isSolved := solveOrRefuse(one, seed)
				switch {
				case one.failed:
					wrong.Add(1)
				case isSolved:
					solved.Add(1)
				default:
					refused.Add(1)
				}
			}
		})
	}
	workers.Wait()
	t.Logf("%d circuits: %d solved, %d refused for a fault of their structure, %d neither or wrong", *soak, solved.Load(), refused.Load(), wrong.Load())
}

func solveOrRefuse(t testing.TB, seed uint64) (solved bool) {
	d := randomCircuit(seed)
	r, err := Solve(t.Context(), d, Options{})
	if err != nil {
		t.Error(err)
		return false
	}
	if r.Solved {
		checkPlain(t, d, r)
	} else {
		checkRefusal(t, d, r)
	}
	return r.Solved
}

// named says which of many checks an error is of, at less cost than a test of
// its own.
type named struct {
	testing.TB
	name   string
	failed bool
}

func (n *named) Errorf(format string, args ...any) {
	n.TB.Helper()
	n.failed = true
	n.TB.Errorf(n.name+": "+format, args...)
}

func (n *named) Error(args ...any) {
	n.TB.Helper()
	n.Errorf("%s", fmt.Sprint(args...))
}

// Circuits that were refused or solved wrongly at some time, each reduced to
// what it took. A text in "refused" is what is rightly said of it.
func TestFound(t *testing.T) {
	text, err := os.ReadFile("testdata/found.json")
	if err != nil {
		t.Fatal(err)
	}
	var found []struct {
		Name, Refused string
		Drawing       json.RawMessage
	}
	if err := json.Unmarshal(text, &found); err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		t.Run(f.Name, func(t *testing.T) {
			t.Parallel()
			d := decode(t, string(f.Drawing))
			r, err := Solve(t.Context(), d, Options{})
			switch {
			case err != nil:
				t.Fatal(err)
			case r.Solved != (f.Refused == ""):
				t.Fatalf("solved: %v; %q", r.Solved, texts(r.Faults))
			case r.Solved:
				checkPlain(t, d, r)
			case r.Faults[0].Text != f.Refused:
				t.Errorf("refused: %s", r.Faults[0].Text)
			default:
				checkRefusal(t, d, r)
			}
		})
	}
}
