package scene

import (
	"math"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model/geom"
)

// A ribbon's width grows with the square root of its current, from thinRibbon
// to wideRibbon for the sheet's reference current.
const (
	thinRibbon = 3.0
	wideRibbon = 15.0
	ribbonStep = 0.5 // widths are rounded to it, so that few paths draw all ribbons
)

// ribbonWidth returns how wide the band under a current is; 0 for none.
func (f *flow) ribbonWidth(amps float64) float64 {
	share := math.Abs(amps) / f.reference()
	if !(share >= ribbonShare*(1-1e-9)) {
		return 0
	}
	w := thinRibbon + (wideRibbon-thinRibbon)*math.Sqrt(math.Min(1, share))
	return math.Round(w/ribbonStep) * ribbonStep
}

// band is a ribbon between two places.
type band struct {
	from, to canvas.Point
	amps     float64
	back     bool // whether it stands back
}

// bands is the memory of the ribbons.
type bands struct {
	list  []band
	back  map[geom.Point]float64                     // what is missing of the leads at a place
	paths *[2][wideRibbon/ribbonStep + 1]canvas.Path // apart from the builder, which a scene shall not hold; of what stands back, then of the rest; by width in steps
}

// drawRibbons lays the bands under wires and parts, each width in one path,
// thin ones below.
func (b *builder) drawRibbons() {
	if b.r == nil || !b.o.Show.Ribbons {
		return
	}
	b.findBands()
	if b.bands.paths == nil {
		b.bands.paths = new([2][wideRibbon/ribbonStep + 1]canvas.Path)
	}
	paths := b.bands.paths
	for i := range paths[0] {
		front := canvas.Style{Stroke: b.t.Ribbon, Width: float64(i) * ribbonStep, Round: true}
		paths[0][i].Style, paths[1][i].Style = b.behind(front), front
		paths[0][i].Segs, paths[1][i].Segs = paths[0][i].Segs[:0], paths[1][i].Segs[:0]
	}
	for _, s := range b.bands.list {
		w := b.flow.ribbonWidth(s.amps)
		if w == 0 || s.from == s.to {
			continue
		}
		layer := 1
		if s.back {
			layer = 0
		}
		paths[layer][int(w/ribbonStep)].MoveTo(s.from.X, s.from.Y).LineTo(s.to.X, s.to.Y)
		b.blockLine(s.from, s.to, w/2+clearance)
	}
	for layer := range paths {
		for i := range paths[layer] {
			b.addPaths(&paths[layer][i])
		}
	}
}

// findBands lists the bands of all pieces and parts. One that ends at a part
// with short leads is pulled back, so that its round end clears the symbol.
func (b *builder) findBands() {
	g := &b.bands
	if g.back == nil {
		g.back = map[geom.Point]float64{}
	}
	clear(g.back)
	g.list = g.list[:0]
	for i := range b.parts {
		b.cross(&b.parts[i])
	}
	for i, s := range b.pieces {
		from, to := canvas.OnGrid(s.A), canvas.OnGrid(s.B)
		if back := g.back[s.A]; back > 0 && b.jointAt(s.A, s.Net).Pieces == 1 {
			from = toward(from, to, back)
		}
		if back := g.back[s.B]; back > 0 && b.jointAt(s.B, s.Net).Pieces == 1 {
			to = toward(to, from, back)
		}
		g.list = append(g.list, band{from, to, b.flow.amps[i], b.pieceBack(i)})
	}
}

// toward returns the place d from p on the way to q, at most half way.
func toward(p, q canvas.Point, d float64) canvas.Point {
	l := distance(p, q)
	if l == 0 {
		return p
	}
	t := math.Min(0.5, d/l)
	return canvas.Pt(p.X+t*(q.X-p.X), p.Y+t*(q.Y-p.Y))
}

// cross adds a band through the part where its current goes straight from one
// pin to the other, and otherwise bands along its leads; how much is missing of
// a lead too short for a round end it notes in back.
func (b *builder) cross(p *placed) {
	g, f := &b.bands, &b.flow
	if j, k, ok := p.main(); ok && p.bare(j, k, b.o.Standard) {
		g.list = append(g.list, band{canvas.OnGrid(p.pins[j].At), canvas.OnGrid(p.pins[k].At), p.size(k), p.back})
		return
	}
	lead := p.leadLength()
	for j := range p.amps {
		if p.extent.Empty() {
			break
		}
		pin := p.pins[j]
		reach := lead - f.ribbonWidth(p.amps[j])/2
		if reach < 0 {
			g.back[pin.At] = -reach
			continue
		}
		from := canvas.OnGrid(pin.At)
		to := canvas.Pt(from.X-reach*float64(pin.Out.X), from.Y-reach*float64(pin.Out.Y))
		g.list = append(g.list, band{from, to, p.amps[j], p.back || b.pinBack(p, j)})
	}
}

// bare reports whether a band may run on beneath the part's body from one of
// the pins to the other: a line along an open body would look like a short.
func (p *placed) bare(j, k int, s symbol.Standard) bool {
	switch p.Kind {
	case "resistor", "fuse":
		return s == symbol.IEC
	case "diode", "led", "zener", "lamp", "switch", "button":
		return true
	case "potentiometer":
		return s == symbol.IEC && p.pins[j].Out.Add(p.pins[k].Out) == geom.Point{}
	}
	return false
}

// leadLength is how far a band may reach into a part from its pin, in sheet
// units: to its body or, where that has an inside, a little under it.
func (p *placed) leadLength() float64 {
	switch p.Kind {
	case "resistor", "inductor":
		return 0.6 * canvas.Grid // to the zigzag or the first turn
	case "fuse":
		return canvas.Grid // to the wave
	case "chip", "meter", "motor", "supply", "current_source":
		return 1.2 * canvas.Grid
	case "npn", "pnp", "nmos", "pmos":
		return 0.8 * canvas.Grid
	case "battery":
		return math.Max(0, 30-14*math.Max(0, p.values.Num("cells")-1))
	case "potentiometer", "capacitor":
		return 0.5 * canvas.Grid
	}
	return 0
}
