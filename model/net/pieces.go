package net

import (
	"cmp"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// Piece is a straight run of wire between two neighbouring places where
// something joins or the wire bends. All of it carries the same current.
type Piece struct {
	Wire int // place in the diagram's list of wires
	Net  int
	A, B geom.Point // in the direction in which the wire was drawn
}

// Joint is a place on the sheet where pieces and pins of one net meet.
type Joint struct {
	At     geom.Point
	Net    int
	Pieces int // pieces that end here
	Pins   int // pins that stand here
}

// Tracer follows the wires of drawings. The zero value is ready. It keeps its
// memory, so one that is used again hardly allocates; what it returns holds
// until then.
type Tracer struct {
	pins   [][]model.Pin // by part, where they stand
	index  WireIndex
	cuts   []cut
	on     []geom.Point
	pieces []Piece
	joints []Joint
	graph  flowGraph
	forest forest
}

// cut is a place on a wire where a pin stands or another wire ends.
type cut struct {
	wire int
	at   geom.Point
}

// Pieces returns the wires of d cut at every join and bend, in the order of
// the wires, and the places where they meet, sorted by row, column and net.
// The netlist must be d's.
func (n *Netlist) Pieces(d *model.Diagram) ([]Piece, []Joint) {
	t := &Tracer{}
	t.Read(d, func(i int) []model.Pin { return d.Parts[i].PlacedPins() })
	return t.Pieces(n, d)
}

// Read takes the pins of d's parts up, which Pieces and Flow then go by: those
// of part i as its PlacedPins gives them.
func (t *Tracer) Read(d *model.Diagram, pins func(i int) []model.Pin) {
	t.pins = t.pins[:0]
	for i := range d.Parts {
		t.pins = append(t.pins, pins(i))
	}
}

// Pieces is Netlist.Pieces for the drawing whose pins the tracer has read.
func (t *Tracer) Pieces(n *Netlist, d *model.Diagram) ([]Piece, []Joint) {
	t.cut(d)
	t.pieces, t.joints = t.pieces[:0], t.joints[:0]
	cuts := t.cuts
	for i, w := range d.Wires {
		own := 0
		for own < len(cuts) && cuts[own].wire == i {
			own++
		}
		for j := 1; j < len(w.Points); j++ {
			t.split(piece{i, w.Points[j-1], w.Points[j]}, cuts[:own], n.Wire(i))
		}
		cuts = cuts[own:]
	}
	for i, p := range d.Parts {
		for _, pin := range t.pins[i] {
			if p.Placed {
				t.joints = append(t.joints, Joint{At: pin.At, Net: n.Pin(p.Ref, pin.Name), Pins: 1})
			}
		}
	}
	t.gather()
	return t.pieces, t.joints
}

// cut finds where wires are cut, sorted by wire.
func (t *Tracer) cut(d *model.Diagram) {
	t.index.index(d.Wires, nil)
	t.cuts = t.cuts[:0]
	mark := func(p geom.Point) {
		for _, w := range t.index.At(p) {
			t.cuts = append(t.cuts, cut{w, p})
		}
	}
	for i, p := range d.Parts {
		for _, pin := range t.pins[i] {
			if p.Placed {
				mark(pin.At)
			}
		}
	}
	for _, w := range d.Wires {
		mark(w.Points[0])
		mark(w.Points[len(w.Points)-1])
	}
	slices.SortStableFunc(t.cuts, func(a, b cut) int { return cmp.Compare(a.wire, b.wire) })
}

// split adds the pieces of s between those of the cuts that lie on it. A piece
// of no length is left out.
func (t *Tracer) split(s piece, cuts []cut, net int) {
	t.on = append(t.on[:0], s.b)
	for _, c := range cuts {
		if c.at.OnSegment(s.a, s.b) {
			t.on = append(t.on, c.at)
		}
	}
	slices.SortFunc(t.on, func(p, q geom.Point) int { return cmp.Compare(apart(p, s.a), apart(q, s.a)) })
	from := s.a
	for _, p := range t.on {
		if p != from {
			t.pieces = append(t.pieces, Piece{s.wire, net, from, p})
			t.joints = append(t.joints, Joint{At: from, Net: net, Pieces: 1}, Joint{At: p, Net: net, Pieces: 1})
			from = p
		}
	}
}

func apart(p, q geom.Point) int { return abs(p.X-q.X) + abs(p.Y-q.Y) }

func abs(n int) int { return max(n, -n) }

// gather makes one joint of all that meets at a place in a net.
func (t *Tracer) gather() {
	slices.SortFunc(t.joints, CompareJoints)
	n := 0
	for i, j := range t.joints {
		if i > 0 && CompareJoints(j, t.joints[n-1]) == 0 {
			t.joints[n-1].Pieces += j.Pieces
			t.joints[n-1].Pins += j.Pins
			continue
		}
		t.joints[n] = j
		n++
	}
	t.joints = t.joints[:n]
}

// CompareJoints puts joints in the order of Pieces.
func CompareJoints(a, b Joint) int {
	return cmp.Or(cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.Net, b.Net))
}

// piece is a straight piece of wire between two of its points.
type piece struct {
	wire int
	a, b geom.Point
}
