package sparse

import (
	"cmp"
	"math"
	"slices"
)

// minimumDegree returns an order of elimination that keeps the factors of a
// symmetric pattern sparse: again and again it takes a vertex with about the
// fewest neighbours left (P. R. Amestoy, T. A. Davis and I. S. Duff, An
// approximate minimum degree ordering algorithm, SIAM J. Matrix Anal. Appl. 17,
// 1996). The neighbours that elimination joins to each other are not joined one
// by one: the eliminated vertex becomes an element, a list of them, and swallows
// the elements it touches. Vertices with the same neighbours go together.
//
// list holds the neighbours of each vertex, without itself, each once; it is
// used up. The order is the same on every run.
func minimumDegree(list [][]int, t *meter) []int {
	order := peel(list, t)
	g := newQuotientGraph(list)
	g.work = t
	for _, v := range order {
		g.size[v] = 0
	}
	for left := g.enqueueAll(); left > 0; {
		v := g.lowest()
		left -= g.eliminate(v)
	}
	return append(order, g.postorder()...)
}

// peel takes out vertices with one neighbour at most for as long as there are
// any, and returns them in that order. That is all of a tree, from its leaves to
// its middle, without fill; and it costs nothing however many neighbours a
// vertex has, such as the rail that feeds a whole board.
func peel(list [][]int, t *meter) []int {
	degree := make([]int, len(list))
	var order []int
	for v := range list {
		degree[v] = len(list[v])
		if degree[v] <= 1 {
			order = append(order, v)
		}
	}
	for next := 0; next < len(order); next++ {
		v := order[next]
		degree[v] = -1
		t.spend(1 + len(list[v]))
		for _, u := range list[v] {
			if degree[u]--; degree[u] == 1 {
				order = append(order, u)
			}
		}
	}
	for _, v := range order {
		list[v] = nil
	}
	for v := range list {
		t.spend(1 + len(list[v]))
		list[v] = slices.DeleteFunc(list[v], func(u int) bool { return degree[u] < 0 })
	}
	return order
}

type quotientGraph struct {
	vertices [][]int // by vertex: neighbours not joined through an element
	elements [][]int // by vertex: elements it belongs to
	members  [][]int // by element: its vertices; nil once it is swallowed
	size     []int   // by vertex: how many it stands for; 0 once it is eliminated or merged
	merged   [][]int // by vertex: those that go with it
	degree   []int   // by vertex: at least its number of neighbours
	children [][]int // by element: those that it swallowed
	dense    []int   // vertices with very many neighbours, which go last
	roots    []int   // elements in the order of elimination
	parented []bool  // by element

	mark    []int // by vertex: last round in which it was a member
	round   int
	outside []int // by element: its size less what it shares with the newest
	stamp   []int // by element: round of outside
	keys    []int // by vertex
	total   int

	work *meter
	queue
}

func newQuotientGraph(list [][]int) *quotientGraph {
	n := len(list)
	g := &quotientGraph{
		vertices: list,
		elements: make([][]int, n),
		members:  make([][]int, n),
		size:     make([]int, n),
		merged:   make([][]int, n),
		degree:   make([]int, n),
		children: make([][]int, n),
		parented: make([]bool, n),
		mark:     make([]int, n),
		outside:  make([]int, n),
		stamp:    make([]int, n),
		keys:     make([]int, n),
		queue:    newQueue(n),
	}
	for v := range g.size {
		g.size[v] = 1
	}
	return g
}

// enqueueAll queues all vertices but the dense ones, which would cost a look at
// each elimination, and returns their number.
func (g *quotientGraph) enqueueAll() int {
	limit := max(16, int(10*math.Sqrt(float64(len(g.vertices)))))
	for v, list := range g.vertices {
		switch {
		case g.size[v] == 0:
		case len(list) > limit:
			g.dense = append(g.dense, v)
			g.size[v] = 0
		default:
			g.total++
		}
	}
	for v := len(g.vertices) - 1; v >= 0; v-- {
		g.work.spend(1)
		if g.size[v] > 0 {
			g.degree[v] = len(g.vertices[v])
			g.push(v, g.degree[v])
		}
	}
	return g.total
}

// eliminate makes v an element and returns how many vertices went.
func (g *quotientGraph) eliminate(v int) int {
	gone := g.size[v]
	list := g.gather(v)
	g.work.spend(len(list))
	g.measureOutside(list)
	weight := 0
	for _, u := range list {
		weight += g.size[u]
	}
	kept := list[:0]
	for _, u := range list {
		if g.update(u, v, weight) {
			kept = append(kept, u)
			continue
		}
		gone += g.size[u] // u has no neighbours but those of v
		g.size[u] = 0
		g.merged[v] = append(g.merged[v], u)
	}
	g.total -= gone
	kept = g.mergeTwins(kept)
	for _, u := range kept {
		g.degree[u] = min(g.degree[u], g.total-g.size[u])
		g.push(u, g.degree[u])
	}
	if len(kept) > 0 {
		g.members[v] = kept
	}
	return gone
}

// gather returns the neighbours of v, takes them out of the queue, marks them
// and lets v swallow its elements.
func (g *quotientGraph) gather(v int) []int {
	g.round++
	g.size[v] = 0
	g.roots = append(g.roots, v)
	var list []int
	add := func(all []int) {
		for _, u := range all {
			if g.size[u] > 0 && g.mark[u] != g.round {
				g.mark[u] = g.round
				g.remove(u, g.degree[u])
				list = append(list, u)
			}
		}
	}
	add(g.vertices[v])
	for _, e := range g.elements[v] {
		if g.members[e] != nil {
			add(g.members[e])
			g.swallow(e, v)
		}
	}
	g.vertices[v], g.elements[v] = nil, nil
	return list
}

func (g *quotientGraph) swallow(e, v int) {
	g.members[e] = nil
	g.parented[e] = true
	g.children[v] = append(g.children[v], e)
}

// measureOutside finds, for each element that shares vertices with list, how
// much of it lies outside.
func (g *quotientGraph) measureOutside(list []int) {
	for _, u := range list {
		for _, e := range g.elements[u] {
			if g.members[e] == nil {
				continue
			}
			if g.stamp[e] != g.round {
				g.work.spend(len(g.members[e]))
				g.stamp[e] = g.round
				g.outside[e] = 0
				for _, w := range g.members[e] {
					g.outside[e] += g.size[w]
				}
			}
			g.outside[e] -= g.size[u]
		}
	}
}

// update drops from the lists of u what the new element v makes needless, sets
// its degree, and reports whether u has neighbours outside of v or v is not all
// it has.
func (g *quotientGraph) update(u, v, weight int) bool {
	degree := 0
	elements := g.elements[u][:0]
	for _, e := range g.elements[u] {
		switch {
		case g.members[e] == nil:
		case g.outside[e] == 0:
			g.swallow(e, v)
		default:
			degree += g.outside[e]
			elements = append(elements, e)
		}
	}
	vertices := g.vertices[u][:0]
	for _, w := range g.vertices[u] {
		if g.size[w] > 0 && g.mark[w] != g.round {
			degree += g.size[w]
			vertices = append(vertices, w)
		}
	}
	g.elements[u] = append(elements, v)
	g.vertices[u] = vertices
	g.degree[u] = min(g.degree[u], degree) + weight - g.size[u]
	return degree > 0
}

// mergeTwins merges those of list that have the same elements and the same
// neighbours, and returns the others.
func (g *quotientGraph) mergeTwins(list []int) []int {
	if len(list) < 2 {
		return list
	}
	for _, u := range list {
		g.keys[u] = g.key(u)
	}
	slices.SortFunc(list, func(u, w int) int { return cmp.Or(g.keys[u]-g.keys[w], u-w) })
	kept := list[:0]
	for _, u := range list {
		if w := g.twin(u, kept); w >= 0 {
			g.merge(u, w)
		} else {
			kept = append(kept, u)
		}
	}
	return kept
}

// twin returns the twin of u at the end of list, where the equal keys are, or
// −1.
func (g *quotientGraph) twin(u int, list []int) int {
	for i := len(list) - 1; i >= 0 && g.keys[list[i]] == g.keys[u]; i-- {
		if g.twins(u, list[i]) {
			return list[i]
		}
	}
	return -1
}

// merge lets w stand for u too.
func (g *quotientGraph) merge(u, w int) {
	g.size[w] += g.size[u]
	g.degree[w] -= g.size[u]
	g.size[u] = 0
	g.merged[w] = append(g.merged[w], u)
	g.vertices[u], g.elements[u] = nil, nil
}

// key is the same for vertices with the same elements and neighbours.
func (g *quotientGraph) key(u int) int {
	sum := len(g.elements[u])
	for _, e := range g.elements[u] {
		sum += e
	}
	for _, w := range g.vertices[u] {
		sum += w
	}
	return sum
}

func (g *quotientGraph) twins(u, w int) bool {
	if len(g.elements[u]) != len(g.elements[w]) || len(g.vertices[u]) != len(g.vertices[w]) {
		return false
	}
	g.round++
	for _, e := range g.elements[u] {
		g.stamp[e] = g.round
	}
	for _, x := range g.vertices[u] {
		g.mark[x] = g.round
	}
	for _, e := range g.elements[w] {
		if g.stamp[e] != g.round {
			return false
		}
	}
	for _, x := range g.vertices[w] {
		if g.mark[x] != g.round {
			return false
		}
	}
	return true
}

// postorder returns the vertices in an order in which each element directly
// follows what it swallowed, so that columns with like patterns stand together.
func (g *quotientGraph) postorder() []int {
	order := make([]int, 0, len(g.vertices))
	var emit func(v int)
	emit = func(v int) {
		order = append(order, v)
		for _, u := range g.merged[v] {
			emit(u)
		}
	}
	var stack []branch
	for _, r := range g.roots {
		if g.parented[r] {
			continue
		}
		stack = append(stack, branch{vertex: r})
		for len(stack) > 0 {
			top := &stack[len(stack)-1]
			g.work.spend(1)
			if top.done < len(g.children[top.vertex]) {
				top.done++
				stack = append(stack, branch{vertex: g.children[top.vertex][top.done-1]})
				continue
			}
			emit(top.vertex)
			stack = stack[:len(stack)-1]
		}
	}
	return append(order, g.dense...)
}
