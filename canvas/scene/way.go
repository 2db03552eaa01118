package scene

import (
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
)

// Path is the loop by which a transistor is switched, or that of its load.
type Path struct {
	Parts []string // that it passes through, the transistor too, in the order in which the current goes, from a source on; from a gate on where none enters it
	Amps  float64  // of the base or the collector, or what these are on a field-effect transistor
}

// ControlPath returns the control path of a transistor. It is not ok where the
// transistor does not conduct, or no way can be told.
func ControlPath(d *model.Diagram, r *analysis.Result, ref string) (Path, bool) {
	return pathOf(d, r, ref, (*builder).controlLoop)
}

// LoadPath returns the way of what flows between collector and emitter, or drain
// and source, as ControlPath does.
func LoadPath(d *model.Diagram, r *analysis.Result, ref string) (Path, bool) {
	return pathOf(d, r, ref, (*builder).loadLoop)
}

func pathOf(d *model.Diagram, r *analysis.Result, ref string, find func(*builder, *placed) (loop, bool)) (Path, bool) {
	i := d.PartIndex(ref)
	if i < 0 || r == nil || !r.Solved {
		return Path{}, false
	}
	var b builder
	b.begin(d, r, Options{Theme: canvas.LightTheme()})
	b.readParts()
	b.readNets()
	b.readWires()
	b.readFlow()
	b.findWays()
	l, ok := find(&b, &b.parts[i])
	if !ok || !b.driven.seek(l.from, l.to, i, l.price) {
		return Path{}, false
	}
	return Path{append(b.passed(&l), ref), l.amps}.begun(d), true
}

// passed names the parts on the path that was found last, in its order.
func (b *builder) passed(l *loop) []string {
	var refs []string
	c := &b.driven
	for v := l.to; v != l.from; v = c.ways[c.last[v]/2].ends[c.last[v]%2] {
		if w := &c.ways[c.last[v]/2]; w.kind == byPart {
			refs = append(refs, b.parts[w.index].Ref)
		}
	}
	slices.Reverse(refs)
	return refs
}

// begun is the path from its first source on; one without a current is as it
// was.
func (p Path) begun(d *model.Diagram) Path {
	i := slices.IndexFunc(p.Parts, func(ref string) bool {
		switch d.Part(ref).Kind {
		case "battery", "supply", "current_source":
			return true
		}
		return false
	})
	if i > 0 && p.Amps > 0 {
		p.Parts = slices.Concat(p.Parts[i:], p.Parts[:i])
	}
	return p
}

// loop is where to seek a path: around a part, from one vertex to another.
type loop struct {
	from, to int
	amps     float64 // size of the current that goes there
	price    func(w *way, sign float64) float64
}

// The pins of a transistor, as places among its kind's: those of a bipolar one
// are called collector, base and emitter.
const (
	drain = iota
	gate
	source
)

// conducts reports whether a part is a transistor that conducts.
func (b *builder) conducts(p *placed) bool {
	r := b.result(p)
	return r != nil && len(p.amps) == 3 && r.State != "" && r.State != analysis.CutOff
}

// controlLoop is where to seek a transistor's control path.
func (b *builder) controlLoop(p *placed) (loop, bool) {
	if !b.conducts(p) {
		return loop{}, false
	}
	if p.Kind == "nmos" || p.Kind == "pmos" {
		from, g := b.pinVertex(p, gate)
		to, s := b.pinVertex(p, source)
		drop := math.Abs(b.volts(g) - b.volts(s))
		return loop{from, to, 0, func(w *way, _ float64) float64 { return holdPrice(w, drop) }}, true
	}
	return b.currentLoop(p, gate), true
}

// loadLoop is where to seek the way of what a transistor switches.
func (b *builder) loadLoop(p *placed) (loop, bool) {
	if !b.conducts(p) {
		return loop{}, false
	}
	return b.currentLoop(p, drain), true
}

// currentLoop is where to seek the way of the current that leaves a transistor
// by a pin and comes back by its emitter, or the other way round.
func (b *builder) currentLoop(p *placed, pin int) loop {
	from, _ := b.pinVertex(p, pin)
	to, _ := b.pinVertex(p, source)
	if p.amps[pin] > 0 {
		from, to = to, from // the way the current goes
	}
	amps := math.Abs(p.amps[pin])
	return loop{from, to, amps, func(w *way, sign float64) float64 { return currentPrice(w, sign*w.amps, amps) }}
}
