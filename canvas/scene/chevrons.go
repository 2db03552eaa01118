package scene

import (
	"image/color"
	"math"

	"copperglass/canvas"
)

// Measures of chevrons, in sheet units.
const (
	chevronHalf  = 5.0   // across the wire, from its middle
	chevronDepth = 5.0   // along the wire
	chevronWidth = 1.8   // of the stroke
	chevronPitch = 200.0 // about, between two on a long piece of wire
	chevronApart = 110.0 // at least, between two of a stream
	shortestWay  = 56.0  // of a piece that has a chevron without a current in words
	humpRoom     = 18.0  // least distance of a chevron from a hump
)

// drawChevrons marks the direction of currents: one beside each current in
// words, and more at a calm distance along the ribbons of the loads.
func (b *builder) drawChevrons() {
	if b.r == nil {
		return
	}
	ink := canvas.Style{Stroke: b.t.Current, Width: chevronWidth, Round: true}
	paths := chevronPaths{b.path(b.behind(ink)), b.path(ink)}
	b.marked = b.marked[:0]
	for _, q := range b.labels {
		if q.arrow && q.at != nowhere {
			m := q.spots[q.at].mark
			b.marked = append(b.marked, m.at)
			addChevron(b.chevronPath(paths, m.piece), m.at, b.direction(m.piece))
		}
	}
	if told := len(b.marked); b.o.Show.Ribbons {
		for i := range b.flow.streams {
			b.marked = b.marked[:told]
			b.chevronsAlong(paths, &b.flow.streams[i])
		}
	}
	b.driven.clearTies(paths.back)
	b.driven.clearTies(paths.front)
	b.addPaths(paths.back, paths.front)
}

// chevronPaths are the chevrons of what stands back, and the others.
type chevronPaths struct{ back, front *canvas.Path }

func (b *builder) chevronPath(p chevronPaths, piece int) *canvas.Path {
	if b.pieceBack(piece) {
		return p.back
	}
	return p.front
}

// drawLead draws the line that leads to a label, if one does.
func (b *builder) drawLead(s *spot, c color.NRGBA) {
	if r := s.lead(); s.led {
		b.add(b.path(canvas.Style{Fill: c}).Rectangle(r))
	}
}

// direction returns which way the current in a piece goes, as far as the piece
// goes.
func (b *builder) direction(piece int) canvas.Point {
	s := b.pieces[piece]
	if b.flow.amps[piece] < 0 {
		return canvas.OnGrid(s.A.Sub(s.B))
	}
	return canvas.OnGrid(s.B.Sub(s.A))
}

// addChevron adds one at a place, pointing along d.
func addChevron(path *canvas.Path, at, d canvas.Point) {
	l := math.Hypot(d.X, d.Y)
	ux, uy := d.X/l, d.Y/l
	tip := canvas.Pt(at.X+ux*chevronDepth/2, at.Y+uy*chevronDepth/2)
	back := canvas.Pt(at.X-ux*chevronDepth/2, at.Y-uy*chevronDepth/2)
	path.MoveTo(back.X-uy*chevronHalf, back.Y+ux*chevronHalf)
	path.LineTo(tip.X, tip.Y)
	path.LineTo(back.X+uy*chevronHalf, back.Y-ux*chevronHalf)
}

// chevronsAlong spaces chevrons on the long pieces of a load's stream, away
// from each other and from those that belong to a current in words.
func (b *builder) chevronsAlong(paths chevronPaths, s *stream) {
	if s.most < b.flow.largest*loadShare || b.flow.ribbonWidth(s.most) == 0 {
		return
	}
	for _, i := range s.pieces {
		from, d := canvas.OnGrid(b.pieces[i].A), b.direction(i)
		if b.flow.amps[i] < 0 {
			from = canvas.OnGrid(b.pieces[i].B)
		}
		length := math.Hypot(d.X, d.Y)
		if length < shortestWay {
			continue
		}
		n := math.Max(1, math.Round(length/chevronPitch-0.25))
		for k := range int(n) {
			t := (float64(k) + 0.5) / n
			at := canvas.Pt(from.X+t*d.X, from.Y+t*d.Y)
			if farFrom(at, b.marked) && b.clearOfHumps(at) {
				addChevron(b.chevronPath(paths, i), at, d)
				b.marked = append(b.marked, at)
			}
		}
	}
}

func (b *builder) clearOfHumps(at canvas.Point) bool {
	for _, h := range b.humps {
		if distance(at, canvas.OnGrid(h.at)) < humpRoom {
			return false
		}
	}
	return true
}

func farFrom(at canvas.Point, others []canvas.Point) bool {
	for _, p := range others {
		if distance(at, p) < chevronApart {
			return false
		}
	}
	return true
}

func distance(p, q canvas.Point) float64 {
	x, y := p.X-q.X, p.Y-q.Y
	return math.Sqrt(x*x + y*y)
}
