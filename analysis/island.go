package analysis

import (
	"context"
	"math"
	"slices"

	"copperglass/model"
)

// reference chooses the junction that voltages are counted from, and one
// reference for each other island. It returns a junction for each island and,
// where the drawing has no ground, the fault that says so.
func (c *circuit) reference() (fixed []int, found faults) {
	if c.nets.Ground >= 0 {
		c.datum = c.joined.Find(c.nets.Ground)
	} else {
		found = c.chooseDatum()
	}
	taken := make([]bool, c.nodes)
	if c.datum >= 0 {
		fixed = append(fixed, c.datum)
		taken[c.islands.Find(c.datum)] = true
	}
	for n := range c.nodes {
		if island := c.islands.Find(n); !taken[island] {
			taken[island] = true
			fixed = append(fixed, c.joined.Find(n))
		}
	}
	return fixed, found
}

// chooseDatum takes the minus of a battery or supply that is not the plus of
// another one, or else the first net.
func (c *circuit) chooseDatum() faults {
	sources := c.sources()
	if len(c.nets.Nets) == 0 { // chips without pins
		return nil
	}
	if len(sources) == 0 {
		c.datum = c.joined.Find(0)
		name := c.nets.Nets[0].Name
		return faults{{Text: "nothing is joined to ground; voltages are counted from net " + name, Nets: []int{0}, Unfinished: true}}
	}
	isPlus := make(map[int]bool, len(sources))
	for _, q := range sources {
		isPlus[c.junction(q, "+")] = true
	}
	p := sources[0]
	for _, q := range sources {
		if !isPlus[c.junction(q, "-")] {
			p = q
			break
		}
	}
	c.datum = c.junction(p, "-")
	return faults{{
		Text:  "nothing is joined to ground; voltages are counted from " + p.Ref + "'s " + pinName(p.Part, "-"),
		Parts: []string{p.Ref},
		Nets:  []int{p.net("-")},

		Unfinished: true,
	}}
}

// sources returns the batteries and supplies in natural order of their names.
func (c *circuit) sources() []*part {
	var list []*part
	for _, p := range c.parts {
		if isSource(p) && !p.leftOpen {
			list = append(list, p)
		}
	}
	slices.SortFunc(list, func(p, q *part) int { return model.NaturalCompare(p.Ref, q.Ref) })
	return list
}

// isSource reports whether the part is what the circuit is fed from.
func isSource(p *part) bool { return p.Kind == "battery" || p.Kind == "supply" }

// junction returns the junction of a pin of the part.
func (c *circuit) junction(p *part, pin string) int {
	return c.joined.Find(p.net(pin))
}

// floats reports whether nothing ties net n to the datum.
func (c *circuit) floats(n int) bool {
	return c.datum < 0 || c.islands.Find(n) != c.islands.Find(c.datum)
}

// floatingNets returns the fault of each island that nothing ties to the
// datum, but for those in which no net joins two pins: there is nothing to say
// about them, or it has been said.
func (c *circuit) floatingNets(ctx context.Context) faults {
	members := make(map[int][]int)
	var order []int
	for n := range upTo(ctx, len(c.nets.Nets)) {
		if !c.floats(n) {
			continue
		}
		island := c.islands.Find(n)
		if members[island] == nil {
			order = append(order, island)
		}
		members[island] = append(members[island], n)
	}
	var found faults
	for _, island := range order {
		if nets := members[island]; slices.ContainsFunc(nets, c.joinsPins) {
			found.add(c.floating(nets, "nothing that conducts leads"))
		}
	}
	return found
}

// joinsPins reports whether net n joins pins, not counting those that are
// often left open.
func (c *circuit) joinsPins(n int) bool {
	count := 0
	for _, id := range c.nets.Nets[n].Pins {
		if p := c.byRef[id.Ref]; p != nil && !mayStayOpen(p, id.Pin) {
			count++
		}
	}
	return count > 1
}

// floating says that the nets float, which open switches cut them off, and what
// leads from there to the rest.
func (c *circuit) floating(nets []int, leads string) Fault {
	names := make([]string, len(nets))
	var open []string
	for i, n := range nets {
		names[i] = c.nets.Nets[n].Name
		for _, id := range c.nets.Nets[n].Pins {
			if p := c.byRef[id.Ref]; p != nil && isOpenContact(p) {
				open = append(open, p.Ref)
			}
		}
	}
	text := netsNamed(names) + verb(len(nets), " floats", " float")
	if open = sortedNames(open); len(open) > 0 {
		text += " while " + list(open) + verb(len(open), " is open", " are open")
	}
	return Fault{
		Text: text + ": " + leads + " from there to " + c.datumName(),
		Nets: nets,

		Unfinished: true,
	}
}

func (c *circuit) datumName() string {
	if c.nets.Ground >= 0 {
		return "ground"
	}
	return "the rest"
}

func isOpenContact(p *part) bool {
	return (p.Kind == "switch" || p.Kind == "button") && len(p.elements) == 0 && len(p.links) == 0
}

// strandedSources finds current sources whose current has no way back. What
// a chip would live on is left out; an actual current source stops the
// analysis.
func (c *circuit) strandedSources(ctx context.Context) faults {
	var found faults
	net := make(map[int]float64) // current into each island, A
	size := make(map[int]float64)
	var crossing []*part
	for p := range c.partsUntil(ctx) {
		for _, e := range p.elements {
			s, ok := e.(*current)
			if !ok || c.islands.Find(s.a.node) == c.islands.Find(s.b.node) {
				continue
			}
			if s.feeds {
				s.idle = true
				found.add(Fault{Text: p.Ref + "'s supply current has no way back, so it is left out; join both of its supply pins", Parts: []string{p.Ref}})
				continue
			}
			crossing = append(crossing, p)
			a, b := c.islands.Find(s.a.node), c.islands.Find(s.b.node)
			net[a], size[a] = net[a]+s.amps, size[a]+math.Abs(s.amps)
			net[b], size[b] = net[b]-s.amps, size[b]+math.Abs(s.amps)
		}
	}
	for _, p := range crossing {
		s := p.elements[0].(*current)
		for _, t := range []terminal{s.a, s.b} {
			if i := c.islands.Find(t.node); math.Abs(net[i]) > 1e-9*size[i] {
				found.add(c.stranded(p, s))
				break
			}
		}
	}
	return found
}

func (c *circuit) stranded(p *part, s *current) Fault {
	return Fault{
		Text:  p.Ref + "'s current has no way from its plus (+) through the circuit to its minus (−); give it one, or take " + p.Ref + " out",
		Stops: true,
		Parts: []string{p.Ref},
		Nets:  sortedInts([]int{s.a.node, s.b.node}),
	}
}
