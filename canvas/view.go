package canvas

import "math"

// View maps a picture to pixels.
type View struct {
	Scale  float64 // pixels to the sheet unit
	Origin Point   // what is at the top left corner of the top left pixel
}

// ToPixel returns where a point of the sheet is, in pixels.
func (v View) ToPixel(p Point) Point {
	return Pt((p.X-v.Origin.X)*v.Scale, (p.Y-v.Origin.Y)*v.Scale)
}

// ToSheet returns the point of the sheet at a place in pixels.
func (v View) ToSheet(p Point) Point {
	return Pt(p.X/v.Scale+v.Origin.X, p.Y/v.Scale+v.Origin.Y)
}

// Frame is the part of the sheet that an export shows: what is drawn and a
// margin about it, widened to whole units so that no renderer has to cut or
// shift the picture by part of a pixel. An empty picture has a frame of one
// unit and the margin.
func (p *Picture) Frame(margin float64) Rect {
	r := p.Bounds()
	if r.Empty() {
		r = Rect{Pt(0, 0), Pt(1, 1)}
	}
	r = r.Inset(-margin)
	return Rect{
		Pt(math.Floor(r.Min.X), math.Floor(r.Min.Y)),
		Pt(math.Ceil(r.Max.X), math.Ceil(r.Max.Y)),
	}
}
