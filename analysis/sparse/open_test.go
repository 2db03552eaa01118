package sparse

import (
	"errors"
	"math/rand/v2"
	"testing"
)

// A chain in which each equation determines the unknown before its own leaves
// the last one open; held, that takes its equation along, which leaves the one
// before open, and so on. One look finds them all.
func TestOpenChain(t *testing.T) {
	t.Parallel()
	const n = 50
	p := NewPattern(n)
	for i := range n {
		p.Entry(i, i)
		p.Entry(i, max(i-1, 0))
	}
	m := p.Matrix()
	for i := range n {
		m.Values[2*i], m.Values[2*i+1] = 0, 1
	}
	f := New(m)
	held := make([]bool, n)
	var open *Singular
	looks := 0
	for err := f.Factor(m, held); errors.As(err, &open); err = f.Factor(m, held) {
		looks++
		for _, i := range open.Unknowns {
			if held[i] {
				t.Fatalf("unknown %d is open though it is held", i)
			}
			held[i] = true
		}
	}
	if looks != 1 {
		t.Errorf("%d looks", looks)
	}
}

// Groups of nodes that nothing ties to ground, some joined by branches whose
// current is an unknown, so that pivots leave the diagonal. Whatever the order
// in which that comes out, one look finds all unknowns that are open, and what
// it made are the factors with these held.
func TestOpenGroups(t *testing.T) {
	t.Parallel()
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 5))
		n := 4 + r.IntN(60)
		m := branchedGroups(r, n)
		f := New(m)
		f.DiagonalShare = 1e-6
		held := make([]bool, m.Size())
		var open *Singular
		if err := f.Factor(m, held); !errors.As(err, &open) {
			t.Fatalf("seed %d: %v, though nothing is tied to ground", seed, err)
		}
		for _, i := range open.Unknowns {
			held[i] = true
		}
		if !f.pivoting.serves(m, held, f.DiagonalShare) {
			t.Errorf("seed %d: pivots are looked for again", seed)
		}
		if err := f.Factor(m, held); err != nil {
			t.Fatalf("seed %d: with %d held: %v", seed, len(open.Unknowns), err)
		}
		checkHeld(t, r, m.dense(), held, f)
		m.Values[0] = 1
		if f.pivoting.serves(m, held, f.DiagonalShare) {
			t.Errorf("seed %d: pivots are taken for those of other values", seed)
		}
	}
}

// branchedGroups is a network of n nodes without ground, each joined to one
// before it or to none, by a conductance or by a resistance whose current is an
// unknown.
func branchedGroups(r *rand.Rand, n int) *Matrix {
	p := NewPattern(2 * n)
	var values []float64
	add := func(row, col int, v float64) {
		p.Entry(row, col)
		values = append(values, v)
	}
	for i := range n {
		add(i, i, 0) // the node's leak
		j, k := n+i, r.IntN(max(i, 1))
		switch kind := r.IntN(4); {
		case k == i || kind == 0: // no branch
			add(j, j, 1)
		case kind == 1:
			add(j, j, 1)
			g := 0.5 + r.Float64()
			add(i, i, g)
			add(k, k, g)
			add(i, k, -g)
			add(k, i, -g)
		default:
			add(i, j, 1)
			add(k, j, -1)
			add(j, i, 1)
			add(j, k, -1)
			add(j, j, -r.Float64())
		}
	}
	m := p.Matrix()
	copy(m.Values, values)
	return m
}
