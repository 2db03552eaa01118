package analysis

// bypass finds which branches of no resistance have others beside them that
// would take over their current, in time that grows with the number of branches:
// those that lie in a ring of their like. The rest are the bridges of the graph
// (R. E. Tarjan, A note on finding the bridges of a graph, Information
// Processing Letters 2, 1974).
type bypass struct {
	branches   []*branch
	at         [][]int // by node: places in the list of branches
	found, low []int   // by node: when it was found, from 1, and the earliest it leads back to
	clock      int
	isBypassed map[*branch]bool
}

// crossing is a node on the way, the branch by which it was reached, and how
// many of its branches are done.
type crossing struct{ node, by, done int }

// bypassed returns the branches of c that others would stand in for.
func (c *circuit) bypassed() map[*branch]bool {
	s := &bypass{at: make([][]int, c.nodes), found: make([]int, c.nodes), low: make([]int, c.nodes), isBypassed: map[*branch]bool{}}
	for _, p := range c.parts {
		for _, e := range p.elements {
			if b, ok := e.(*branch); ok && b.ohms <= hair && b.volts == 0 {
				s.add(b)
			}
		}
	}
	for n := range s.at {
		if s.found[n] == 0 {
			s.search(n)
		}
	}
	return s.isBypassed
}

func (s *bypass) add(b *branch) {
	s.isBypassed[b] = true // until it turns out to be a bridge
	if b.a.node == b.b.node {
		return
	}
	i := len(s.branches)
	s.branches = append(s.branches, b)
	s.at[b.a.node], s.at[b.b.node] = append(s.at[b.a.node], i), append(s.at[b.b.node], i)
}

// search goes through all that is joined to the root, depth first.
func (s *bypass) search(root int) {
	path := []crossing{s.enter(root, -1)}
	for len(path) > 0 {
		top := &path[len(path)-1]
		if top.done == len(s.at[top.node]) {
			path = path[:len(path)-1]
			s.leave(*top, path)
			continue
		}
		i := s.at[top.node][top.done]
		top.done++
		b := s.branches[i]
		switch next := b.a.node + b.b.node - top.node; {
		case i == top.by:
		case s.found[next] == 0:
			path = append(path, s.enter(next, i))
		default:
			s.low[top.node] = min(s.low[top.node], s.found[next])
		}
	}
}

func (s *bypass) enter(node, by int) crossing {
	s.clock++
	s.found[node], s.low[node] = s.clock, s.clock
	return crossing{node: node, by: by}
}

// leave goes back from a node. Where nothing from it on leads further back than
// to it, the branch by which it was reached is a bridge.
func (s *bypass) leave(from crossing, path []crossing) {
	if len(path) == 0 {
		return
	}
	above := path[len(path)-1].node
	s.low[above] = min(s.low[above], s.low[from.node])
	if s.low[from.node] > s.found[above] {
		s.isBypassed[s.branches[from.by]] = false
	}
}
