//go:build klu

package main

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"copperglass/analysis/sparse"
	"gonum.org/v1/gonum/mat"
)

// network is the matrix of a circuit: one value at each place.
type network struct {
	name  string
	n     int
	place []place // by columns
	value []float64
}

type place struct{ row, col int }

// builder sums up the values of each place.
type builder map[place]float64

// conduct puts a conductance between two nets, or to ground where b is −1.
func (m builder) conduct(a, b int, siemens float64) {
	m[place{a, a}] += siemens
	if b >= 0 {
		m[place{b, b}] += siemens
		m[place{a, b}] -= siemens
		m[place{b, a}] -= siemens
	}
}

// source holds a net at a voltage; the unknown i is the current it takes.
func (m builder) source(net, i int) {
	m[place{net, i}] += 1
	m[place{i, net}] += 1
}

func (m builder) network(name string, n int) network {
	w := network{name: name, n: n}
	for p := range m {
		w.place = append(w.place, p)
	}
	slices.SortFunc(w.place, func(a, b place) int { return cmp.Or(a.col-b.col, a.row-b.row) })
	for _, p := range w.place {
		w.value = append(w.value, m[p])
	}
	return w
}

// branches is a circuit of n unknowns, odd and 5 at least: an ideal source, a
// rail behind its inner resistance, and branches of a resistor, a junction and
// a resistor to ground. Half of them hang on the rail, the others on the upper
// net of a branch before them. A junction conducts anything from 1 µS to 1 S.
func branches(n int) network {
	r := rand.New(rand.NewPCG(uint64(n), 1))
	m := builder{}
	m.source(0, 1)
	m.conduct(0, 2, 1/0.3)
	for a := 3; a+1 < n; a += 2 {
		from := 2
		if a > 3 && r.IntN(2) == 0 {
			from = 3 + 2*r.IntN((a-3)/2)
		}
		m.conduct(from, a, 1e-3*(1+9*r.Float64()))
		m.conduct(a, a+1, math.Pow(10, -6*r.Float64()))
		m.conduct(a+1, -1, 1e-3*(1+9*r.Float64()))
	}
	return m.network(fmt.Sprintf("branches %d", n), n)
}

// grid is a square grid of resistors of side² nets, with one corner on ground
// through a resistor.
func grid(side int) network {
	r := rand.New(rand.NewPCG(uint64(side), 2))
	m := builder{}
	m.conduct(0, -1, 1)
	for i := range side * side {
		if i%side != 0 {
			m.conduct(i, i-1, 0.1+r.Float64())
		}
		if i >= side {
			m.conduct(i, i-side, 0.1+r.Float64())
		}
	}
	return m.network(fmt.Sprintf("grid %d²", side), side*side)
}

func (w network) matrix() *sparse.Matrix {
	p := sparse.NewPattern(w.n)
	for _, q := range w.place {
		p.Entry(q.row, q.col)
	}
	m := p.Matrix()
	copy(m.Values, w.value)
	return m
}

func (w network) dense() *mat.Dense {
	d := mat.NewDense(w.n, w.n, nil)
	for i, q := range w.place {
		d.Set(q.row, q.col, w.value[i])
	}
	return d
}

// columns returns the matrix in compressed columns.
func (w network) columns() (start, row []int, value []float64) {
	start = make([]int, w.n+1)
	for _, q := range w.place {
		start[q.col+1]++
		row = append(row, q.row)
	}
	for c := range w.n {
		start[c+1] += start[c]
	}
	return start, row, w.value
}
