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
	Tags   []string // the names it carries, in natural order
}

// Netlist is what a diagram joins. Nets are numbered from 0 in natural order
// of their names, ground first where there is one.
type Netlist struct {
	Nets   []Net
	Ground int // number of the ground net, or −1

	last   map[string]int // the last part of the diagram that is called so
	before []int          // by part: the one before it that is called the same, or −1
	first  []int          // by part: the place of its first pin in the lists of pins, and the end of all
	pins   []PinID
	alone  []bool  // by pin
	of     []int   // net by pin
	parts  [][]int // by part: the nets of its pins
	wire   []int   // net by wire
	wires  []int   // by net, one net after another
	begins []int   // by net: where its wires begin in wires, and the end of all
	loose  []Loose
}

// Loose is the end of a wire that is joined to nothing.
type Loose struct {
	Wire int // place in the diagram's list of wires
	At   geom.Point
}

// Pin returns the number of the pin's net, or −1 where there is no such pin.
func (n *Netlist) Pin(ref, pin string) int {
	if k := n.find(ref, pin); k >= 0 {
		return n.of[k]
	}
	return -1
}

// find returns the pin's place in the lists of pins, or −1.
func (n *Netlist) find(ref, pin string) int {
	i, known := n.last[ref]
	for known && i >= 0 {
		for k := n.first[i+1] - 1; k >= n.first[i]; k-- {
			if n.pins[k].Pin == pin {
				return k
			}
		}
		i = n.before[i]
	}
	return -1
}

// HasNamesakes reports whether two parts of the diagram are called the same.
func (n *Netlist) HasNamesakes() bool {
	return slices.ContainsFunc(n.before, func(part int) bool { return part >= 0 })
}

// Part returns the numbers of the nets of part i of the diagram, by pin in the
// order of its kind. They are not to be changed.
func (n *Netlist) Part(i int) []int { return n.parts[i] }

// SameAs reports whether the pins of two drawings' parts are joined in the same
// way and under the same names.
func (n *Netlist) SameAs(o *Netlist) bool {
	named := func(a, b Net) bool { return a.Name == b.Name && slices.Equal(a.Tags, b.Tags) }
	return n.Ground == o.Ground && slices.EqualFunc(n.parts, o.parts, slices.Equal[[]int]) && slices.EqualFunc(n.Nets, o.Nets, named)
}

// Wire returns the number of the net of wire i of the diagram.
func (n *Netlist) Wire(i int) int { return n.wire[i] }

// Wires returns the places in the diagram's list of the wires of a net, in order.
// They are not to be changed.
func (n *Netlist) Wires(net int) []int {
	return n.wires[n.begins[net]:n.begins[net+1]:n.begins[net+1]]
}

// Loose returns the ends of wires that are joined to nothing.
func (n *Netlist) Loose() []Loose { return n.loose }

// Alone reports whether the pin stands on the sheet where there is neither a
// wire nor another pin. Tags may join it all the same.
func (n *Netlist) Alone(ref, pin string) bool {
	k := n.find(ref, pin)
	return k >= 0 && n.alone[k]
}

// Find returns the number of the net of that name, or −1. A net also answers
// to each of its tags and, unnamed, to each of its pins.
func (n *Netlist) Find(name string) int {
	for i := range n.Nets {
		if n.Nets[i].Name == name || slices.Contains(n.Nets[i].Tags, name) {
			return i
		}
	}
	for k, id := range n.pins {
		if id.String() == name {
			return n.of[k]
		}
	}
	return -1
}

// Build returns the nets of d. It takes time in proportion to the number of
// pins and wires, times its logarithm.
func Build(d *model.Diagram) *Netlist { return BuildUntil(d, nil) }

// BuildUntil does the same, and asks every some hundred parts or places whether
// to end. It returns nil where it was to.
func BuildUntil(d *model.Diagram, ended func() bool) *Netlist {
	return new(Builder).BuildUntil(d, ended)
}

// Builder builds netlists one after another in the same memory. The zero value
// is ready.
type Builder struct {
	b    builder
	pins pinStock
}

// Build is the function Build, for who has the pins of d's parts: those of part
// i as its PlacedPins gives them. The netlist holds until the next.
func (k *Builder) Build(d *model.Diagram, pins func(i int) []model.Pin) *Netlist {
	k.b.remember()
	k.b.build(d, pins)
	return &k.b.n
}

// BuildUntil is the function BuildUntil. The netlist holds for good.
func (k *Builder) BuildUntil(d *model.Diagram, ended func() bool) *Netlist {
	k.b.ended = ended
	done := k.b.build(d, func(i int) []model.Pin { return d.Parts[i].PlacedPins() })
	n := k.detach()
	if !done {
		return nil
	}
	return n
}

// detach hands the netlist over with all its memory.
func (k *Builder) detach() *Netlist {
	n := k.b.n
	k.b.n, k.b.nets, k.b.slabs, k.b.ended = Netlist{}, nil, slabs{}, nil // what the netlist keeps
	return &n
}

// build makes the netlist and reports whether it was left to.
func (b *builder) build(d *model.Diagram, pins func(i int) []model.Pin) bool {
	b.begin(d)
	return b.addParts(pins) && b.addWires() && b.joinPlaces() && b.finish()
}

// askEvery is after how many parts, places or nets the builder asks whether to
// end.
const askEvery = 256

// isEnded reports, at every askEvery-th i, whether to end.
func (b *builder) isEnded(i int) bool { return isEnded(b.ended, i) }

func isEnded(ended func() bool, i int) bool { return ended != nil && i%askEvery == 0 && ended() }

// builder holds the union-find forest over pins, then wires, then tags.
type builder struct {
	d      *model.Diagram
	ended  func() bool // whether to end; nil for never
	n      Netlist     // whose pins are the first of the forest's nodes
	groups Groups
	signs  []bool              // by pin: whether the part is only a sign on the drawing
	places []placed            // pins that stand on the sheet and ends of wires
	wire0  int                 // forest node of the first wire
	tags   map[string]int      // forest node by tag
	ends   map[geom.Point]bool // places where nothing but the end of one wire is
	index  WireIndex

	group   []int // by forest node
	nets    []Net // by group
	size    []count
	slabs   slabs
	order   []nameOf // of the groups
	number  []int    // of each group's net
	named   []named
	names   map[PinID]string // of pins, where one drawing comes after another
	byPlace sorter[placed]
	byName  sorter[nameOf]
	byPin   sorter[named]
	byTag   sorter[string]
}

// count is how many pins and tags are in a group, and the first of its wires, or
// −1.
type count struct{ pins, tags, wire int }

// slabs are the memory of the lists of all nets.
type slabs struct {
	pins []PinID
	tags []string
}

// named is a pin with its name, to be sorted by it.
type named struct {
	name string
	id   PinID
}

func (b *builder) begin(d *model.Diagram) {
	if b.tags == nil {
		b.tags, b.ends = make(map[string]int, countTags(d)/2), map[geom.Point]bool{} // a tag joins two at least
	}
	if b.n.last == nil {
		b.n.last = make(map[string]int, len(d.Parts))
	}
	clear(b.tags)
	clear(b.ends)
	clear(b.n.last)
	b.d = d
	b.groups, b.signs, b.places = b.groups[:0], b.signs[:0], b.places[:0]
	b.n.before, b.n.first, b.n.pins = b.n.before[:0], b.n.first[:0], b.n.pins[:0]
	b.reserve()
}

// reserve makes room for the parts, most of which have two or three pins, and for
// the wires.
func (b *builder) reserve() {
	parts, wires := len(b.d.Parts), len(b.d.Wires)
	pins := 5 * parts / 2
	b.n.before, b.n.first = slices.Grow(b.n.before, parts), slices.Grow(b.n.first, parts+1)
	b.n.pins, b.signs = slices.Grow(b.n.pins, pins), slices.Grow(b.signs, pins)
	b.groups = slices.Grow(b.groups, pins+wires)
	if wires > 0 {
		b.places = slices.Grow(b.places, pins+2*wires)
	}
}

// countTags returns how often a drawing names a net.
func countTags(d *model.Diagram) int {
	n := 0
	for _, p := range d.Parts {
		n += len(p.Tags)
	}
	return n
}

// placed is a pin or the end of a wire, where it is on the sheet.
type placed struct {
	at   geom.Point
	node int
}

func (b *builder) addParts(pins func(i int) []model.Pin) bool {
	n := &b.n
	for i, p := range b.d.Parts {
		if b.isEnded(i) {
			return false
		}
		before, known := n.last[p.Ref]
		if !known {
			before = -1
		}
		n.last[p.Ref] = i
		n.before, n.first = append(n.before, before), append(n.first, len(n.pins))
		b.addPins(p, pins(i))
	}
	n.first = append(n.first, len(n.pins))
	n.alone = zeros(n.alone, len(n.pins))
	return true
}

func (b *builder) addPins(p *model.Part, pins []model.Pin) {
	if len(pins) == 0 {
		return
	}
	isSign, tag := p.LookupKind().Sign, tagOf(p)
	for _, pin := range pins {
		n := b.groups.Add()
		b.n.pins = append(b.n.pins, PinID{p.Ref, pin.Name})
		b.signs = append(b.signs, isSign)
		if p.Placed {
			b.places = append(b.places, placed{pin.At, n})
		}
		b.tag(n, p.Tags[pin.Name])
		b.tag(n, tag)
	}
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

func (b *builder) addWires() bool {
	b.wire0 = len(b.groups)
	for i, w := range b.d.Wires {
		if b.isEnded(i) {
			return false
		}
		n := b.groups.Add()
		b.tag(n, w.Tag)
		for _, end := range w.Ends() {
			b.places = append(b.places, placed{end, n})
		}
	}
	return true
}

// joinPlaces joins what touches: pins on pins, pins on wires and ends of wires
// on wires. Wires that only cross stay apart.
func (b *builder) joinPlaces() bool {
	byPlace := func(p, q placed) int {
		return cmp.Or(cmp.Compare(p.at.Y, q.at.Y), cmp.Compare(p.at.X, q.at.X), cmp.Compare(p.node, q.node))
	}
	key := func(p *placed) uint64 { return pairKey(p.at.Y, p.at.X) }
	if !b.byPlace.sort(b.places, key, byPlace, b.ended) || !b.index.index(b.d.Wires, b.ended) {
		return false
	}
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
			b.n.alone[first] = true
		}
		return
	}
	if len(wires) < 2 {
		b.ends[here[0].at] = true
	}
}

// listLoose lists the ends of wires where nothing else is, in the order of the
// wires. A wire with a tag has none: the tag says where it leads.
func (b *builder) listLoose() bool {
	b.n.loose = b.n.loose[:0]
	for i, w := range b.d.Wires {
		if b.isEnded(i) {
			return false
		}
		for _, end := range w.Ends() {
			if w.Tag == "" && b.ends[end] {
				b.n.loose = append(b.n.loose, Loose{i, end})
			}
		}
	}
	return true
}

// finish makes a net of each group, and names and numbers them.
func (b *builder) finish() bool {
	if !b.collect() {
		return false
	}
	b.order = zeros(b.order, len(b.nets))
	for i := range b.nets {
		if b.isEnded(i) || !b.name(i) {
			return false
		}
		b.order[i] = nameOf{b.nets[i].Name, b.nets[i].Ground, i}
	}
	return b.byName.sort(b.order, (*nameOf).key, nameOf.compare, b.ended) && b.setNumbers()
}

// collect finds the group of each forest node, numbered in the order of the
// nodes, and what is in each group. The root of a group is its first node.
func (b *builder) collect() bool {
	b.group, b.size = zeros(b.group, len(b.groups)), b.size[:0]
	for i := range b.group {
		if b.isEnded(i) {
			return false
		}
		root := b.groups.Find(i)
		if root == i {
			b.group[i] = len(b.size)
			b.size = append(b.size, count{wire: -1})
		}
		b.group[i] = b.group[root]
		switch n := &b.size[b.group[i]]; {
		case i >= b.wire0:
			if n.wire < 0 {
				n.wire = i - b.wire0
			}
		case !b.signs[i]:
			n.pins++
		}
	}
	done := 0
	for _, node := range b.tags {
		if b.isEnded(done) {
			return false
		}
		done++
		b.size[b.group[node]].tags++
	}
	return b.empty() && b.fill()
}

// empty makes the nets without what is in them, and room for that.
func (b *builder) empty() bool {
	var all count
	for i, n := range b.size {
		if b.isEnded(i) {
			return false
		}
		all.pins, all.tags = all.pins+n.pins, all.tags+n.tags
	}
	m := &b.slabs
	m.pins, m.tags = slices.Grow(m.pins[:0], all.pins), slices.Grow(m.tags[:0], all.tags)
	pins, tags := m.pins[:all.pins], m.tags[:all.tags]
	b.nets = slices.Grow(b.nets[:0], len(b.size))[:len(b.size)]
	for i, n := range b.size {
		if b.isEnded(i) {
			return false
		}
		b.nets[i] = Net{Pins: pins[:0:n.pins], Tags: tags[:0:n.tags]}
		pins, tags = pins[n.pins:], tags[n.tags:]
	}
	return true
}

// fill puts what is in each group into its net.
func (b *builder) fill() bool {
	for i, id := range b.n.pins {
		if b.isEnded(i) {
			return false
		}
		if g := &b.nets[b.group[i]]; !b.signs[i] {
			g.Pins = append(g.Pins, id)
		}
	}
	done := 0
	for name, node := range b.tags {
		if b.isEnded(done) {
			return false
		}
		done++
		g := &b.nets[b.group[node]]
		g.Tags = append(g.Tags, name)
	}
	return true
}

// name sorts what the net of a group holds and names it after its first tag, its first
// pin or its first wire. Where that name is the tag of another net, as
// when somebody calls one R1.1, it gets a prime. It reports whether it was left
// to.
func (b *builder) name(group int) bool {
	g := &b.nets[group]
	if !b.byTag.sort(g.Tags, func(s *string) uint64 { return naturalKey(*s) }, model.NaturalCompare, b.ended) || !b.sortPins(g.Pins) {
		return false
	}
	g.Ground = slices.Contains(g.Tags, GroundName)
	switch {
	case g.Ground:
		g.Name = GroundName
	case len(g.Tags) > 0:
		g.Name = g.Tags[0]
	case len(g.Pins) > 0:
		g.Name = b.pinName(g.Pins[0])
	case b.size[group].wire >= 0:
		g.Name = WireName(b.size[group].wire)
	default:
		g.Name = "N" + strconv.Itoa(group)
	}
	if len(g.Tags) == 0 {
		b.makeUnique(g)
	}
	return true
}

// sortPins puts pins in the natural order of their names, and reports whether it
// was left to.
func (b *builder) sortPins(pins []PinID) bool {
	if len(pins) < 2 {
		return true
	}
	list := b.named[:0]
	for i, id := range pins {
		if b.isEnded(i + 1) {
			return false
		}
		list = append(list, named{b.pinName(id), id})
	}
	b.named = list
	byName := func(p, q named) int { return model.NaturalCompare(p.name, q.name) }
	if !b.byPin.sort(list, func(p *named) uint64 { return naturalKey(p.name) }, byName, b.ended) {
		return false
	}
	for i := range list {
		pins[i] = list[i].id
	}
	return true
}

// makeUnique puts primes to the name of a net until no other has it. The tags
// have been entered already.
func (b *builder) makeUnique(g *Net) {
	for isTaken := true; isTaken; {
		if _, isTaken = b.tags[g.Name]; isTaken {
			g.Name += "′"
		}
	}
	b.tags[g.Name] = -1
}

func (b *builder) pinName(id PinID) string {
	name, known := b.names[id]
	if !known {
		name = id.String()
		if b.names != nil {
			b.names[id] = name
		}
	}
	return name
}

// WireName is what wire i of a diagram is called.
func WireName(i int) string { return "W" + strconv.Itoa(i+1) }

// nameOf is what a group's net is called.
type nameOf struct {
	name   string
	ground bool
	group  int
}

func (n nameOf) compare(m nameOf) int {
	if n.ground != m.ground {
		if n.ground {
			return -1
		}
		return 1
	}
	return cmp.Or(model.NaturalCompare(n.name, m.name), cmp.Compare(n.group, m.group))
}

func (n *nameOf) key() uint64 {
	if n.ground {
		return 0
	}
	return naturalKey(n.name)
}

// setNumbers fills the netlist with the nets in their order.
func (b *builder) setNumbers() bool {
	n := &b.n
	if n.Ground = -1; !b.listLoose() {
		return false
	}
	n.Nets, b.number, n.of = zeros(n.Nets, len(b.nets)), zeros(b.number, len(b.nets)), zeros(n.of, len(n.pins))
	for i, one := range b.order {
		if b.isEnded(i) {
			return false
		}
		b.number[one.group], n.Nets[i] = i, b.nets[one.group]
		if one.ground {
			n.Ground = i
		}
	}
	for i := range n.of {
		if b.isEnded(i) {
			return false
		}
		n.of[i] = b.number[b.group[i]]
	}
	n.parts, n.wire = zeros(n.parts, len(b.d.Parts)), zeros(n.wire, len(b.d.Wires))
	for i := range n.parts {
		if b.isEnded(i) {
			return false
		}
		n.parts[i] = n.of[n.first[i]:n.first[i+1]:n.first[i+1]]
	}
	for i := range n.wire {
		if b.isEnded(i) {
			return false
		}
		n.wire[i] = b.number[b.group[b.wire0+i]]
	}
	return n.sortWires(b.ended)
}

// sortWires lists the wires of each net, and reports whether it was left to.
func (n *Netlist) sortWires(ended func() bool) bool {
	n.begins, n.wires = zeros(n.begins, len(n.Nets)+1), zeros(n.wires, len(n.wire))
	for i, net := range n.wire {
		if isEnded(ended, i) {
			return false
		}
		n.begins[net+1]++
	}
	for i := range n.Nets {
		n.begins[i+1] += n.begins[i]
	}
	for i, net := range n.wire {
		if isEnded(ended, i) {
			return false
		}
		n.wires[n.begins[net]] = i
		n.begins[net]++ // for now the end of what is entered
	}
	copy(n.begins[1:], n.begins)
	n.begins[0] = 0
	return true
}
