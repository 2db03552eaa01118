package net

import (
	"copperglass/model"
	"copperglass/model/geom"
)

// wireIndex finds the wires at a point: the straight pieces by the line of the
// grid they lie on.
type wireIndex struct {
	rows    map[int][]piece // horizontal pieces by Y
	columns map[int][]piece // vertical pieces by X
	oblique []piece
}

type piece struct {
	wire int
	a, b geom.Point
}

func indexWires(wires []*model.Wire) wireIndex {
	x := wireIndex{rows: map[int][]piece{}, columns: map[int][]piece{}}
	for i, w := range wires {
		for j := 1; j < len(w.Points); j++ {
			x.add(piece{i, w.Points[j-1], w.Points[j]})
		}
	}
	return x
}

func (x *wireIndex) add(s piece) {
	switch {
	case s.a.Y == s.b.Y:
		x.rows[s.a.Y] = append(x.rows[s.a.Y], s)
	case s.a.X == s.b.X:
		x.columns[s.a.X] = append(x.columns[s.a.X], s)
	default:
		x.oblique = append(x.oblique, s)
	}
}

// at returns the wires that pass through or end at p, each once, in their
// order.
func (x *wireIndex) at(p geom.Point) []int {
	var found []int
	for _, list := range [][]piece{x.rows[p.Y], x.columns[p.X], x.oblique} {
		for _, s := range list {
			if p.OnSegment(s.a, s.b) {
				found = insert(found, s.wire)
			}
		}
	}
	return found
}

// insert adds w to the sorted list unless it is there.
func insert(list []int, w int) []int {
	for i, v := range list {
		if v == w {
			return list
		}
		if v > w {
			return append(list[:i], append([]int{w}, list[i:]...)...)
		}
	}
	return append(list, w)
}
