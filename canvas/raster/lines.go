package raster

import (
	"math"

	"copperglass/canvas"
)

// tolerance is how far, in pixels, a straight line may stray from the curve it
// stands for. A twentieth of a pixel changes no channel by more than 13 of 255.
const tolerance = 0.05

// lines are runs of points joined by straight lines, in pixels. No two
// neighbours in a run coincide; a run of one point is a dot.
type lines struct {
	pts  []canvas.Point
	runs []run
}

// run is one of the lines: the points up to end that follow the run before it.
type run struct {
	from, to int
	closed   bool
}

func (l *lines) reset() { l.pts, l.runs = l.pts[:0], l.runs[:0] }

// from returns where the run that is being added begins.
func (l *lines) from() int {
	if n := len(l.runs); n > 0 {
		return l.runs[n-1].to
	}
	return 0
}

// add continues the run that is being added.
func (l *lines) add(p canvas.Point) {
	if n := len(l.pts); n == l.from() || !same(l.pts[n-1], p) {
		l.pts = append(l.pts, p)
	}
}

// end ends the run that is being added.
func (l *lines) end(closed bool) {
	from := l.from()
	n := len(l.pts)
	if closed && n-from > 1 && same(l.pts[from], l.pts[n-1]) {
		n--
	}
	l.pts = l.pts[:n]
	if n > from {
		l.runs = append(l.runs, run{from, n, closed})
	}
}

// drop forgets the run that is being added.
func (l *lines) drop() { l.pts = l.pts[:l.from()] }

func (l *lines) run(i int) (pts []canvas.Point, closed bool) {
	r := l.runs[i]
	return l.pts[r.from:r.to], r.closed
}

// box returns the extent of the runs from i to j.
func (l *lines) box(i, j int) canvas.Rect {
	r := canvas.EmptyRect()
	if i == j {
		return r
	}
	for _, p := range l.pts[l.runs[i].from:l.runs[j-1].to] {
		r.Min.X, r.Min.Y = min(r.Min.X, p.X), min(r.Min.Y, p.Y)
		r.Max.X, r.Max.Y = max(r.Max.X, p.X), max(r.Max.Y, p.Y)
	}
	return r
}

// same reports whether two points are one at any resolution that shows.
func same(p, q canvas.Point) bool {
	return math.Abs(p.X-q.X) < 1e-3 && math.Abs(p.Y-q.Y) < 1e-3
}

// flatten adds a path as a view shows it. What follows a Close without a Move
// begins where the closed run began; a path that does not begin with a Move
// begins at its first point.
func (l *lines) flatten(segs []canvas.Seg, v canvas.View) {
	var start, at canvas.Point
	drawn := false
	end := func(closed bool) {
		if drawn {
			l.end(closed)
		}
		l.drop()
		drawn = false
	}
	for i, s := range segs {
		if i == 0 && s.Op != canvas.Close {
			s.Op = canvas.Move
		}
		p := v.ToPixel(s.P)
		switch s.Op {
		case canvas.Move:
			end(false)
			start = p
		case canvas.Line:
			l.add(at)
			l.add(p)
			drawn = true
		case canvas.Cubic:
			l.add(at)
			l.curve(at, v.ToPixel(s.C1), v.ToPixel(s.C2), p)
			drawn = true
		case canvas.Close:
			l.add(at)
			drawn = i > 0
			end(true)
			p = start
		}
		at = p
	}
	end(false)
}

// curve adds a cubic Bézier from a, without a. A chord over a parameter step h
// strays from a curve by at most h²/8 of its second derivative, which here is
// at most six times the greater second difference of the control points.
func (l *lines) curve(a, b, c, d canvas.Point) {
	bend := math.Max(
		math.Hypot(a.X-2*b.X+c.X, a.Y-2*b.Y+c.Y),
		math.Hypot(b.X-2*c.X+d.X, b.Y-2*c.Y+d.Y),
	)
	n := math.Ceil(math.Sqrt(6 * bend / (8 * tolerance)))
	n = math.Max(1, math.Min(n, 1000))
	for i := 1.0; i < n; i++ {
		t := i / n
		u := 1 - t
		wa, wb, wc, wd := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		l.add(canvas.Pt(wa*a.X+wb*b.X+wc*c.X+wd*d.X, wa*a.Y+wb*b.Y+wc*c.Y+wd*d.Y))
	}
	l.add(d)
}

// convex reports whether all runs, closed, only ever turn to one and the same
// side.
func (l *lines) convex() bool {
	left, right := false, false
	for i := range l.runs {
		pts, _ := l.run(i)
		n := len(pts)
		for j, p := range pts {
			q, s := pts[(j+1)%n], pts[(j+2)%n]
			turn := cross(q.Sub(p), s.Sub(q))
			left = left || turn < 0
			right = right || turn > 0
		}
	}
	return !(left && right)
}

func cross(u, v canvas.Point) float64 { return u.X*v.Y - u.Y*v.X }
func dot(u, v canvas.Point) float64   { return u.X*v.X + u.Y*v.Y }
