// Growth times the way from the bytes of a drawing file to its figures for
// drawings of 10 to 100,000 parts, prints a table with the exponent to which
// each cost grows, and puts a row for each into the benchmarks' file.
package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"log"
	"math"
	"os"
	"runtime"
	"text/tabwriter"
	"time"

	"copperglass/analysis"
	"copperglass/analysis/bench/rows"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/net"
)

var sizes = []int{10, 100, 1_000, 10_000, 100_000}

const (
	fitFrom   = 100 // parts: below that constants outweigh what grows
	batchTime = 300 * time.Millisecond
	batches   = 4 // the fastest counts
)

func main() {
	log.SetFlags(0)
	out := flag.String("o", "out/bench.json", "the file to put the rows into")
	most := flag.Int("most", sizes[len(sizes)-1], "parts of the largest drawing")
	flag.Parse()
	fmt.Printf("Cost against size, on %s:\n", rows.Machine())
	for _, s := range shapes {
		costs, err := measure(s, *most)
		if err != nil {
			log.Fatalf("growth: %s: %v", s.name, err)
		}
		print(os.Stdout, s.name, costs)
		if err := rows.Merge(*out, toRows(s.name, costs)); err != nil {
			log.Fatalf("growth: %v", err)
		}
	}
}

// cost is what a drawing of so many parts takes.
type cost struct {
	parts   int
	columns [len(headings)]step
	memory  uint64 // bytes that the program has had from the system by then
}

// step is one of the columns.
type step struct{ ns, allocs float64 }

// headings are those of the columns. Solving includes everything after the
// netlist: the equations, their solution, the report of it and what is found
// fault with.
var headings = [...]string{"loading", "nets", "solving", "all"}

func measure(s shape, most int) ([]cost, error) {
	var all []cost
	for _, n := range sizes {
		if n > most {
			break
		}
		c, err := costOf(s.draw(n))
		if err != nil {
			return nil, fmt.Errorf("%d parts: %w", n, err)
		}
		all = append(all, c)
	}
	return all, nil
}

func costOf(d *model.Diagram) (cost, error) {
	c := cost{parts: len(d.Parts)}
	var text bytes.Buffer
	if err := file.Encode(&text, d); err != nil {
		return c, err
	}
	load := func() error {
		var err error
		d, err = file.Decode(bytes.NewReader(text.Bytes()))
		return err
	}
	nets := func() error { net.Build(d); return nil }
	solve := func() error {
		r, err := analysis.Solve(context.Background(), d, analysis.Options{})
		if err == nil && (!r.Solved || len(r.Faults) > 0) {
			err = fmt.Errorf("not solved, or with faults: %v", r.Faults)
		}
		return err
	}
	var both step
	for i, run := range []func() error{load, nets, solve} {
		var err error
		if c.columns[i], err = best(run); err != nil {
			return c, err
		}
	}
	both, c.columns[2] = c.columns[2], c.columns[2].less(c.columns[1])
	c.columns[3] = step{c.columns[0].ns + both.ns, c.columns[0].allocs + both.allocs}
	c.memory = fromSystem()
	return c, nil
}

func (s step) less(t step) step { return step{s.ns - t.ns, s.allocs - t.allocs} }

// best returns what a run takes in the fastest of several batches. A batch runs
// as often as fits its time, so that the memory of small drawings is collected
// within it as that of large ones is.
func best(run func() error) (step, error) {
	s := step{ns: math.Inf(1)}
	for range batches {
		runtime.GC()
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		runs, begin := 0.0, time.Now()
		for runs == 0 || time.Since(begin) < batchTime {
			if err := run(); err != nil {
				return s, err
			}
			runs++
		}
		took := float64(time.Since(begin)) / runs
		runtime.ReadMemStats(&after)
		s.ns = min(s.ns, took)
		s.allocs = float64(after.Mallocs-before.Mallocs) / runs
	}
	return s, nil
}

func fromSystem() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.Sys
}

// exponent fits time = a·partsᵉ by least squares of the logarithms and returns
// e, NaN where there are too few sizes.
func exponent(costs []cost, column int) float64 {
	var n, sx, sy, sxx, sxy float64
	for _, c := range costs {
		if c.parts < fitFrom {
			continue
		}
		x, y := math.Log(float64(c.parts)), math.Log(c.columns[column].ns)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	return (n*sxy - sx*sy) / (n*sxx - sx*sx)
}

func print(to io.Writer, name string, costs []cost) {
	fmt.Fprintf(to, "\nparts joined by %s, times in ms\n", name)
	t := tabwriter.NewWriter(to, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(t, "parts\t")
	for _, h := range headings {
		fmt.Fprint(t, h, "\t")
	}
	fmt.Fprintln(t, "allocations\tmemory so far\t")
	for _, c := range costs {
		fmt.Fprintf(t, "%d\t", c.parts)
		for _, s := range c.columns {
			fmt.Fprintf(t, "%.3g\t", s.ns/1e6)
		}
		fmt.Fprintf(t, "%.0f\t%d MiB\t\n", c.columns[len(headings)-1].allocs, c.memory>>20)
	}
	fmt.Fprint(t, "exponent\t")
	for i := range headings {
		fmt.Fprintf(t, "%.2f\t", exponent(costs, i))
	}
	fmt.Fprintln(t, "\t\t")
	t.Flush()
}

// toRows has no rivals to name.
func toRows(name string, costs []cost) []rows.Row {
	var all []rows.Row
	for _, c := range costs {
		for i, h := range headings {
			all = append(all, rows.Row{
				Name:   fmt.Sprintf("growth, %s, %d parts, %s", name, c.parts, h),
				OursNS: c.columns[i].ns,
				Allocs: c.columns[i].allocs,
			})
		}
	}
	return all
}
