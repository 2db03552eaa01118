package tool

import "copperglass/model/geom"

// motion is how things are carried: turned and mirrored about the grid's
// origin, then shifted. The zero motion is none at all.
type motion struct {
	orient geom.Orientation
	by     geom.Point
}

func (m motion) at(p geom.Point) geom.Point { return m.orient.Apply(p).Add(m.by) }

func (m motion) shifted(by geom.Point) motion { return motion{m.orient, m.by.Add(by)} }

// then returns the motion followed by what to does, which turns, mirrors or
// shifts.
func (m motion) then(to func(geom.Point) geom.Point) motion {
	by := to(m.by)
	x, y := to(m.at(geom.Pt(1, 0))).Sub(by), to(m.at(geom.Pt(0, 1))).Sub(by)
	return motion{orientOf(x, y), by}
}

// lay returns how a part lies, after the motion, that lay as o.
func (m motion) lay(o geom.Orientation) geom.Orientation {
	return orientOf(m.orient.Apply(o.Apply(geom.Pt(1, 0))), m.orient.Apply(o.Apply(geom.Pt(0, 1))))
}

// orientOf returns the orientation that takes the unit steps to the right and
// down to x and y.
func orientOf(x, y geom.Point) geom.Orientation {
	for _, o := range orientations() {
		if o.Apply(geom.Pt(1, 0)) == x && o.Apply(geom.Pt(0, 1)) == y {
			return o
		}
	}
	return geom.Orientation{}
}

// orientations are the eight ways to lay a part, the plain one first.
func orientations() [8]geom.Orientation {
	var all [8]geom.Orientation
	for i := range all {
		all[i] = geom.Orientation{Turn: i % 4 * 90, Mirror: i >= 4}
	}
	return all
}
