package tool

import (
	"cmp"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// spot is a place where a pin stands or a wire ends, with all that is joined
// there. Wires are given by their place in the diagram's list.
type spot struct {
	at      geom.Point
	pins    []net.PinID
	ends    []int // wires that end here
	through []int // wires that pass
}

// members is how many pins and wires are joined at a spot.
func (o *spot) members() int { return len(o.pins) + len(o.ends) + len(o.through) }

// knot is a spot on a wire: it lies on the wire's straight piece of that
// number, counted from 0.
type knot struct {
	*spot
	piece int
}

// spots are all the places of a diagram where things are joined. On a wire
// they are in order: its first end, what it passes, its last end.
type spots struct {
	list []*spot
	at   map[geom.Point]*spot
	on   [][]knot // by wire
}

func findSpots(d *model.Diagram) *spots {
	s := &spots{at: map[geom.Point]*spot{}, on: make([][]knot, len(d.Wires))}
	for _, p := range d.Parts {
		if !p.Placed {
			continue
		}
		for _, pin := range p.PlacedPins() {
			o := s.make(pin.At)
			o.pins = append(o.pins, net.PinID{Ref: p.Ref, Pin: pin.Name})
		}
	}
	for i, w := range d.Wires {
		for _, end := range w.Ends() {
			if o := s.make(end); !slices.Contains(o.ends, i) {
				o.ends = append(o.ends, i)
			}
		}
	}
	g := s.byLine()
	for i, w := range d.Wires {
		s.thread(g, i, w)
	}
	return s
}

func (s *spots) make(p geom.Point) *spot {
	o := s.at[p]
	if o == nil {
		o = &spot{at: p}
		s.at[p] = o
		s.list = append(s.list, o)
	}
	return o
}

// thread notes the spots on wire i.
func (s *spots) thread(g gridLines, i int, w *model.Wire) {
	n := len(w.Points)
	first, last := s.at[w.Points[0]], s.at[w.Points[n-1]]
	knots := []knot{{first, 0}}
	for j := 0; j+1 < n; j++ {
		for _, o := range g.on(s, w.Points[j], w.Points[j+1]) {
			if o == first || o == last || slices.ContainsFunc(knots, func(k knot) bool { return k.spot == o }) {
				continue
			}
			knots = append(knots, knot{o, j})
			o.through = append(o.through, i)
		}
	}
	s.on[i] = append(knots, knot{last, n - 2})
}

// gridLines are the spots on each line of the grid, in order.
type gridLines struct{ rows, columns map[int][]*spot }

func (s *spots) byLine() gridLines {
	g := gridLines{map[int][]*spot{}, map[int][]*spot{}}
	for _, o := range s.list {
		g.rows[o.at.Y] = append(g.rows[o.at.Y], o)
		g.columns[o.at.X] = append(g.columns[o.at.X], o)
	}
	for _, row := range g.rows {
		slices.SortFunc(row, func(p, q *spot) int { return cmp.Compare(p.at.X, q.at.X) })
	}
	for _, column := range g.columns {
		slices.SortFunc(column, func(p, q *spot) int { return cmp.Compare(p.at.Y, q.at.Y) })
	}
	return g
}

// on returns the spots on the straight piece from a to b, in that order.
func (g gridLines) on(s *spots, a, b geom.Point) []*spot {
	var found []*spot
	switch {
	case a.Y == b.Y:
		found = stretchOf(g.rows[a.Y], a.X, b.X, func(p geom.Point) int { return p.X })
	case a.X == b.X:
		found = stretchOf(g.columns[a.X], a.Y, b.Y, func(p geom.Point) int { return p.Y })
	default:
		for _, o := range s.list {
			if o.at.OnSegment(a, b) {
				found = append(found, o)
			}
		}
	}
	slices.SortFunc(found, func(p, q *spot) int { return cmp.Compare(gap(p.at, a), gap(q.at, a)) })
	return found
}

// stretchOf returns a copy of that part of the line which lies between from
// and to.
func stretchOf(line []*spot, from, to int, along func(geom.Point) int) []*spot {
	find := func(v int) int {
		i, _ := slices.BinarySearchFunc(line, v, func(o *spot, v int) int { return cmp.Compare(along(o.at), v) })
		return i
	}
	return slices.Clone(line[find(min(from, to)):find(max(from, to)+1)])
}

// sheet is a diagram together with what joins in it.
type sheet struct {
	d     *model.Diagram
	spots *spots
	nets  *net.Netlist
}

func newSheet(d *model.Diagram) *sheet { return &sheet{d, findSpots(d), net.Build(d)} }

// along returns the way along wire i from one of its knots to a later one.
func (s *sheet) along(i int, from, to knot) []geom.Point {
	way := []geom.Point{from.at}
	if from.piece < to.piece {
		way = append(way, s.d.Wires[i].Points[from.piece+1:to.piece+1]...)
	}
	return append(way, to.at)
}
