package raster

import (
	"image"
	"image/color"
	"math"
	"math/bits"

	"github.com/golang/freetype/raster"
	"golang.org/x/image/math/fixed"

	"copperglass/canvas"
)

// filler fills closed runs with a colour. It drives the rasteriser that gg is
// built on directly: confined to the rows of each item and with a painter that
// copies where a colour is opaque, it takes a quarter to a half of gg's time (see
// the benchmarks) and hardly allocates.
type filler struct {
	im     *image.RGBA
	pixels canvas.Rect // the image's extent
	ink    ink
	bands  [maxBands]*raster.Rasterizer // by the power of two of their rows
	raster *raster.Rasterizer           // the one of them that is in use
	origin canvas.Point                 // of what is being filled: the rasteriser's zero
}

// A rasteriser forgets its memory when its bounds change, so there is one for
// each power of two of rows from leastBand on, whose bounds stay.
const (
	leastBand = 4 // 16 rows
	maxBands  = 32
)

// ink is a premultiplied colour: red, green, blue, alpha.
type ink [4]uint8

func newInk(c color.NRGBA) ink {
	r, g, b, a := c.RGBA() // in 16 bits
	return ink{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), uint8(a >> 8)}
}

func (k ink) opaque() bool { return k[3] == 255 }

func (f *filler) resize(w, h int) {
	if f.im != nil && f.im.Rect.Dx() == w && f.im.Rect.Dy() == h {
		return
	}
	f.im = image.NewRGBA(image.Rect(0, 0, w, h))
	f.pixels = canvas.Rect{Max: canvas.Pt(float64(w), float64(h))}
	f.bands = [maxBands]*raster.Rasterizer{}
}

// band returns a rasteriser of as many rows or a few more, ready to begin.
func (f *filler) band(rows int) *raster.Rasterizer {
	i := max(leastBand, bits.Len(uint(rows-1)))
	if f.bands[i] == nil {
		f.bands[i] = raster.NewRasterizer(f.im.Rect.Dx(), 1<<i)
		f.bands[i].UseNonZeroWinding = true
	}
	f.bands[i].Clear()
	return f.bands[i]
}

// fill fills the runs from i to j by the nonzero rule.
func (f *filler) fill(l *lines, i, j int) {
	if j-i == 1 {
		pts, _ := l.run(i)
		if box, ok := upright(pts); ok {
			f.rect(box)
			return
		}
	}
	if !f.confine(l.box(i, j)) {
		return
	}
	for ; i < j; i++ {
		pts, _ := l.run(i)
		f.trace(pts)
	}
	f.raster.Rasterize(f)
}

// confine makes the rasteriser ready for what lies in a box, and reports
// whether any of it is in the image.
func (f *filler) confine(box canvas.Rect) bool {
	x0, x1 := span(box.Min.X, box.Max.X, f.im.Rect.Dx())
	y0, y1 := span(box.Min.Y, box.Max.Y, f.im.Rect.Dy())
	if x0 >= x1 || y0 >= y1 {
		return false
	}
	f.raster = f.band(y1 - y0)
	f.raster.Dx, f.raster.Dy = x0, y0
	f.origin = canvas.Pt(float64(x0), float64(y0))
	return true
}

// trace gives a run to the rasteriser, which takes coordinates of 26 bits, takes
// time for each row it crosses and rounds negative coordinates the wrong way; so
// what is outside the image is moved to its border.
func (f *filler) trace(pts []canvas.Point) {
	prev := pts[len(pts)-1]
	f.raster.Start(f.fixed(clamp(prev, f.pixels)))
	for _, p := range pts {
		f.traceLine(prev, p)
		prev = p
	}
}

func (f *filler) traceLine(p, q canvas.Point) {
	if f.pixels.Contains(p) && f.pixels.Contains(q) {
		f.raster.Add1(f.fixed(q))
		return
	}
	for _, t := range crossings(p, q, f.pixels) {
		f.raster.Add1(f.fixed(clamp(canvas.Pt(p.X+t*(q.X-p.X), p.Y+t*(q.Y-p.Y)), f.pixels)))
	}
}

func (f *filler) fixed(p canvas.Point) fixed.Point26_6 { return toFixed(p.Sub(f.origin)) }

func toFixed(p canvas.Point) fixed.Point26_6 {
	return fixed.Point26_6{X: fixed.Int26_6(math.Round(p.X * 64)), Y: fixed.Int26_6(math.Round(p.Y * 64))}
}

// crossings returns, in order, the places t along p + t (q − p) where a line
// crosses the borders of a rectangle, and 1, its end. Between them the line is
// on one side of every border, so that clamping its points leaves it straight
// and the winding number of every point inside as it was.
func crossings(p, q canvas.Point, r canvas.Rect) [5]float64 {
	at := func(from, to, border float64) float64 {
		t := (border - from) / (to - from)
		if t > 0 && t < 1 {
			return t
		}
		return 1
	}
	t := [5]float64{at(p.X, q.X, r.Min.X), at(p.X, q.X, r.Max.X), at(p.Y, q.Y, r.Min.Y), at(p.Y, q.Y, r.Max.Y), 1}
	for i := range t {
		for j := i; j > 0 && t[j] < t[j-1]; j-- {
			t[j], t[j-1] = t[j-1], t[j]
		}
	}
	return t
}

func clamp(p canvas.Point, r canvas.Rect) canvas.Point {
	return canvas.Pt(max(r.Min.X, min(p.X, r.Max.X)), max(r.Min.Y, min(p.Y, r.Max.Y)))
}

// Paint lays the ink over spans of pixels; it makes filler a raster.Painter.
func (f *filler) Paint(spans []raster.Span, _ bool) {
	for _, s := range spans {
		f.span(s.X0, s.X1, s.Y, s.Alpha)
	}
}

// span lays the ink over a row of pixels, covering m/65535 of each.
func (f *filler) span(x0, x1, y int, m uint32) {
	row := f.im.Pix[f.im.PixOffset(x0, y):f.im.PixOffset(x1, y)]
	solid := m == full && f.ink.opaque()
	for i := 0; i+4 <= len(row); i += 4 {
		d := (*[4]uint8)(row[i:])
		if solid {
			*d = f.ink
		} else {
			f.ink.blend(d, m)
		}
	}
}

const full = 65535 // all of a pixel

// blend lays the ink over a pixel, covering m/65535 of it.
func (k *ink) blend(d *[4]uint8, m uint32) {
	under := full - uint32(k[3])*m/255
	for i := range d {
		d[i] = uint8((uint32(d[i])*under + uint32(k[i])*m + full/2) / full)
	}
}

// mask lays the ink over what a glyph covers that stands at a pixel.
func (f *filler) mask(m *image.Alpha, x, y int) {
	r := m.Rect.Add(image.Pt(x, y)).Intersect(f.im.Rect)
	for ; r.Min.Y < r.Max.Y; r.Min.Y++ {
		row := f.im.Pix[f.im.PixOffset(r.Min.X, r.Min.Y):]
		for i, a := range m.Pix[m.PixOffset(r.Min.X-x, r.Min.Y-y):][:r.Dx()] {
			if a > 0 {
				f.ink.blend((*[4]uint8)(row[4*i:]), uint32(a)*0x101)
			}
		}
	}
}

// upright reports whether a closed run is an upright rectangle: the outline of
// a horizontal or vertical line, a card, a dot of the grid. They are most of a
// drawing, and filling them needs no rasteriser.
func upright(p []canvas.Point) (canvas.Rect, bool) {
	if len(p) != 4 {
		return canvas.Rect{}, false
	}
	flat := p[0].Y == p[1].Y && p[1].X == p[2].X && p[2].Y == p[3].Y && p[3].X == p[0].X
	steep := p[0].X == p[1].X && p[1].Y == p[2].Y && p[2].X == p[3].X && p[3].Y == p[0].Y
	r := canvas.Rect{Min: p[0], Max: p[0]}
	return r.Include(p[2]), flat || steep
}

// rect fills an upright rectangle; a pixel that it covers in part takes the ink
// in that part.
func (f *filler) rect(r canvas.Rect) {
	x0, x1 := span(r.Min.X, r.Max.X, f.im.Rect.Dx())
	y0, y1 := span(r.Min.Y, r.Max.Y, f.im.Rect.Dy())
	for y := y0; y < y1; y++ {
		down := full * overlap(y, r.Min.Y, r.Max.Y)
		for x := x0; x < x1; {
			across, to := overlap(x, r.Min.X, r.Max.X), x+1
			if across == 1 {
				to = max(to, min(x1, int(r.Max.X)))
			}
			f.span(x, to, y, uint32(down*across+0.5))
			x = to
		}
	}
}

// span returns the pixels of n that an interval touches.
func span(lo, hi float64, n int) (from, to int) {
	limit := float64(n)
	return int(max(0, min(math.Floor(lo), limit))), int(max(0, min(math.Ceil(hi), limit)))
}

// overlap returns how much of pixel i an interval covers.
func overlap(i int, lo, hi float64) float64 {
	return min(float64(i+1), hi) - max(float64(i), lo)
}
