package scene

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// Measures of wires, in sheet units.
const (
	wireWidth   = 1.7
	hoverWidth  = 5.5
	hoverAlpha  = 0x60
	jointRadius = 3.0
	humpRadius  = 7.0
	clearance   = 3.0 // least distance of a label from ink
)

// ofWire tells wires from what else is solid.
const ofWire = 1

// hump is where a level piece of wire steps over an upright one that it is
// not joined to.
type hump struct {
	wire int
	at   geom.Point
}

// findHumps returns the crossings of level with upright pieces away from the
// ends of both, sorted by wire and then by place. Pieces end wherever anything
// joins, so what crosses between ends is not joined there.
func findHumps(pieces []net.Piece) []hump { return new(crossings).find(pieces, nil) }

// crossings finds humps and keeps the memory for it.
type crossings struct {
	upright []net.Piece // sorted by X
	leads   []net.Piece // of no wire
	humps   []hump
}

// find takes upright leads of parts as pieces that level ones step over, too.
func (c *crossings) find(pieces, leads []net.Piece) []hump {
	c.upright, c.humps = c.upright[:0], c.humps[:0]
	for _, s := range pieces {
		if s.A.X == s.B.X {
			c.upright = append(c.upright, s)
		}
	}
	c.upright = append(c.upright, leads...)
	slices.SortFunc(c.upright, func(s, t net.Piece) int { return cmp.Compare(s.A.X, t.A.X) })
	for _, s := range pieces {
		if s.A.Y == s.B.Y {
			c.cross(s)
		}
	}
	slices.SortFunc(c.humps, func(a, b hump) int {
		return cmp.Or(cmp.Compare(a.wire, b.wire), cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X))
	})
	c.humps = slices.Compact(c.humps)
	return c.humps
}

// cross notes where a level piece steps over the upright ones.
func (c *crossings) cross(s net.Piece) {
	lo, hi := min(s.A.X, s.B.X), max(s.A.X, s.B.X)
	first, _ := slices.BinarySearchFunc(c.upright, lo+1, func(u net.Piece, x int) int { return cmp.Compare(u.A.X, x) })
	for _, u := range c.upright[first:] {
		if u.A.X >= hi {
			return
		}
		if min(u.A.Y, u.B.Y) < s.A.Y && s.A.Y < max(u.A.Y, u.B.Y) {
			c.humps = append(c.humps, hump{s.Wire, geom.Pt(u.A.X, s.A.Y)})
		}
	}
}

// drawn is what of the wires is kept from one scene to the next.
type drawn struct {
	wires     []*model.Wire
	valid     bool // whether no pin has moved since
	crossings crossings
	outs      map[geom.Point]geom.Point // where the pins point
	flush     [][2]bool                 // whether the first and the last end of a wire go straight on into a lead
}

// readWires finds where wires are cut, meet and cross, unless all is where it
// was.
func (b *builder) readWires() {
	b.tracer.Read(b.d, b.pinsOf)
	if b.drawn.valid && slices.Equal(b.drawn.wires, b.d.Wires) {
		return
	}
	b.pieces, b.joints = b.tracer.Pieces(b.nets, b.d)
	b.humps = b.drawn.crossings.find(b.pieces, b.uprightLeads())
	b.findFlush()
	b.drawn.wires = append(b.drawn.wires[:0], b.d.Wires...)
	b.drawn.valid = true
}

// leadSteps is how far inside its pin a part has at least half of its symbol, in
// grid steps: a wire that crosses there does so at the lead, or behind the body.
const leadSteps = 2

// uprightLeads returns the leads of parts that stand upright, as far as they may be
// crossed.
func (b *builder) uprightLeads() []net.Piece {
	leads := b.drawn.crossings.leads[:0]
	for i := range b.parts {
		p := &b.parts[i]
		if k := p.LookupKind(); k == nil || k.Equation == nil {
			continue
		}
		for _, pin := range p.pins {
			if in := pin.At.Sub(geom.Pt(0, leadSteps*pin.Out.Y)); pin.Out.Y != 0 && p.extent.Contains(canvas.OnGrid(in)) {
				leads = append(leads, net.Piece{A: pin.At, B: in})
			}
		}
	}
	b.drawn.crossings.leads = leads
	return leads
}

// findFlush finds the ends of wires that go straight on into one lead.
func (b *builder) findFlush() {
	d := &b.drawn
	if d.outs == nil {
		d.outs = map[geom.Point]geom.Point{}
	}
	clear(d.outs)
	for i := range b.parts {
		for _, pin := range b.parts[i].pins {
			d.outs[pin.At] = pin.Out
		}
	}
	d.flush = d.flush[:0]
	for i, w := range b.d.Wires {
		n := len(w.Points)
		flush := func(end, next geom.Point) bool {
			out, found := d.outs[end]
			j := b.jointAt(end, b.nets.Wire(i))
			return found && j.Pieces == 1 && j.Pins == 1 && heading(end, next) == out
		}
		d.flush = append(d.flush, [2]bool{flush(w.Points[0], w.Points[1]), flush(w.Points[n-1], w.Points[n-2])})
	}
}

// heading is the direction from one point to another, in steps of one.
func heading(from, to geom.Point) geom.Point {
	return geom.Pt(cmp.Compare(to.X, from.X), cmp.Compare(to.Y, from.Y))
}

// jointAt returns the joint of a net at a place, the zero joint where there is
// none.
func (b *builder) jointAt(p geom.Point, of int) net.Joint {
	if i, found := b.findJoint(p, of); found {
		return b.joints[i]
	}
	return net.Joint{}
}

func (b *builder) findJoint(p geom.Point, of int) (int, bool) {
	return slices.BinarySearchFunc(b.joints, net.Joint{At: p, Net: of}, net.CompareJoints)
}

// drawWires draws the wires, full ones in one path and guessed ones in
// another, on top of those of the net that is brought out. What stands back is
// drawn before the rest.
func (b *builder) drawWires() {
	soft := b.t.Accent
	soft.A = hoverAlpha
	b.hover = b.path(canvas.Style{Stroke: soft, Width: hoverWidth, Round: true})
	ink := canvas.Style{Stroke: b.t.Ink, Width: wireWidth, Round: b.dims()}
	back, front := b.newWirePaths(b.behind(ink)), b.newWirePaths(ink)
	for i, w := range b.d.Wires {
		if !b.dims() {
			b.inkWire(front.of(w), i)
		}
		if b.o.Hover != "" && b.nets.Nets[b.nets.Wire(i)].Name == b.o.Hover {
			b.traceWire(b.hover, i)
		}
		for j := 1; j < len(w.Points); j++ {
			from, to := canvas.OnGrid(w.Points[j-1]), canvas.OnGrid(w.Points[j])
			b.blockLine(from, to, wireWidth/2+clearance)
			b.solid.enterLine(from, to, wireWidth/4, ofWire) // less than where a lead from it begins
		}
	}
	if b.dims() {
		b.tracePieces(&back, &front)
	}
	b.addPaths(b.hover, back.plain, back.guessed, front.plain, front.guessed)
	b.keepForChevrons()
	for _, h := range b.humps {
		b.block(humpBox(h).Inset(-clearance))
	}
}

// wirePaths are the lines of wires: full ones, and dashed ones for those that
// are guessed.
type wirePaths struct{ plain, guessed *canvas.Path }

func (b *builder) newWirePaths(ink canvas.Style) wirePaths {
	w := wirePaths{b.path(ink), b.path(ink)}
	w.guessed.Dash = []float64{5, 4}
	return w
}

func (p *wirePaths) of(w *model.Wire) *canvas.Path {
	if w.Doubt == model.Guessed {
		return p.guessed
	}
	return p.plain
}

// tracePieces draws the wires piece by piece, those that stand back apart.
func (b *builder) tracePieces(back, front *wirePaths) {
	for i, s := range b.pieces {
		paths := front
		if b.pieceBack(i) {
			paths = back
		}
		path, at := paths.of(b.d.Wires[s.Wire]), canvas.OnGrid(s.A)
		path.MoveTo(at.X, at.Y)
		b.traceLine(path, s.Wire, s.A, s.B)
	}
}

// keepForChevrons keeps labels off the wires whose currents are told in words,
// as far as a chevron reaches.
func (b *builder) keepForChevrons() {
	for i, amps := range b.flow.amps {
		if math.Abs(amps) >= b.flow.visible() {
			s := b.pieces[i]
			b.blockLine(canvas.OnGrid(s.A), canvas.OnGrid(s.B), chevronHalf+chevronWidth)
		}
	}
}

// addPaths draws those of the paths that are not empty.
func (b *builder) addPaths(paths ...*canvas.Path) {
	for _, p := range paths {
		if len(p.Segs) > 0 {
			b.add(p)
		}
	}
}

func humpBox(h hump) canvas.Rect {
	at := canvas.OnGrid(h.at)
	return canvas.Rect{Min: canvas.Pt(at.X-humpRadius, at.Y-humpRadius), Max: canvas.Pt(at.X+humpRadius, at.Y)}
}

// flushOver is how far a wire reaches over the end of a lead that it goes
// straight on into: enough for no seam to be seen between them, and too little
// for a knot.
const flushOver = 0.1

// inkWire adds wire i to the path of its ink, which is cut flat: an end that goes
// straight on into a lead is where the pin is, any other as much longer as makes
// a corner.
func (b *builder) inkWire(path *canvas.Path, i int) {
	first, points := len(path.Segs), b.d.Wires[i].Points
	b.traceWire(path, i)
	last, n := len(path.Segs)-1, len(points)
	lengthen(&path.Segs[first].P, heading(points[1], points[0]), b.drawn.flush[i][0])
	lengthen(&path.Segs[last].P, heading(points[n-2], points[n-1]), b.drawn.flush[i][1])
}

func lengthen(end *canvas.Point, out geom.Point, flush bool) {
	by := wireWidth / 2
	if flush {
		by = flushOver
	}
	*end = end.Add(canvas.Pt(by*float64(out.X), by*float64(out.Y)))
}

// traceWire adds wire i to the path, with its humps.
func (b *builder) traceWire(path *canvas.Path, i int) {
	w := b.d.Wires[i]
	at := canvas.OnGrid(w.Points[0])
	path.MoveTo(at.X, at.Y)
	for j := 1; j < len(w.Points); j++ {
		b.traceLine(path, i, w.Points[j-1], w.Points[j])
	}
}

// traceLine goes on along wire i from one of its points to another, over its
// humps.
func (b *builder) traceLine(path *canvas.Path, i int, from, to geom.Point) {
	if from.Y == to.Y {
		first, _ := slices.BinarySearchFunc(b.humps, i, func(h hump, w int) int { return cmp.Compare(h.wire, w) })
		for _, x := range humpsOn(b.humps[first:], i, from, to) {
			step(path, canvas.OnGrid(geom.Pt(x, from.Y)), to.X > from.X)
		}
	}
	at := canvas.OnGrid(to)
	path.LineTo(at.X, at.Y)
}

// humpsOn returns the columns of wire i's humps between two points of a row,
// in the order of the way from one to the other.
func humpsOn(humps []hump, i int, from, to geom.Point) []int {
	var xs []int
	lo, hi := min(from.X, to.X), max(from.X, to.X)
	for _, h := range humps {
		if h.wire != i {
			break
		}
		if h.at.Y == from.Y && lo < h.at.X && h.at.X < hi {
			xs = append(xs, h.at.X)
		}
	}
	if to.X < from.X {
		slices.Reverse(xs)
	}
	return xs
}

// step adds a half circle over at: two cubics, each a quarter.
func step(path *canvas.Path, at canvas.Point, rightwards bool) {
	r := humpRadius
	if !rightwards {
		r = -r
	}
	k := 4.0 / 3 * math.Tan(math.Pi/8)
	top := at.Y - humpRadius
	path.LineTo(at.X-r, at.Y)
	path.CubicTo(at.X-r, at.Y-k*humpRadius, at.X-k*r, top, at.X, top)
	path.CubicTo(at.X+k*r, top, at.X+r, at.Y-k*humpRadius, at.X+r, at.Y)
}

// drawJoints puts a dot where three or more ends meet.
func (b *builder) drawJoints() {
	ink := canvas.Style{Fill: b.t.Ink}
	back, front := b.path(b.behind(ink)), b.path(ink)
	for i, j := range b.joints {
		dots, at := front, canvas.OnGrid(j.At)
		if b.dims() && b.lit.degree[i] == 0 {
			dots = back
		}
		if j.Pieces == 0 && j.Pins == 2 && !b.dims() { // pin on pin, perhaps at a corner
			dots.Circle(at, wireWidth/2)
		}
		if j.Pieces+j.Pins >= 3 && j.Pieces > 0 {
			dots.Circle(at, jointRadius)
			b.blockLine(at, at, jointRadius+clearance)
		}
	}
	b.addPaths(back, front)
}

// paper is the grid's dots, kept while the same of them are seen.
type paper struct {
	path *canvas.Path
	seen canvas.Rect
}

// dots marks the points of the grid in r.
func (g *paper) dots(r canvas.Rect, c color.NRGBA) *canvas.Path {
	if g.path == nil {
		g.path, g.seen = &canvas.Path{}, canvas.EmptyRect()
	}
	g.path.Style = canvas.Style{Fill: c}
	if r != g.seen {
		g.path.Segs, g.seen = g.path.Segs[:0], r
		addDots(g.path, r)
	}
	return g.path
}

func addDots(p *canvas.Path, r canvas.Rect) {
	const half = 0.75
	const most = 400 // in each direction
	x0, x1 := math.Ceil(r.Min.X/canvas.Grid), math.Floor(r.Max.X/canvas.Grid)
	y0, y1 := math.Ceil(r.Min.Y/canvas.Grid), math.Floor(r.Max.Y/canvas.Grid)
	if x1-x0 > most || y1-y0 > most || x1 < x0 || y1 < y0 {
		return
	}
	p.Segs = slices.Grow(p.Segs, 5*int((x1-x0+1)*(y1-y0+1)))
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			at := canvas.Pt(x*canvas.Grid, y*canvas.Grid)
			p.Rectangle(canvas.Rect{Min: at, Max: at}.Inset(-half))
		}
	}
}
