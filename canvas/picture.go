// Package canvas is the vocabulary of pictures: paths, text and colours in a
// flat list that the renderers play. A picture is measured in sheet units, of
// which Grid make one step of the drawing's grid; at scale 1 a unit is one
// pixel. X grows to the right, Y downwards.
package canvas

import (
	"image/color"
	"math"

	"copperglass/model/geom"
)

// Grid is the length of one grid step in sheet units.
const Grid = 20.0

// Point is a place in a picture, in sheet units.
type Point struct{ X, Y float64 }

// Pt is shorthand for Point{x, y}.
func Pt(x, y float64) Point { return Point{x, y} }

// OnGrid returns where a point of the drawing's grid is in the picture.
func OnGrid(p geom.Point) Point { return Point{float64(p.X) * Grid, float64(p.Y) * Grid} }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Rect is an upright rectangle, in sheet units.
type Rect struct{ Min, Max Point }

// EmptyRect returns the rectangle without points, the neutral element of Union.
func EmptyRect() Rect {
	return Rect{Pt(math.Inf(1), math.Inf(1)), Pt(math.Inf(-1), math.Inf(-1))}
}

// Width and Height are the rectangle's sides.
func (r Rect) Width() float64  { return r.Max.X - r.Min.X }
func (r Rect) Height() float64 { return r.Max.Y - r.Min.Y }

// Empty reports whether r holds no point.
func (r Rect) Empty() bool { return r.Max.X < r.Min.X || r.Max.Y < r.Min.Y }

// Drawable reports whether an item with these bounds can be drawn: it has some
// extent or place, and no coordinate of it is infinite, no number, or absurdly
// far away. Renderers leave out what is not drawable.
func (r Rect) Drawable() bool {
	return finite(r.Min.X) && finite(r.Min.Y) && finite(r.Max.X) && finite(r.Max.Y)
}

// Center returns the middle of r.
func (r Rect) Center() Point { return Pt((r.Min.X+r.Max.X)/2, (r.Min.Y+r.Max.Y)/2) }

// Contains reports whether p lies in r, its border included.
func (r Rect) Contains(p Point) bool {
	return r.Min.X <= p.X && p.X <= r.Max.X && r.Min.Y <= p.Y && p.Y <= r.Max.Y
}

// Overlaps reports whether r and s share more than a border.
func (r Rect) Overlaps(s Rect) bool {
	return r.Min.X < s.Max.X && s.Min.X < r.Max.X && r.Min.Y < s.Max.Y && s.Min.Y < r.Max.Y
}

// Inset returns r with each side moved inwards by d; outwards where d < 0.
func (r Rect) Inset(d float64) Rect {
	return Rect{Pt(r.Min.X+d, r.Min.Y+d), Pt(r.Max.X-d, r.Max.Y-d)}
}

// Union returns the smallest rectangle that holds both.
func (r Rect) Union(s Rect) Rect {
	return Rect{
		Pt(math.Min(r.Min.X, s.Min.X), math.Min(r.Min.Y, s.Min.Y)),
		Pt(math.Max(r.Max.X, s.Max.X), math.Max(r.Max.Y, s.Max.Y)),
	}
}

// Include returns the smallest rectangle that holds r and p.
func (r Rect) Include(p Point) Rect { return r.Union(Rect{p, p}) }

// Picture is an ordered list of what to draw; later items cover earlier ones.
type Picture struct {
	Title string      // its name, for readers who cannot see it
	About string      // what it shows, for the same readers
	Paper color.NRGBA // the background; the zero colour is transparent
	Items []Item
}

// Item is a *Path or a *Text. The set is closed.
type Item interface {
	// Bounds returns a rectangle that holds all the item's ink.
	Bounds() Rect
	item()
}

// Bounds returns the smallest rectangle known to hold everything drawn.
func (p *Picture) Bounds() Rect {
	r := EmptyRect()
	for _, it := range p.Items {
		if b := it.Bounds(); b.Drawable() {
			r = r.Union(b)
		}
	}
	return r
}

// Add puts items on top.
func (p *Picture) Add(items ...Item) { p.Items = append(p.Items, items...) }

// Style says how a path is drawn. A colour whose alpha is 0 draws nothing.
type Style struct {
	Fill   color.NRGBA
	Stroke color.NRGBA
	Width  float64   // of the stroke, sheet units
	Dash   []float64 // lengths of dash and gap in turn, sheet units; none for a full line
	Round  bool      // round ends and corners; otherwise ends are cut flat and corners mitred
}

// MitreLimit is the greatest length of a mitred corner, in stroke widths. A
// sharper corner, below 54°, is bevelled.
const MitreLimit = 2.2

// Path is a run of straight and curved lines. Several runs may follow one
// another, each begun by MoveTo; a fill uses the nonzero winding rule.
type Path struct {
	Style
	Segs []Seg
}

// Op is what a segment does.
type Op uint8

// The operations of a path.
const (
	Move  Op = iota // begin a run at P
	Line            // straight to P
	Cubic           // by a cubic Bézier with control points C1, C2 to P
	Close           // straight back to where the run began
)

// Seg is one segment of a path.
type Seg struct {
	Op        Op
	P, C1, C2 Point
}

// MoveTo begins a run.
func (p *Path) MoveTo(x, y float64) *Path {
	p.Segs = append(p.Segs, Seg{Op: Move, P: Pt(x, y)})
	return p
}

// LineTo draws straight to a point.
func (p *Path) LineTo(x, y float64) *Path {
	p.Segs = append(p.Segs, Seg{Op: Line, P: Pt(x, y)})
	return p
}

// CubicTo draws a cubic Bézier.
func (p *Path) CubicTo(x1, y1, x2, y2, x, y float64) *Path {
	p.Segs = append(p.Segs, Seg{Op: Cubic, C1: Pt(x1, y1), C2: Pt(x2, y2), P: Pt(x, y)})
	return p
}

// Close ends the run where it began.
func (p *Path) Close() *Path {
	p.Segs = append(p.Segs, Seg{Op: Close})
	return p
}

// Rectangle adds a closed rectangle.
func (p *Path) Rectangle(r Rect) *Path {
	return p.MoveTo(r.Min.X, r.Min.Y).LineTo(r.Max.X, r.Min.Y).LineTo(r.Max.X, r.Max.Y).LineTo(r.Min.X, r.Max.Y).Close()
}

// Arc adds an arc of a circle about c, clockwise on the sheet from angle a to
// angle b, in radians from the X axis, as a new run. It is approximated by one
// cubic for each quarter turn or less, to 3 parts in 10 000 of the radius
// (control points at 4/3 tan(θ/4), the usual construction).
func (p *Path) Arc(c Point, radius, a, b float64) *Path {
	n := math.Max(1, math.Ceil(math.Abs(b-a)/(math.Pi/2)-1e-9))
	step := (b - a) / n
	k := 4.0 / 3 * math.Tan(step/4) * radius
	x, y := c.X+radius*math.Cos(a), c.Y+radius*math.Sin(a)
	p.MoveTo(x, y)
	for i := range int(n) {
		t0, t1 := a+float64(i)*step, a+float64(i+1)*step
		x1, y1 := c.X+radius*math.Cos(t1), c.Y+radius*math.Sin(t1)
		p.CubicTo(x-k*math.Sin(t0), y+k*math.Cos(t0), x1+k*math.Sin(t1), y1-k*math.Cos(t1), x1, y1)
		x, y = x1, y1
	}
	return p
}

// Circle adds a closed circle.
func (p *Path) Circle(c Point, radius float64) *Path {
	return p.Arc(c, radius, 0, 2*math.Pi).Close()
}

// RoundRect adds a closed rectangle with rounded corners.
func (p *Path) RoundRect(r Rect, radius float64) *Path {
	radius = math.Min(radius, math.Min(r.Width(), r.Height())/2)
	k := radius * 4 / 3 * math.Tan(math.Pi/8)
	x0, y0, x1, y1 := r.Min.X, r.Min.Y, r.Max.X, r.Max.Y
	d := radius - k
	return p.MoveTo(x0+radius, y0).
		LineTo(x1-radius, y0).CubicTo(x1-d, y0, x1, y0+d, x1, y0+radius).
		LineTo(x1, y1-radius).CubicTo(x1, y1-d, x1-d, y1, x1-radius, y1).
		LineTo(x0+radius, y1).CubicTo(x0+d, y1, x0, y1-d, x0, y1-radius).
		LineTo(x0, y0+radius).CubicTo(x0, y0+d, x0+d, y0, x0+radius, y0).
		Close()
}

// Bounds holds the path's control points and what its stroke may add to them:
// half the width, or half a corner's length where corners are mitred.
func (p *Path) Bounds() Rect {
	r := EmptyRect()
	for _, s := range p.Segs {
		switch s.Op {
		case Close:
		case Cubic:
			r = r.Include(s.C1).Include(s.C2).Include(s.P)
		default:
			r = r.Include(s.P)
		}
	}
	return r.Inset(-p.Reach())
}

// Align says which point of a text stands at its place.
type Align uint8

// The horizontal alignments. Vertically the place is always the baseline.
const (
	Start Align = iota
	Middle
	End
)

// Text is one line of text in the program's own font.
type Text struct {
	At     Point // on the baseline
	String string
	Size   float64 // of the font, sheet units
	Bold   bool
	Colour color.NRGBA
	Align  Align
}

// Reach returns how far the stroke may reach from the path's line.
func (s *Style) Reach() float64 {
	switch {
	case s.Stroke.A == 0 || s.Width <= 0:
		return 0
	case s.Round:
		return s.Width / 2
	}
	return s.Width / 2 * MitreLimit
}

// Dashed reports whether the stroke is dashed: it is not if its dashes have no
// length, or one that is negative or no number.
func (s *Style) Dashed() bool {
	sum := 0.0
	for _, d := range s.Dash {
		if !(d >= 0) {
			return false
		}
		sum += d
	}
	return sum > 0 && finite(sum)
}

func (*Path) item() {}
func (*Text) item() {}
