package tool

import (
	"cmp"
	"slices"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
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
// they are in order: its first end, what it passes, its last end. They may be
// found again and again in the same memory.
type spots struct {
	list []*spot
	at   map[geom.Point]*spot
	on   [][]knot // by wire

	rows, columns []*spot // the list in the order of each
	found         []*spot // on the piece that was asked for last
	pool          []*spot // all that were ever made, those of the list first
}

func findSpots(d *model.Diagram) *spots {
	s := &spots{}
	s.find(d, func(i int) []model.Pin { return d.Parts[i].PlacedPins() })
	return s
}

// find finds the spots of d, of which part i has those pins.
func (s *spots) find(d *model.Diagram, pins func(i int) []model.Pin) {
	s.begin(d)
	for i, p := range d.Parts {
		if !p.Placed {
			continue
		}
		for _, pin := range pins(i) {
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
	s.sort()
	for i, w := range d.Wires {
		s.thread(i, w)
	}
}

func (s *spots) begin(d *model.Diagram) {
	if s.at == nil {
		s.at = make(map[geom.Point]*spot, 2*len(d.Parts)+2*len(d.Wires))
	}
	clear(s.at)
	s.list = s.list[:0]
	s.on = slices.Grow(s.on[:0], len(d.Wires))[:len(d.Wires)]
}

func (s *spots) make(p geom.Point) *spot {
	o := s.at[p]
	if o == nil {
		o = s.another()
		o.at, o.pins, o.ends, o.through = p, o.pins[:0], o.ends[:0], o.through[:0]
		s.at[p] = o
		s.list = append(s.list, o)
	}
	return o
}

// another returns a spot that is not in the list.
func (s *spots) another() *spot {
	if n := len(s.list); n < len(s.pool) {
		return s.pool[n]
	}
	o := &spot{}
	s.pool = append(s.pool, o)
	return o
}

// thread notes the spots on wire i.
func (s *spots) thread(i int, w *model.Wire) {
	n := len(w.Points)
	first, last := s.at[w.Points[0]], s.at[w.Points[n-1]]
	knots := append(s.on[i][:0], knot{first, 0})
	for j := 0; j+1 < n; j++ {
		for _, o := range s.between(w.Points[j], w.Points[j+1]) {
			if o == first || o == last || slices.ContainsFunc(knots, func(k knot) bool { return k.spot == o }) {
				continue
			}
			knots = append(knots, knot{o, j})
			o.through = append(o.through, i)
		}
	}
	s.on[i] = append(knots, knot{last, n - 2})
}

// sort puts the spots in the order of the grid's rows and of its columns.
func (s *spots) sort() {
	s.rows, s.columns = append(s.rows[:0], s.list...), append(s.columns[:0], s.list...)
	slices.SortFunc(s.rows, func(p, q *spot) int { return byRow(p.at, q.at) })
	slices.SortFunc(s.columns, func(p, q *spot) int { return byColumn(p.at, q.at) })
}

func byColumn(p, q geom.Point) int { return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y)) }

// between returns the spots on the straight piece from a to b, in that order,
// until it is asked again.
func (s *spots) between(a, b geom.Point) []*spot {
	s.found = s.found[:0]
	switch {
	case a.Y == b.Y:
		s.stretch(s.rows, a, b, byRow)
	case a.X == b.X:
		s.stretch(s.columns, a, b, byColumn)
	default:
		for _, o := range s.list {
			if o.at.OnSegment(a, b) {
				s.found = append(s.found, o)
			}
		}
		slices.SortFunc(s.found, func(p, q *spot) int { return cmp.Compare(gap(p.at, a), gap(q.at, a)) })
	}
	return s.found
}

// stretch finds that part of a sorted list which lies from a to b.
func (s *spots) stretch(list []*spot, a, b geom.Point, order func(p, q geom.Point) int) {
	least, most := a, b
	if order(a, b) > 0 {
		least, most = b, a
	}
	at, _ := slices.BinarySearchFunc(list, least, func(o *spot, p geom.Point) int { return order(o.at, p) })
	for ; at < len(list) && order(list[at].at, most) <= 0; at++ {
		s.found = append(s.found, list[at])
	}
	if least != a {
		slices.Reverse(s.found)
	}
}

// sheet is a diagram together with what joins in it.
type sheet struct {
	d        *model.Diagram
	spots    *spots
	nets     *net.Netlist
	outlines []outline            // by part
	wires    map[model.WireID]int // places in the diagram's list
	under    []string             // parts that wires run under from pin to pin
	memory   *memory
}

// outline is where a part's pins stand and what its ink takes up.
type outline struct {
	pins  []model.Pin
	ink   canvas.Rect
	words bool // whether a pin may have a word beside its lead, which tells its state
}

func outlineOf(p *model.Part) outline {
	k := p.LookupKind()
	return outline{p.PlacedPins(), symbol.Extent(p), k != nil && len(k.PinStates) > 0}
}

func newSheet(d *model.Diagram) *sheet { return newSheetIn(d, &memory{}) }

// newSheetIn keeps its memory in m.
func newSheetIn(d *model.Diagram, m *memory) *sheet {
	s := &sheet{d: d, spots: findSpots(d), nets: net.Build(d), wires: make(map[model.WireID]int, len(d.Wires)), memory: m}
	for _, p := range d.Parts {
		s.outlines = append(s.outlines, outlineOf(p))
	}
	for i, w := range d.Wires {
		s.wires[w.ID] = i
	}
	for _, u := range s.nets.Underlain(d) {
		s.under = append(s.under, d.Parts[u.Part].Ref)
	}
	return s
}

// outlineOf returns the outline of part i of a diagram that was made from the
// sheet's.
func (s *sheet) outlineOf(d *model.Diagram, i int) outline {
	if i < len(s.d.Parts) && s.d.Parts[i] == d.Parts[i] {
		return s.outlines[i]
	}
	return outlineOf(d.Parts[i])
}

// pinsOf returns the pins by part of such a diagram.
func (s *sheet) pinsOf(d *model.Diagram) func(i int) []model.Pin {
	return func(i int) []model.Pin { return s.outlineOf(d, i).pins }
}

// joined reports whether a wire or another pin is at one of the pins of part i.
func (s *sheet) joined(i int) bool {
	return slices.ContainsFunc(s.outlines[i].pins, func(pin model.Pin) bool { return s.spots.at[pin.At].members() > 1 })
}

// along returns the way along wire i from one of its knots to a later one.
func (s *sheet) along(i int, from, to knot) []geom.Point {
	way := []geom.Point{from.at}
	if from.piece < to.piece {
		way = append(way, s.d.Wires[i].Points[from.piece+1:to.piece+1]...)
	}
	return append(way, to.at)
}
