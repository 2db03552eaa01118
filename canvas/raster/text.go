package raster

import (
	"image"
	"math"

	"github.com/golang/freetype/raster"

	"copperglass/canvas"
)

const (
	subpixels  = 4       // places across and down a pixel where a glyph may stand
	maxCached  = 64.0    // size in pixels; larger glyphs are drawn as paths
	cacheBytes = 4 << 20 // of masks, after which the cache begins anew
)

// glyphKey says all that a glyph's mask depends on.
type glyphKey struct {
	r    rune
	bold bool
	size float32 // pixels to the em
	x, y uint8   // part of a pixel, in subpixels
}

// glyphCache keeps masks of glyphs.
type glyphCache struct {
	masks    map[glyphKey]*image.Alpha
	bytes    int
	outliner canvas.Outliner
	lines    lines
	raster   raster.Rasterizer
}

// drawText draws each rune at its unhinted advance. Runes that do not show are
// passed over, so the time for a long text is that of reading it.
func (r *Renderer) drawText(t *canvas.Text) {
	if t.Colour.A == 0 {
		return
	}
	r.ink = newInk(t.Colour)
	at, size := r.view.ToPixel(t.Left()), t.Size*r.view.Scale
	for _, c := range t.String {
		if at.X-size > r.pixels.Max.X {
			return
		}
		advance := canvas.Advance(c, size, t.Bold)
		if c != ' ' && at.X+advance+size > 0 {
			r.drawGlyph(canvas.Printable(c), at, size, t.Bold)
		}
		at.X += advance
	}
}

func (r *Renderer) drawGlyph(c rune, at canvas.Point, size float64, bold bool) {
	if size > maxCached {
		r.path.reset()
		r.glyphs.outline(&r.path, c, at, size, bold)
		r.fill(&r.path, 0, len(r.path.runs))
		return
	}
	x, y := math.Round(at.X*subpixels), math.Round(at.Y*subpixels)
	px, py := math.Floor(x/subpixels), math.Floor(y/subpixels)
	key := glyphKey{c, bold, float32(size), uint8(x - px*subpixels), uint8(y - py*subpixels)}
	r.mask(r.glyphs.mask(key), int(px), int(py))
}

// mask returns what a glyph covers, about its place on the baseline.
func (g *glyphCache) mask(key glyphKey) *image.Alpha {
	if m, ok := g.masks[key]; ok {
		return m
	}
	if g.masks == nil || g.bytes > cacheBytes {
		g.masks, g.bytes = map[glyphKey]*image.Alpha{}, 0
	}
	at := canvas.Pt(float64(key.x)/subpixels, float64(key.y)/subpixels)
	g.lines.reset()
	g.outline(&g.lines, key.r, at, float64(key.size), key.bold)
	m := g.rasterise()
	g.masks[key] = m
	g.bytes += len(m.Pix) + 100 // the map's entry
	return m
}

// rasterise fills the lines into a mask of their extent.
func (g *glyphCache) rasterise() *image.Alpha {
	box := g.lines.box(0, len(g.lines.runs))
	if box.Empty() {
		return &image.Alpha{}
	}
	r := image.Rect(int(math.Floor(box.Min.X)), int(math.Floor(box.Min.Y)), int(math.Ceil(box.Max.X)), int(math.Ceil(box.Max.Y)))
	m := image.NewAlpha(image.Rect(0, 0, r.Dx(), r.Dy()))
	g.raster.UseNonZeroWinding = true
	g.raster.SetBounds(r.Dx(), r.Dy())
	for i := range g.lines.runs {
		pts, _ := g.lines.run(i)
		g.trace(pts, canvas.Pt(float64(r.Min.X), float64(r.Min.Y)))
	}
	g.raster.Rasterize(raster.NewAlphaSrcPainter(m))
	m.Rect = r
	return m
}

func (g *glyphCache) trace(pts []canvas.Point, origin canvas.Point) {
	g.raster.Start(toFixed(pts[len(pts)-1].Sub(origin)))
	for _, p := range pts {
		g.raster.Add1(toFixed(p.Sub(origin)))
	}
}

// outline adds the contours of a rune's glyph whose origin stands at a pixel.
func (g *glyphCache) outline(l *lines, c rune, at canvas.Point, size float64, bold bool) {
	scale := size / canvas.Em(bold)
	l.flatten(g.outliner.Outline(c, bold), canvas.View{Scale: scale, Origin: canvas.Pt(-at.X/scale, -at.Y/scale)})
}
