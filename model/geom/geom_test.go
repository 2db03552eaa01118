package geom

import (
	"math"
	"testing"
)

func samples() []Point {
	var points []Point
	for x := -3; x <= 3; x++ {
		for y := -3; y <= 3; y++ {
			points = append(points, Pt(x, y))
		}
	}
	return points
}

// Y grows downwards, so a clockwise quarter turn takes right to down.
func TestApply(t *testing.T) {
	t.Parallel()
	tests := []struct {
		o    Orientation
		want Point // of (2, 1)
	}{
		{Orientation{0, false}, Pt(2, 1)},
		{Orientation{90, false}, Pt(-1, 2)},
		{Orientation{180, false}, Pt(-2, -1)},
		{Orientation{270, false}, Pt(1, -2)},
		{Orientation{0, true}, Pt(-2, 1)},
		{Orientation{90, true}, Pt(-1, -2)},
		{Orientation{180, true}, Pt(2, -1)},
		{Orientation{270, true}, Pt(1, 2)},
	}
	for _, test := range tests {
		if got := test.o.Apply(Pt(2, 1)); got != test.want {
			t.Errorf("%+v takes (2, 1) to %v, want %v", test.o, got, test.want)
		}
	}
}

// onSegment is the plain twin of OnSegment: the way over p is no longer than
// the straight one.
func onSegment(p, a, b Point) bool {
	length := func(p, q Point) float64 { return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) }
	return math.Abs(length(a, p)+length(p, b)-length(a, b)) < 1e-9
}

func TestOnSegment(t *testing.T) {
	t.Parallel()
	for _, a := range samples() {
		for _, b := range samples() {
			for _, p := range samples() {
				if got, want := p.OnSegment(a, b), onSegment(p, a, b); got != want {
					t.Fatalf("%v on %v–%v is %t, want %t", p, a, b, got, want)
				}
			}
		}
	}
}

func TestOnSegmentFarOut(t *testing.T) {
	t.Parallel()
	a, b := Pt(-1_000_000, -1_000_000), Pt(1_000_000, 999_999)
	if !a.OnSegment(a, b) || !b.OnSegment(a, b) {
		t.Error("an end is not on the line")
	}
	if Pt(0, 0).OnSegment(a, b) || Pt(999_999, 999_999).OnSegment(a, b) {
		t.Error("a point half a step beside the line is on it")
	}
}

func TestRect(t *testing.T) {
	t.Parallel()
	for _, a := range samples() {
		for _, b := range samples() {
			r := Around(a, b)
			if !r.Contains(a) || !r.Contains(b) || r != Around(b, a) {
				t.Fatalf("Around(%v, %v) = %v", a, b, r)
			}
			u := r.Union(Around(Pt(0, 0), Pt(1, 1)))
			for _, p := range []Point{a, b, Pt(0, 0), Pt(1, 1)} {
				if !u.Contains(p) {
					t.Fatalf("%v is not in the union %v", p, u)
				}
			}
		}
	}
}
