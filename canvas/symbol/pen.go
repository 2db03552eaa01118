package symbol

import (
	"image/color"
	"math"

	"copperglass/canvas"
	"copperglass/model"
)

// Widths of lines, in sheet units.
const (
	stroke = 1.7 // leads, outlines: the same as a wire
	plate  = 2.2 // the lines that matter most in a symbol: plates, a diode's bar
	slab   = 4.0 // the negative stroke of a cell
	fine   = 1.4 // signs and rays
)

// leadEnd is how far the pins of a part with two or three of them are from its
// origin: two steps.
const leadEnd = 2 * canvas.Grid

// pen draws one part, in the part's own coordinates: sheet units about its
// origin as it lies before it is turned.
type pen struct {
	Look
	frame
	part   *model.Part
	values model.Values
	Drawing
}

func newPen(p *model.Part, v model.Values, look Look) *pen {
	return &pen{Look: look, frame: frameOf(p), part: p, values: v, Drawing: Drawing{body: look.Theme.Body, light: look.lightOf(p, v)}}
}

// polyline joins points given as x, y, x, y, ….
func polyline(xy ...float64) *canvas.Path {
	q := new(canvas.Path).MoveTo(xy[0], xy[1])
	for i := 2; i < len(xy); i += 2 {
		q.LineTo(xy[i], xy[i+1])
	}
	return q
}

// lead draws a line that is never in doubt. A straight one is cut flat, so that
// it meets the wire at its pin without a knot.
func (p *pen) lead(xy ...float64) {
	q := p.solid(polyline(xy...), stroke)
	q.Round = len(xy) > 4
}

// leads draws from both pins of a part that lies sideways to its body, which
// reaches x to either side.
func (p *pen) leads(x float64) {
	p.lead(-leadEnd, 0, -x, 0)
	p.lead(x, 0, leadEnd, 0)
}

// posts is leads for a part that stands upright.
func (p *pen) posts(y float64) {
	p.lead(0, -leadEnd, 0, -y)
	p.lead(0, y, 0, leadEnd)
}

func (p *pen) solid(q *canvas.Path, width float64) *canvas.Path {
	q.Style = canvas.Style{Stroke: p.Theme.Ink, Width: width, Round: true}
	p.add(p.path(q))
	return q
}

// dashed draws a line that stands for more than a wire: what is left out, or
// what moves together.
func (p *pen) dashed(xy ...float64) {
	p.add(dashes(p.path(polyline(xy...)), canvas.Style{Stroke: p.Theme.Ink, Width: stroke})...)
}

// line draws a line of the body.
func (p *pen) line(width float64, xy ...float64) { p.curve(polyline(xy...), width) }

// curve draws an open line of the body.
func (p *pen) curve(q *canvas.Path, width float64) { p.outline(q, color.NRGBA{}, width) }

// body draws a closed part of the body, white inside.
func (p *pen) body(q *canvas.Path) { p.outline(q, p.Theme.Body, stroke) }

// shining draws a closed part of the body that lights up with the glow.
func (p *pen) shining(q *canvas.Path) {
	p.lit = append(p.lit, p.outline(q, p.shine(p.Glow), stroke))
}

// outline fills q and draws its edge, dashed for a guessed part. It returns
// what is filled.
func (p *pen) outline(q *canvas.Path, fill color.NRGBA, width float64) *canvas.Path {
	q = p.path(q)
	if !p.Guessed {
		q.Style = canvas.Style{Fill: fill, Stroke: p.Theme.Ink, Width: width, Round: true}
		p.add(q)
		return q
	}
	inside := &canvas.Path{Style: canvas.Style{Fill: fill}, Segs: q.Segs}
	if fill.A > 0 {
		p.add(inside)
	}
	p.add(dashes(q, canvas.Style{Stroke: p.Theme.Ink, Width: width})...)
	return inside
}

// ink draws a closed shape full of ink.
func (p *pen) ink(q *canvas.Path) {
	q.Style = canvas.Style{Fill: p.Theme.Ink}
	p.add(p.path(q))
}

// head draws a filled arrowhead with its tip at (x, y), pointing along the
// angle, in radians clockwise from the X axis.
func (p *pen) head(x, y, angle, length, width float64) {
	sin, cos := math.Sincos(angle)
	bx, by := x-length*cos, y-length*sin
	dx, dy := -sin*width/2, cos*width/2
	p.ink(polyline(x, y, bx+dx, by+dy, bx-dx, by-dy).Close())
}

// signArm is half the length of a plus or minus sign.
const signArm = 3.5

// plus draws the sign of the positive pin, the same however the part is turned.
func (p *pen) plus(x, y float64) {
	p.solid(polyline(x-signArm, y, x+signArm, y), fine)
	p.solid(polyline(x, y-signArm, x, y+signArm), fine)
}

// level draws a stroke about a point of the sheet that lies level however the
// part is turned.
func (p *pen) level(at canvas.Point, half float64) {
	p.straight(canvas.Pt(at.X-half, at.Y), canvas.Pt(at.X+half, at.Y), fine)
}

// straight draws a solid line between points of the sheet.
func (p *pen) straight(a, b canvas.Point, width float64) *canvas.Path {
	q := polyline(a.X, a.Y, b.X, b.Y)
	q.Style = canvas.Style{Stroke: p.Theme.Ink, Width: width, Round: true}
	p.add(q)
	return q
}

// letter writes a capital at the part's origin, lifted by some units, upright
// however the part is turned.
func (p *pen) letter(s string, size, lift float64) {
	at := p.origin.Add(canvas.Pt(0, canvas.CapHeight(size)/2-lift))
	p.add(&canvas.Text{At: at, String: s, Size: size, Bold: true, Colour: p.letters(), Align: canvas.Middle})
}

// write adds a text if there is any.
func (p *pen) write(t *canvas.Text) {
	if t.String != "" {
		p.add(t)
	}
}

func (p *pen) add(items ...canvas.Item) { p.Items = append(p.Items, items...) }

// mix returns the colour that is the share t of the way from a to b.
func mix(a, b color.NRGBA, t float64) color.NRGBA {
	if !(t > 0) {
		return a
	}
	t = math.Min(t, 1)
	part := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + t*(float64(y)-float64(x)))) }
	return color.NRGBA{R: part(a.R, b.R), G: part(a.G, b.G), B: part(a.B, b.B), A: part(a.A, b.A)}
}

// Directions, in radians clockwise from the X axis.
const (
	right = 0.0
	down  = math.Pi / 2
	left  = math.Pi
	up    = -math.Pi / 2
)
