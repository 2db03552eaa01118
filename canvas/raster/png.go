package raster

import (
	"fmt"
	"image/png"
	"io"
	"math"

	"copperglass/canvas"
)

// maxPixels is the most that WritePNG draws: 400 megabytes while it does.
const maxPixels = 100e6

// WritePNG writes a whole picture as a PNG file, at a scale in pixels to the
// sheet unit and with a margin in sheet units. It is transparent where nothing
// is drawn if the picture's paper is.
func WritePNG(w io.Writer, p *canvas.Picture, scale, margin float64) error {
	frame := p.Frame(margin)
	width, height := math.Ceil(frame.Width()*scale), math.Ceil(frame.Height()*scale)
	switch {
	case !(scale > 0) || math.IsInf(scale, 0):
		return fmt.Errorf("PNG at scale %v: the scale must be a number above 0", scale)
	case !(width >= 1 && height >= 1):
		return fmt.Errorf("PNG with a margin of %v: nothing is left of the picture; use a margin of 0 or more", margin)
	case !(width*height <= maxPixels):
		return fmt.Errorf("PNG at scale %v: %.0f × %.0f pixels are more than the limit of %.0f million; use a lower scale, or SVG",
			scale, width, height, maxPixels/1e6)
	}
	var r Renderer
	im := r.Draw(p, canvas.View{Scale: scale, Origin: frame.Min}, int(width), int(height))
	if err := png.Encode(w, im); err != nil {
		return fmt.Errorf("PNG not written: %w", err)
	}
	return nil
}
