package ui

import (
	"image"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"

	"copperglass/canvas"
	"copperglass/canvas/raster"
)

// newSketch returns a small picture drawn by the renderer of the drawing, at
// the pixels of the device. One unit of the picture is one of the toolkit; its
// origin is the top left corner. It is painted seldom, and the toolkit remembers
// it for a minute after it is gone, so it keeps nothing to paint with.
func newSketch(size fyne.Size, draw func(fyne.Size) canvas.Picture) *prim.Raster {
	var r *prim.Raster
	r = prim.NewRaster(func(w, h int) image.Image {
		at := r.Size()
		if at.Width <= 0 {
			return image.NewRGBA(image.Rect(0, 0, 1, 1))
		}
		p := draw(at)
		var renderer raster.Renderer
		return renderer.Draw(&p, canvas.View{Scale: float64(w) / float64(at.Width)}, w, h)
	})
	r.SetMinSize(size)
	return r
}
