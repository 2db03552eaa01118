package scene

import (
	"image/color"

	"copperglass/canvas"
	"copperglass/model/geom"
)

// Measures of the selection, in sheet units.
const (
	haloEdge   = 1.5
	mostRoom   = clearance - haloEdge/2 // between a symbol's ink and its halo, which no label touches
	haloRadius = 6.0
	haloAlpha  = 0x20
	gripHalf   = 4.0
)

// drawSelection puts a halo with an outline around selected parts, and a band
// with square grips at its ends on selected wires.
func (b *builder) drawSelection() {
	soft := b.t.Accent
	soft.A = haloAlpha
	for i := range b.parts {
		p := &b.parts[i]
		if b.o.Selected[p.Ref] && !p.body.Empty() {
			halo := b.path(canvas.Style{Fill: soft, Stroke: b.t.Accent, Width: haloEdge})
			b.add(halo.RoundRect(p.body.Inset(-p.haloRoom()), haloRadius))
		}
	}
	for i, w := range b.d.Wires {
		if b.o.SelectedWires[w.ID] {
			b.selectWire(i, soft)
		}
	}
}

// haloRoom is from a part's ink to its halo: none at a chip, beside which the
// states of its pins are written.
func (p *placed) haloRoom() float64 {
	if p.Kind == "chip" {
		return 0
	}
	return mostRoom
}

func (b *builder) selectWire(i int, soft color.NRGBA) {
	band := b.path(canvas.Style{Stroke: soft, Width: 4 * gripHalf, Round: true})
	b.traceWire(band, i)
	grips := b.path(canvas.Style{Fill: b.t.Paper, Stroke: b.t.Accent, Width: haloEdge})
	points := b.d.Wires[i].Points
	for _, p := range [2]geom.Point{points[0], points[len(points)-1]} {
		at := canvas.OnGrid(p)
		grips.Rectangle(canvas.Rect{Min: at, Max: at}.Inset(-gripHalf))
	}
	b.add(band, grips)
}
