package tool

import (
	"cmp"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// newJoins returns the places where things meet in after that were not one net
// before, row by row. The pasted wires are new themselves, unlike others that were
// not there before: those were drawn from something, or cut.
func newJoins(before *sheet, after *model.Diagram, pasted map[model.WireID]bool) []geom.Point {
	places, _ := joinsIn(before, after, pasted)
	return places
}

// joinsIn returns besides, in natural order, the names of the nets before that are
// joined with others of them there.
func joinsIn(before *sheet, after *model.Diagram, pasted map[model.WireID]bool) (places []geom.Point, names []string) {
	s := before.spotsOf(after)
	m := newOrigins(before, after, s, pasted)
	for _, o := range s.list {
		if m.meet(o) {
			places = append(places, o.at)
			names = m.addNames(names)
		}
	}
	slices.SortFunc(places, byRow)
	slices.SortFunc(names, model.NaturalCompare)
	return places, slices.Compact(names)
}

// addNames adds what the nets were called that meet at the spot that was looked at
// last, where they are several.
func (m *origins) addNames(names []string) []string {
	known := slices.DeleteFunc(m.nets, func(n int) bool { return n == fresh })
	if len(known) > 0 && slices.ContainsFunc(known, func(n int) bool { return n != known[0] }) {
		for _, n := range known {
			names = append(names, m.before.nets.Nets[n].Name)
		}
	}
	return names
}

func byRow(p, q geom.Point) int { return cmp.Or(cmp.Compare(p.Y, q.Y), cmp.Compare(p.X, q.X)) }

// origins tells of pins and wires to which net they belonged before. A new wire
// counts to the net of the wire it was cut from, or else to the net at one of
// its ends: it was drawn from there.
type origins struct {
	before *sheet
	wires  []int // by wire
	nets   []int // at the spot that was looked at last
}

// fresh is the net of what was not there before.
const fresh = -1

func newOrigins(before *sheet, after *model.Diagram, s *spots, pasted map[model.WireID]bool) *origins {
	m := &before.memory.origins
	m.before, m.wires = before, grown(m.wires, len(after.Wires))
	for i, w := range after.Wires {
		m.wires[i] = fresh
		if j, known := before.wires[w.ID]; known {
			m.wires[i] = before.nets.Wire(j)
		}
	}
	for i, w := range after.Wires {
		if pasted[w.ID] {
			continue
		}
		if m.wires[i] == fresh {
			m.wires[i] = m.cutFrom(after.Wires[i])
		}
		if m.wires[i] == fresh {
			m.adopt(i, s.on[i])
		}
	}
	return m
}

func (m *origins) cutFrom(w *model.Wire) int {
	ends := w.Ends()
	for i, old := range m.before.d.Wires {
		if old.Touches(ends[0]) && old.Touches(ends[1]) {
			return m.before.nets.Wire(i)
		}
	}
	return fresh
}

func (m *origins) adopt(wire int, knots []knot) {
	for _, k := range []knot{knots[0], knots[len(knots)-1]} {
		for _, n := range m.of(k.spot) {
			if n != fresh {
				m.wires[wire] = n
				return
			}
		}
	}
}

// of returns the nets of all that is joined at o, until it is asked again.
func (m *origins) of(o *spot) []int {
	nets := m.nets[:0]
	for _, id := range o.pins {
		nets = append(nets, m.before.nets.Pin(id.Ref, id.Pin))
	}
	for _, w := range o.ends {
		nets = append(nets, m.wires[w])
	}
	for _, w := range o.through {
		nets = append(nets, m.wires[w])
	}
	m.nets = nets
	return nets
}

func (m *origins) meet(o *spot) bool {
	if o.members() < 2 {
		return false
	}
	nets := m.of(o)
	return slices.ContainsFunc(nets, func(n int) bool { return n != nets[0] })
}
