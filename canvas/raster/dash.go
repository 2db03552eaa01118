package raster

import (
	"math"

	"copperglass/canvas"
)

// pattern is the lengths of dashes and gaps in turn, in pixels, of an even
// number and not too short to be seen.
type pattern struct {
	lengths []float64
	sum     float64
	scale   float64
}

// dashPattern returns the pattern of a style. One that repeats within a quarter
// of a pixel cannot be seen and is none.
func dashPattern(s *canvas.Style, scale float64) (p pattern, ok bool) {
	if !s.Dashed() {
		return p, false
	}
	p = pattern{lengths: s.Dash, scale: scale}
	for _, d := range s.Dash {
		p.sum += d * scale
	}
	return p, p.sum >= 0.25
}

// at returns which length of the pattern is at a distance from its beginning,
// and how much of it is left. As in SVG 1.1 (section 11.4), a pattern of an odd
// number of lengths is used twice to make it even.
func (p pattern) at(distance float64) (i int, rest float64) {
	rest = math.Mod(distance, p.sum*float64(1+len(p.lengths)%2))
	for ; ; i++ {
		if l := p.length(i); rest < l || i == 2*len(p.lengths) {
			return i, math.Max(l-rest, 0)
		}
		rest -= p.length(i)
	}
}

func (p pattern) length(i int) float64 { return p.lengths[i%len(p.lengths)] * p.scale }

// dash adds the dashes of a path. What is outside a box is left out, so that
// the number of dashes is bounded by what can be seen.
func (l *lines) dash(path *lines, p pattern, box canvas.Rect) {
	for i := range path.runs {
		pts, closed := path.run(i)
		l.dashRun(pts, closed, p, box)
	}
}

func (l *lines) dashRun(pts []canvas.Point, closed bool, p pattern, box canvas.Rect) {
	gone := 0.0
	n := len(pts)
	for i, a := range pts {
		if i == n-1 && !closed {
			break
		}
		b := pts[(i+1)%n]
		long := length(b.Sub(a))
		if t0, t1, ok := within(a, b, box); ok {
			l.dashLine(a, b, t0*long, t1*long, long, gone, p)
		}
		gone += long
	}
	l.end(false)
}

// dashLine adds the dashes between the distances s and end along the line from
// a to b, which begins gone pixels into the run. A dash that is on at the end
// of the line stays open for the next line to continue.
func (l *lines) dashLine(a, b canvas.Point, s, end, long, gone float64, p pattern) {
	if s > 0 {
		l.end(false)
	}
	point := func(s float64) canvas.Point {
		return canvas.Pt(a.X+(b.X-a.X)*s/long, a.Y+(b.Y-a.Y)*s/long)
	}
	i, rest := p.at(gone + s)
	for s < end {
		stop := math.Min(s+rest, end)
		if i%2 == 0 {
			l.add(point(s))
			l.add(point(stop))
		}
		if s+rest <= end {
			l.end(false)
		}
		i++
		s, rest = stop, p.length(i)
	}
	if end < long {
		l.end(false)
	}
}

// within returns the part of the line from a to b, in parts of it, that lies in
// a box (the method of Liang and Barsky, ACM Transactions on Graphics 3, 1984).
func within(a, b canvas.Point, box canvas.Rect) (t0, t1 float64, ok bool) {
	t0, t1 = 0, 1
	cut := func(d, room float64) { // keeps the t with t d ≤ room
		switch {
		case d > 0:
			t1 = math.Min(t1, room/d)
		case d < 0:
			t0 = math.Max(t0, room/d)
		case room < 0:
			t1 = -1
		}
	}
	d := b.Sub(a)
	cut(-d.X, a.X-box.Min.X)
	cut(d.X, box.Max.X-a.X)
	cut(-d.Y, a.Y-box.Min.Y)
	cut(d.Y, box.Max.Y-a.Y)
	return t0, t1, t0 < t1
}
