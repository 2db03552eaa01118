package symbol

import (
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/canvas"
)

func TestFittedDashesAddUp(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 1000 {
		length := rng.Float64() * 200
		first, last := dashShare(rng.IntN(2) == 0), dashShare(rng.IntN(2) == 0)
		fitted := fitDashes(length, first, last)
		if fitted == nil {
			if length > 2*dashPeriod {
				t.Fatalf("a line of %v is solid", length)
			}
			continue
		}
		sum := 0.0
		for _, d := range fitted {
			sum += d
		}
		if math.Abs(sum-length) > 1e-9 || len(fitted)%2 != 1 {
			t.Fatalf("dashes of a line of %v: %v, together %v", length, fitted, sum)
		}
	}
}

func TestLengthOfArc(t *testing.T) {
	q := new(canvas.Path).Arc(canvas.Pt(3, 4), 10, 0, math.Pi/2)
	got, want := segLength(q.Segs[0].P, q.Segs[1]), 10*math.Pi/2
	if math.Abs(got-want) > 0.004*want {
		t.Errorf("length of a quarter circle: %v, want %v", got, want)
	}
}

func TestDashesFollowThePath(t *testing.T) {
	tests := []struct {
		name   string
		path   *canvas.Path
		pieces int
	}{
		{"line", polyline(0, 0, 50, 0), 1},
		{"triangle", polyline(0, 0, 50, 0, 20, 20).Close(), 3},
		{"two runs", polyline(0, 0, 50, 0).MoveTo(0, 9).LineTo(9, 9).LineTo(9, 30), 3},
		{"circle", new(canvas.Path).Circle(canvas.Pt(0, 0), 10), 5}, // its Close has no length
		{"a place", new(canvas.Path).MoveTo(1, 1), 0},
		{"nothing", new(canvas.Path), 0},
	}
	for _, test := range tests {
		items := dashes(test.path, canvas.Style{})
		if len(items) != test.pieces {
			t.Errorf("%s: %d pieces, want %d", test.name, len(items), test.pieces)
		}
	}
}
