package analysis

import (
	"context"
	"math"
	"slices"

	"copperglass/model/net"
)

// floatGates finds the field-effect transistors whose gate-source voltage
// nothing determines, since no way for a direct current leads from one to the
// other: a gate takes none. Any charge may turn such a transistor on.
func (c *circuit) floatGates() {
	c.eachFieldEffect(func(_ *part, q *fieldEffect) {
		q.floats = c.islands.Find(q.gate.node) != c.islands.Find(q.source.node)
	})
}

// floatingGates returns how many gates float.
func (c *circuit) floatingGates() int {
	n := 0
	c.eachFieldEffect(func(_ *part, q *fieldEffect) {
		if q.floats {
			n++
		}
	})
	return n
}

// keepGates takes over which gates float from the same circuit built before.
func (c *circuit) keepGates(before *circuit) {
	floats := map[string]bool{}
	before.eachFieldEffect(func(p *part, q *fieldEffect) { floats[p.Ref] = q.floats })
	c.eachFieldEffect(func(p *part, q *fieldEffect) { q.floats = floats[p.Ref] })
}

func (c *circuit) eachFieldEffect(do func(*part, *fieldEffect)) {
	for _, p := range c.parts {
		for _, e := range p.elements {
			if q, ok := e.(*fieldEffect); ok {
				do(p, q)
			}
		}
	}
}

// looseGates finds further gates that float because only leakage determined
// their net at the operating point last reported, and those that float because
// of these, and reports whether there are any: then there is another operating
// point to be found.
func (c *circuit) looseGates() bool {
	l := loosening{circuit: c}
	c.eachFieldEffect(func(p *part, q *fieldEffect) {
		if i := c.place[q.gate.node]; i >= 0 && !q.floats {
			l.note(p, q, i)
		}
	})
	if l.gates == nil {
		return false
	}
	l.countTies()
	for i, open := range c.tally.flow.open[:c.voltages] {
		if open {
			l.loosen(i)
		}
	}
	return l.found
}

// loosening follows floating gates along a chain: what only transistors without
// a gate lead to floats, and so do the gates there.
type loosening struct {
	*circuit
	gates map[int][]gate    // by unknown of the gate's voltage
	hung  map[*part][]*knot // by transistor
	found bool
}

// gate is a gate that may come to float.
type gate struct {
	part *part
	of   *fieldEffect
}

// knot is a group of nodes and how many of the transistors it hangs on have a
// gate that is not known to float.
type knot struct {
	*hanger
	tied int
}

func (l *loosening) note(p *part, q *fieldEffect, i int) {
	if l.gates == nil {
		l.gates = map[int][]gate{}
	}
	l.gates[i] = append(l.gates[i], gate{p, q})
}

func (l *loosening) countTies() {
	l.hung = map[*part][]*knot{}
	floats := map[*part]bool{}
	l.eachFieldEffect(func(p *part, q *fieldEffect) { floats[p] = q.floats })
	for _, one := range l.tally.hanging.list {
		k := &knot{hanger: one}
		for _, i := range one.ties {
			p := l.parts[i]
			if !floats[p] {
				k.tied++
				l.hung[p] = append(l.hung[p], k)
			}
		}
	}
}

// loosen notes that the voltage i is open, and what follows.
func (l *loosening) loosen(i int) {
	groups := &l.tally.hanging.groups
	for due := []int{i}; len(due) > 0; {
		i, due = due[len(due)-1], due[:len(due)-1]
		for _, g := range l.gates[i] {
			if g.of.floats || groups.Find(g.of.gate.node) == groups.Find(g.of.source.node) {
				continue
			}
			g.of.floats, l.found = true, true
			for _, k := range l.hung[g.part] {
				if k.tied--; k.tied == 0 {
					for _, n := range k.nodes {
						due = append(due, l.place[n])
					}
				}
			}
		}
	}
}

// isOpen reports whether the node's voltage was found to be undetermined.
func (c *circuit) isOpen(node int) bool {
	i := c.place[node]
	return i >= 0 && c.tally.flow.open[i]
}

// hanging is what hangs on the rest of a circuit by transistors alone: nodes
// that other parts join, and that none of these joins to a reference. Where the
// transistors carry nothing, only their leakage determines the voltage there,
// and the first thing that touches the board, a finger or a meter, another.
type hanging struct {
	groups net.Groups // over the nodes: what others than transistors join
	list   []*hanger
}

// hanger is one such group of nodes.
type hanger struct {
	nodes  []int
	ties   []int // places among the circuit's parts of the transistors it hangs on
	unused bool  // whether it is the pin of a bipolar transistor that goes nowhere
	held   bool  // whether it was found to hang on leakage only
}

// findHanging looks for the groups; the unknowns must have been numbered.
func (c *circuit) findHanging(ctx context.Context) hanging {
	h := hanging{groups: slices.Clone(c.joined)}
	for n := range upTo(ctx, c.nodes) {
		h.groups.Join(n, c.joined.Find(n))
	}
	ties := make([][]int, c.nodes) // by node
	fed := make([]bool, c.nodes)
	for i := range upTo(ctx, len(c.parts)) {
		p := c.parts[i]
		_, isTransistor := transistorEnds(p)
		for _, e := range p.elements {
			path := e.path()
			switch e := e.(type) {
			case *current:
				fed[e.a.node], fed[e.b.node] = true, true
				continue
			case *bipolar, *fieldEffect:
				addTie(ties, path, i)
				continue
			case *junction:
				if isTransistor {
					addTie(ties, path, i)
					continue
				}
			}
			for _, t := range path {
				h.groups.Join(path[0].node, t.node)
			}
		}
	}
	h.gather(ctx, c, ties, fed)
	return h
}

func addTie(ties [][]int, ends []terminal, part int) {
	for _, t := range ends {
		if !slices.Contains(ties[t.node], part) {
			ties[t.node] = append(ties[t.node], part)
		}
	}
}

// gather lists the groups that have ties, but neither a reference nor a current
// that is fed into them.
func (h *hanging) gather(ctx context.Context, c *circuit, ties [][]int, fed []bool) {
	anchored := make([]bool, c.nodes)
	for n := range upTo(ctx, c.nodes) {
		if g := h.groups.Find(n); c.place[n] < 0 || fed[n] {
			anchored[g] = true
		}
	}
	of := map[int]*hanger{}
	for n := range upTo(ctx, c.nodes) {
		g := h.groups.Find(n)
		if anchored[g] {
			continue
		}
		if of[g] == nil {
			of[g] = &hanger{}
			h.list = append(h.list, of[g])
		}
		of[g].nodes = append(of[g].nodes, n)
		for _, i := range ties[n] {
			if !slices.Contains(of[g].ties, i) {
				of[g].ties = append(of[g].ties, i)
			}
		}
	}
	h.list = slices.DeleteFunc(h.list, func(one *hanger) bool { return len(one.ties) == 0 })
	for _, one := range h.list {
		one.unused = h.isUnused(c, one)
	}
}

// isUnused reports whether the group is a dead end: one pin of a bipolar
// transistor, with what is within the part behind it, that goes nowhere, or
// only by way of parts that have no other end.
func (h *hanging) isUnused(c *circuit, one *hanger) bool {
	p, pins := c.parts[one.ties[0]], 0
	if _, isBipolar := bipolarOf(p); !isBipolar || len(one.ties) > 1 {
		return false
	}
	isElsewhere := func(n int) bool { return h.groups.Find(n) != h.groups.Find(one.nodes[0]) }
	for _, n := range one.nodes {
		if n >= len(c.nets.Nets) {
			continue
		}
		for _, id := range c.nets.Nets[n].Pins {
			switch q := c.byRef[id.Ref]; {
			case q == p:
				pins++
			case q == nil || slices.ContainsFunc(q.nets, isElsewhere):
				return false
			}
		}
	}
	return pins == 1
}

func bipolarOf(p *part) (*bipolar, bool) {
	for _, e := range p.elements {
		if q, ok := e.(*bipolar); ok {
			return q, true
		}
	}
	return nil, false
}

// findHeld finds which groups hang on leakage only, and notes their unknowns as
// open. That is so where all transistors there carry nothing, and all but one of
// them are without control: by what is left no current can come back. Groups
// follow from each other, as the base of a transistor is in one of them.
func (r *Result) findHeld(c *circuit, h *hanging, open []bool) {
	for _, one := range h.list {
		one.held = false
	}
	for found := true; found; {
		found = false
		for _, one := range h.list {
			if !one.held && r.isHeld(c, h, one) {
				one.held, found = true, true
				for _, n := range one.nodes {
					open[c.place[n]] = true
				}
			}
		}
	}
}

func (r *Result) isHeld(c *circuit, h *hanging, one *hanger) bool {
	if one.unused {
		return true
	}
	controlled, fromHere := 0, 0
	for _, i := range one.ties {
		p := c.parts[i]
		if !isQuiet(r.ordered[i]) {
			return false
		}
		if q, isBipolar := bipolarOf(p); isBipolar && h.groups.Find(q.base.node) == h.groups.Find(one.nodes[0]) {
			fromHere++
		}
		if c.isControlled(p) {
			controlled++
		}
	}
	return controlled <= 1 || fromHere == len(one.ties) // nothing but bases, joined and left open
}

// isQuiet reports whether the transistor carries no more than leakage.
func isQuiet(q *PartResult) bool {
	return (q.State == CutOff || q.State == "") &&
		!slices.ContainsFunc(q.Pins, func(pin PinResult) bool { return math.Abs(pin.Amps) >= onset*float64(q.Count) })
}

// isControlled reports whether something determines the part's base or gate.
func (c *circuit) isControlled(p *part) bool {
	for _, e := range p.elements {
		switch q := e.(type) {
		case *bipolar:
			return !c.isOpen(q.base.node)
		case *fieldEffect:
			return !q.floats
		}
	}
	return false
}

// heldFaults says which nets hang on leakage only, but for pins of which it has
// been said that they go nowhere.
func (c *circuit) heldFaults() faults {
	var found faults
	for _, one := range c.tally.hanging.list {
		nets := slices.DeleteFunc(slices.Clone(one.nodes), func(n int) bool { return n >= len(c.nets.Nets) || c.floats(n) })
		if one.held && slices.ContainsFunc(nets, c.joinsPins) {
			names := make([]string, len(one.ties))
			for i, k := range one.ties {
				names[i] = c.parts[k].Ref
			}
			leads := "only the leakage of "
			if one.unused {
				leads = "nothing but "
			}
			found.add(c.floating(nets, leads+list(sortedNames(names))+" leads"))
		}
	}
	return found
}

// gateFaults says which transistors are taken as off since their gates float.
func (c *circuit) gateFaults() faults {
	var found faults
	c.eachFieldEffect(func(p *part, q *fieldEffect) {
		if !q.floats || c.floats(q.source.node) && c.floats(q.drain.node) && !c.joinsPins(p.net("S")) && !c.joinsPins(p.net("D")) {
			return // it is joined to nothing that it could switch
		}
		f := Fault{Text: p.Ref + "'s gate floats; it is taken as off here, though any charge may turn it on: tie the gate to the source with 10 to 100 kΩ", Parts: []string{p.Ref}, Nets: []int{p.net("G")}}
		if !c.floats(q.gate.node) && c.floats(q.source.node) {
			f.Text = "nothing ties " + p.Ref + "'s source to what drives its gate; it is taken as off here, though any charge may turn it on: join the two"
			f.Nets = []int{p.net("S")}
		}
		found.add(f)
	})
	return found
}
