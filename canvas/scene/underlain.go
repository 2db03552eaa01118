package scene

import "copperglass/canvas"

// drawUnderlain draws wires that bridge a part under it on top of its symbol, which
// would look as if it were in the wire.
func (b *builder) drawUnderlain() {
	bridges := b.nets.Underlain(b.d)
	if len(bridges) == 0 {
		return
	}
	ink := canvas.Style{Stroke: b.t.Ink, Width: wireWidth}
	back, front := b.path(b.behind(ink)), b.path(ink)
	for _, u := range bridges {
		path := front
		if b.parts[u.Part].back {
			path = back
		}
		for _, pin := range b.parts[u.Part].pins {
			switch at := canvas.OnGrid(pin.At); pin.Name {
			case u.Pins[0]:
				path.MoveTo(at.X, at.Y)
			case u.Pins[1]:
				path.LineTo(at.X, at.Y)
			}
		}
	}
	b.addPaths(back, front)
}
