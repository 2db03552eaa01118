package sparse

import (
	"fmt"
	"math"
)

// LU holds the factors of a matrix A with rows scaled by R:
//
//	(R·A)[:, q[k]] = (L·U)[:, k]
//
// with L unit lower triangular and U upper triangular once the rows stand in
// the order in which they served as pivots. Columns are computed one after the
// other, each by a sparse triangular solve with the columns before it (J. R.
// Gilbert and T. Peierls, Sparse partial pivoting in time proportional to
// arithmetic operations, SIAM J. Sci. Stat. Comput. 9, 1988). Of the possible
// pivots of a column the diagonal one is taken where it is not much smaller
// than the largest: it keeps to the order that was chosen for sparsity.
type LU struct {
	// DiagonalShare is how small the diagonal pivot of a column may be beside
	// the largest before that is taken; 0 means 0.1. A smaller share keeps the
	// factors of badly scaled matrices sparse, at the price of digits that an
	// iteration must make good.
	DiagonalShare float64

	n      int
	order  []int     // q: column by step
	pivot  []int     // row by step
	step   []int     // step by row, −1 while the row has not served
	scale  []float64 // R: by row
	lower  columns   // row numbers of A; the pivot's 1 left out
	upper  columns   // step numbers; the diagonal left out
	diag   []float64 // of U
	column []float64 // the column at work, by row
	reach  reach
	sum    []float64 // workspace of the solves
}

// columns are sparse columns, one after the other.
type columns struct {
	end   []int // by column
	index []int
	value []float64
}

func (c *columns) reset() { c.end, c.index, c.value = c.end[:0], c.index[:0], c.value[:0] }
func (c *columns) add(i int, v float64) {
	c.index = append(c.index, i)
	c.value = append(c.value, v)
}
func (c *columns) close() { c.end = append(c.end, len(c.index)) }

// span returns where column k begins and ends.
func (c *columns) span(k int) (from, to int) {
	if k > 0 {
		from = c.end[k-1]
	}
	return from, c.end[k]
}

// Singular is the error of a matrix that has no inverse to working precision.
type Singular struct {
	Unknowns []int // unknowns that the equations leave open, in order; one or more
}

func (s *Singular) Error() string {
	return fmt.Sprintf("sparse: singular matrix: nothing determines unknown %d", s.Unknowns[0])
}

// New chooses the order of elimination for matrices of m's pattern.
func New(m *Matrix) *LU {
	n := m.n
	return &LU{
		n:      n,
		order:  minimumDegree(m),
		pivot:  make([]int, n),
		step:   make([]int, n),
		scale:  make([]float64, n),
		diag:   make([]float64, n),
		column: make([]float64, n),
		reach:  newReach(n),
		sum:    make([]float64, n),
	}
}

const (
	defaultShare = 0.1
	// cancelled is the share of what a column held below which what remains of
	// it after elimination is rounding and no value.
	cancelled = 1e-15
	// vanishing is the magnitude below which an entry counts as zero.
	vanishing = 1e-290
)

// Factor computes the factors of m. The equation of an unknown i with held[i]
// is replaced by x[i] = b[i]; held may be nil. It returns a *Singular if rows are
// all zeros or not finite, or if a column leaves no pivot; the factors are
// unusable then.
func (f *LU) Factor(m *Matrix, held []bool) error {
	if err := f.scaleRows(m, held); err != nil {
		return err
	}
	f.lower.reset()
	f.upper.reset()
	for i := range f.step {
		f.step[i] = -1
	}
	clear(f.column)
	for k, c := range f.order {
		largest := f.load(m, c, held)
		f.eliminate()
		p := f.choosePivot(c, cancelled*largest)
		if p < 0 {
			return &Singular{Unknowns: []int{c}}
		}
		f.store(k, p)
	}
	return nil
}

// scaleRows sets the row scaling: a power of two, so that it rounds nothing.
func (f *LU) scaleRows(m *Matrix, held []bool) error {
	m.largestInRows(f.scale)
	var open []int
	for i, s := range f.scale {
		switch {
		case held != nil && held[i]:
			f.scale[i] = 1
		case s < vanishing || math.IsNaN(s) || math.IsInf(s, 0):
			open = append(open, i)
		default:
			f.scale[i] = math.Ldexp(1, -math.Ilogb(s))
		}
	}
	if open != nil {
		return &Singular{Unknowns: open}
	}
	return nil
}

// load puts column c of R·A into the work column, finds the rows that
// elimination will reach from there, and returns the largest magnitude.
func (f *LU) load(m *Matrix, c int, held []bool) float64 {
	f.reach.reset()
	for k := m.start[c]; k < m.start[c+1]; k++ {
		i := m.row[k]
		if held != nil && held[i] {
			continue
		}
		f.column[i] += f.scale[i] * m.Values[m.slot[k]]
		f.reach.visit(i, f)
	}
	if held != nil && held[c] {
		f.column[c] = 1
		f.reach.visit(c, f)
	}
	largest := 0.0
	for _, i := range f.reach.found {
		largest = max(largest, math.Abs(f.column[i]))
	}
	return largest
}

// eliminate solves L·x = column in place, over the rows found.
func (f *LU) eliminate() {
	for j := len(f.reach.found) - 1; j >= 0; j-- {
		i := f.reach.found[j]
		k := f.step[i]
		if k < 0 {
			continue
		}
		x := f.column[i]
		if x == 0 {
			continue
		}
		from, to := f.lower.span(k)
		for e := from; e < to; e++ {
			f.column[f.lower.index[e]] -= f.lower.value[e] * x
		}
	}
}

// choosePivot returns the row that serves as pivot of column c, or −1 where
// none is larger than floor.
func (f *LU) choosePivot(c int, floor float64) int {
	best, p := floor, -1
	for _, i := range f.reach.found {
		if a := math.Abs(f.column[i]); f.step[i] < 0 && a > best {
			best, p = a, i
		}
	}
	if p >= 0 && f.step[c] < 0 && math.Abs(f.column[c]) >= f.share()*best {
		return c
	}
	return p
}

func (f *LU) share() float64 {
	if f.DiagonalShare > 0 {
		return f.DiagonalShare
	}
	return defaultShare
}

// store moves the work column into the factors as step k with pivot row p, and
// clears it.
func (f *LU) store(k, p int) {
	d := f.column[p]
	f.diag[k], f.pivot[k], f.step[p] = d, p, k
	for _, i := range f.reach.found {
		x := f.column[i]
		f.column[i] = 0
		switch {
		case x == 0 || i == p:
		case f.step[i] >= 0:
			f.upper.add(f.step[i], x)
		default:
			f.lower.add(i, x/d)
		}
	}
	f.lower.close()
	f.upper.close()
}

// SolveTo sets dst to the x of A·x = b. The two may be the same slice.
func (f *LU) SolveTo(dst, b []float64) {
	y := f.sum
	for i := range y {
		y[i] = f.scale[i] * b[i]
	}
	for k, p := range f.pivot {
		from, to := f.lower.span(k)
		for e := from; e < to; e++ {
			y[f.lower.index[e]] -= f.lower.value[e] * y[p]
		}
	}
	for k := f.n - 1; k >= 0; k-- {
		x := y[f.pivot[k]] / f.diag[k]
		from, to := f.upper.span(k)
		for e := from; e < to; e++ {
			y[f.pivot[f.upper.index[e]]] -= f.upper.value[e] * x
		}
		dst[f.order[k]] = x
	}
}

// SolveTransposeTo sets dst to the x of Aᵀ·x = b. The two may be the same
// slice.
func (f *LU) SolveTransposeTo(dst, b []float64) {
	w := f.sum
	for k, c := range f.order {
		t := b[c]
		from, to := f.upper.span(k)
		for e := from; e < to; e++ {
			t -= f.upper.value[e] * w[f.pivot[f.upper.index[e]]]
		}
		w[f.pivot[k]] = t / f.diag[k]
	}
	for k := f.n - 1; k >= 0; k-- {
		p := f.pivot[k]
		from, to := f.lower.span(k)
		for e := from; e < to; e++ {
			w[p] -= f.lower.value[e] * w[f.lower.index[e]]
		}
	}
	for i := range w {
		dst[i] = f.scale[i] * w[i]
	}
}
