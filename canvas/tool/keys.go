package tool

import (
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// PickUp takes what is selected into the hand at p, as a drag of it does: Move
// carries it and Release puts it down.
func (e *Editor) PickUp(p canvas.Point) {
	if e.Busy() || e.Selection().Empty() {
		return
	}
	e.wiring = false
	e.pointer, e.down = p, true
	e.begin(&grab{from: p, moved: true})
}

// Anchor is a place to take hold of a selection by: the first part's, or the
// first end of the first wire.
func Anchor(d *model.Diagram, s Selection) geom.Point {
	for _, p := range d.Parts {
		if p.Placed && s.Parts[p.Ref] {
			return p.At
		}
	}
	for _, w := range d.Wires {
		if s.Wires[w.ID] {
			return w.Points[0]
		}
	}
	return geom.Point{}
}

// Joints returns where pins stand and wires end, each place once.
func Joints(d *model.Diagram) []geom.Point {
	var places []geom.Point
	for _, o := range findSpots(d).list {
		places = append(places, o.at)
	}
	return places
}
