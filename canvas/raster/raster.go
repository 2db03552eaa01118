// Package raster draws pictures as pixels.
package raster

import (
	"image"
	"image/draw"

	"copperglass/canvas"
)

// Renderer draws pictures. The zero value is ready. It keeps its image, its
// buffers and the glyphs it has drawn, so one that is used again hardly
// allocates. It is for one goroutine at a time, and not to be copied.
type Renderer struct {
	filler
	view    canvas.View
	path    lines // the item's path, flattened
	dashes  lines // its dashes
	outline lines // what its stroke covers
	glyphs  glyphCache
}

// Draw draws the part of a picture that a view shows on w × h pixels, on the
// picture's paper. The image, with premultiplied alpha, belongs to the renderer
// and is overwritten by the next call.
func (r *Renderer) Draw(p *canvas.Picture, v canvas.View, w, h int) *image.RGBA {
	r.resize(max(w, 0), max(h, 0))
	r.view = v
	draw.Draw(r.im, r.im.Rect, image.NewUniform(p.Paper), image.Point{}, draw.Src)
	return r.Over(p.Items)
}

// Over draws more on top of what was drawn last, in the same view.
func (r *Renderer) Over(items []canvas.Item) *image.RGBA {
	for _, it := range items {
		if !r.shows(it.Bounds()) {
			continue
		}
		switch it := it.(type) {
		case *canvas.Path:
			r.drawPath(it)
		case *canvas.Text:
			r.drawText(it)
		}
	}
	return r.im
}

func (r *Renderer) shows(b canvas.Rect) bool {
	px := canvas.Rect{Min: r.view.ToPixel(b.Min), Max: r.view.ToPixel(b.Max)}
	return b.Drawable() && px.Drawable() && px.Inset(-1).Overlaps(r.pixels)
}

func (r *Renderer) drawPath(p *canvas.Path) {
	r.path.reset()
	r.path.flatten(p.Segs, r.view)
	if p.Fill.A > 0 {
		r.ink = newInk(p.Fill)
		r.fillPath()
	}
	if p.Stroke.A > 0 && p.Width > 0 {
		r.ink = newInk(p.Stroke)
		r.strokePath(&p.Style)
	}
}

// fillPath fills the runs of the path by the nonzero rule. Runs that turn one
// way only, and all the same way, cannot cut holes into each other; they cover
// together what they cover one by one. Filling them one by one is much faster
// for many small ones, because the rasteriser seeks along each row of pixels.
func (r *Renderer) fillPath() {
	if r.ink.opaque() && r.path.convex() {
		for i := range r.path.runs {
			r.fill(&r.path, i, i+1)
		}
		return
	}
	r.fill(&r.path, 0, len(r.path.runs))
}

// strokePath fills the outline of each run by itself if the colour is opaque,
// and all at once if it is not, so that crossings do not show.
func (r *Renderer) strokePath(st *canvas.Style) {
	path := &r.path
	if pattern, ok := dashPattern(st, r.view.Scale); ok {
		r.dashes.reset()
		r.dashes.dash(&r.path, pattern, r.pixels.Inset(-st.Reach()*r.view.Scale))
		path = &r.dashes
	}
	s := stroker{half: st.Width / 2 * r.view.Scale, round: st.Round, out: &r.outline}
	r.outline.reset()
	for i := range path.runs {
		s.stroke(path.run(i))
		if r.ink.opaque() {
			r.fill(&r.outline, 0, len(r.outline.runs))
			r.outline.reset()
		}
	}
	r.fill(&r.outline, 0, len(r.outline.runs))
}
