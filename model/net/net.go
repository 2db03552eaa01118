// Package net finds out what a drawing joins: it turns pins, wires and tags
// into nets.
package net

import (
	"cmp"
	"slices"
	"strconv"

	"copperglass/model"
	"copperglass/model/geom"
)

// GroundName is the name of the net that is 0 V.
const GroundName = "GND"

// PinID names a pin of a part.
type PinID struct{ Ref, Pin string }

func (p PinID) String() string { return p.Ref + "." + p.Pin }

// Net is a set of pins that are joined.
type Net struct {
	Name   string
	Ground bool
	Pins   []PinID  // in natural order; those of signs such as the ground symbol left out
	Wires  []int    // places in the diagram's list of wires
	Tags   []string // the names it carries, in natural order
}

// Netlist is what a diagram joins. Nets are numbered from 0 in natural order
// of their names, ground first where there is one.
type Netlist struct {
	Nets   []Net
	Ground int // number of the ground net, or −1

	pin   map[PinID]int
	parts [][]int // by part of the diagram: the nets of its pins
	wire  []int
	loose []Loose
	alone map[PinID]bool
}

// Loose is the end of a wire that is joined to nothing.
type Loose struct {
	Wire int // place in the diagram's list of wires
	At   geom.Point
}

// Pin returns the number of the pin's net, or −1 where there is no such pin.
func (n *Netlist) Pin(ref, pin string) int {
	if i, ok := n.pin[PinID{ref, pin}]; ok {
		return i
	}
	return -1
}

// Part returns the numbers of the nets of part i of the diagram, by pin in the
// order of its kind. They are not to be changed.
func (n *Netlist) Part(i int) []int { return n.parts[i] }

// Wire returns the number of the net of wire i of the diagram.
func (n *Netlist) Wire(i int) int { return n.wire[i] }

// Loose returns the ends of wires that are joined to nothing.
func (n *Netlist) Loose() []Loose { return n.loose }

// Alone reports whether the pin stands on the sheet where there is neither a
// wire nor another pin. Tags may join it all the same.
func (n *Netlist) Alone(ref, pin string) bool { return n.alone[PinID{ref, pin}] }

// Find returns the number of the net of that name, or −1. A net also answers
// to each of its tags and, unnamed, to each of its pins.
func (n *Netlist) Find(name string) int {
	for i := range n.Nets {
		if n.Nets[i].Name == name || slices.Contains(n.Nets[i].Tags, name) {
			return i
		}
	}
	for id, i := range n.pin {
		if id.String() == name {
			return i
		}
	}
	return -1
}

// Build returns the nets of d. It takes time in proportion to the number of
// pins and wires, times its logarithm.
func Build(d *model.Diagram) *Netlist {
	b := builder{d: d, tags: map[string]int{}, alone: map[PinID]bool{}, ends: map[geom.Point]bool{}}
	b.addParts()
	b.addWires()
	b.joinPlaces()
	return b.finish()
}

// builder holds the union-find forest over pins, then wires, then tags.
type builder struct {
	d      *model.Diagram
	groups Groups
	first  []int          // forest node of each part's first pin, and the end of all
	pins   []PinID        // by forest node
	signs  []bool         // whether the pin's part is only a sign on the drawing
	places []placed       // pins that stand on the sheet and ends of wires
	wire0  int            // forest node of the first wire
	tags   map[string]int // forest node by tag
	alone  map[PinID]bool
	ends   map[geom.Point]bool // places where nothing but the end of one wire is
}

// placed is a pin or the end of a wire, where it is on the sheet.
type placed struct {
	at   geom.Point
	node int
}

func (b *builder) addParts() {
	for _, p := range b.d.Parts {
		kind := p.LookupKind()
		b.first = append(b.first, len(b.pins))
		for _, pin := range p.PlacedPins() {
			n := b.groups.Add()
			b.pins = append(b.pins, PinID{p.Ref, pin.Name})
			b.signs = append(b.signs, kind.Sign)
			if p.Placed {
				b.places = append(b.places, placed{pin.At, n})
			}
			b.tag(n, p.Tags[pin.Name])
			b.tag(n, tagOf(p))
		}
	}
	b.first = append(b.first, len(b.pins))
}

// tagOf returns the net name that a part stands for by its kind.
func tagOf(p *model.Part) string {
	switch p.Kind {
	case "ground":
		return GroundName
	case "tag":
		return p.Value
	}
	return ""
}

// tag joins forest node n to everything else that carries the name.
func (b *builder) tag(n int, name string) {
	if name == "" {
		return
	}
	if other, ok := b.tags[name]; ok {
		b.groups.Join(n, other)
		return
	}
	b.tags[name] = n
}

func (b *builder) addWires() {
	b.wire0 = len(b.groups)
	for _, w := range b.d.Wires {
		n := b.groups.Add()
		b.tag(n, w.Tag)
		for _, end := range w.Ends() {
			b.places = append(b.places, placed{end, n})
		}
	}
}

// joinPlaces joins what touches: pins on pins, pins on wires and ends of wires
// on wires. Wires that only cross stay apart.
func (b *builder) joinPlaces() {
	slices.SortFunc(b.places, func(p, q placed) int {
		return cmp.Or(cmp.Compare(p.at.Y, q.at.Y), cmp.Compare(p.at.X, q.at.X), cmp.Compare(p.node, q.node))
	})
	index := IndexWires(b.d.Wires)
	for rest := b.places; len(rest) > 0; {
		n := 1
		for n < len(rest) && rest[n].at == rest[0].at {
			n++
		}
		b.joinPlace(rest[:n], index.At(rest[0].at))
		rest = rest[n:]
	}
}

// joinPlace joins what is in one place: pins, then ends of wires, and the wires
// that pass there or end.
func (b *builder) joinPlace(here []placed, wires []int) {
	first := here[0].node
	for _, p := range here[1:] {
		b.groups.Join(first, p.node)
	}
	for _, w := range wires {
		b.groups.Join(first, b.wire0+w)
	}
	if first < b.wire0 {
		if len(here) == 1 && len(wires) == 0 {
			b.alone[b.pins[first]] = true
		}
		return
	}
	if len(wires) < 2 {
		b.ends[here[0].at] = true
	}
}

// looseEnds returns the ends of wires where nothing else is, in the order of
// the wires. A wire with a tag has none: the tag says where it leads.
func (b *builder) looseEnds() []Loose {
	var loose []Loose
	for i, w := range b.d.Wires {
		for _, end := range w.Ends() {
			if w.Tag == "" && b.ends[end] {
				loose = append(loose, Loose{i, end})
			}
		}
	}
	return loose
}

// finish makes a net of each group, and names and numbers them.
func (b *builder) finish() *Netlist {
	group, nets := b.collect()
	taken := make(map[string]bool, len(b.tags))
	for name := range b.tags {
		taken[name] = true
	}
	for i := range nets {
		name(&nets[i], i, taken)
	}
	order := make([]int, len(nets))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Or(compareNets(&nets[i], &nets[j]), cmp.Compare(i, j)) })
	return b.number(group, nets, order)
}

// collect returns the group of each forest node, numbered in the order of the
// nodes, and what is in each group. The root of a group is its first node.
func (b *builder) collect() (group []int, nets []Net) {
	group = make([]int, len(b.groups))
	count := 0
	for i := range group {
		root := b.groups.Find(i)
		if root == i {
			group[i] = count
			count++
		}
		group[i] = group[root]
	}
	nets = make([]Net, count)
	for i, id := range b.pins {
		if g := &nets[group[i]]; !b.signs[i] {
			g.Pins = append(g.Pins, id)
		}
	}
	for i := range b.d.Wires {
		g := &nets[group[b.wire0+i]]
		g.Wires = append(g.Wires, i)
	}
	for name, node := range b.tags {
		g := &nets[group[node]]
		g.Tags = append(g.Tags, name)
	}
	return group, nets
}

// name sorts what the net holds and names it after its first tag, its first
// pin or its first wire. Where that name is the tag of another net, as
// when somebody calls one R1.1, it gets a prime.
func name(g *Net, group int, taken map[string]bool) {
	slices.SortFunc(g.Tags, model.NaturalCompare)
	sortPins(g.Pins)
	g.Ground = slices.Contains(g.Tags, GroundName)
	switch {
	case g.Ground:
		g.Name = GroundName
	case len(g.Tags) > 0:
		g.Name = g.Tags[0]
	case len(g.Pins) > 0:
		g.Name = g.Pins[0].String()
	case len(g.Wires) > 0:
		g.Name = WireName(g.Wires[0])
	default:
		g.Name = "N" + strconv.Itoa(group)
	}
	for len(g.Tags) == 0 && taken[g.Name] {
		g.Name += "′"
	}
	taken[g.Name] = true
}

// sortPins puts pins in the natural order of their names.
func sortPins(pins []PinID) {
	if len(pins) < 2 {
		return
	}
	type named struct {
		name string
		id   PinID
	}
	list := make([]named, len(pins))
	for i, id := range pins {
		list[i] = named{id.String(), id}
	}
	slices.SortFunc(list, func(p, q named) int { return model.NaturalCompare(p.name, q.name) })
	for i := range list {
		pins[i] = list[i].id
	}
}

// WireName is what wire i of a diagram is called.
func WireName(i int) string { return "W" + strconv.Itoa(i+1) }

func compareNets(g, h *Net) int {
	if g.Ground != h.Ground {
		if g.Ground {
			return -1
		}
		return 1
	}
	return model.NaturalCompare(g.Name, h.Name)
}

// number returns the netlist of nets in that order.
func (b *builder) number(group []int, nets []Net, order []int) *Netlist {
	n := &Netlist{
		Nets: make([]Net, len(nets)), Ground: -1,
		pin: make(map[PinID]int, len(b.pins)), parts: make([][]int, len(b.d.Parts)), wire: make([]int, len(b.d.Wires)),
		loose: b.looseEnds(), alone: b.alone,
	}
	number := make([]int, len(nets))
	for i, g := range order {
		number[g], n.Nets[i] = i, nets[g]
		if nets[g].Ground {
			n.Ground = i
		}
	}
	of := make([]int, len(b.pins))
	for i, id := range b.pins {
		of[i] = number[group[i]]
		n.pin[id] = of[i]
	}
	for i := range n.parts {
		n.parts[i] = of[b.first[i]:b.first[i+1]:b.first[i+1]]
	}
	for i := range n.wire {
		n.wire[i] = number[group[b.wire0+i]]
	}
	return n
}
