package sparse

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// randomPattern returns an n×n matrix with so many entries anywhere.
func randomPattern(r *rand.Rand, n, entries int) *Matrix {
	p := NewPattern(n)
	for range entries {
		p.Entry(r.IntN(n), r.IntN(n))
	}
	return p.Matrix()
}

// The size of the transversal is the rank that the pattern allows, which is
// the rank of nearly every matrix with that pattern.
func TestTransversal(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 3))
		n := 1 + r.IntN(20)
		m := randomPattern(r, n, r.IntN(4*n))
		for s := range m.Values {
			m.Values[s] = 0.5 + r.Float64()
		}
		match := transversal(m, nil)
		isPermutation(t, match)
		size := 0
		for c, i := range match {
			if slices.Contains(m.row[m.start[c]:m.start[c+1]], i) {
				size++
			}
		}
		var svd mat.SVD
		svd.Factorize(m.dense(), mat.SVDNone)
		if rank := svd.Rank(1e-12); size != rank {
			t.Errorf("seed %d: %d of %d columns have a row, the rank is %d", seed, size, n, rank)
		}
	}
}

func isPermutation(t *testing.T, p []int) {
	t.Helper()
	list := slices.Sorted(slices.Values(p))
	for i, v := range list {
		if i != v {
			t.Fatalf("%d is not a permutation", p)
		}
	}
}

// Two vertices are in one component if and only if each leads to the other, and
// edges never lead to a lower component.
func TestComponents(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 4))
		n := 1 + r.IntN(15)
		out := make([][]int, n)
		leads := make([][]bool, n)
		for v := range n {
			leads[v] = make([]bool, n)
			leads[v][v] = true
		}
		for range r.IntN(2 * n) {
			v, w := r.IntN(n), r.IntN(n)
			out[v] = append(out[v], w)
			leads[v][w] = true
		}
		for via := range n {
			for v := range n {
				for w := range n {
					leads[v][w] = leads[v][w] || leads[v][via] && leads[via][w]
				}
			}
		}
		c := components(out, nil)
		for v := range n {
			for w := range n {
				if (c[v] == c[w]) != (leads[v][w] && leads[w][v]) || leads[v][w] && c[v] > c[w] {
					t.Fatalf("seed %d: %d and %d are in components %d and %d of %v", seed, v, w, c[v], c[w], out)
				}
			}
		}
	}
}

// exactMinimumDegree is the slow, obviously right way: it joins neighbours to
// each other one by one, and returns the entries that L then has.
func exactMinimumDegree(list [][]int) int {
	n := len(list)
	joined := make([]map[int]bool, n)
	for v := range list {
		joined[v] = map[int]bool{}
		for _, u := range list[v] {
			joined[v][u] = true
		}
	}
	return fill(joined, func(left map[int]bool) int {
		best := -1
		for v := range n {
			if left[v] && (best < 0 || len(joined[v]) < len(joined[best])) {
				best = v
			}
		}
		return best
	})
}

// fill eliminates the vertices in the order next says and counts the entries
// of L.
func fill(joined []map[int]bool, next func(left map[int]bool) int) int {
	left := map[int]bool{}
	for v := range joined {
		left[v] = true
	}
	count := 0
	for len(left) > 0 {
		v := next(left)
		delete(left, v)
		count += len(joined[v])
		for u := range joined[v] {
			delete(joined[u], v)
			for w := range joined[v] {
				if w != u {
					joined[u][w] = true
				}
			}
		}
	}
	return count
}

func TestMinimumDegreeFill(t *testing.T) {
	graphs := map[string][][]int{"grid 12²": gridGraph(12)}
	for seed := range uint64(5) {
		r := rand.New(rand.NewPCG(seed, 5))
		graphs[fmt.Sprintf("random %d", seed)] = randomGraph(r, 80, 60+40*int(seed))
	}
	for name, list := range graphs {
		t.Run(name, func(t *testing.T) {
			want := exactMinimumDegree(list)
			joined := make([]map[int]bool, len(list))
			for v := range list {
				joined[v] = map[int]bool{}
				for _, u := range list[v] {
					joined[v][u] = true
				}
			}
			order := minimumDegree(list, nil)
			isPermutation(t, order)
			got := fill(joined, func(map[int]bool) int {
				v := order[0]
				order = order[1:]
				return v
			})
			if float64(got) > 1.2*float64(want) {
				t.Errorf("L has %d entries, %d with exact degrees", got, want)
			}
		})
	}
}

func gridGraph(side int) [][]int {
	list := make([][]int, side*side)
	join := func(a, b int) { list[a], list[b] = append(list[a], b), append(list[b], a) }
	for i := range list {
		if i%side > 0 {
			join(i, i-1)
		}
		if i >= side {
			join(i, i-side)
		}
	}
	return list
}

func randomGraph(r *rand.Rand, n, edges int) [][]int {
	list := make([][]int, n)
	for range edges {
		a, b := r.IntN(n), r.IntN(n)
		if a != b && !slices.Contains(list[a], b) {
			list[a], list[b] = append(list[a], b), append(list[b], a)
		}
	}
	return list
}

// A tree is eliminated without fill, also one with a rail that feeds thousands
// of branches.
func TestTreeCausesNoFill(t *testing.T) {
	const n = 5000
	r := rand.New(rand.NewPCG(7, 2))
	list := make([][]int, n)
	joined := make([]map[int]bool, n)
	for v := range n {
		joined[v] = map[int]bool{}
		if v == 0 {
			continue
		}
		to := 0
		if r.IntN(2) == 0 {
			to = r.IntN(v)
		}
		list[v], list[to] = append(list[v], to), append(list[to], v)
		joined[v][to], joined[to][v] = true, true
	}
	order := minimumDegree(list, nil)
	isPermutation(t, order)
	got := fill(joined, func(map[int]bool) int {
		v := order[0]
		order = order[1:]
		return v
	})
	if got != n-1 {
		t.Errorf("L has %d entries, want %d", got, n-1)
	}
}

// Dense vertices outside of trees go last.
func TestDenseVerticesGoLast(t *testing.T) {
	const n = 2000
	list := make([][]int, n)
	join := func(a, b int) { list[a], list[b] = append(list[a], b), append(list[b], a) }
	for v := 1; v < n; v++ {
		join(0, v)
		if v > 1 {
			join(v, v-1)
		}
	}
	order := minimumDegree(list, nil)
	isPermutation(t, order)
	if order[n-1] != 0 {
		t.Errorf("vertex %d goes last", order[n-1])
	}
}

// An ideal source and what hangs on it are solved one after the other: the
// equation of the source gives its net, that of the net the current.
func TestSourceIsABlock(t *testing.T) {
	p := NewPattern(4) // net 0 with source 1, nets 2 and 3 behind it
	for _, e := range [][2]int{{0, 1}, {1, 0}, {0, 0}, {0, 2}, {2, 0}, {2, 2}, {2, 3}, {3, 2}, {3, 3}} {
		p.Entry(e[0], e[1])
	}
	a := analyse(p.Matrix(), nil)
	if a.column[0] != 0 || a.row[0] != 1 || a.column[3] != 1 || a.row[1] != 0 {
		t.Errorf("columns go as %d with pivots %d", a.column, a.row)
	}
}
