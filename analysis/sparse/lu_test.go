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

// randomMatrix returns a matrix with a full diagonal, about perRow other
// entries in each row, values over spread decades, and some places twice.
func randomMatrix(r *rand.Rand, n, perRow int, spread float64) (*Matrix, *mat.Dense) {
	p := NewPattern(n)
	dense := mat.NewDense(n, n, nil)
	type place struct{ i, j int }
	var places []place
	for i := range n {
		places = append(places, place{i, i}, place{i, i})
		for range perRow {
			places = append(places, place{i, r.IntN(n)})
		}
	}
	for _, q := range places {
		p.Entry(q.i, q.j)
	}
	m := p.Matrix()
	for s, q := range places {
		v := (r.Float64()*2 - 1) * math.Pow(10, spread*(r.Float64()-0.5))
		m.Values[s] = v
		dense.Set(q.i, q.j, dense.At(q.i, q.j)+v)
	}
	return m, dense
}

// dense returns the matrix as gonum holds it.
func (m *Matrix) dense() *mat.Dense {
	d := mat.NewDense(m.n, m.n, nil)
	for c := range m.n {
		for k := m.start[c]; k < m.start[c+1]; k++ {
			d.Set(m.row[k], c, d.At(m.row[k], c)+m.Values[m.slot[k]])
		}
	}
	return d
}

func randomVector(r *rand.Rand, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = r.Float64()*2 - 1
	}
	return v
}

func distance(a, b []float64) float64 {
	worst := 0.0
	for i := range a {
		worst = max(worst, math.Abs(a[i]-b[i]))
	}
	return worst
}

func largest(a []float64) float64 { return distance(a, make([]float64, len(a))) }

// The dense factorisation of gonum is the independent twin. Two backward
// stable methods may differ by the condition number times the rounding.
func TestAgainstDense(t *testing.T) {
	for _, n := range []int{1, 2, 3, 5, 10, 30, 100, 300} {
		for _, perRow := range []int{0, 1, 3, 10} {
			t.Run(fmt.Sprintf("n=%d/row=%d", n, perRow), func(t *testing.T) {
				r := rand.New(rand.NewPCG(uint64(n), uint64(perRow)))
				for range 5 {
					m, dense := randomMatrix(r, n, perRow, 2)
					b := randomVector(r, n)
					var lu mat.LU
					lu.Factorize(dense)
					tol := 1e-13 * lu.Cond()

					f := New(m)
					if err := f.Factor(m, nil); err != nil {
						t.Fatal(err)
					}
					x := make([]float64, n)
					f.SolveTo(x, b)
					compare(t, "A·x = b", x, denseSolve(t, &lu, false, b), tol)
					f.SolveTransposeTo(x, b)
					compare(t, "Aᵀ·x = b", x, denseSolve(t, &lu, true, b), tol)
				}
			})
		}
	}
}

func denseSolve(t *testing.T, lu *mat.LU, transpose bool, b []float64) []float64 {
	t.Helper()
	x := mat.NewVecDense(len(b), nil)
	if err := lu.SolveVecTo(x, transpose, mat.NewVecDense(len(b), b)); err != nil {
		var c mat.Condition
		if !errors.As(err, &c) {
			t.Fatal(err)
		}
	}
	return x.RawVector().Data
}

func compare(t *testing.T, what string, got, want []float64, tol float64) {
	t.Helper()
	if d := distance(got, want); d > tol*largest(want) {
		t.Errorf("%s: differs from the dense solution by %g of %g, allowed %g", what, d, largest(want), tol*largest(want))
	}
}

// The residual of a backward stable solution is small whatever the condition:
// in each row it is some rounding of the row's entries times the largest
// unknown.
func TestResidual(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 200 {
		n := 1 + r.IntN(60)
		m, _ := randomMatrix(r, n, 1+r.IntN(4), 6)
		f := New(m)
		if err := f.Factor(m, nil); err != nil {
			t.Fatal(err)
		}
		b := randomVector(r, n)
		x, back, row := make([]float64, n), make([]float64, n), make([]float64, n)
		f.SolveTo(x, b)
		m.MulTo(back, x)
		m.sumRows(row)
		for i := range b {
			if allowed := 1e-12 * (row[i]*largest(x) + math.Abs(b[i])); math.Abs(back[i]-b[i]) > allowed {
				t.Errorf("n=%d: row %d is off by %g, allowed %g", n, i, back[i]-b[i], allowed)
			}
		}
	}
}

// Factors may be made again and again from new values of the same pattern.
func TestRefactor(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	m, _ := randomMatrix(r, 40, 3, 1)
	f := New(m)
	x, b := make([]float64, 40), randomVector(r, 40)
	for range 10 {
		for s := range m.Values {
			m.Values[s] = r.Float64()*2 - 1
		}
		if err := f.Factor(m, nil); err != nil {
			t.Fatal(err)
		}
		var lu mat.LU
		lu.Factorize(m.dense())
		f.SolveTo(x, b)
		compare(t, "A·x = b", x, denseSolve(t, &lu, false, b), 1e-13*lu.Cond())
	}
}

// The matrix of a network of ideal sources has zeros on its diagonal.
func TestZeroDiagonal(t *testing.T) {
	p := NewPattern(3)
	for _, e := range [][2]int{{0, 2}, {2, 0}, {0, 0}, {0, 1}, {1, 0}, {1, 1}} {
		p.Entry(e[0], e[1])
	}
	m := p.Matrix()
	copy(m.Values, []float64{1, 1, 0.5, -0.5, -0.5, 0.75}) // V0 = 5 V feeds 2 Ω and 4 Ω in series
	f := New(m)
	if err := f.Factor(m, nil); err != nil {
		t.Fatal(err)
	}
	x := make([]float64, 3)
	f.SolveTo(x, []float64{0, 0, 5})
	compare(t, "divider", x, []float64{5, 10.0 / 3, -5.0 / 6}, 1e-15)
}

func TestSingularNamesTheUnknown(t *testing.T) {
	tests := []struct {
		name     string
		entries  [][2]int
		values   []float64
		unknowns []int
	}{
		{"a row of zeros", [][2]int{{0, 0}, {1, 1}, {1, 0}}, []float64{1, 0, 0}, []int{1}},
		{"a row without entries", [][2]int{{0, 0}, {0, 1}}, []float64{1, 2}, []int{1}},
		{"not a number", [][2]int{{0, 0}, {1, 1}}, []float64{math.NaN(), 1}, []int{0}},
		{"infinite", [][2]int{{0, 0}, {1, 1}}, []float64{1, math.Inf(1)}, []int{1}},
		{
			"an island of three resistors that nothing ties down", // unknowns 1, 2, 3
			[][2]int{{0, 0}, {1, 1}, {1, 2}, {1, 3}, {2, 1}, {2, 2}, {2, 3}, {3, 1}, {3, 2}, {3, 3}},
			[]float64{1, 1./3 + 1./7, -1. / 3, -1. / 7, -1. / 3, 1./3 + 1./11, -1. / 11, -1. / 7, -1. / 11, 1./7 + 1./11},
			[]int{3},
		},
		{"two rows of zeros", [][2]int{{0, 1}, {1, 1}, {2, 1}}, []float64{0, 1, 0}, []int{0, 2}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			n := 2
			for _, e := range tt.entries {
				n = max(n, e[0]+1, e[1]+1)
			}
			p := NewPattern(n)
			for _, e := range tt.entries {
				p.Entry(e[0], e[1])
			}
			m := p.Matrix()
			copy(m.Values, tt.values)
			err := New(m).Factor(m, nil)
			var s *Singular
			if !errors.As(err, &s) || !slices.Equal(s.Unknowns, tt.unknowns) {
				t.Fatalf("got %v, want unknowns %d", err, tt.unknowns)
			}
			if s.Error() == "" {
				t.Error("the error says nothing")
			}
		})
	}
}

func TestHeld(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for range 50 {
		n := 2 + r.IntN(30)
		m, dense := randomMatrix(r, n, 3, 2)
		held := make([]bool, n)
		for i := range n {
			if r.IntN(3) == 0 {
				held[i] = true
				for j := range n {
					dense.Set(i, j, 0)
				}
				dense.Set(i, i, 1)
			}
		}
		b := randomVector(r, n)
		f := New(m)
		if err := f.Factor(m, held); err != nil {
			t.Fatal(err)
		}
		var lu mat.LU
		lu.Factorize(dense)
		x := make([]float64, n)
		f.SolveTo(x, b)
		compare(t, "held", x, denseSolve(t, &lu, false, b), 1e-13*lu.Cond())
		for i := range n {
			if held[i] && x[i] != b[i] {
				t.Errorf("unknown %d is held at %g and came out at %g", i, b[i], x[i])
			}
		}
	}
}

// A chain is eliminated without fill, however its places are numbered.
func TestOrderKeepsChainSparse(t *testing.T) {
	const n = 500
	r := rand.New(rand.NewPCG(5, 5))
	name := r.Perm(n)
	p := NewPattern(n)
	for i := range n {
		p.Entry(name[i], name[i])
		if i > 0 {
			p.Entry(name[i], name[i-1])
			p.Entry(name[i-1], name[i])
		}
	}
	m := p.Matrix()
	for s := range m.Values {
		m.Values[s] = -1
	}
	for c := range n {
		for k := m.start[c]; k < m.start[c+1]; k++ {
			if m.row[k] == c {
				m.Values[m.slot[k]] = 3
			}
		}
	}
	f := New(m)
	if err := f.Factor(m, nil); err != nil {
		t.Fatal(err)
	}
	s := f.pivoting.structure()
	if got := len(s.lower.index); got != n-1 {
		t.Errorf("L has %d entries below its diagonal, want %d", got, n-1)
	}
	if got := len(s.upper.index); got != n-1 {
		t.Errorf("U has %d entries above its diagonal, want %d", got, n-1)
	}
}

func TestEntryOutsidePanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	NewPattern(2).Entry(0, 2)
}

// BenchmarkFactorSolve is what each step of Newton's method costs.
func BenchmarkFactorSolve(b *testing.B) {
	for _, n := range []int{13, 43, 203, 1003, 10003, 100003} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			m := ladder(n)
			f := New(m)
			if err := f.Factor(m, nil); err != nil {
				b.Fatal(err)
			}
			x, y := make([]float64, n), make([]float64, n)
			x[0] = 1
			b.ReportAllocs()
			for b.Loop() {
				if err := f.Factor(m, nil); err != nil {
					b.Fatal(err)
				}
				f.SolveTo(y, x)
			}
		})
	}
}

// BenchmarkNew is what a new topology costs: order, pivots and kernel.
func BenchmarkNew(b *testing.B) {
	for _, n := range []int{13, 203, 10003, 100003} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			m := ladder(n)
			b.ReportAllocs()
			for b.Loop() {
				if err := New(m).Factor(m, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// ladder is the matrix of a network of n nets, each joined to one of the five
// before it and to ground.
func ladder(n int) *Matrix {
	r := rand.New(rand.NewPCG(2, 2))
	p := NewPattern(n)
	for i := range n {
		p.Entry(i, i)
	}
	for i := 1; i < n; i++ {
		j := max(0, i-1-r.IntN(5))
		p.Entry(i, j)
		p.Entry(j, i)
	}
	m := p.Matrix()
	for s := range m.Values {
		m.Values[s] = -r.Float64()
		if s < n {
			m.Values[s] = 8
		}
	}
	return m
}
