package sparse

import "container/heap"

// minimumDegree returns an order of elimination that keeps the factors sparse:
// of the graph of A + Aᵀ it takes, again and again, a vertex with the fewest
// neighbours left and joins those to each other (D. J. Rose, A graph-theoretic
// study of the numerical solution of sparse positive definite systems of
// linear equations, in Graph Theory and Computing, 1972). Ties go to the lower
// number, so the order is the same on every run.
func minimumDegree(m *Matrix) []int {
	g := eliminationGraph{neighbours: adjacency(m), mark: make([]int, m.n), gone: make([]bool, m.n)}
	queue := make(degreeQueue, 0, m.n)
	for v, list := range g.neighbours {
		queue = append(queue, candidate{len(list), v})
	}
	heap.Init(&queue)
	order := make([]int, 0, m.n)
	for len(queue) > 0 {
		c := heap.Pop(&queue).(candidate)
		if g.gone[c.vertex] || c.degree != len(g.neighbours[c.vertex]) {
			continue // an older entry of the same vertex
		}
		order = append(order, c.vertex)
		for _, u := range g.eliminate(c.vertex) {
			heap.Push(&queue, candidate{len(g.neighbours[u]), u})
		}
	}
	return order
}

// adjacency returns the neighbours of each vertex in the graph of A + Aᵀ.
func adjacency(m *Matrix) [][]int {
	list := make([][]int, m.n)
	for c := range m.n {
		for _, r := range m.row[m.start[c]:m.start[c+1]] {
			if r != c {
				list[c] = append(list[c], r)
				list[r] = append(list[r], c)
			}
		}
	}
	seen := make([]int, m.n)
	for v, all := range list {
		kept := all[:0]
		for _, u := range all {
			if seen[u] != v+1 {
				seen[u] = v + 1
				kept = append(kept, u)
			}
		}
		list[v] = kept
	}
	return list
}

type eliminationGraph struct {
	neighbours [][]int
	gone       []bool
	mark       []int // last round in which a vertex was seen
	round      int
}

// eliminate takes v out, makes a clique of its neighbours and returns them.
func (g *eliminationGraph) eliminate(v int) []int {
	g.gone[v] = true
	clique := g.neighbours[v]
	for _, u := range clique {
		g.round++
		g.mark[u] = g.round
		kept := g.neighbours[u][:0]
		for _, w := range g.neighbours[u] {
			g.mark[w] = g.round
			if w != v {
				kept = append(kept, w)
			}
		}
		for _, w := range clique {
			if g.mark[w] != g.round {
				kept = append(kept, w)
			}
		}
		g.neighbours[u] = kept
	}
	g.neighbours[v] = nil
	return clique
}

type candidate struct{ degree, vertex int }

type degreeQueue []candidate

func (q degreeQueue) Len() int      { return len(q) }
func (q degreeQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q degreeQueue) Less(i, j int) bool {
	if q[i].degree != q[j].degree {
		return q[i].degree < q[j].degree
	}
	return q[i].vertex < q[j].vertex
}
func (q *degreeQueue) Push(x any) { *q = append(*q, x.(candidate)) }
func (q *degreeQueue) Pop() any {
	last := len(*q) - 1
	c := (*q)[last]
	*q = (*q)[:last]
	return c
}
