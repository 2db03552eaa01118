package scene

import (
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/net"
)

// placed is a part with what the scene needs to know of it.
type placed struct {
	*model.Part
	values model.Values
	pins   []model.Pin // where they stand on the sheet
	amps   []float64   // into each pin; nil where nothing is solved
	extent canvas.Rect // of its ink in any standard and state; empty where it does not stand on the sheet
	body   canvas.Rect // of its symbol as drawn, without its leads
}

// main returns the two pins between which the part's current passes, the
// larger first: those of the two largest currents, if what the other pins
// carry is little beside them. It is not ok where nothing passes.
func (p *placed) main() (j, k int, ok bool) {
	if len(p.amps) < 2 || p.extent.Empty() {
		return 0, 0, false
	}
	k = 1
	if p.size(1) > p.size(0) {
		j, k = 1, 0
	}
	rest := 0.0
	for i := 2; i < len(p.amps); i++ {
		switch a := p.size(i); {
		case a > p.size(j):
			rest += p.size(k)
			j, k = i, j
		case a > p.size(k):
			rest += p.size(k)
			k = i
		default:
			rest += a
		}
	}
	return j, k, rest <= branchShare*p.size(j)
}

// size is the size of the current at pin j to nine digits: what lies beyond is
// the solver's rounding, and no picture may hang on it.
func (p *placed) size(j int) float64 {
	a := math.Abs(p.amps[j])
	if a == 0 || math.IsNaN(a) || math.IsInf(a, 0) {
		return a
	}
	step := math.Pow(10, math.Floor(math.Log10(a))-8)
	return math.Round(a/step) * step
}

// through returns the size of the current that passes the part, 0 where none
// does.
func (p *placed) through() float64 {
	if _, k, ok := p.main(); ok {
		return p.size(k)
	}
	return 0
}

// readParts works out what every part is set to and what flows through it.
func (b *builder) readParts() {
	setting := b.d.Mode(b.o.Mode).Setting().With(b.o.Set)
	b.parts = make([]placed, len(b.d.Parts))
	for i, p := range b.d.Parts {
		v, _ := b.d.Resolve(p, setting)
		b.parts[i] = placed{Part: p, values: v, pins: p.PlacedPins(), extent: canvas.EmptyRect()}
		if p.Placed {
			b.parts[i].extent = symbol.Extent(p)
		}
		b.readAmps(&b.parts[i])
		b.noteControl(p)
	}
}

// noteControl notes what of a part matters for the labels of others.
func (b *builder) noteControl(p *model.Part) {
	switch p.Kind {
	case "chip":
		b.chips = true
	case "npn", "pnp":
		b.control[b.nets.Pin(p.Ref, "B")] = true
	case "nmos", "pmos":
		b.control[b.nets.Pin(p.Ref, "G")] = true
	}
}

func (b *builder) readAmps(p *placed) {
	if b.r == nil || b.r.Parts[p.Ref] == nil {
		return
	}
	p.amps = make([]float64, len(p.pins))
	for j, pin := range p.pins {
		p.amps[j] = b.pinAmps(net.PinID{Ref: p.Ref, Pin: pin.Name})
	}
}

// drawParts draws the symbols and keeps labels clear of them.
func (b *builder) drawParts() {
	for i := range b.parts {
		p := &b.parts[i]
		if p.extent.Empty() {
			continue
		}
		look := symbol.Look{Standard: b.o.Standard, Theme: b.t, Guessed: p.Doubt == model.Guessed, Glow: p.glow()}
		items := symbol.Draw(p.Part, p.values, look)
		p.body = p.withoutLeads(items)
		b.add(items...)
		b.outside.add(p.extent.Inset(-clearance))
		if p.Kind == "chip" {
			b.keepInside(p, look)
		}
	}
}

// withoutLeads returns the bounds of a symbol's items without the ends at its
// pins: a box around the leads as well would hold parts beside the symbol.
func (p *placed) withoutLeads(items []canvas.Item) canvas.Rect {
	r := canvas.EmptyRect()
	for _, it := range items {
		path, ok := it.(*canvas.Path)
		if !ok || !p.atPin(path) {
			r = r.Union(it.Bounds())
			continue
		}
		for _, s := range path.Segs {
			if s.Op != canvas.Close && !p.hasPin(s.P) {
				r = r.Include(s.P)
			}
		}
	}
	return r
}

func (p *placed) atPin(path *canvas.Path) bool {
	return slices.ContainsFunc(path.Segs, func(s canvas.Seg) bool { return s.Op != canvas.Close && p.hasPin(s.P) })
}

func (p *placed) hasPin(at canvas.Point) bool {
	return slices.ContainsFunc(p.pins, func(pin model.Pin) bool { return distance(canvas.OnGrid(pin.At), at) < 0.5 })
}

// keepInside keeps a chip's name clear of the texts at its pins, as they are in
// any mode.
func (b *builder) keepInside(p *placed, look symbol.Look) {
	b.keepOff(symbol.Draw(p.Part, p.values, look))
	for _, m := range b.d.Modes {
		v, _ := b.d.Resolve(p.Part, m.Setting())
		b.keepOff(symbol.Draw(p.Part, v, look))
	}
}

// keepOff keeps names within a chip off texts.
func (b *builder) keepOff(items []canvas.Item) {
	for _, it := range items {
		if t, ok := it.(*canvas.Text); ok {
			box := t.Bounds()
			box.Min.Y = t.At.Y - canvas.CapHeight(t.Size) - 1
			b.inside.add(box.Inset(-clearance))
		}
	}
}

// usualLight is the current at which an indicator LED is as bright as people
// expect: 20 mA, the test condition of most data sheets (common practice, no
// source).
const usualLight = 20e-3

// glow is how brightly an LED or a lamp shines, 0 to 1. The square root makes
// a tenth of the light look like a third, as it does to the eye.
func (p *placed) glow() float64 {
	switch p.Kind {
	case "led":
		return math.Min(1, math.Sqrt(p.through()/float64(p.Multiple())/usualLight))
	case "lamp":
		if usual := p.values.Num("rated_power") / p.values.Num("rated_voltage"); usual > 0 {
			return math.Min(1, math.Pow(p.through()/float64(p.Multiple())/usual, 2))
		}
	}
	return 0
}
