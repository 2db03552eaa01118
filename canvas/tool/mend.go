package tool

import (
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// mend adds a wire wherever things that met have come apart and are not joined
// in another way: a part drawn off a pin it stood on, or off the middle of a
// wire.
func (c *carrying) mend() {
	m := &c.memory.mending
	m.begin(c)
	for i, w := range c.f.Diagram().Wires {
		m.index[w.ID] = i
	}
	for _, o := range c.spots.list {
		m.rejoin(o)
	}
}

type mending struct {
	*carrying
	nets   *net.Netlist         // as the draft was before it was mended
	index  map[model.WireID]int // of the wires then
	joined map[int]int          // nets that were joined since, by net: a forest
	all    []member             // of the spot that was looked at last
}

func (m *mending) begin(c *carrying) {
	if m.index == nil {
		m.index, m.joined = map[model.WireID]int{}, map[int]int{}
	}
	clear(m.index)
	clear(m.joined)
	m.carrying, m.nets = c, c.netsOf(c.f.Diagram())
}

// member is something joined at a spot: a pin, or a wire.
type member struct {
	pin  net.PinID
	wire int // place in the diagram before, −1 for a pin
	net  int // now
}

func (m *mending) members(o *spot) []member {
	all := m.all[:0]
	for _, id := range o.pins {
		all = append(all, member{id, -1, m.nets.Pin(id.Ref, id.Pin)})
	}
	for _, list := range [2][]int{o.ends, o.through} {
		for _, w := range list {
			all = append(all, member{wire: w, net: m.nets.Wire(m.index[m.d.Wires[w].ID])})
		}
	}
	m.all = all
	return all
}

// rejoin joins what was joined at o and is not any more.
func (m *mending) rejoin(o *spot) {
	if o.members() < 2 {
		return
	}
	all := m.members(o)
	for i := 1; i < len(all); i++ {
		if a, b := m.find(all[0].net), m.find(all[i].net); a != b {
			m.link(m.reach(all[0], all[i], o), m.reach(all[i], all[0], o))
			m.joined[a] = b
		}
	}
}

func (m *mending) find(n int) int {
	for {
		next, ok := m.joined[n]
		if !ok {
			return n
		}
		n = next
	}
}

// reach returns where x, which was joined to y at o, is best joined to it now.
func (m *mending) reach(x, y member, o *spot) geom.Point {
	if x.wire < 0 {
		return m.pinPlace(x, o)
	}
	w := m.f.Diagram().Wire(m.d.Wires[x.wire].ID)
	if y.wire < 0 {
		return nearest(w, m.pinPlace(y, o))
	}
	return nearest(w, nearest(m.f.Diagram().Wire(m.d.Wires[y.wire].ID), o.at))
}

func (m *mending) pinPlace(x member, o *spot) geom.Point {
	if m.parts[x.pin.Ref] {
		return m.to(o.at)
	}
	return o.at
}

// link adds a wire from a to b.
func (m *mending) link(a, b geom.Point) {
	if m.terrain == nil {
		m.terrain = m.survey(m.f.Diagram(), noWire)
	}
	way := m.terrain.route(a, b, nil)
	m.terrain.addWay(way)
	m.f.AddWire(&model.Wire{Points: way})
}
