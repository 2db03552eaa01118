package sparse

// components numbers the strongly connected components of a directed graph so
// that no edge leads to a lower number (R. E. Tarjan, Depth-first search and
// linear graph algorithms, SIAM J. Comput. 1, 1972), and returns the number of
// each vertex.
func components(out [][]int, t *meter) []int {
	n := len(out)
	s := search{out: out, work: t, found: make([]int, n), low: make([]int, n), component: make([]int, n), next: n}
	for v := range out {
		if s.found[v] == 0 {
			s.run(v)
		}
	}
	return s.component
}

type search struct {
	out       [][]int
	work      *meter
	found     []int // by vertex: when it was found, from 1
	low       []int // by vertex: the earliest open vertex it leads back to
	component []int // by vertex; 0 while open
	clock     int
	next      int   // the last number given; they fall, as the far end is finished first
	open      []int // found, but without component
	path      []branch
}

// branch is a vertex on the way and the number of its edges that are done.
type branch struct{ vertex, done int }

func (s *search) run(root int) {
	s.enter(root)
	for len(s.path) > 0 {
		top := &s.path[len(s.path)-1]
		v := top.vertex
		if top.done == len(s.out[v]) {
			s.leave(v)
			continue
		}
		w := s.out[v][top.done]
		top.done++
		switch {
		case s.found[w] == 0:
			s.enter(w)
		case s.component[w] == 0:
			s.low[v] = min(s.low[v], s.found[w])
		}
	}
}

func (s *search) enter(v int) {
	s.work.spend(len(s.out[v]))
	s.clock++
	s.found[v], s.low[v] = s.clock, s.clock
	s.open = append(s.open, v)
	s.path = append(s.path, branch{vertex: v})
}

// leave closes v and, if nothing leads from it further back, its component.
func (s *search) leave(v int) {
	s.path = s.path[:len(s.path)-1]
	if len(s.path) > 0 {
		above := s.path[len(s.path)-1].vertex
		s.low[above] = min(s.low[above], s.low[v])
	}
	if s.low[v] < s.found[v] {
		return
	}
	for {
		w := s.open[len(s.open)-1]
		s.open = s.open[:len(s.open)-1]
		s.component[w] = s.next
		if w == v {
			break
		}
	}
	s.next--
}
