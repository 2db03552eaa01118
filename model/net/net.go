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
	n := *new(Builder).Build(d, func(i int) []model.Pin { return d.Parts[i].PlacedPins() })
	return &n // without the memory of the builder
}

// BuildUntil does the same, and asks every some hundred parts or places whether
// to end. It returns nil where it was to.
func BuildUntil(d *model.Diagram, ended func() bool) *Netlist {
	b := builder{ended: ended}
	if !b.build(d, func(i int) []model.Pin { return d.Parts[i].PlacedPins() }) {
		return nil
	}
	n := b.n // without the memory of the builder
	return &n
}

// Builder builds netlists one after another in the same memory. The zero value
// is ready.
type Builder struct{ b builder }

// Build is the function Build, for who has the pins of d's parts: those of part
// i as its PlacedPins gives them. The netlist holds until the next.
func (k *Builder) Build(d *model.Diagram, pins func(i int) []model.Pin) *Netlist {
	k.b.build(d, pins)
	return &k.b.n
}

// build makes the netlist and reports whether it was left to.
func (b *builder) build(d *model.Diagram, pins func(i int) []model.Pin) bool {
	b.begin(d)
	if !b.addParts(pins) {
		return false
	}
	b.addWires()
	return b.joinPlaces() && b.finish()
}

// askEvery is after how many parts, places or nets the builder asks whether to
// end.
const askEvery = 256

// isEnded reports, at every askEvery-th i, whether to end.
func (b *builder) isEnded(i int) bool { return b.ended != nil && i%askEvery == 0 && b.ended() }

// builder holds the union-find forest over pins, then wires, then tags.
type builder struct {
	d      *model.Diagram
	ended  func() bool // whether to end; nil for never
	n      Netlist
	groups Groups
	first  []int          // forest node of each part's first pin, and the end of all
	pins   []PinID        // by forest node
	signs  []bool         // whether the pin's part is only a sign on the drawing
	places []placed       // pins that stand on the sheet and ends of wires
	wire0  int            // forest node of the first wire
	tags   map[string]int // forest node by tag
	alone  map[PinID]bool
	ends   map[geom.Point]bool // places where nothing but the end of one wire is
	index  WireIndex

	group  []int // by forest node
	nets   []Net // by group
	order  []int // of the groups
	number []int // of each group's net
	of     []int // net by forest node of a pin
	taken  map[string]bool
	named  []named
}

// named is a pin with its name, to be sorted by it.
type named struct {
	name string
	id   PinID
}

func (b *builder) begin(d *model.Diagram) {
	if b.tags == nil {
		b.tags, b.alone, b.ends = map[string]int{}, map[PinID]bool{}, map[geom.Point]bool{}
		b.taken, b.n.pin = map[string]bool{}, map[PinID]int{}
	}
	clear(b.tags)
	clear(b.alone)
	clear(b.ends)
	clear(b.taken)
	clear(b.n.pin)
	b.d = d
	b.groups, b.first, b.pins, b.signs, b.places = b.groups[:0], b.first[:0], b.pins[:0], b.signs[:0], b.places[:0]
}

// placed is a pin or the end of a wire, where it is on the sheet.
type placed struct {
	at   geom.Point
	node int
}

func (b *builder) addParts(pins func(i int) []model.Pin) bool {
	for i, p := range b.d.Parts {
		if b.isEnded(i) {
			return false
		}
		kind := p.LookupKind()
		b.first = append(b.first, len(b.pins))
		for _, pin := range pins(i) {
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
	return true
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
func (b *builder) joinPlaces() bool {
	slices.SortFunc(b.places, func(p, q placed) int {
		return cmp.Or(cmp.Compare(p.at.Y, q.at.Y), cmp.Compare(p.at.X, q.at.X), cmp.Compare(p.node, q.node))
	})
	b.index.index(b.d.Wires)
	for rest, done := b.places, 0; len(rest) > 0; done++ {
		if b.isEnded(done) {
			return false
		}
		n := 1
		for n < len(rest) && rest[n].at == rest[0].at {
			n++
		}
		b.joinPlace(rest[:n], b.index.At(rest[0].at))
		rest = rest[n:]
	}
	return true
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
	loose := b.n.loose[:0]
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
func (b *builder) finish() bool {
	b.collect()
	for name := range b.tags {
		b.taken[name] = true
	}
	b.order = zeros(b.order, len(b.nets))
	for i := range b.nets {
		if b.isEnded(i) {
			return false
		}
		b.name(i)
		b.order[i] = i
	}
	slices.SortFunc(b.order, func(i, j int) int { return cmp.Or(compareNets(&b.nets[i], &b.nets[j]), cmp.Compare(i, j)) })
	b.setNumbers()
	return true
}

// collect finds the group of each forest node, numbered in the order of the
// nodes, and what is in each group. The root of a group is its first node.
func (b *builder) collect() {
	b.group = zeros(b.group, len(b.groups))
	group, count := b.group, 0
	for i := range group {
		root := b.groups.Find(i)
		if root == i {
			group[i] = count
			count++
		}
		group[i] = group[root]
	}
	b.empty(count)
	nets := b.nets
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
}

// empty makes so many empty nets of those there were.
func (b *builder) empty(count int) {
	b.nets = slices.Grow(b.nets[:0], count)[:count]
	for i := range b.nets {
		g := &b.nets[i]
		*g = Net{Pins: g.Pins[:0], Wires: g.Wires[:0], Tags: g.Tags[:0]}
	}
}

// name sorts what the net of a group holds and names it after its first tag, its first
// pin or its first wire. Where that name is the tag of another net, as
// when somebody calls one R1.1, it gets a prime.
func (b *builder) name(group int) {
	g := &b.nets[group]
	slices.SortFunc(g.Tags, model.NaturalCompare)
	b.sortPins(g.Pins)
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
	for len(g.Tags) == 0 && b.taken[g.Name] {
		g.Name += "′"
	}
	b.taken[g.Name] = true
}

// sortPins puts pins in the natural order of their names.
func (b *builder) sortPins(pins []PinID) {
	if len(pins) < 2 {
		return
	}
	list := b.named[:0]
	for _, id := range pins {
		list = append(list, named{id.String(), id})
	}
	b.named = list
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

// setNumbers fills the netlist with the nets in their order.
func (b *builder) setNumbers() {
	n := &b.n
	n.Ground, n.loose, n.alone = -1, b.looseEnds(), b.alone
	n.Nets, b.number, b.of = zeros(n.Nets, len(b.nets)), zeros(b.number, len(b.nets)), zeros(b.of, len(b.pins))
	for i, g := range b.order {
		b.number[g], n.Nets[i] = i, b.nets[g]
		if b.nets[g].Ground {
			n.Ground = i
		}
	}
	for i, id := range b.pins {
		b.of[i] = b.number[b.group[i]]
		n.pin[id] = b.of[i]
	}
	n.parts, n.wire = zeros(n.parts, len(b.d.Parts)), zeros(n.wire, len(b.d.Wires))
	for i := range n.parts {
		n.parts[i] = b.of[b.first[i]:b.first[i+1]:b.first[i+1]]
	}
	for i := range n.wire {
		n.wire[i] = b.number[b.group[b.wire0+i]]
	}
}
