package sparse

import "slices"

// preorder is what the pattern alone says about elimination.
type preorder struct {
	column []int // by step: the column to eliminate
	row    []int // by column: the row that should serve as its pivot
}

// analyse matches each column with a row, so that zeros on the diagonal do no
// harm; finds the blocks that can be solved one after the other (those of a
// source or of a gate that draws no current are blocks of their own); and
// orders the columns of each block for sparsity. The entries outside the blocks
// all come to stand in L, where they cause no fill.
func analyse(m *Matrix, t *meter) preorder {
	match := transversal(m, t)
	out := successors(m, match, t)
	block := components(out, t)
	order := minimumDegree(sameBlock(out, block, t), t)
	return preorder{column: byBlock(order, block, t), row: match}
}

// byBlock returns the columns block by block, each in the order given.
func byBlock(order, block []int, t *meter) []int {
	next := make([]int, len(block)+2) // by block, which count from 1 at most: where its next column goes
	for _, b := range block {
		next[b+1]++
	}
	for b := range len(next) - 1 {
		next[b+1] += next[b]
	}
	sorted := make([]int, len(order))
	for _, c := range order {
		t.spend(1)
		sorted[next[block[c]]] = c
		next[block[c]]++
	}
	return sorted
}

// successors returns the graph of the matched matrix: c leads to the columns
// that are matched with the other rows of c.
func successors(m *Matrix, match []int, t *meter) [][]int {
	column := make([]int, m.n)
	for c, i := range match {
		column[i] = c
	}
	out := make([][]int, m.n)
	all := make([]int, 0, len(m.row))
	seen := make([]int, m.n)
	for c := range m.n {
		from := len(all)
		seen[c] = c + 1
		for _, i := range m.row[m.start[c]:m.start[c+1]] {
			if d := column[i]; seen[d] != c+1 {
				seen[d] = c + 1
				all = append(all, d)
			}
		}
		out[c] = all[from:len(all):len(all)]
		t.spend(len(out[c]))
	}
	return out
}

// sameBlock returns the undirected graph of the edges inside blocks.
func sameBlock(out [][]int, block []int, t *meter) [][]int {
	list := make([][]int, len(out))
	for c, next := range out {
		for _, d := range next {
			if block[c] == block[d] {
				list[c] = append(list[c], d)
				list[d] = append(list[d], c)
			}
		}
	}
	for c := range list {
		slices.Sort(list[c])
		list[c] = slices.Compact(list[c])
		t.spend(len(list[c]))
	}
	return list
}
