//go:build klu

// Klubench times the sparse solver against KLU and against gonum's dense LU: in
// one run, over the same matrices, the three taking turns. It needs C and
// SuiteSparse and is built with the tag klu only; `make bench` does all that.
package main

import (
	"flag"
	"fmt"
	"io"
	"log"
	"math"
	"os"
	"slices"
	"testing"
	"text/tabwriter"
	"time"

	"copperglass/analysis/bench/rows"
	"copperglass/analysis/sparse"
	"gonum.org/v1/gonum/mat"
)

const (
	rounds    = 21   // the median of so many counts
	roundTime = 10e6 // ns that a round should last
	// mostDense is the largest matrix that is given to the dense method.
	mostDense = 1003
)

func main() {
	log.SetFlags(0)
	out := flag.String("o", "out/bench.json", "the file to put the rows into")
	flag.Parse()
	var all []rows.Row
	for _, w := range []network{
		branches(13), branches(43), branches(203), branches(1003), branches(10003),
		grid(10), grid(30), grid(100),
	} {
		some, err := measure(w)
		if err != nil {
			log.Fatalf("klubench: %s: %v", w.name, err)
		}
		all = append(all, some...)
	}
	if err := rows.Merge(*out, all); err != nil {
		log.Fatalf("klubench: %v", err)
	}
	print(os.Stdout, all)
}

// contender is one way to solve: it does so a number of times and returns the
// nanoseconds.
type contender func(times int) (float64, error)

// measure lets the methods take turns on one matrix.
func measure(w network) ([]rows.Row, error) {
	b := make([]float64, w.n)
	for i := range b {
		b[i] = math.Sin(float64(i + 1))
	}
	x := make([]float64, w.n)
	ours, allocs := newOurs(w, b, x)
	rival, err := newKLU(w, b)
	if err != nil {
		return nil, err
	}
	defer rival.free()
	contenders := []contender{ours, rival.run}
	names := []string{"KLU"}
	if w.n <= mostDense {
		contenders, names = append(contenders, newDense(w, b)), append(names, "gonum dense")
	}
	ns, err := medians(contenders)
	if err != nil {
		return nil, err
	}
	if d := distance(x, rival.solution()); d > 1e-9 {
		return nil, fmt.Errorf("the solutions differ by %g of the largest unknown", d)
	}
	var all []rows.Row
	for i, name := range names {
		all = append(all, rows.Row{Name: w.name, OursNS: ns[0], Allocs: allocs, Rival: name, RivalNS: ns[i+1], Ratio: ns[0] / ns[i+1]})
	}
	return all, nil
}

func newOurs(w network, b, x []float64) (run contender, allocs float64) {
	m := w.matrix()
	lu := sparse.New(m)
	once := func() error {
		if err := lu.Factor(m, nil); err != nil {
			return err
		}
		lu.SolveTo(x, b)
		return nil
	}
	run = repeat(once)
	return run, testing.AllocsPerRun(10, func() { _, _ = run(1) })
}

func newDense(w network, b []float64) contender {
	d, rhs := w.dense(), mat.NewVecDense(w.n, b)
	var lu mat.LU
	var x mat.VecDense
	return repeat(func() error {
		lu.Factorize(d)
		return lu.SolveVecTo(&x, false, rhs)
	})
}

func repeat(once func() error) contender {
	return func(times int) (float64, error) {
		from := time.Now()
		for range times {
			if err := once(); err != nil {
				return 0, err
			}
		}
		return float64(time.Since(from)), nil
	}
}

// medians returns the median time of each contender for one solution.
func medians(all []contender) ([]float64, error) {
	times := make([]int, len(all))
	for i, run := range all {
		var err error
		if times[i], err = enough(run); err != nil {
			return nil, err
		}
	}
	seen := make([][]float64, len(all))
	for range rounds {
		for i, run := range all {
			ns, err := run(times[i])
			if err != nil {
				return nil, err
			}
			seen[i] = append(seen[i], ns/float64(times[i]))
		}
	}
	median := make([]float64, len(all))
	for i, list := range seen {
		slices.Sort(list)
		median[i] = list[rounds/2]
	}
	return median, nil
}

// enough returns how many times fill a round.
func enough(run contender) (int, error) {
	for times := 1; ; times *= 2 {
		ns, err := run(times)
		if err != nil || ns >= roundTime/2 {
			return times, err
		}
	}
}

// distance returns the largest difference in shares of the largest of b.
func distance(a, b []float64) float64 {
	worst, largest := 0.0, 0.0
	for i := range a {
		worst, largest = max(worst, math.Abs(a[i]-b[i])), max(largest, math.Abs(b[i]))
	}
	return worst / largest
}

// print prints rows that compare making the factors again and solving once.
func print(to io.Writer, list []rows.Row) {
	fmt.Fprintf(to, "New factors and one solution, in µs, on %s:\n", rows.Machine())
	t := tabwriter.NewWriter(to, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "matrix\tours\tallocations\trival\tits time\tratio\t")
	for _, r := range list {
		fmt.Fprintf(t, "%s\t%.3g\t%g\t%s\t%.3g\t%.2g\t\n", r.Name, r.OursNS/1e3, r.Allocs, r.Rival, r.RivalNS/1e3, r.Ratio)
	}
	t.Flush()
}
