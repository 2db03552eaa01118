package sparse

import (
	"errors"
	"math"
	"math/big"
	"testing"
)

// FuzzLU solves small matrices of small whole numbers, twice with other values,
// beside exact elimination in rational numbers.
func FuzzLU(f *testing.F) {
	f.Add([]byte{3, 0, 4, 1, 0, 1, 3, 1, 0, 1, 2})
	f.Add([]byte{2, 0, 0, 1, 1, 0, 5, 5, 5, 5})
	f.Add([]byte{4, 2, 1, 255, 255, 0, 0, 1, 255, 0, 0, 0, 255, 3, 0, 9, 0, 0, 9, 3})
	f.Add([]byte{1, 1, 0})
	f.Fuzz(func(t *testing.T, data []byte) {
		next := func() int {
			if len(data) == 0 {
				return 0
			}
			v := int(int8(data[0]))
			data = data[1:]
			return v
		}
		n := 1 + next()&7
		hold := next()
		held := make([]bool, n)
		for i := range held {
			held[i] = hold>>i&1 == 1
		}
		given := make([]int, n*n)
		p := NewPattern(n)
		for i := range given {
			if given[i] = next(); given[i] != 0 {
				p.Entry(i/n, i%n)
			}
		}
		m := p.Matrix()
		lu := New(m)
		for range 2 {
			s := 0
			for _, v := range given {
				if v != 0 {
					m.Values[s] = float64(v)
					s++
				}
			}
			checkExactly(t, lu, m, given, held)
			for i, v := range given {
				if v != 0 {
					given[i] = next()%8*4 + 2 // never 0, to keep to the pattern
				}
			}
		}
	})
}

// checkExactly compares a solution with the exact one.
func checkExactly(t *testing.T, lu *LU, m *Matrix, given []int, held []bool) {
	t.Helper()
	n := m.n
	a := make([][]*big.Rat, n)
	b := make([]float64, n)
	for i := range n {
		b[i] = float64(i + 1)
		a[i] = make([]*big.Rat, n+1)
		for j := range n {
			a[i][j] = big.NewRat(int64(given[i*n+j]), 1)
			if held[i] {
				a[i][j].SetInt64(0)
			}
		}
		if held[i] {
			a[i][i].SetInt64(1)
		}
		a[i][n] = big.NewRat(int64(i+1), 1)
	}
	want, regular := eliminateExactly(a)
	err := lu.Factor(m, held)
	var s *Singular
	switch {
	case err != nil && !errors.As(err, &s):
		t.Fatalf("unknown error %v", err)
	case err != nil && regular:
		t.Fatalf("%v, but the determinant is not 0", err)
	case err != nil || !regular:
		return // rounding may hide that a matrix is singular
	}
	x := make([]float64, n)
	lu.SolveTo(x, b)
	// Adjugate over determinant bounds the condition: 8 rows of at most 127·√8.
	for i := range x {
		if exact, _ := want[i].Float64(); math.Abs(x[i]-exact) > 1e-6*(largest(x)+1) {
			t.Fatalf("x[%d] = %g, exactly %g", i, x[i], exact)
		}
	}
}

// eliminateExactly solves a system given with its right-hand side as the last
// column, in rational numbers, and reports whether it has one solution.
func eliminateExactly(a [][]*big.Rat) ([]*big.Rat, bool) {
	n := len(a)
	for k := range n {
		p := k
		for p < n && a[p][k].Sign() == 0 {
			p++
		}
		if p == n {
			return nil, false
		}
		a[k], a[p] = a[p], a[k]
		for i := range n {
			if i == k {
				continue
			}
			share := new(big.Rat).Quo(a[i][k], a[k][k])
			for j := k; j <= n; j++ {
				a[i][j].Sub(a[i][j], new(big.Rat).Mul(share, a[k][j]))
			}
		}
	}
	x := make([]*big.Rat, n)
	for i := range n {
		x[i] = new(big.Rat).Quo(a[i][n], a[i][i])
	}
	return x, true
}
