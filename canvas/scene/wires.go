package scene

import (
	"cmp"
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

// hump is where a level piece of wire steps over an upright one that it is
// not joined to.
type hump struct {
	wire int
	at   geom.Point
}

// findHumps returns the crossings of level with upright pieces away from the
// ends of both, sorted by wire and then by place. Pieces end wherever anything
// joins, so what crosses between ends is not joined there.
func findHumps(pieces []net.Piece) []hump {
	columns := map[int][]net.Piece{}
	for _, s := range pieces {
		if s.A.X == s.B.X {
			columns[s.A.X] = append(columns[s.A.X], s)
		}
	}
	if len(columns) == 0 {
		return nil
	}
	xs := sortedKeys(columns)
	var humps []hump
	for _, s := range pieces {
		if s.A.Y != s.B.Y {
			continue
		}
		lo, hi := min(s.A.X, s.B.X), max(s.A.X, s.B.X)
		first, _ := slices.BinarySearch(xs, lo+1)
		for _, x := range xs[first:] {
			if x >= hi {
				break
			}
			if crossesAt(columns[x], s.A.Y) {
				humps = append(humps, hump{s.Wire, geom.Pt(x, s.A.Y)})
			}
		}
	}
	slices.SortFunc(humps, func(a, b hump) int {
		return cmp.Or(cmp.Compare(a.wire, b.wire), cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X))
	})
	return slices.Compact(humps)
}

func sortedKeys(m map[int][]net.Piece) []int {
	keys := make([]int, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// crossesAt reports whether one of the upright pieces passes row y between its
// ends.
func crossesAt(column []net.Piece, y int) bool {
	for _, s := range column {
		if min(s.A.Y, s.B.Y) < y && y < max(s.A.Y, s.B.Y) {
			return true
		}
	}
	return false
}

// drawWires draws the wires, full ones in one path and guessed ones in
// another, on top of those of the net that is brought out.
func (b *builder) drawWires() {
	soft := b.t.Accent
	soft.A = hoverAlpha
	hover := &canvas.Path{Style: canvas.Style{Stroke: soft, Width: hoverWidth, Round: true}}
	plain := &canvas.Path{Style: canvas.Style{Stroke: b.t.Ink, Width: wireWidth, Round: true}}
	guessed := &canvas.Path{Style: plain.Style}
	guessed.Dash = []float64{5, 4}
	for i, w := range b.d.Wires {
		path := plain
		if w.Doubt == model.Guessed {
			path = guessed
		}
		b.traceWire(path, i)
		if b.o.Hover != "" && b.nets.Nets[b.nets.Wire(i)].Name == b.o.Hover {
			b.traceWire(hover, i)
		}
		for j := 1; j < len(w.Points); j++ {
			b.blockLine(canvas.OnGrid(w.Points[j-1]), canvas.OnGrid(w.Points[j]), wireWidth/2+clearance)
		}
	}
	b.addPaths(hover, plain, guessed)
	b.keepForChevrons()
	for _, h := range b.humps {
		b.block(humpBox(h).Inset(-clearance))
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

// traceWire adds wire i to the path, with its humps.
func (b *builder) traceWire(path *canvas.Path, i int) {
	first, _ := slices.BinarySearchFunc(b.humps, i, func(h hump, w int) int { return cmp.Compare(h.wire, w) })
	w := b.d.Wires[i]
	at := canvas.OnGrid(w.Points[0])
	path.MoveTo(at.X, at.Y)
	for j := 1; j < len(w.Points); j++ {
		from, to := w.Points[j-1], w.Points[j]
		if from.Y == to.Y {
			for _, x := range humpsOn(b.humps[first:], i, from, to) {
				step(path, canvas.OnGrid(geom.Pt(x, from.Y)), to.X > from.X)
			}
		}
		at = canvas.OnGrid(to)
		path.LineTo(at.X, at.Y)
	}
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
	dots := &canvas.Path{Style: canvas.Style{Fill: b.t.Ink}}
	for _, j := range b.joints {
		if j.Pieces+j.Pins >= 3 && j.Pieces > 0 {
			at := canvas.OnGrid(j.At)
			dots.Circle(at, jointRadius)
			b.blockLine(at, at, jointRadius+clearance)
		}
	}
	b.addPaths(dots)
}

// dots marks the points of the grid in r.
func dots(r canvas.Rect, t canvas.Theme) *canvas.Path {
	const half = 0.75
	const most = 400 // in each direction
	p := &canvas.Path{Style: canvas.Style{Fill: t.Dots}}
	x0, x1 := math.Ceil(r.Min.X/canvas.Grid), math.Floor(r.Max.X/canvas.Grid)
	y0, y1 := math.Ceil(r.Min.Y/canvas.Grid), math.Floor(r.Max.Y/canvas.Grid)
	if x1-x0 > most || y1-y0 > most || x1 < x0 || y1 < y0 {
		return p
	}
	p.Segs = make([]canvas.Seg, 0, 5*int((x1-x0+1)*(y1-y0+1)))
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			at := canvas.Pt(x*canvas.Grid, y*canvas.Grid)
			p.Rectangle(canvas.Rect{Min: at, Max: at}.Inset(-half))
		}
	}
	return p
}
