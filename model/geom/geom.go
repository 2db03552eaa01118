// Package geom is the integer grid that drawings stand on: points, rectangles
// and the eight ways a part can be turned. X grows to the right, Y downwards;
// one unit is one step of the grid.
package geom

// Point is a place on the grid, or a displacement between two places.
type Point struct{ X, Y int }

// Pt is shorthand for Point{x, y}.
func Pt(x, y int) Point { return Point{x, y} }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p − q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// OnSegment reports whether p lies on the straight line from a to b, ends
// included. It is exact for any slope.
func (p Point) OnSegment(a, b Point) bool {
	d, e := b.Sub(a), p.Sub(a)
	if d.X*e.Y != d.Y*e.X {
		return false
	}
	return between(p.X, a.X, b.X) && between(p.Y, a.Y, b.Y)
}

func between(v, a, b int) bool { return min(a, b) <= v && v <= max(a, b) }

// Orientation is one of the eight ways to lay a part: mirrored left to right
// first, if at all, then turned clockwise by Turn degrees.
type Orientation struct {
	Turn   int  // 0, 90, 180 or 270 degrees, clockwise as seen on the sheet
	Mirror bool // left and right exchanged before turning
}

// Apply carries p, given about the part's own origin, into the orientation.
func (o Orientation) Apply(p Point) Point {
	if o.Mirror {
		p.X = -p.X
	}
	switch o.Turn {
	case 90:
		return Point{-p.Y, p.X}
	case 180:
		return Point{-p.X, -p.Y}
	case 270:
		return Point{p.Y, -p.X}
	}
	return p
}

// Rect is the set of grid points from Min to Max, both included.
type Rect struct{ Min, Max Point }

// Around returns the smallest rectangle that holds both points.
func Around(a, b Point) Rect {
	return Rect{Pt(min(a.X, b.X), min(a.Y, b.Y)), Pt(max(a.X, b.X), max(a.Y, b.Y))}
}

// Contains reports whether p lies in r, its border included.
func (r Rect) Contains(p Point) bool {
	return between(p.X, r.Min.X, r.Max.X) && between(p.Y, r.Min.Y, r.Max.Y)
}

// Union returns the smallest rectangle that holds both.
func (r Rect) Union(s Rect) Rect {
	return Rect{
		Pt(min(r.Min.X, s.Min.X), min(r.Min.Y, s.Min.Y)),
		Pt(max(r.Max.X, s.Max.X), max(r.Max.Y, s.Max.Y)),
	}
}
