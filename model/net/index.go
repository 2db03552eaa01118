package net

import (
	"cmp"
	"slices"

	"copperglass/model"
	"copperglass/model/geom"
)

// WireIndex finds the wires at a point, in time that grows with the logarithm
// of their number and with the number of directions in which they run.
type WireIndex struct {
	runs   []run
	number map[geom.Point]int // of a run by its direction
	found  []int
	looked int // pieces of wire that searches have looked at: what they cost
}

// IndexWires makes the index of some wires.
func IndexWires(wires []*model.Wire) *WireIndex {
	x := &WireIndex{}
	x.index(wires, nil)
	return x
}

// index begins anew with other wires, and reports whether it was left to.
func (x *WireIndex) index(wires []*model.Wire, ended func() bool) bool {
	for i := range x.runs {
		x.runs[i].spans = x.runs[i].spans[:0]
	}
	if x.number == nil {
		x.number = map[geom.Point]int{}
	}
	for i, w := range wires {
		if isEnded(ended, i) {
			return false
		}
		for j := 1; j < len(w.Points); j++ {
			x.add(i, w.Points[j-1], w.Points[j])
		}
	}
	for i := range x.runs {
		if !x.runs[i].sort(ended) {
			return false
		}
	}
	return true
}

func (x *WireIndex) add(wire int, a, b geom.Point) {
	way := direction(b.Sub(a))
	n, known := x.number[way]
	if !known {
		n = len(x.runs)
		x.number[way] = n
		x.runs = append(x.runs, run{way: way})
	}
	r := &x.runs[n]
	from, to := r.spot(a), r.spot(b)
	if compareSpots(from, to) > 0 {
		from, to = to, from
	}
	r.spans = append(r.spans, span{from, to, wire})
}

// At returns the places in the list of the wires that pass through or end at p,
// each once, in order. It holds until the next call.
func (x *WireIndex) At(p geom.Point) []int {
	x.found = x.found[:0]
	for i := range x.runs {
		r := &x.runs[i]
		x.stab(r, r.spot(p), 0, len(r.spans))
	}
	slices.Sort(x.found)
	x.found = slices.Compact(x.found)
	return x.found
}

// direction returns the shortest step along d, the same both ways. What has no
// length counts as level.
func direction(d geom.Point) geom.Point {
	g := divisor(abs(d.X), abs(d.Y))
	if g == 0 {
		return geom.Pt(1, 0)
	}
	if d.X < 0 || d.X == 0 && d.Y < 0 {
		g = -g
	}
	return geom.Pt(d.X/g, d.Y/g)
}

// divisor is the greatest common divisor (Euclid, Elements VII, 2).
func divisor(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// run holds the straight pieces of wires that run in one direction, as spans
// of the parallel lines they lie on. The lines are thought of as strung one
// behind the other, which makes of the whole a search for the intervals that
// hold a number: sorted by where they begin, they are a balanced tree, the root
// in the middle, and each root knows how far any below it reaches (interval
// tree: T. H. Cormen et al., Introduction to Algorithms, chapter on augmenting
// data structures).
type run struct {
	way    geom.Point
	spans  []span
	sorter sorter[span]
	reach  []spot // by root: the farthest end of its subtree
}

// span is a piece of wire from one spot to another one on the same line.
type span struct {
	from, to spot
	wire     int
}

// spot is a place on one of many parallel lines.
type spot struct{ line, along int }

func compareSpots(a, b spot) int {
	return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.along, b.along))
}

// spot returns where p is on the line of the run's direction through it.
func (r *run) spot(p geom.Point) spot {
	s := spot{r.way.X*p.Y - r.way.Y*p.X, p.X}
	if r.way.X == 0 {
		s.along = p.Y
	}
	return s
}

func (r *run) sort(ended func() bool) bool {
	key := func(s *span) uint64 { return pairKey(s.from.line, s.from.along) }
	if !r.sorter.sort(r.spans, key, func(s, t span) int { return compareSpots(s.from, t.from) }, ended) {
		return false
	}
	r.reach = zeros(r.reach, len(r.spans))
	if len(r.spans) > 0 {
		r.measure(0, len(r.spans))
	}
	return true
}

// measure sets how far the tree of the spans from low to high reaches.
func (r *run) measure(low, high int) spot {
	root := (low + high) / 2
	far := r.spans[root].to
	for _, half := range [2][2]int{{low, root}, {root + 1, high}} {
		if half[0] < half[1] {
			if below := r.measure(half[0], half[1]); compareSpots(below, far) > 0 {
				far = below
			}
		}
	}
	r.reach[root] = far
	return far
}

// stab finds the wires of those spans of r, from low to high, that hold p.
func (x *WireIndex) stab(r *run, p spot, low, high int) {
	if low == high {
		return
	}
	x.looked++
	root := (low + high) / 2
	if compareSpots(r.reach[root], p) < 0 {
		return
	}
	x.stab(r, p, low, root)
	s := r.spans[root]
	if compareSpots(s.from, p) > 0 {
		return
	}
	if compareSpots(s.to, p) >= 0 {
		x.found = append(x.found, s.wire)
	}
	x.stab(r, p, root+1, high)
}
