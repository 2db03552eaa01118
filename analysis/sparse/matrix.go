// Package sparse solves square systems of linear equations A·x = b whose
// matrix is mostly zeros and whose pattern is fixed before its values are
// known: the places are named once, values are set many times.
package sparse

import "math"

// Pattern gathers the places of an n×n matrix that may hold something else
// than zero.
type Pattern struct {
	n        int
	row, col []int // by slot
}

// NewPattern returns the empty pattern of an n×n matrix.
func NewPattern(n int) *Pattern { return &Pattern{n: n} }

// Entry adds the place (row, col), both counted from 0, and returns its slot
// in Matrix.Values. Entries at the same place are separate slots whose values
// add up, so that each contributor to a place may set its own.
func (p *Pattern) Entry(row, col int) int {
	if row < 0 || row >= p.n || col < 0 || col >= p.n {
		panic("sparse: entry outside the matrix")
	}
	p.row = append(p.row, row)
	p.col = append(p.col, col)
	return len(p.row) - 1
}

// Matrix returns a matrix of that pattern, all zeros. Entries added to p later
// are not part of it.
func (p *Pattern) Matrix() *Matrix {
	m := &Matrix{
		n:      p.n,
		Values: make([]float64, len(p.row)),
		start:  make([]int, p.n+1),
		row:    make([]int, len(p.row)),
		slot:   make([]int, len(p.row)),
	}
	for _, c := range p.col {
		m.start[c+1]++
	}
	for c := range p.n {
		m.start[c+1] += m.start[c]
	}
	next := append([]int(nil), m.start[:p.n]...)
	for s, c := range p.col {
		m.row[next[c]], m.slot[next[c]] = p.row[s], s
		next[c]++
	}
	return m
}

// Matrix is an n×n matrix held by columns: the entries of column c are those
// from start[c] up to start[c+1].
type Matrix struct {
	Values []float64 // by slot, as Pattern.Entry numbered them

	n     int
	start []int
	row   []int
	slot  []int
	miss  []float64 // workspace of Fulfils
}

// Size returns n.
func (m *Matrix) Size() int { return m.n }

// MulTo sets dst to A·x. The two must not be the same slice.
func (m *Matrix) MulTo(dst, x []float64) {
	clear(dst)
	for c := range m.n {
		for k := m.start[c]; k < m.start[c+1]; k++ {
			dst[m.row[k]] += m.Values[m.slot[k]] * x[c]
		}
	}
}

// Fulfils reports whether x fulfils A·x = b: each equation, but those for which
// leave is true, to a share of the magnitudes that add up in it, or to least.
func (m *Matrix) Fulfils(x, b []float64, share, least float64, leave []bool) bool {
	n := m.n
	if len(m.miss) == 0 {
		m.miss = make([]float64, 2*n)
	}
	sum, terms := m.miss[:n], m.miss[n:]
	for i, v := range b {
		sum[i], terms[i] = -v, math.Abs(v)
	}
	for c := range n {
		for k := m.start[c]; k < m.start[c+1]; k++ {
			v := m.Values[m.slot[k]] * x[c]
			sum[m.row[k]] += v
			terms[m.row[k]] += math.Abs(v)
		}
	}
	for i, v := range sum {
		if !leave[i] && !(math.Abs(v) <= share*terms[i]+least) {
			return false
		}
	}
	return true
}

// sumRows sets dst[i] to the sum of the magnitudes of the entries of row i.
func (m *Matrix) sumRows(dst []float64) {
	clear(dst)
	for k, i := range m.row {
		dst[i] += math.Abs(m.Values[m.slot[k]])
	}
}
