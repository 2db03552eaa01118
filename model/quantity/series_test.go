package quantity

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"
)

var allSeries = []Series{E3, E6, E12, E24, E48, E96, E192}

// Every value of every series, in every decade a part can have, is its own three
// answers to the last bit.
func TestPreferredValuesAreTheirOwnNeighbours(t *testing.T) {
	t.Parallel()
	for _, s := range allSeries {
		for _, digits := range s.Digits() {
			for power := -16; power <= 10; power++ {
				x := decimal(strconv.Itoa(digits), power)
				if b, n, a := Below(s, x), Nearest(s, x), Above(s, x); b != x || n != x || a != x {
					t.Fatalf("%s, %v: %v, %v, %v", s, x, b, n, a)
				}
			}
		}
	}
}

// Below, nearest and above agree with a search through all values of the decades
// around.
func TestNeighboursAgainstSearch(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 192))
	for range 2000 {
		s := allSeries[r.IntN(len(allSeries))]
		x := math.Pow(10, 20*r.Float64()-12)
		below, above := search(s, x)
		nearest := below
		if math.Log(above/x) <= math.Log(x/below) {
			nearest = above
		}
		if b, n, a := Below(s, x), Nearest(s, x), Above(s, x); b != below || n != nearest || a != above {
			t.Fatalf("%s, %v: %v, %v, %v; want %v, %v, %v", s, x, b, n, a, below, nearest, above)
		}
	}
}

func search(s Series, x float64) (below, above float64) {
	above = math.Inf(1)
	for power := -16; power <= 10; power++ {
		for _, digits := range s.Digits() {
			v := decimal(strconv.Itoa(digits), power)
			if v <= x {
				below = max(below, v)
			} else {
				above = min(above, v)
			}
		}
	}
	return below, above
}

// A number that differs from a preferred value by rounding alone counts as that value,
// across the ends of a decade too.
func TestRoundingIsForgiven(t *testing.T) {
	t.Parallel()
	for _, x := range []float64{100 * (1 - 1e-13), 100 * (1 + 1e-13), 4700 * (1 - 1e-13)} {
		want := math.Round(x)
		if b, n, a := Below(E24, x), Nearest(E24, x), Above(E24, x); b != want || n != want || a != want {
			t.Errorf("%v: %v, %v, %v", x, b, n, a)
		}
	}
}

func TestNeighboursOfNothing(t *testing.T) {
	t.Parallel()
	for _, x := range []float64{0, -1, math.NaN(), math.Inf(1), 1e-310, math.MaxFloat64} {
		if b, n, a := Below(E24, x), Nearest(E24, x), Above(E24, x); !math.IsNaN(b) || !math.IsNaN(n) || !math.IsNaN(a) {
			t.Errorf("%v: %v, %v, %v", x, b, n, a)
		}
	}
	if v := Nearest(7, 100); !math.IsNaN(v) || Series(7).Digits() != nil {
		t.Errorf("E7 gives %v", v)
	}
}

func TestSeriesNames(t *testing.T) {
	t.Parallel()
	if E24.String() != "E24" || Series(0).String() != "no series" {
		t.Errorf("%s, %s", E24, Series(0))
	}
}

func TestNamePreferred(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		x       float64
		series  Series
		nearest float64
	}{
		{4700, E3, 4700}, {680, E6, 680}, {0.39, E12, 0.39}, {5.1e6, E24, 5.1e6}, {1.05e-9, E48, 1.05e-9},
		{49.9, E96, 49.9}, {92e3, E192, 92e3}, {1000 * (1 + 1e-12), E3, 1000},
		{4740, 0, 4750}, {42, 0, 42.2}, {3.0e3, E24, 3000}, {2715, 0, 2700},
	} {
		if s, near := NamePreferred(c.x); s != c.series || !close9(near, c.nearest) {
			t.Errorf("%v: %s, %v; want %s, %v", c.x, s, near, c.series, c.nearest)
		}
	}
}
