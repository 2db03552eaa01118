// Spread times the spread of the lantern's white light against the same job done
// by hand for scipy's fsolve: the same samples, each LED with its own forward
// voltage, one core each. It needs Python with scipy; `make bench-spread` does
// the set-up.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"time"

	"copperglass/analysis"
	"copperglass/analysis/bench/rows"
	"copperglass/assets"
	"copperglass/model"
	"copperglass/model/file"
)

const (
	seed   = 1
	mode   = "White"
	of     = "BT1.+.amps"
	rounds = 5 // of ours; the median counts
)

func main() {
	log.SetFlags(0)
	samples := flag.Int("samples", 10_000, "circuits to build at random")
	python := flag.String("python", "python3", "the Python that has scipy")
	script := flag.String("script", "analysis/bench/spread/lantern_fsolve.py", "the job by hand")
	out := flag.String("o", "out/bench.json", "the file to put the row into")
	flag.Parse()
	if err := compare(*samples, *python, *script, *out); err != nil {
		log.Fatalf("spread: %v", err)
	}
}

func compare(samples int, python, script, out string) error {
	runtime.GOMAXPROCS(1)
	d, err := lantern()
	if err != nil {
		return err
	}
	ours, err := timeSpread(d, samples)
	if err != nil {
		return err
	}
	theirs, err := runScript(python, script, job(d, ours.result, samples))
	if err != nil {
		return err
	}
	ns := theirs.Seconds * 1e9 / float64(samples)
	right := theirs.right(ours.result.Quantities[0].Samples)
	fmt.Printf("Spread of the lantern's white light, %d samples, one core each, on %s:\n", samples, rows.Machine())
	fmt.Printf("  ours          %8.3g µs a sample, %.3g allocations, %d converged\n", ours.ns/1e3, ours.allocs, ours.result.Converged)
	fmt.Printf("  scipy fsolve  %8.3g µs a sample, %d converged, %d of them to within %g of ours\n", ns/1e3, theirs.converged(), right, alike)
	fmt.Printf("  ratio         %8.3g\n", ours.ns/ns)
	return rows.Merge(out, []rows.Row{{
		Name: "spread of the lantern, a sample", OursNS: ours.ns, Allocs: ours.allocs,
		Rival: fmt.Sprintf("scipy fsolve by hand (%d of %d converged, %d right)", theirs.converged(), samples, right), RivalNS: ns, Ratio: ours.ns / ns,
	}})
}

func lantern() (*model.Diagram, error) {
	text, err := assets.Example("lantern")
	if err != nil {
		return nil, err
	}
	return file.Decode(bytes.NewReader(text))
}

// measured is what our engine did with the samples.
type measured struct {
	result *analysis.SpreadResult
	ns     float64 // a sample
	allocs float64 // a sample
}

func timeSpread(d *model.Diagram, samples int) (measured, error) {
	var m measured
	var ns []float64
	for range rounds {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		from := time.Now()
		s, err := analysis.Spread(context.Background(), d, analysis.SpreadOptions{
			Options: analysis.Options{Mode: mode}, Of: []string{of}, Samples: samples, Seed: seed,
		})
		took := time.Since(from)
		if err != nil {
			return m, err
		}
		runtime.ReadMemStats(&after)
		ns = append(ns, float64(took)/float64(samples))
		m.result, m.allocs = s, float64(after.Mallocs-before.Mallocs)/float64(samples)
	}
	slices.Sort(ns)
	m.ns = ns[rounds/2]
	if m.result.Converged == 0 {
		return m, fmt.Errorf("no sample of the lantern converged")
	}
	return m, nil
}

// task is the job for the script.
type task struct {
	Nominal map[string]float64 `json:"nominal"`
	Columns []string           `json:"columns"`
	Samples [][]float64        `json:"samples"`
}

// job draws the samples that the engine draws from the same seed.
func job(d *model.Diagram, s *analysis.SpreadResult, samples int) task {
	t := task{Nominal: map[string]float64{}}
	setting := d.Mode(mode).Setting()
	for _, p := range d.Parts {
		values, _ := d.Resolve(p, setting)
		for name, v := range values {
			if x, ok := v.Num(); ok {
				t.Nominal[p.Ref+"."+name] = x
			}
		}
		t.Nominal["thermal_voltage"] = model.ThermalVoltage(values.Num("temperature"))
	}
	for _, tol := range s.Tolerances {
		t.Columns = append(t.Columns, tol.Parameter)
		t.Nominal[tol.Parameter] = tol.Nominal // those of a stack's parts, too
	}
	r := rand.New(rand.NewPCG(seed, 0))
	for range samples {
		row := make([]float64, len(s.Tolerances))
		for i := range row {
			row[i] = s.Tolerances[i].At(r.Float64())
		}
		t.Samples = append(t.Samples, row)
	}
	return t
}

// answer is what the script found.
type answer struct {
	StartConverged bool      `json:"start_converged"`
	Seconds        float64   `json:"seconds"`
	Converged      []bool    `json:"converged"`
	Amps           []float64 `json:"amps"`
}

func runScript(python, script string, t task) (answer, error) {
	var a answer
	in, err := json.Marshal(t)
	if err != nil {
		return a, err
	}
	cmd := exec.Command(python, script)
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=1", "OPENBLAS_NUM_THREADS=1")
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), os.Stderr
	text, err := cmd.Output()
	if err != nil {
		return a, fmt.Errorf("%s %s: %w; is scipy there?", python, script, err)
	}
	if err := json.Unmarshal(text, &a); err != nil {
		return a, fmt.Errorf("%s: %w", script, err)
	}
	if len(a.Converged) != len(t.Samples) || len(a.Amps) != len(t.Samples) {
		return a, fmt.Errorf("%s: %d answers to %d samples", script, len(a.Converged), len(t.Samples))
	}
	return a, nil
}

// alike is how near two currents must be to be the same solution, relative. The
// hand's job leaves the amber branch's leakage out.
const alike = 1e-7

// right counts the samples that converged to what our engine found, too.
func (a answer) right(ours []float64) int {
	count := 0
	for i, amps := range a.Amps {
		k, _ := slices.BinarySearch(ours, -amps) // ours are into the pin
		for _, x := range ours[max(0, k-1):min(len(ours), k+1)] {
			if a.Converged[i] && math.Abs(x+amps) <= alike*math.Abs(x) {
				count++
				break
			}
		}
	}
	return count
}

func (a answer) converged() int {
	count := 0
	for _, ok := range a.Converged {
		if ok {
			count++
		}
	}
	return count
}
