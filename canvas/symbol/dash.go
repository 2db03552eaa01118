package symbol

import (
	"iter"
	"math"

	"copperglass/canvas"
)

// The dashes of a guessed part, in sheet units.
const (
	dashLength = 4.0
	dashPeriod = 7.0
)

// dashes takes q apart into its segments and dashes each by itself, with half a
// dash at a corner and a whole one at a free end, so that every corner is drawn
// and a symmetrical outline stays so.
func dashes(q *canvas.Path, style canvas.Style) []canvas.Item {
	var items []canvas.Item
	for run := range runs(q) {
		closed := run[len(run)-1].Op == canvas.Close
		at := run[0].P
		for i, s := range run[1:] {
			if s.Op == canvas.Close {
				s = canvas.Seg{Op: canvas.Line, P: run[0].P}
			}
			first, last := dashShare(!closed && i == 0), dashShare(!closed && i == len(run)-2)
			style.Dash = fitDashes(segLength(at, s), first, last)
			items = append(items, &canvas.Path{Style: style, Segs: []canvas.Seg{{Op: canvas.Move, P: at}, s}})
			at = s.P
		}
	}
	return items
}

// runs yields the runs of q that have more than their beginning.
func runs(q *canvas.Path) iter.Seq[[]canvas.Seg] {
	return func(yield func([]canvas.Seg) bool) {
		rest := q.Segs
		for len(rest) > 1 {
			n := 1
			for n < len(rest) && rest[n].Op != canvas.Move {
				n++
			}
			if n > 1 && !yield(rest[:n]) {
				return
			}
			rest = rest[n:]
		}
	}
}

// dashShare is how much of a dash stands at the end of a segment.
func dashShare(free bool) float64 {
	if free {
		return 1
	}
	return 0.5
}

// mostDashes bounds the dashes of one line; those of a longer one are longer.
const mostDashes = 2000

// fitDashes returns dashes and gaps that add up to length, the first and the
// last of them that share of a dash. Too short a line has none.
func fitDashes(length, first, last float64) []float64 {
	extra := first + last - 1 // dashes that are in no period
	n := math.Round(min((length-extra*dashLength)/dashPeriod, mostDashes))
	if n < 1 {
		return nil
	}
	scale := length / (n*dashPeriod + extra*dashLength)
	dash, gap := scale*dashLength, scale*(dashPeriod-dashLength)
	fitted := []float64{first * dash}
	for range int(n) - 1 {
		fitted = append(fitted, gap, dash)
	}
	return append(fitted, gap, last*dash)
}

// segLength returns the length of a segment from a. That of a Bézier of degree
// n = 3 is approximated by (2 chord + (n − 1) polygon)/(n + 1), good to 0.4 %
// for a quarter of a circle (J. Gravesen, "Adaptive subdivision and the length
// and energy of Bézier curves", Computational Geometry 8, 1997).
func segLength(a canvas.Point, s canvas.Seg) float64 {
	chord := distance(a, s.P)
	if s.Op != canvas.Cubic {
		return chord
	}
	return (chord + distance(a, s.C1) + distance(s.C1, s.C2) + distance(s.C2, s.P)) / 2
}

func distance(a, b canvas.Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }
