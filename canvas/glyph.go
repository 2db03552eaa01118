package canvas

import (
	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"

	"copperglass/assets"
)

// Outliner traces the glyphs of the font. The zero value is ready; it keeps its
// memory, and is for one goroutine at a time.
type Outliner struct {
	buf  truetype.GlyphBuf
	segs []Seg
}

// Em is the size of the font, in the units of Outline.
func Em(bold bool) float64 { return float64(assets.Font(bold).FUnitsPerEm()) }

// Outline returns the contours of a rune's glyph in font units about its origin
// on the baseline, Y growing downwards. They are good until the next call.
func (g *Outliner) Outline(c rune, bold bool) []Seg {
	f := assets.Font(bold)
	g.segs = g.segs[:0]
	// At one pixel to the font unit the points are exact. The font is embedded
	// and tested, so that no glyph of it can fail to load.
	if err := g.buf.Load(f, fixed.I(int(f.FUnitsPerEm())), f.Index(c), font.HintingNone); err != nil {
		return nil
	}
	from := 0
	for _, to := range g.buf.Ends {
		g.contour(g.buf.Points[from:to])
		from = to
	}
	return g.segs
}

// contour adds a TrueType contour: points on the curve joined by straight lines
// or, where points off the curve lie between, by quadratic Béziers; between two
// points off the curve their midpoint is on it.
func (g *Outliner) contour(pts []truetype.Point) {
	n := len(pts)
	if n == 0 {
		return
	}
	from := anchor(pts[n-1], pts[0])
	g.segs = append(g.segs, Seg{Op: Move, P: from})
	for i, p := range pts {
		if onCurve(p) {
			from = place(p)
			g.segs = append(g.segs, Seg{Op: Line, P: from})
			continue
		}
		to := anchor(p, pts[(i+1)%n])
		g.quadratic(from, place(p), to)
		from = to
	}
	g.segs = append(g.segs, Seg{Op: Close})
}

// quadratic adds a quadratic Bézier as the cubic that is the same curve.
func (g *Outliner) quadratic(from, c, to Point) {
	third := func(p Point) Point { return Pt((p.X+2*c.X)/3, (p.Y+2*c.Y)/3) }
	g.segs = append(g.segs, Seg{Op: Cubic, C1: third(from), C2: third(to), P: to})
}

// anchor returns the point on the curve at q or, if q is off it, before q.
func anchor(p, q truetype.Point) Point {
	a, b := place(p), place(q)
	switch {
	case onCurve(q):
		return b
	case onCurve(p):
		return a
	}
	return Pt((a.X+b.X)/2, (a.Y+b.Y)/2)
}

// onCurve reads the lowest flag of a point in a glyf table.
func onCurve(p truetype.Point) bool { return p.Flags&1 != 0 }

// place turns a point of the font, where Y grows upwards, into one of a picture.
func place(p truetype.Point) Point { return Pt(float64(p.X)/64, -float64(p.Y)/64) }
