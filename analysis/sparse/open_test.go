package sparse

import (
	"errors"
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
