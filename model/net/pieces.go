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

// Joint is a place on the sheet where pieces and pins meet.
type Joint struct {
	At     geom.Point
	Net    int
	Pieces int // pieces that end here
	Pins   int // pins that stand here
}

// Pieces returns the wires of d cut at every join and bend, in the order of
// the wires, and the places where they meet, sorted by row and then column.
// The netlist must be d's.
func (n *Netlist) Pieces(d *model.Diagram) ([]Piece, []Joint) {
	cuts := n.cuts(d)
	joints := map[geom.Point]*Joint{}
	at := func(p geom.Point, net int) *Joint {
		if joints[p] == nil {
			joints[p] = &Joint{At: p, Net: net}
		}
		return joints[p]
	}
	var pieces []Piece
	for i, w := range d.Wires {
		for j := 1; j < len(w.Points); j++ {
			for _, s := range cut(piece{i, w.Points[j-1], w.Points[j]}, cuts[i]) {
				pieces = append(pieces, Piece{i, n.Wire(i), s.a, s.b})
				at(s.a, n.Wire(i)).Pieces++
				at(s.b, n.Wire(i)).Pieces++
			}
		}
	}
	for _, p := range d.Parts {
		if !p.Placed {
			continue
		}
		for _, pin := range p.PlacedPins() {
			at(pin.At, n.Pin(p.Ref, pin.Name)).Pins++
		}
	}
	return pieces, sortedJoints(joints)
}

func sortedJoints(m map[geom.Point]*Joint) []Joint {
	out := make([]Joint, 0, len(m))
	for _, j := range m {
		out = append(out, *j)
	}
	slices.SortFunc(out, func(a, b Joint) int {
		return cmp.Or(cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.X, b.At.X))
	})
	return out
}

// cuts returns, for each wire, the places on it where a pin stands or another
// wire ends.
func (n *Netlist) cuts(d *model.Diagram) [][]geom.Point {
	index := indexWires(d.Wires)
	cuts := make([][]geom.Point, len(d.Wires))
	mark := func(p geom.Point) {
		for _, w := range index.at(p) {
			cuts[w] = append(cuts[w], p)
		}
	}
	for _, p := range d.Parts {
		if !p.Placed {
			continue
		}
		for _, pin := range p.PlacedPins() {
			mark(pin.At)
		}
	}
	for _, w := range d.Wires {
		mark(w.Points[0])
		mark(w.Points[len(w.Points)-1])
	}
	return cuts
}

// cut splits s at those of the points that lie on it. A piece of no length is
// left out.
func cut(s piece, points []geom.Point) []piece {
	on := []geom.Point{s.b}
	for _, p := range points {
		if p.OnSegment(s.a, s.b) {
			on = append(on, p)
		}
	}
	distance := func(p geom.Point) int { return abs(p.X-s.a.X) + abs(p.Y-s.a.Y) }
	slices.SortFunc(on, func(p, q geom.Point) int { return cmp.Compare(distance(p), distance(q)) })
	var out []piece
	from := s.a
	for _, p := range on {
		if p != from {
			out = append(out, piece{s.wire, from, p})
			from = p
		}
	}
	return out
}

func abs(n int) int { return max(n, -n) }
