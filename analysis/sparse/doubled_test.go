package sparse

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// A chain of nodes that good conductors join and that hangs on 1e-20 S: with b
// amperes into each node all stand at the sum of these over the leak.
func TestDoubledKeepsLeak(t *testing.T) {
	t.Parallel()
	const n, good, leak = 50, 1e-2, 1e-20
	p := NewPattern(n)
	var values []float64
	add := func(i, j int, v float64) {
		p.Entry(i, j)
		values = append(values, v)
	}
	r := rand.New(rand.NewPCG(1, 1))
	join := func(i, j int, g float64) {
		add(i, i, g)
		add(j, j, g)
		add(i, j, -g)
		add(j, i, -g)
	}
	for i := 1; i < n; i++ {
		join(i, r.IntN(i), good*(1+r.Float64()))
		join(i, (i+7)%n, good*r.Float64())
	}
	add(n-1, n-1, leak)
	m := p.Matrix()
	copy(m.Values, values)
	d := New(m).Doubled()
	if err := d.Factor(m, nil); err != nil {
		t.Fatal(err)
	}
	x := make([]float64, n)
	for i := range x {
		x[i] = 1e-21
	}
	d.SolveTo(x, x)
	for i, v := range x {
		if want := n * 1e-21 / leak; math.Abs(v-want) > 1e-9*want {
			t.Errorf("node %d stands at %.15g, want %g", i, v, want)
		}
	}
	var open *Singular
	m.Values[len(values)-1] = 0
	if err := d.Factor(m, nil); !errors.As(err, &open) || len(open.Unknowns) != 1 {
		t.Fatalf("without a leak: %v", err)
	}
	held := make([]bool, n)
	held[open.Unknowns[0]] = true
	if err := d.Factor(m, held); err != nil {
		t.Fatalf("with node %d held: %v", open.Unknowns[0], err)
	}
	clear(x)
	x[open.Unknowns[0]] = 3
	d.SolveTo(x, x)
	for i, v := range x {
		if v != 3 {
			t.Errorf("node %d stands at %.15g, want 3", i, v)
		}
	}
}

// In twice the precision solutions are the same where one is enough, whichever
// unknowns are held.
func TestDoubledAgrees(t *testing.T) {
	t.Parallel()
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 6))
		m := branchedGroups(r, 4+r.IntN(60))
		f := New(m)
		d := f.Doubled()
		held := make([]bool, m.Size())
		var open *Singular
		for tries := 0; errors.As(d.Factor(m, held), &open); tries++ {
			if tries > len(held) {
				t.Fatalf("seed %d: %v is open yet", seed, open.Unknowns)
			}
			for _, i := range open.Unknowns {
				held[i] = true
			}
		}
		if err := f.Factor(m, held); err != nil {
			t.Fatalf("seed %d: %v, though twice the precision leaves nothing open", seed, err)
		}
		b := randomVector(r, m.Size())
		want, got := make([]float64, len(b)), make([]float64, len(b))
		f.SolveTo(want, b)
		d.SolveTo(got, b)
		compare(t, "A·x = b", got, want, 1e-9)
	}
}
