package raster

import (
	"math"

	"copperglass/canvas"
)

// stroker makes the outline of what a stroke covers. Filling that outline,
// rather than having gg stroke the line, gives mitred corners, joins closed
// runs where they begin, and costs less.
type stroker struct {
	half  float64 // of the width, pixels
	round bool
	out   *lines
}

// stroke adds the outline of a run to out, as closed runs. The points of the
// run are left in reverse order.
func (s *stroker) stroke(pts []canvas.Point, closed bool) {
	switch {
	case len(pts) == 1:
		s.dot(pts[0])
	case closed:
		s.ring(pts)
		reverse(pts)
		s.ring(pts)
	default:
		s.side(pts)
		reverse(pts)
		s.side(pts)
		s.out.end(true)
	}
}

// dot is a line without length: nothing if its ends are cut flat.
func (s *stroker) dot(p canvas.Point) {
	if s.round {
		s.arc(p, canvas.Pt(1, 0), 2*math.Pi)
		s.out.end(true)
	}
}

// ring outlines the left side of a closed run.
func (s *stroker) ring(pts []canvas.Point) {
	n := len(pts)
	for i := range pts {
		s.join(pts[(i+n-1)%n], pts[i], pts[(i+1)%n])
	}
	s.out.end(true)
}

// side outlines the left side of an open run and its last end.
func (s *stroker) side(pts []canvas.Point) {
	last := len(pts) - 1
	s.offset(pts[0], left(pts[0], pts[1]))
	for i := 1; i < last; i++ {
		s.join(pts[i-1], pts[i], pts[i+1])
	}
	n := left(pts[last-1], pts[last])
	s.offset(pts[last], n)
	if s.round {
		s.arc(pts[last], n, math.Pi)
	}
}

// join outlines the left side of the corner at b. With the unit normals m, n of
// its legs and the cosine c of its turn, the offset lines meet at
// b + half (m + n)/(1 + c), and a corner is √(2/(1+c)) widths long.
func (s *stroker) join(a, b, c canvas.Point) {
	m, n := left(a, b), left(b, c)
	cos := dot(m, n)
	inner := cross(m, n) < 0
	switch {
	case inner && s.fits(a, b, c, cos), !inner && s.mitred(cos):
		s.offset(b, canvas.Pt((m.X+n.X)/(1+cos), (m.Y+n.Y)/(1+cos)))
	case inner:
		s.offset(b, m)
		s.out.add(b)
		s.offset(b, n)
	default:
		s.offset(b, m)
		if s.round {
			s.arc(b, m, math.Acos(math.Max(cos, -1)))
		}
		s.offset(b, n)
	}
}

// fits reports whether the inner sides of a corner's legs are long enough to
// meet: they do at half tan(turn/2) from the corner.
func (s *stroker) fits(a, b, c canvas.Point, cos float64) bool {
	leg := math.Min(length(b.Sub(a)), length(c.Sub(b)))
	return s.half*s.half*(1-cos) <= leg*leg*(1+cos)
}

// mitred reports whether an outer corner is a point: a mitre within its limit,
// or a round corner that turns too little to tell.
func (s *stroker) mitred(cos float64) bool {
	long := math.Sqrt(2 / (1 + cos))
	if s.round {
		return s.half*(long-1) < tolerance
	}
	return long <= canvas.MitreLimit
}

func (s *stroker) offset(p, n canvas.Point) {
	s.out.add(canvas.Pt(p.X+s.half*n.X, p.Y+s.half*n.Y))
}

// arc adds points on the circle about c, clockwise from the direction n, the
// first and last left out. A chord of angle θ strays by half (1 − cos θ/2).
func (s *stroker) arc(c, n canvas.Point, angle float64) {
	step := 2 * math.Acos(math.Max(0, 1-tolerance/s.half))
	steps := math.Min(math.Ceil(angle/step), 1000)
	from := math.Atan2(n.Y, n.X)
	for i := 1.0; i < steps; i++ {
		sin, cos := math.Sincos(from + angle*i/steps)
		s.offset(c, canvas.Pt(cos, sin))
	}
}

// left returns the unit normal to the left of the way from p to q.
func left(p, q canvas.Point) canvas.Point {
	d := q.Sub(p)
	n := length(d)
	return canvas.Pt(d.Y/n, -d.X/n)
}

func length(p canvas.Point) float64 { return math.Sqrt(p.X*p.X + p.Y*p.Y) }

func reverse(pts []canvas.Point) {
	for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
		pts[i], pts[j] = pts[j], pts[i]
	}
}
