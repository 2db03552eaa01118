package sparse

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// withKernels runs a test on either kernel, compiled for the pivots that were
// chosen for m.
func withKernels(t *testing.T, m *Matrix, held []bool, test func(t *testing.T, k kernel, f *factors)) {
	t.Helper()
	lu := New(m)
	if err := lu.pivoting.run(m, held, defaultShare); err != nil {
		t.Fatal(err)
	}
	if held == nil {
		held = make([]bool, m.n)
	}
	s := lu.pivoting.structure()
	program, panels := newProgram(m, held, s), newPanels(m, held, s)
	t.Run("program", func(t *testing.T) { test(t, program, program.factors) })
	t.Run("panels", func(t *testing.T) { test(t, panels, panels.factors) })
}

// The factors multiply to the matrix: P·(R·A)·Q = L·U, each entry to some
// rounding of what adds up in it.
func TestFactorsMultiplyToMatrix(t *testing.T) {
	for _, n := range []int{1, 2, 3, 7, 20, 60, 150} {
		for seed := range uint64(5) {
			t.Run(fmt.Sprintf("n=%d/seed=%d", n, seed), func(t *testing.T) {
				r := rand.New(rand.NewPCG(uint64(n), seed))
				m, _ := randomMatrix(r, n, int(seed), 3)
				withKernels(t, m, nil, func(t *testing.T, k kernel, f *factors) {
					if !k.refactor(m.Values, 1e3, nil) {
						t.Error("fresh pivots are refused")
					}
					checkProduct(t, f, m.dense())
					for s := range m.Values {
						m.Values[s] *= 1 + 0.01*r.Float64()
					}
					k.refactor(m.Values, 1e3, nil)
					checkProduct(t, f, m.dense())
				})
			})
		}
	}
}

// checkProduct compares L·U with R·A, entry by entry.
func checkProduct(t *testing.T, f *factors, a *mat.Dense) {
	t.Helper()
	n := f.n()
	l, u := square(n), square(n)
	for k := range n {
		l[k][k], u[k][k] = 1, f.d[k]
	}
	for e, i := range f.lower.index {
		l[i][f.lowerOf[e]] = f.l[e]
	}
	for e, i := range f.upper.index {
		u[i][f.upperOf[e]] = f.u[e]
	}
	for i := range n {
		for j := range n {
			sum, terms := 0.0, 0.0
			for k := range n {
				sum += l[i][k] * u[k][j]
				terms += math.Abs(l[i][k] * u[k][j])
			}
			want := f.scale[i] * a.At(int(f.row[i]), int(f.col[j]))
			if math.Abs(sum-want) > 1e-14*(terms+math.Abs(want)) {
				t.Fatalf("(L·U)[%d, %d] = %g, want %g", i, j, sum, want)
			}
		}
	}
}

func square(n int) [][]float64 {
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, n)
	}
	return a
}

func TestKernelsSolve(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 11))
		n := 1 + r.IntN(80)
		m, dense := randomMatrix(r, n, r.IntN(5), 2)
		held := make([]bool, n)
		for i := range held {
			if held[i] = r.IntN(8) == 0; held[i] {
				for j := range n {
					dense.Set(i, j, 0)
				}
				dense.Set(i, i, 1)
			}
		}
		var lu mat.LU
		lu.Factorize(dense)
		tol := 1e-13 * lu.Cond()
		b, x := randomVector(r, n), make([]float64, n)
		withKernels(t, m, held, func(t *testing.T, k kernel, _ *factors) {
			k.refactor(m.Values, 1e3, nil)
			k.solveTo(x, b)
			compare(t, "A·x = b", x, denseSolve(t, &lu, false, b), tol)
			k.solveTransposeTo(x, b)
			compare(t, "Aᵀ·x = b", x, denseSolve(t, &lu, true, b), tol)
		})
	}
}

// Small changes keep the pivots; when a kept pivot becomes small beside others
// of its column, pivots are chosen anew and no more digits are lost than the
// limit on multipliers allows.
func TestPivotsAreChosenAnew(t *testing.T) {
	good := []float64{4, 1, 1, 1, 3, 1, 1, 1, 2}
	m := full(good, 3)
	lu := New(m)
	factor(t, lu, m)
	first, before, pivots := lu.pivoting.column[0], lu.kernel, slices.Clone(lu.pivot)

	for _, v := range []float64{5, 3, 0.2} {
		m.Values[4*first] = v
		factor(t, lu, m)
		if lu.kernel != before {
			t.Errorf("the change of a pivot to %g made a new kernel", v)
		}
	}
	for _, v := range []float64{1e-4, 1e-8, 1e-15, 0} {
		copy(m.Values, good)
		lu := New(m)
		factor(t, lu, m)
		m.Values[4*first] = v
		factor(t, lu, m)
		if slices.Equal(lu.pivot, pivots) {
			t.Errorf("a pivot of %g was kept", v)
		}
		checkSolution(t, lu, m, 1e-15)
	}
	for c := range 3 {
		for v := 1.0; v > 1e-20; v /= 3 {
			copy(m.Values, good)
			factor(t, lu, m)
			m.Values[4*c] = v
			factor(t, lu, m)
			checkSolution(t, lu, m, 1e-15*drift/defaultShare)
		}
	}
}

// checkSolution compares a solution with that of the dense method.
func checkSolution(t *testing.T, f *LU, m *Matrix, tol float64) {
	t.Helper()
	b, x := make([]float64, m.n), make([]float64, m.n)
	for i := range b {
		b[i] = float64(i + 1)
	}
	f.SolveTo(x, b)
	var lu mat.LU
	lu.Factorize(m.dense())
	compare(t, "solution", x, denseSolve(t, &lu, false, b), tol*lu.Cond())
}

// full returns an n×n matrix with a slot at each place, by rows.
func full(values []float64, n int) *Matrix {
	p := NewPattern(n)
	for i := range n {
		for j := range n {
			p.Entry(i, j)
		}
	}
	m := p.Matrix()
	copy(m.Values, values)
	return m
}

func factor(t *testing.T, f *LU, m *Matrix) {
	t.Helper()
	if err := f.Factor(m, nil); err != nil {
		t.Fatal(err)
	}
}

// Values that wander over decades never cost more digits than the
// pivot limit allows.
func TestWanderingValues(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	m, _ := randomMatrix(r, 30, 2, 0)
	f := New(m)
	b, x, back, row := randomVector(r, 30), make([]float64, 30), make([]float64, 30), make([]float64, 30)
	anew := 0
	for range 300 {
		for s := range m.Values {
			v := m.Values[s]
			m.Values[s] = math.Copysign(math.Pow(math.Abs(v), 0.9), v) * math.Exp(r.NormFloat64())
		}
		before := f.kernel
		factor(t, f, m)
		if f.kernel != before {
			anew++
		}
		f.SolveTo(x, b)
		m.MulTo(back, x)
		m.sumRows(row)
		for i := range b {
			if off := math.Abs(back[i] - b[i]); off > 1e-11*(row[i]*largest(x)+math.Abs(b[i])) {
				t.Fatalf("row %d is off by %g", i, off)
			}
		}
	}
	if anew < 2 || anew > 250 {
		t.Errorf("pivots were chosen anew %d times in 300", anew)
	}
}

// A smaller DiagonalShare may keep pivots that a larger one refuses.
func TestShareIsKept(t *testing.T) {
	m := full([]float64{0.02, 1, 1, 1}, 2)
	f := New(m)
	f.DiagonalShare = 1e-6
	factor(t, f, m)
	loose := slices.Clone(f.pivot)
	f.DiagonalShare = 0
	factor(t, f, m)
	if slices.Equal(f.pivot, loose) {
		t.Error("the pivots of the smaller share were kept for the larger one")
	}
	strict := slices.Clone(f.pivot)
	f.DiagonalShare = 1e-6
	factor(t, f, m)
	if !slices.Equal(f.pivot, strict) {
		t.Error("pivots that are good enough were chosen anew")
	}
}

// Either kernel reports what makes its pivots unfit.
func TestKernelsRefuse(t *testing.T) {
	good := []float64{4, 1, 1, 0, 3, 1, 1, 0, 2}
	tests := []struct {
		name   string
		place  int
		value  float64
		refuse bool
	}{
		{"the same values", 0, 4, false},
		{"a multiplier below the limit", 6, 400, false},
		{"a multiplier above the limit", 0, 1e-4, true},
		{"a pivot that vanishes", 4, 0, true},
		{"a last pivot that cancels", 8, 1.0 / 6, true},
		{"not a number beside the diagonal", 1, math.NaN(), true},
		{"infinite beside the diagonal", 1, math.Inf(1), true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := full(good, 3)
			withKernels(t, m, nil, func(t *testing.T, k kernel, _ *factors) {
				copy(m.Values, good)
				m.Values[tt.place] = tt.value
				if k.refactor(m.Values, 1e3, nil) == tt.refuse {
					t.Errorf("refused: %t", !tt.refuse)
				}
			})
		})
	}
}

// An equation that is as good as empty, or not finite, has no scale.
func TestKernelsRefuseRows(t *testing.T) {
	p := NewPattern(2)
	p.Entry(0, 0)
	p.Entry(1, 1)
	m := p.Matrix()
	for v, refuse := range map[float64]bool{1e-280: false, 1e280: false, 1e-295: true, math.Inf(1): true} {
		copy(m.Values, []float64{1, 1})
		withKernels(t, m, nil, func(t *testing.T, k kernel, _ *factors) {
			if k.refactor([]float64{1, v}, 1e3, nil) == refuse {
				t.Errorf("%g is refused: %t", v, !refuse)
			}
		})
	}
}

// A matrix may become singular and regular again; the error always names the
// unknown.
func TestSingularAfterGood(t *testing.T) {
	good := []float64{2, 1, 0, 1, 2, 0, 0, 0, 1}
	tests := []struct {
		name     string
		values   []float64
		unknowns []int
	}{
		{"a row of zeros", []float64{2, 1, 0, 1, 2, 0, 0, 0, 0}, []int{2}},
		{"two rows alike", []float64{1, 1, 0, 1, 1, 0, 0, 0, 1}, []int{0, 1}},
		{"a column of zeros", []float64{2, 0, 0, 1, 0, 1, 0, 0, 1}, []int{1}},
		{"not a number", []float64{2, 1, 0, 1, math.NaN(), 0, 0, 0, 1}, []int{1}},
		{"infinite", []float64{2, 1, 0, 1, 2, 0, 0, 0, math.Inf(-1)}, []int{2}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := full(good, 3)
			f := New(m)
			factor(t, f, m)
			copy(m.Values, tt.values)
			var s *Singular
			if err := f.Factor(m, nil); !errors.As(err, &s) || !slices.Contains(tt.unknowns, s.Unknowns[0]) {
				t.Errorf("got %v, want one of %d", err, tt.unknowns)
			}
			copy(m.Values, good)
			factor(t, f, m)
			x := make([]float64, 3)
			f.SolveTo(x, []float64{3, 3, 1})
			compare(t, "solution", x, []float64{1, 1, 1}, 1e-15)
		})
	}
}

// Unknowns may be held and let go from one factorisation to the next.
func TestHeldMayChange(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	m, dense := randomMatrix(r, 25, 2, 1)
	f := New(m)
	b, x := randomVector(r, 25), make([]float64, 25)
	for i := range 50 {
		held := make([]bool, 25)
		with := mat.DenseCopyOf(dense)
		if i%2 == 1 {
			h := r.IntN(25)
			held[h] = true
			with.SetRow(h, make([]float64, 25))
			with.Set(h, h, 1)
		}
		if err := f.Factor(m, held); err != nil {
			t.Fatal(err)
		}
		var lu mat.LU
		lu.Factorize(with)
		f.SolveTo(x, b)
		compare(t, "held", x, denseSolve(t, &lu, false, b), 1e-13*lu.Cond())
	}
}

// Once pivots are chosen, new factors and solutions allocate nothing.
func TestNoAllocation(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	for _, n := range []int{5, 100} { // a program, and panels
		m, _ := randomMatrix(r, n, n/8, 0)
		f, b, held := New(m), randomVector(r, n), make([]bool, n)
		if err := f.Factor(m, held); err != nil {
			t.Fatal(err)
		}
		if allocs := testing.AllocsPerRun(20, func() {
			m.Values[r.IntN(len(m.Values))] *= 1.01
			if err := f.Factor(m, held); err != nil {
				t.Error(err)
			}
			f.SolveTo(b, b)
			f.SolveTransposeTo(b, b)
		}); allocs != 0 {
			t.Errorf("n=%d: %g allocations", n, allocs)
		}
		if _, ok := f.kernel.(*panels); ok != (n == 100) {
			t.Errorf("n=%d has the kernel %T", n, f.kernel)
		}
	}
}

// Nothing to solve is no error.
func TestEmpty(t *testing.T) {
	f := New(NewPattern(0).Matrix())
	for range 2 {
		factor(t, f, NewPattern(0).Matrix())
		f.SolveTo(nil, nil)
		f.SolveTransposeTo(nil, nil)
	}
}
