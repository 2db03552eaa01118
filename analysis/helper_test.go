package analysis

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
)

// decode reads a drawing from JSON.
func decode(t testing.TB, text string) *model.Diagram {
	t.Helper()
	d, err := file.Decode(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// solve solves d and fails unless that gives figures that satisfy Kirchhoff's
// laws.
func solve(t testing.TB, d *model.Diagram, o Options) *Result {
	t.Helper()
	r, err := Solve(context.Background(), d, o)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Solved {
		t.Fatalf("not solved: %+v", r.Faults)
	}
	checkBalance(t, d, r)
	return r
}

// checkBalance adds up, apart from the code under test, the currents at each
// net and the powers. The power of a part is compared with what its pins'
// voltages and currents say, where all of them are known.
func checkBalance(t testing.TB, d *model.Diagram, r *Result) {
	t.Helper()
	rounding := 1e-15
	for _, p := range r.Parts {
		for _, pin := range p.Pins {
			rounding = max(rounding, 1e-14*math.Abs(pin.Amps))
		}
	}
	for i, n := range r.Nets.Nets {
		sum, largest := 0.0, 0.0
		for _, id := range n.Pins {
			pin := r.Parts[id.Ref].Pin(id.Pin)
			sum += pin.Amps
			largest = max(largest, math.Abs(pin.Amps))
		}
		if !(math.Abs(sum) <= 1e-9*largest+rounding) {
			t.Errorf("net %s (%d): currents add up to %g where the largest is %g", n.Name, i, sum, largest)
		}
	}
	watts, moved := 0.0, 0.0
	for _, p := range d.Parts {
		q := r.Parts[p.Ref]
		if q == nil {
			continue
		}
		byPins, largest, volts := 0.0, 0.0, 0.0
		for _, pin := range q.Pins {
			if pin.Amps != 0 {
				byPins += r.Volts[pin.Net] * pin.Amps
				largest = max(largest, math.Abs(r.Volts[pin.Net]*pin.Amps))
				volts = max(volts, math.Abs(r.Volts[pin.Net]))
			}
		}
		if !math.IsNaN(byPins) && math.Abs(byPins-q.Power) > 1e-9*largest+rounding*(volts+1) {
			t.Errorf("%s absorbs %g W by its pins and %g W by its elements", p.Ref, byPins, q.Power)
		}
		watts += q.Power
		moved += math.Abs(q.Power)
	}
	if !(math.Abs(watts) <= 1e-9*moved+10*rounding) {
		t.Errorf("powers add up to %g W where %g W flow", watts, moved)
	}
}

// texts returns what the faults say.
func texts(f []Fault) []string {
	var list []string
	for _, one := range f {
		list = append(list, one.Text)
	}
	return list
}

// figure returns a quantity of the result.
func figure(t testing.TB, r *Result, d *model.Diagram, name string) float64 {
	t.Helper()
	x, err := Quantity(r, d, name)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// drawing makes a drawing file of parts, each given as JSON without its
// braces, that are joined by tags.
func drawing(parts ...string) string {
	for i, p := range parts {
		parts[i] = "{" + p + "}"
	}
	return `{"format": "copperglass", "version": 1, "parts": [` + strings.Join(parts, ",\n") + `]}`
}

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g within %g", what, got, want, tol)
	}
}

// anyNet names one of so many nets at random: ground, the battery's plus and n2
// onwards.
func anyNet(r *rand.Rand, nets int) string {
	switch k := r.IntN(nets); k {
	case 0:
		return "GND"
	case 1:
		return "v"
	default:
		return fmt.Sprint("n", k)
	}
}

// logUniform draws a number from low to high, each decade as likely as another.
func logUniform(r *rand.Rand, low, high float64) float64 {
	return low * math.Pow(high/low, r.Float64())
}
