package scene

import (
	"maps"
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/net"
)

// placed is a part with what the scene needs to know of it. What follows from
// the part and what it is set to alone is kept while they are as they were.
type placed struct {
	*model.Part
	index  int // among the diagram's parts
	values model.Values
	pins   []model.Pin // where they stand on the sheet
	extent canvas.Rect // of its ink in any state; empty where it does not stand on the sheet
	amps   []float64   // into each pin; none where nothing is solved

	said    model.Params // what the setting says of it
	back    bool         // whether it stands back
	drawing symbol.Drawing
	body    canvas.Rect   // of its symbol as drawn, without its leads
	texts   []canvas.Rect // of a chip: at its pins, in any mode

	named   bool        // whether what follows is worked out
	outcome string      // of the analysis, that the name tells
	drawn   *model.Part // as it is in the drawing that is compared with, where that is another, else nil
	name    string
	forms   []form // ways to write it
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

// look is what all parts depend on.
type look struct {
	theme    canvas.Theme
	standard symbol.Standard
	scale    float64
	drawing  [2]model.Params // quantities of the drawing, and what the setting says of them
	modes    []*model.Mode
}

func (l *look) same(m *look) bool {
	return l.theme == m.theme && l.standard == m.standard && l.scale == m.scale && slices.Equal(l.modes, m.modes) &&
		maps.Equal(l.drawing[0], m.drawing[0]) && maps.Equal(l.drawing[1], m.drawing[1])
}

// readParts works out what every part is set to and what flows through it.
func (b *builder) readParts() {
	setting := b.d.Mode(b.o.Mode).Setting().With(b.o.Set)
	now := look{b.t, b.o.Standard, b.scaled(1), [2]model.Params{b.d.Params, setting[model.Drawing]}, b.d.Modes}
	same := now.same(&b.look)
	if !same {
		b.look = now
		clear(b.lit.letters)
		clear(b.lit.badges)
		b.look.drawing[0], b.look.modes = maps.Clone(now.drawing[0]), slices.Clone(now.modes)
	}
	b.drawn.valid = b.drawn.valid && len(b.parts) == len(b.d.Parts)
	b.parts = slices.Grow(b.parts[:0], len(b.d.Parts))[:len(b.d.Parts)]
	b.chips = false
	for i, p := range b.d.Parts {
		old := &b.parts[i]
		if !same || old.Part != p || old.back != b.partBack(p.Ref) || !maps.Equal(old.said, setting[p.Ref]) {
			b.readPart(old, p, setting)
		}
		old.index = i
		b.readAmps(old)
	}
}

// partIndex is the drawing's PartIndex, in time that does not grow with it.
func (b *builder) partIndex(ref string) int {
	if len(b.places) == 0 {
		for i, p := range slices.Backward(b.d.Parts) {
			b.places[p.Ref] = i
		}
	}
	if i, known := b.places[ref]; known {
		return i
	}
	return -1
}

// readPart puts a part at its place in the list, and notes whether a pin is
// elsewhere than before.
func (b *builder) readPart(at *placed, p *model.Part, setting model.Setting) {
	old := *at
	values, _ := b.d.Resolve(p, setting)
	*at = placed{Part: p, values: values, pins: p.PlacedPins(), said: setting[p.Ref], extent: canvas.EmptyRect(), amps: old.amps, back: b.partBack(p.Ref)}
	if p.Placed {
		at.extent = symbol.ExtentIn(p, b.o.Standard)
		b.drawPart(at)
	}
	b.drawn.valid = b.drawn.valid && old.joinsAs(at)
}

// joinsAs reports whether two parts join the same pins and wires.
func (p *placed) joinsAs(q *placed) bool {
	return p.Part != nil && p.Ref == q.Ref && p.Kind == q.Kind && p.Placed == q.Placed && slices.Equal(p.pins, q.pins) &&
		maps.Equal(p.Tags, q.Tags) && (p.Kind != "tag" || p.Value == q.Value)
}

// readNets finds the nets where there is no result that has them, and notes
// what of the parts matters for the labels of others.
func (b *builder) readNets() {
	if b.nets == nil {
		b.nets = b.own.Build(b.d, b.pinsOf)
	}
	for _, p := range b.d.Parts {
		switch p.Kind {
		case "chip":
			b.chips = true
		case "npn", "pnp":
			b.control[b.nets.Pin(p.Ref, "B")] = true
		case "nmos", "pmos":
			b.control[b.nets.Pin(p.Ref, "G")] = true
		}
	}
}

func (b *builder) pinsOf(i int) []model.Pin { return b.parts[i].pins }

func (b *builder) readAmps(p *placed) {
	p.amps = p.amps[:0]
	if b.r == nil || b.r.Parts[p.Ref] == nil {
		return
	}
	for _, pin := range p.pins {
		p.amps = append(p.amps, b.pinAmps(net.PinID{Ref: p.Ref, Pin: pin.Name}))
	}
}

// drawPart draws a part's symbol, to be kept.
func (b *builder) drawPart(p *placed) {
	look := symbol.Look{Standard: b.o.Standard, Theme: b.symbolTheme(p.back), Guessed: p.Doubt == model.Guessed, TextScale: b.scale}
	if p.back {
		b.back = true
		look.Pale, look.Letters = standsBack, b.toneText(b.t.Ink)
		b.back = false
	}
	p.drawing = symbol.NewDrawing(p.Part, p.values, look)
	p.body = p.withoutLeads(p.drawing.Items)
	if p.Kind == "chip" {
		p.texts = b.pinTexts(p, look)
	}
}

// drawParts shows the symbols that stand back or the others, and keeps labels
// clear of them.
func (b *builder) drawParts(back bool) {
	for i := range b.parts {
		p := &b.parts[i]
		if p.extent.Empty() || p.back != back {
			continue
		}
		p.drawing.Shine(p.glow())
		b.drawSymbol(p)
		b.blockSymbol(p)
		b.solid.add(p.extent.Inset(-clearance))
		for _, box := range p.texts {
			b.inside.add(box)
		}
	}
}

// blockSymbol keeps labels off a part: off an arrow's line and words alone, as
// there is room beside a line that runs aslant.
func (b *builder) blockSymbol(p *placed) {
	if p.Kind != "arrow" {
		b.outside.add(p.extent.Inset(-clearance))
		return
	}
	for _, it := range p.drawing.Items {
		path, ok := it.(*canvas.Path)
		if !ok || path.Fill.A > 0 {
			b.outside.add(it.Bounds().Inset(-clearance))
			continue
		}
		for i := 1; i < len(path.Segs); i++ {
			b.outside.addLine(path.Segs[i-1].P, path.Segs[i].P, path.Width/2+clearance)
		}
	}
}

// drawSymbol leaves the texts at a chip's pins out from far away, as other lesser
// labels. They keep their room: nothing moves as they come.
func (b *builder) drawSymbol(p *placed) {
	if !b.dims() && (p.Kind != "chip" || b.o.Level >= Normal) {
		b.add(p.drawing.Items...)
		return
	}
	b.drawPaleLeads(p)
	for _, it := range p.drawing.Items {
		if _, text := it.(*canvas.Text); (!text || p.Kind != "chip" || b.o.Level >= Normal) && !b.paleLead(p, it) {
			b.add(it)
		}
	}
}

// drawPaleLeads draws the leads of the pins that stand back though their part
// does not, below the rest of its symbol.
func (b *builder) drawPaleLeads(p *placed) {
	for _, it := range p.drawing.Items {
		if b.paleLead(p, it) {
			lead := it.(*canvas.Path)
			pale := b.path(b.behind(lead.Style))
			pale.Segs = append(pale.Segs, lead.Segs...)
			b.add(pale)
		}
	}
}

// paleLead reports whether an item of a symbol is the lead of a pin that stands
// back though its part does not.
func (b *builder) paleLead(p *placed, it canvas.Item) bool {
	path, ok := it.(*canvas.Path)
	if !ok || p.back || !b.dims() {
		return false
	}
	for j, pin := range p.pins {
		at := canvas.OnGrid(pin.At)
		if b.pinBack(p, j) && slices.ContainsFunc(path.Segs, func(s canvas.Seg) bool { return s.Op != canvas.Close && distance(at, s.P) < 0.5 }) {
			return true
		}
	}
	return false
}

// withoutLeads returns the bounds of a symbol's items without the ends at its
// pins: a box around the leads as well would hold parts beside the symbol. What
// is written beside a chip's leads goes with these.
func (p *placed) withoutLeads(items []canvas.Item) canvas.Rect {
	r := canvas.EmptyRect()
	for _, it := range items {
		path, ok := it.(*canvas.Path)
		if !ok && p.Kind == "chip" {
			continue
		}
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

// pinTexts returns what a chip's name has to stay off: the texts at its pins,
// as they are now and in any mode.
func (b *builder) pinTexts(p *placed, look symbol.Look) []canvas.Rect {
	boxes := appendTexts(nil, p.drawing.Items)
	for _, m := range b.d.Modes {
		v, _ := b.d.Resolve(p.Part, m.Setting())
		boxes = appendTexts(boxes, symbol.Draw(p.Part, v, look))
	}
	return boxes
}

func appendTexts(boxes []canvas.Rect, items []canvas.Item) []canvas.Rect {
	for _, it := range items {
		if t, ok := it.(*canvas.Text); ok {
			box := t.Bounds()
			box.Min.Y = t.At.Y - canvas.CapHeight(t.Size) - 1
			boxes = append(boxes, box.Inset(-clearance))
		}
	}
	return boxes
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
