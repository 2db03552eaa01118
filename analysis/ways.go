package analysis

// ways are paths through a graph from sources to sinks of which no two share a
// vertex. Their largest number is that of a flow in which each vertex passes
// one path, found path by path (L. R. Ford and D. R. Fulkerson, Maximal flow
// through a network, Canadian Journal of Mathematics 8, 1956).
type ways struct {
	out          [][]int // by gate: its arcs. Vertex v is entered at gate 2v and left at 2v+1
	to           []int   // by arc: the gate it leads to; arcs 2k and 2k+1 are each other's reverse
	open         []bool  // by arc: whether a path may still take it
	source, sink []bool  // by vertex: where a path may still begin and end
	by           []int   // by gate: the arc that the search came by
	queue        []int
}

const (
	unseen = -1 - iota
	begin
)

func newWays(graph [][]int) *ways {
	n := len(graph)
	w := &ways{out: make([][]int, 2*n), source: make([]bool, n), sink: make([]bool, n), by: make([]int, 2*n)}
	for v := range graph {
		w.arc(2*v, 2*v+1)
	}
	for v, next := range graph {
		for _, u := range next {
			w.arc(2*v+1, 2*u)
		}
	}
	w.open = make([]bool, len(w.to))
	return w
}

func (w *ways) arc(from, to int) {
	w.out[from] = append(w.out[from], len(w.to))
	w.out[to] = append(w.out[to], len(w.to)+1)
	w.to = append(w.to, to, from)
}

// clear takes all paths, sources and sinks away.
func (w *ways) clear() {
	clear(w.source)
	clear(w.sink)
	for e := range w.open {
		w.open[e] = e%2 == 0
	}
}

// bar keeps paths out of vertex v, whose own arc is number 2v.
func (w *ways) bar(v int) { w.open[2*v] = false }

// extend finds one more path, laying others anew where it must, and reports
// whether there is one.
func (w *ways) extend() bool {
	w.queue = w.queue[:0]
	for g := range w.by {
		w.by[g] = unseen
		if g%2 == 0 && w.source[g/2] {
			w.by[g] = begin
			w.queue = append(w.queue, g)
		}
	}
	for i := 0; i < len(w.queue); i++ {
		g := w.queue[i]
		if g%2 == 1 && w.sink[g/2] {
			w.lay(g)
			return true
		}
		for _, e := range w.out[g] {
			if to := w.to[e]; w.open[e] && w.by[to] == unseen {
				w.by[to] = e
				w.queue = append(w.queue, to)
			}
		}
	}
	return false
}

// lay lays the path that the search found to gate g.
func (w *ways) lay(g int) {
	w.sink[g/2] = false
	for w.by[g] != begin {
		e := w.by[g]
		w.open[e], w.open[e^1] = false, true
		g = w.to[e^1]
	}
	w.source[g/2] = false
}
