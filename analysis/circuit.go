package analysis

import (
	"context"
	"iter"
	"math"
	"slices"

	"copperglass/model"
	"copperglass/model/net"
)

// circuit is a diagram turned into elements between nodes. Nodes are the nets,
// under the netlist's numbers, and after them the nodes inside parts. Nodes
// that links join are one junction, named by one of its nodes.
type circuit struct {
	diagram *model.Diagram
	nets    *net.Netlist
	parts   []*part
	byRef   map[string]*part
	nodes   int        // nets and inner nodes
	joined  net.Groups // over the nodes: what links join
	islands net.Groups // over the junctions: what carries a direct current
	links   []link

	unknowns int   // of node voltages, then of branch currents
	voltages int   // how many of them are node voltages
	place    []int // by node: its junction's unknown, or −1 at a reference
	datum    int   // junction that voltages are counted from, or −1
	tally    *tally
}

// part is what one part of the diagram consists of.
type part struct {
	*model.Part
	kind     *model.Kind
	values   model.Values
	pins     []string
	nets     []int // by pin
	elements []element
	first    int    // the first node inside the part
	inner    int    // how many there are
	links    []int  // places in circuit.links
	before   []int  // by link: how many elements stand before it in the equation
	ideal    []bond // sources of a steady voltage without resistance
	leftOpen bool   // whether something is lacking and the part carries nothing
}

// net returns the net of a pin of the part.
func (p *part) net(pin string) int { return p.nets[slices.Index(p.pins, pin)] }

// link joins two terminals of a part exactly.
type link struct {
	part *part
	a, b terminal
}

// bond is a source without resistance between two nodes.
type bond struct {
	plus, minus int
	volts       float64
}

// terminal is where an element ends.
type terminal struct {
	pin  int // place in part.pins, or −1 inside the part
	node int
}

// compile turns the diagram into elements. The faults are those of single
// parts.
func compile(d *model.Diagram, nets *net.Netlist, set model.Setting) (*circuit, faults) {
	return compileUntil(context.Background(), d, nets, set, &stock{})
}

// compileUntil does the same until the context ends; what it returns is not to
// be used then. It takes what it can from the stock, and lays in the rest.
func compileUntil(ctx context.Context, d *model.Diagram, nets *net.Netlist, set model.Setting, kept *stock) (*circuit, faults) {
	c := &circuit{diagram: d, nets: nets, nodes: len(nets.Nets), byRef: make(map[string]*part, len(d.Parts)), datum: -1}
	var found faults
	all := make([]part, len(d.Parts))
	if kept.begin(d, set); ctx.Err() != nil {
		return c, nil
	}
	for i := range upTo(ctx, len(d.Parts)) {
		p, r := d.Parts[i], kept.part(d, i, set)
		found = append(found, r.faults...)
		if r.kind == nil {
			continue
		}
		q := &all[i]
		*q = part{Part: p, kind: r.kind, values: r.values, pins: r.pins, nets: nets.Part(i), leftOpen: r.leftOpen}
		c.byRef[p.Ref] = q
		if r.kind.Equation != nil {
			c.parts = append(c.parts, q)
			c.addElements(q, r.equation)
		}
	}
	c.join(ctx)
	return c, found
}

// askEvery is after how many parts, or as much work, the context is looked at.
const askEvery = 256

// upTo counts from 0 to n−1, or until the context ends; what was gathered on the
// way is not to be used then.
func upTo(ctx context.Context, n int) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := range n {
			if i%askEvery == askEvery-1 && ctx.Err() != nil || !yield(i) {
				return
			}
		}
	}
}

// partsUntil goes through the parts in the same way.
func (c *circuit) partsUntil(ctx context.Context) iter.Seq[*part] {
	return func(yield func(*part) bool) {
		for i := range upTo(ctx, len(c.parts)) {
			if !yield(c.parts[i]) {
				return
			}
		}
	}
}

// addElements turns the part's equation into elements.
func (c *circuit) addElements(p *part, equation []model.Element) {
	b := builder{circuit: c, part: p, many: float64(p.Multiple())}
	p.first = c.nodes
	p.elements = make([]element, 0, len(equation))
	for _, e := range equation {
		b.add(e)
	}
}

// isSenseless reports whether an element holds something that is no finite
// number.
func isSenseless(e model.Element) bool {
	bad := func(values ...float64) bool {
		for _, x := range values {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return true
			}
		}
		return false
	}
	switch e := e.(type) {
	case model.Resistance:
		return bad(e.Ohms) || e.Ohms < 0
	case model.VoltageSource:
		return bad(e.Volts, e.Ohms) || e.Ohms < 0
	case model.CurrentSource:
		return bad(e.Amps)
	case model.Junction:
		return bad(e.Law.SaturationCurrent, e.Law.Emission, e.Law.BreakdownVoltage, e.Law.BreakdownCurrent, e.Law.BreakdownEmission, e.Law.ThermalVoltage)
	case model.Bipolar:
		l := e.Law
		return bad(l.SaturationCurrent, l.ForwardBeta, l.ReverseBeta, l.ForwardEmission, l.ReverseEmission, l.EarlyVoltage, l.KneeCurrent, l.ThermalVoltage)
	case model.FieldEffect:
		return bad(e.Law.Threshold, e.Law.Transconductance, e.Law.ChannelModulation, e.Law.ThermalVoltage)
	}
	return false
}

// builder makes a part's elements. A stack's elements carry the current of all
// its parts.
type builder struct {
	circuit *circuit
	part    *part
	many    float64  // parts in the stack
	inner   []string // names of the nodes inside the part so far
}

// terminal returns the terminal of that name: a pin, or else a node inside the
// part.
func (b *builder) terminal(name string) terminal {
	if i := slices.Index(b.part.pins, name); i >= 0 {
		return terminal{i, b.part.nets[i]}
	}
	i := slices.Index(b.inner, name)
	if i < 0 {
		i = len(b.inner)
		b.inner = append(b.inner, name)
		b.part.inner++
		b.circuit.nodes++
	}
	return terminal{-1, b.part.first + i}
}

func (b *builder) terminals(names ...string) []terminal {
	all := make([]terminal, len(names))
	for i, n := range names {
		all[i] = b.terminal(n)
	}
	return all
}

// thin is the resistance in ohms below which a resistor's current is an
// unknown of its own: its voltage would be too small a difference.
const thin = 1

func (b *builder) add(e model.Element) {
	switch e := e.(type) {
	case model.Resistance:
		b.addResistance(e)
	case model.VoltageSource:
		b.addSource(e)
	case model.CurrentSource:
		b.put(&current{ends: b.ends(e.Plus, e.Minus), amps: e.Amps * b.many, feeds: b.part.Kind != "current_source"})
	case model.Junction:
		b.put(newJunction(b.ends(e.Anode, e.Cathode), e.Law, b.many))
	case model.Bipolar:
		b.put(newBipolar(b.terminals(e.Collector, e.Base, e.Emitter), e.Law, b.many))
	case model.FieldEffect:
		b.put(newFieldEffect(b.terminals(e.Drain, e.Gate, e.Source), e.Law, b.many))
	case model.Law:
		b.put(newLaw(b.terminals(e.Terminals...), e, b.many))
	}
}

func (b *builder) put(e element) { b.part.elements = append(b.part.elements, e) }

func (b *builder) ends(one, other string) ends { return ends{a: b.terminal(one), b: b.terminal(other)} }

func (b *builder) addResistance(e model.Resistance) {
	ohms := e.Ohms / b.many
	switch ends := b.ends(e.A, e.B); {
	case e.Ohms == 0:
		b.link(ends)
	case ohms < thin:
		b.put(&branch{ends: ends, ohms: ohms})
	default:
		b.put(&conductor{ends: ends, siemens: 1 / ohms})
	}
}

// addSource adds a voltage source. One of 0 V and 0 Ω is a link.
func (b *builder) addSource(e model.VoltageSource) {
	ends := b.ends(e.Plus, e.Minus)
	if e.Volts == 0 && e.Ohms == 0 {
		b.link(ends)
		return
	}
	b.put(&branch{ends: ends, source: true, volts: e.Volts, ohms: e.Ohms / b.many})
	if e.Ohms == 0 {
		b.part.ideal = append(b.part.ideal, bond{ends.a.node, ends.b.node, e.Volts})
	}
}

func (b *builder) link(e ends) {
	b.part.links = append(b.part.links, len(b.circuit.links))
	b.part.before = append(b.part.before, len(b.part.elements))
	b.circuit.links = append(b.circuit.links, link{b.part, e.a, e.b})
}

// join makes junctions of the nodes that links join, and islands of the
// junctions between which a direct current can flow.
func (c *circuit) join(ctx context.Context) {
	c.joined = net.NewGroups(c.nodes)
	for i := range upTo(ctx, len(c.links)) {
		c.joined.Join(c.links[i].a.node, c.links[i].b.node)
	}
	c.islands = net.NewGroups(c.nodes)
	for n := range upTo(ctx, c.nodes) {
		c.islands.Join(n, c.joined.Find(n))
	}
	for p := range c.partsUntil(ctx) {
		for _, e := range p.elements {
			path := e.path()
			for _, t := range path {
				c.islands.Join(path[0].node, t.node)
			}
		}
	}
	c.floatGates()
}
