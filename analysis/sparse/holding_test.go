package sparse

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// nodes is a network of conductances between random nodes and now and then to
// ground, set anew by values.
type nodes struct {
	r     *rand.Rand
	m     *Matrix
	ends  [][2]int // of each conductance; −1 for ground
	slots [][4]int
}

func newNodes(r *rand.Rand, n, count int) *nodes {
	p := NewPattern(n)
	w := &nodes{r: r}
	for i := range n {
		p.Entry(i, i) // of each node's leak, which stays zero
	}
	for range count {
		a, b := r.IntN(n), r.IntN(n)
		if r.IntN(8) == 0 || a == b {
			b = -1
			w.slots = append(w.slots, [4]int{p.Entry(a, a)})
		} else {
			w.slots = append(w.slots, [4]int{p.Entry(a, a), p.Entry(b, b), p.Entry(a, b), p.Entry(b, a)})
		}
		w.ends = append(w.ends, [2]int{a, b})
	}
	w.m = p.Matrix()
	return w
}

// values blocks a share of the conductances and returns the matrix, dense.
func (w *nodes) values(share float64) *mat.Dense {
	clear(w.m.Values)
	for k, e := range w.ends {
		g := 0.1 + w.r.Float64()
		if w.r.Float64() < share {
			g = 0
		}
		w.m.Values[w.slots[k][0]] = g
		if e[1] >= 0 {
			w.m.Values[w.slots[k][1]] = g
			w.m.Values[w.slots[k][2]], w.m.Values[w.slots[k][3]] = -g, -g
		}
	}
	return w.m.dense()
}

// Of each group of nodes that nothing ties to ground one is held, whichever
// conductances block, and by the same pivots; the solution is that of the
// equations with that node's own replaced.
func TestHolding(t *testing.T) {
	t.Parallel()
	for _, n := range []int{1, 5, 30, 120} {
		for seed := range uint64(10) {
			t.Run(fmt.Sprintf("n=%d/seed=%d", n, seed), func(t *testing.T) {
				t.Parallel()
				r := rand.New(rand.NewPCG(uint64(n), seed))
				w := newNodes(r, n, 1+2*n)
				f := New(w.m)
				f.Holdable = n
				var first kernel
				for _, share := range []float64{0, 0.3, 0.6, 1, 0.3} {
					dense := w.values(share)
					held := make([]bool, n)
					if err := f.FactorHolding(w.m, held); err != nil {
						t.Fatal(err)
					}
					if first == nil {
						first = f.kernel
					}
					if f.kernel != first {
						t.Error("pivots are chosen anew")
					}
					checkHeld(t, r, dense, held, f)
				}
			})
		}
	}
}

// The same by both kernels, which serve by size otherwise.
func TestKernelsHold(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 21))
		n := 2 + r.IntN(60)
		w := newNodes(r, n, 2*n)
		dense := w.values(0.4)
		p := newPivoting(w.m, nil)
		if err := p.runHolding(w.m, 0.1, n); err != nil {
			t.Fatal(err)
		}
		s, free := p.structure(), make([]bool, n)
		for _, k := range []kernel{newProgram(w.m, free, s), newPanels(w.m, free, s)} {
			held := make([]bool, n)
			if !k.refactor(w.m.Values, 1e3, held) {
				t.Errorf("seed %d: refused", seed)
			}
			checkHeld(t, r, dense, held, &LU{kernel: k})
		}
	}
}

// checkHeld compares solutions with those of the dense matrix in which the
// equations of held unknowns are replaced.
func checkHeld(t *testing.T, r *rand.Rand, dense *mat.Dense, held []bool, f *LU) {
	t.Helper()
	n := len(held)
	for i, h := range held {
		for j := 0; h && j < n; j++ {
			dense.Set(i, j, 0)
		}
		if h {
			dense.Set(i, i, 1)
		}
	}
	var lu mat.LU
	lu.Factorize(dense)
	if lu.Cond() > 1e10 {
		t.Fatalf("too few are held: condition %g", lu.Cond())
	}
	b, x := randomVector(r, n), make([]float64, n)
	tol := 1e-13 * lu.Cond()
	f.SolveTo(x, b)
	compare(t, "A·x = b", x, denseSolve(t, &lu, false, b), tol)
	f.SolveTransposeTo(x, b)
	compare(t, "Aᵀ·x = b", x, denseSolve(t, &lu, true, b), tol)
}

// A node that hangs on others by as good as nothing leaves these their digits,
// and is not taken for held; nor is an unknown beyond those that may be.
func TestHoldingKeepsWeakTies(t *testing.T) {
	t.Parallel()
	p := NewPattern(3)
	slots := []int{p.Entry(0, 0), p.Entry(0, 1), p.Entry(1, 0), p.Entry(1, 1), p.Entry(1, 2), p.Entry(2, 1), p.Entry(2, 2)}
	m := p.Matrix()
	for k, v := range []float64{1, -1, -1, 1 + 1e-12, -1e-12, -1e-12, 2e-12} {
		m.Values[slots[k]] = v
	}
	f, held := New(m), make([]bool, 3)
	f.Holdable = 3
	if err := f.FactorHolding(m, held); err != nil || held[0] || held[1] || held[2] {
		t.Fatal(err, held)
	}
	x := []float64{0, 0, 1e-12}
	f.SolveTo(x, x)
	compare(t, "x", x, []float64{1, 1, 1}, 1e-3) // 1e-12 beside 1 has four digits
	m.Values[slots[3]], m.Values[slots[4]] = 1, 0
	f.Holdable = 0
	if err := f.FactorHolding(m, held); err == nil {
		t.Error("an unknown is held that may not be")
	}
}

func TestFulfils(t *testing.T) {
	t.Parallel()
	p := NewPattern(2)
	p.Entry(0, 0)
	p.Entry(1, 0)
	p.Entry(1, 1)
	m := p.Matrix()
	copy(m.Values, []float64{2, 1, 1})
	tests := []struct {
		x, b        []float64
		share       float64
		least       float64
		leave, want bool
	}{
		{[]float64{1, 1}, []float64{2, 2}, 0, 0, false, true},
		{[]float64{1, 1}, []float64{2, 2.1}, 0.03, 0, false, true},
		{[]float64{1, 1}, []float64{2, 2.1}, 0.02, 0, false, false},
		{[]float64{1, 1}, []float64{2, 2.1}, 0, 0.2, false, true},
		{[]float64{1, 1}, []float64{2, 9}, 0, 0, true, true},
	}
	for _, tt := range tests {
		if got := m.Fulfils(tt.x, tt.b, tt.share, tt.least, []bool{false, tt.leave}); got != tt.want {
			t.Errorf("%+v: %v", tt, got)
		}
	}
}
