package analysis

import (
	"context"
	"slices"

	"copperglass/model"
	"copperglass/model/net"
)

// sourceFaults finds sources whose ends are joined, and loops of sources
// without resistance.
func (c *circuit) sourceFaults(ctx context.Context) faults {
	var found faults
	var bonds net.Groups // of all nodes, where there is a source without resistance
	held := graph{}
	for p := range c.partsUntil(ctx) {
		shorted := isDriving(p) && c.junction(p, "+") == c.junction(p, "-")
		if shorted {
			found.add(c.short(p))
		}
		if bonds == nil && len(p.ideal) > 0 {
			bonds = net.NewGroups(c.nodes)
		}
		for _, b := range p.ideal {
			plus, minus := c.joined.Find(b.plus), c.joined.Find(b.minus)
			if !bonds.Join(plus, minus) && !shorted {
				found.add(c.loop(p, held, plus, minus))
			}
			held.add(edge{plus, minus, p.Ref})
		}
	}
	return found
}

// short says what joins the plus of a source to its minus. It stops the
// analysis where nothing limits the current.
func (c *circuit) short(p *part) Fault {
	by, wires := c.bridge(p)
	f := Fault{Text: p.Ref + " is shorted", Wires: wires, Stops: len(p.ideal) > 0, Parts: []string{p.Ref}}
	if len(by) > 0 {
		f.Text += " by " + list(by)
	}
	for _, name := range by {
		if c.byRef[name] != nil {
			f.Parts = append(f.Parts, name)
		}
	}
	f.Parts = sortedNames(f.Parts)
	f.Nets = sortedInts([]int{p.net("+"), p.net("-")})
	if f.Stops {
		f.Text += "; take that away, or give " + p.Ref + " a resistance"
	} else {
		f.Text += "; only its own resistance limits the current"
	}
	return f
}

// isDriving reports whether the part is a battery or supply with a voltage.
func isDriving(p *part) bool {
	return isSource(p) && slices.ContainsFunc(p.elements, func(e element) bool {
		b, ok := e.(*branch)
		return ok && b.volts != 0
	})
}

// bridge names what leads from the plus of a source to its minus: links where
// these are different nets, wires or a tag where they are one.
func (c *circuit) bridge(p *part) (names []string, wires []int) {
	plus, minus := p.net("+"), p.net("-")
	if plus != minus {
		links := graph{}
		for _, l := range c.links {
			if l.part != p {
				links.add(edge{l.a.node, l.b.node, l.part.Ref})
			}
		}
		return links.route(plus, minus), nil
	}
	if wires = c.wireRoute(p); len(wires) > 0 {
		for _, w := range wires {
			names = append(names, net.WireName(w))
		}
		return names, wires
	}
	if tag := p.Tags["+"]; tag != "" && tag == p.Tags["-"] {
		return []string{"the tag " + tag + " on both of its pins"}, nil
	}
	return nil, nil
}

// wireRoute returns the wires that lead from the plus of a source to its
// minus, in order, or none.
func (c *circuit) wireRoute(p *part) []int {
	if !p.Placed {
		return nil
	}
	numbers := c.nets.Wires(p.net("+"))
	wires := make([]*model.Wire, len(numbers))
	for i, n := range numbers {
		wires[i] = c.diagram.Wires[n]
	}
	plus, minus := len(wires), len(wires)+1
	var way []int
	for _, v := range newGraph(wireEdges(p.Part, wires)).path(plus, minus) {
		if v < len(wires) {
			way = append(way, numbers[v])
		}
	}
	return way
}

// wireEdges joins the wires that meet, and those at the two pins of the source
// to the vertices after them: first its plus, then its minus.
func wireEdges(p *model.Part, wires []*model.Wire) []edge {
	index := net.IndexWires(wires)
	var edges []edge
	for _, pin := range p.PlacedPins() {
		end := len(wires)
		if pin.Name == "-" {
			end++
		}
		for _, i := range index.At(pin.At) {
			edges = append(edges, edge{i, end, ""})
		}
	}
	for i, w := range wires {
		for _, end := range w.Ends() {
			for _, j := range index.At(end) {
				edges = append(edges, edge{i, j, ""})
			}
		}
	}
	return edges
}

// loop says that p closes a loop with the sources before it.
func (c *circuit) loop(p *part, held graph, plus, minus int) Fault {
	parts := sortedNames(append(held.route(plus, minus), p.Ref))
	text := list(parts) + " are joined in a loop without any resistance; give one of them a resistance"
	if len(parts) == 1 {
		text = parts[0] + " is joined to itself without any resistance"
	}
	return Fault{Text: text, Stops: true, Parts: parts}
}

// edge joins two vertices of a graph and has a name.
type edge struct {
	a, b int
	name string
}

// graph lists the edges at each vertex.
type graph map[int][]edge // each with the vertex as its a

func newGraph(edges []edge) graph {
	g := graph{}
	for _, e := range edges {
		g.add(e)
	}
	return g
}

func (g graph) add(e edge) {
	g[e.a] = append(g[e.a], e)
	g[e.b] = append(g[e.b], edge{e.b, e.a, e.name})
}

// route returns the names of the edges along a shortest path, each once.
func (g graph) route(from, to int) []string {
	var names []string
	listed := map[string]bool{}
	for _, e := range g.edges(from, to) {
		if !listed[e.name] {
			listed[e.name] = true
			names = append(names, e.name)
		}
	}
	return names
}

// path returns the vertices along a shortest path, both ends included, or nil
// where there is none.
func (g graph) path(from, to int) []int {
	edges := g.edges(from, to)
	if edges == nil {
		return nil
	}
	vertices := []int{from}
	for _, e := range edges {
		vertices = append(vertices, e.b)
	}
	return vertices
}

// edges returns those along a shortest path, or nil where there is none (E. F.
// Moore, The shortest path through a maze, 1959).
func (g graph) edges(from, to int) []edge {
	by := map[int]edge{from: {}}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		for _, e := range g[queue[0]] {
			if _, seen := by[e.b]; seen {
				continue
			}
			by[e.b] = e
			if e.b == to {
				return trace(by, from, to)
			}
			queue = append(queue, e.b)
		}
	}
	return nil
}

// trace follows the edges by which vertices were reached back.
func trace(by map[int]edge, from, to int) []edge {
	var way []edge
	for v := to; v != from; v = by[v].a {
		way = append(way, by[v])
	}
	slices.Reverse(way)
	return way
}
