// Package net finds out what a drawing joins: it turns pins, wires and tags
// into nets.
package net

import (
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
// pins and wires, but for wires that lie along the same line of the grid.
func Build(d *model.Diagram) *Netlist {
	b := builder{d: d, tags: map[string]int{}, alone: map[PinID]bool{}}
	b.addParts()
	b.addWires()
	b.joinPlaces()
	return b.finish()
}

// builder holds the union-find forest over pins, then wires, then tags.
type builder struct {
	d      *model.Diagram
	groups Groups
	pins   []PinID        // by forest node
	signs  []bool         // whether the pin's part is only a sign on the drawing
	places []placed       // pins that stand on the sheet
	wire0  int            // forest node of the first wire
	tags   map[string]int // forest node by tag
	alone  map[PinID]bool
}

type placed struct {
	at   geom.Point
	node int
}

func (b *builder) addParts() {
	for _, p := range b.d.Parts {
		for _, pin := range p.PlacedPins() {
			n := b.groups.Add()
			b.pins = append(b.pins, PinID{p.Ref, pin.Name})
			b.signs = append(b.signs, p.LookupKind().Sign)
			if p.Placed {
				b.places = append(b.places, placed{pin.At, n})
			}
		}
	}
	n := 0
	for _, p := range b.d.Parts {
		for _, pin := range p.PlacedPins() {
			b.tag(n, p.Tags[pin.Name])
			b.tag(n, tagOf(p))
			n++
		}
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

func (b *builder) addWires() {
	b.wire0 = len(b.groups)
	for range b.d.Wires {
		b.groups.Add()
	}
	for i, w := range b.d.Wires {
		b.tag(b.wire0+i, w.Tag)
	}
}

// joinPlaces joins what touches: pins on pins, pins on wires and ends of wires
// on wires. Wires that only cross stay apart.
func (b *builder) joinPlaces() {
	at := map[geom.Point][]int{}
	for _, p := range b.places {
		at[p.at] = append(at[p.at], p.node)
		b.groups.Join(p.node, at[p.at][0])
	}
	index := indexWires(b.d.Wires)
	for _, p := range b.places {
		wires := index.at(p.at)
		for _, w := range wires {
			b.groups.Join(p.node, b.wire0+w)
		}
		if len(wires) == 0 && len(at[p.at]) == 1 {
			b.alone[b.pins[p.node]] = true
		}
	}
	for i, w := range b.d.Wires {
		for _, end := range w.Ends() {
			for _, other := range index.at(end) {
				b.groups.Join(b.wire0+i, b.wire0+other)
			}
		}
	}
}

func (b *builder) finish() *Netlist {
	groups := map[int]*Net{}
	var roots []int
	group := func(node int) *Net {
		r := b.groups.Find(node)
		if groups[r] == nil {
			groups[r] = &Net{}
			roots = append(roots, r)
		}
		return groups[r]
	}
	for i, id := range b.pins {
		g := group(i)
		if !b.signs[i] {
			g.Pins = append(g.Pins, id)
		}
	}
	for i := range b.d.Wires {
		g := group(b.wire0 + i)
		g.Wires = append(g.Wires, i)
	}
	for name, node := range b.tags {
		g := group(node)
		g.Tags = append(g.Tags, name)
	}
	taken := map[string]bool{}
	for name := range b.tags {
		taken[name] = true
	}
	for _, r := range roots {
		name(groups[r], r, taken)
	}
	slices.SortStableFunc(roots, func(x, y int) int { return compareNets(groups[x], groups[y]) })
	return b.number(roots, groups)
}

// name sorts what the net holds and names it after its first tag, its first
// pin or its first wire. Where that name is the tag of another net, as
// when somebody calls one R1.1, it gets a prime.
func name(g *Net, node int, taken map[string]bool) {
	slices.SortFunc(g.Tags, model.NaturalCompare)
	slices.SortFunc(g.Pins, func(p, q PinID) int { return model.NaturalCompare(p.String(), q.String()) })
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
		g.Name = "N" + strconv.Itoa(node)
	}
	for len(g.Tags) == 0 && taken[g.Name] {
		g.Name += "′"
	}
	taken[g.Name] = true
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

func (b *builder) number(roots []int, groups map[int]*Net) *Netlist {
	n := &Netlist{Ground: -1, pin: make(map[PinID]int, len(b.pins)), wire: make([]int, len(b.d.Wires))}
	byRoot := make(map[int]int, len(roots))
	for i, r := range roots {
		byRoot[r] = i
		n.Nets = append(n.Nets, *groups[r])
		if groups[r].Ground {
			n.Ground = i
		}
	}
	for i, id := range b.pins {
		n.pin[id] = byRoot[b.groups.Find(i)]
	}
	for i := range b.d.Wires {
		n.wire[i] = byRoot[b.groups.Find(b.wire0+i)]
	}
	n.loose, n.alone = b.looseEnds(), b.alone
	return n
}

// looseEnds returns the ends of wires on which there is neither a pin nor
// another wire, of wires that carry no tag themselves.
func (b *builder) looseEnds() []Loose {
	pinAt := map[geom.Point]bool{}
	for _, p := range b.places {
		pinAt[p.at] = true
	}
	index := indexWires(b.d.Wires)
	var loose []Loose
	for i, w := range b.d.Wires {
		for _, end := range w.Ends() {
			if w.Tag == "" && !pinAt[end] && len(index.at(end)) < 2 {
				loose = append(loose, Loose{i, end})
			}
		}
	}
	return loose
}
