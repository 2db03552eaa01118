package analysis

import (
	"slices"

	"copperglass/model"
	"copperglass/model/net"
)

// sourceFaults finds sources whose ends are joined, and loops of sources
// without resistance.
func (c *circuit) sourceFaults() faults {
	var found faults
	bonds := net.NewGroups(c.nodes)
	var held []edge
	for _, p := range c.parts {
		shorted := isDriving(p) && c.junction(p, "+") == c.junction(p, "-")
		if shorted {
			found.add(c.short(p))
		}
		for _, b := range p.ideal {
			plus, minus := c.joined.Find(b.plus), c.joined.Find(b.minus)
			if !bonds.Join(plus, minus) && !shorted {
				found.add(c.loop(p, held, plus, minus))
			}
			held = append(held, edge{plus, minus, p.Ref})
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
	f.Nets = sortedInts([]int{c.nets.Pin(p.Ref, "+"), c.nets.Pin(p.Ref, "-")})
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
	plus, minus := c.nets.Pin(p.Ref, "+"), c.nets.Pin(p.Ref, "-")
	if plus != minus {
		var edges []edge
		for _, l := range c.links {
			if l.part != p {
				edges = append(edges, edge{l.a.node, l.b.node, l.part.Ref})
			}
		}
		return route(edges, plus, minus), nil
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
	wires := c.nets.Nets[c.nets.Pin(p.Ref, "+")].Wires
	plus, minus := len(wires), len(wires)+1
	var edges []edge
	for i, a := range wires {
		wire := c.diagram.Wires[a]
		for _, pin := range p.PlacedPins() {
			if wire.Touches(pin.At) {
				end := plus
				if pin.Name == "-" {
					end = minus
				}
				edges = append(edges, edge{i, end, ""})
			}
		}
		for j, b := range wires[:i] {
			if wiresMeet(wire, c.diagram.Wires[b]) {
				edges = append(edges, edge{i, j, ""})
			}
		}
	}
	var way []int
	for _, v := range path(edges, plus, minus) {
		if v < len(wires) {
			way = append(way, wires[v])
		}
	}
	return way
}

func wiresMeet(a, b *model.Wire) bool {
	touches := func(a, b *model.Wire) bool {
		ends := a.Ends()
		return b.Touches(ends[0]) || b.Touches(ends[1])
	}
	return touches(a, b) || touches(b, a)
}

// loop says that p closes a loop with the sources before it.
func (c *circuit) loop(p *part, held []edge, plus, minus int) Fault {
	parts := sortedNames(append(route(held, plus, minus), p.Ref))
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

// route returns the names of the edges along a shortest path, each once.
func route(edges []edge, from, to int) []string {
	vertices := path(edges, from, to)
	var names []string
	for i := 1; i < len(vertices); i++ {
		for _, e := range edges {
			if e.a == vertices[i-1] && e.b == vertices[i] || e.b == vertices[i-1] && e.a == vertices[i] {
				if !slices.Contains(names, e.name) {
					names = append(names, e.name)
				}
				break
			}
		}
	}
	return names
}

// path returns the vertices along a shortest path, both ends included, or nil
// where there is none (E. F. Moore, The shortest path through a maze, 1959).
func path(edges []edge, from, to int) []int {
	neighbours := map[int][]int{}
	for _, e := range edges {
		neighbours[e.a] = append(neighbours[e.a], e.b)
		neighbours[e.b] = append(neighbours[e.b], e.a)
	}
	before := map[int]int{from: from}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		v := queue[0]
		if v == to {
			return trace(before, to)
		}
		for _, w := range neighbours[v] {
			if _, seen := before[w]; !seen {
				before[w] = v
				queue = append(queue, w)
			}
		}
	}
	return nil
}

func trace(before map[int]int, v int) []int {
	way := []int{v}
	for before[v] != v {
		v = before[v]
		way = append(way, v)
	}
	slices.Reverse(way)
	return way
}
