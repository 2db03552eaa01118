package tool

import (
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// breaks returns the places before at which what is one net is not one any more
// after: joints that come apart, and where wires are interrupted, row by row. What
// is taken away breaks nothing.
func (l *later) breaks() []geom.Point {
	var out []geom.Point
	for _, o := range l.before.spots.list {
		if l.apart(o) {
			out = append(out, o.at)
		}
	}
	for i := range l.before.d.Wires {
		out = append(out, l.interrupted(i)...)
	}
	slices.SortFunc(out, byRow)
	return slices.Compact(out)
}

// later tells to which nets belongs afterwards what was there before.
type later struct {
	before *sheet
	d      *model.Diagram
	nets   *net.Netlist
	index  map[model.WireID]int // of the wires
	added  []int                // wires that were not there
	here   []int                // nets at the spot that was looked at last
}

func newLater(before *sheet, after *model.Diagram) *later {
	l := &before.memory.later
	if l.index == nil {
		l.index = map[model.WireID]int{}
	}
	clear(l.index)
	l.before, l.d, l.nets, l.added = before, after, before.netsOf(after), l.added[:0]
	for i, w := range after.Wires {
		l.index[w.ID] = i
		if _, known := before.wires[w.ID]; !known {
			l.added = append(l.added, i)
		}
	}
	return l
}

// gone is the net of what is not there any more.
const gone = -1

// wire returns the net of what was wire i at p. Where a wire was cut in two the
// one half is new, and lies where it lay.
func (l *later) wire(i int, p geom.Point) int {
	w := l.before.d.Wires[i]
	j, kept := l.index[w.ID]
	if kept && l.d.Wires[j].Touches(p) {
		return l.nets.Wire(j)
	}
	for _, j := range l.added {
		if half := l.d.Wires[j]; half.Touches(p) && !slices.ContainsFunc(half.Points, func(q geom.Point) bool { return !w.Touches(q) }) {
			return l.nets.Wire(j)
		}
	}
	if kept {
		return l.nets.Wire(j)
	}
	return gone
}

// apart reports whether what was joined at o is in two nets.
func (l *later) apart(o *spot) bool {
	if o.members() < 2 {
		return false
	}
	nets := l.at(o)
	return slices.ContainsFunc(nets, func(n int) bool { return n != nets[0] })
}

// at returns the nets of what was joined at o, until it is asked again.
func (l *later) at(o *spot) []int {
	nets := l.here[:0]
	for _, id := range o.pins {
		nets = append(nets, l.nets.Pin(id.Ref, id.Pin))
	}
	for _, w := range o.ends {
		nets = append(nets, l.wire(w, o.at))
	}
	for _, w := range o.through {
		nets = append(nets, l.wire(w, o.at))
	}
	l.here = slices.DeleteFunc(nets, func(n int) bool { return n == gone })
	return l.here
}

// first returns the net of the first thing that was joined at o, or gone.
func (l *later) first(o *spot) int {
	if nets := l.at(o); len(nets) > 0 {
		return nets[0]
	}
	return gone
}

// interrupted returns the places at which wire i does not lead on.
func (l *later) interrupted(i int) []geom.Point {
	if j, kept := l.index[l.before.d.Wires[i].ID]; kept && l.d.Wires[j] == l.before.d.Wires[i] {
		return nil
	}
	var out []geom.Point
	knots := l.before.spots.on[i]
	for k := 1; k < len(knots); k++ {
		a, b := l.first(knots[k-1].spot), l.first(knots[k].spot)
		if a != gone && b != gone && a != b {
			out = append(out, l.missing(l.before.along(i, knots[k-1], knots[k])))
		}
	}
	return out
}

// missing returns the middle of that stretch of a way on which no wire lies any
// more, or of all of it.
func (l *later) missing(way []geom.Point) geom.Point {
	all := samples(way)
	bare := slices.DeleteFunc(slices.Clone(all), func(p geom.Point) bool {
		return slices.ContainsFunc(l.d.Wires, func(w *model.Wire) bool { return w.Touches(p) })
	})
	if len(bare) > 0 {
		return bare[len(bare)/2]
	}
	return all[len(all)/2]
}

// mostSamples bounds how many places of a straight piece are looked at.
const mostSamples = 256

// samples returns places along a way, every grid point where it is not very
// long.
func samples(way []geom.Point) []geom.Point {
	var all []geom.Point
	for i := 1; i < len(way); i++ {
		from, by := way[i-1], way[i].Sub(way[i-1])
		n := min(max(abs(by.X), abs(by.Y)), mostSamples)
		for j := range n {
			all = append(all, from.Add(geom.Pt(by.X*j/n, by.Y*j/n)))
		}
	}
	return append(all, way[len(way)-1])
}
