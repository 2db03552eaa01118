// Package tool turns what a hand does on the sheet into edits of the diagram.
// It knows nothing of windows: places come in sheet units, gestures keep the
// diagram they would make, and nothing changes before a gesture is finished.
package tool

import (
	"math"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// How near a pointer must come, in sheet units.
const (
	pinReach    = 0.45 * canvas.Grid
	wireReach   = 0.35 * canvas.Grid
	bodySlack   = 0.15 * canvas.Grid // around the ink of a part
	handleReach = 0.6 * canvas.Grid
)

// Target is what lies under a place on the sheet. At most one of Ref and Wire
// is set; Pin is set together with Ref where the place is at one of its pins.
type Target struct {
	Ref  string
	Pin  string
	Wire model.WireID
	At   geom.Point // the pin, the nearest grid point of the wire, or the nearest one
}

// None reports whether there is nothing under the place.
func (t Target) None() bool { return t.Ref == "" && t.Wire == 0 }

// Snap returns the grid point nearest to p.
func Snap(p canvas.Point) geom.Point {
	return geom.Pt(int(math.Round(p.X/canvas.Grid)), int(math.Round(p.Y/canvas.Grid)))
}

// Hit returns what lies at p: a pin before a part's body, a body before a
// wire, and of two alike the one drawn later.
func Hit(d *model.Diagram, p canvas.Point) Target {
	if t, ok := hitPin(d, p); ok {
		return t
	}
	for i := len(d.Parts) - 1; i >= 0; i-- {
		part := d.Parts[i]
		if part.Placed && symbol.Extent(part).Inset(-bodySlack).Contains(p) {
			return Target{Ref: part.Ref, At: Snap(p)}
		}
	}
	return hitWire(d, p)
}

func hitPin(d *model.Diagram, p canvas.Point) (Target, bool) {
	best, found := Target{}, false
	reach := pinReach
	for _, part := range d.Parts {
		if !part.Placed || !symbol.Extent(part).Inset(-pinReach).Contains(p) { // a pin stands at the edge of the ink
			continue
		}
		for _, pin := range part.PlacedPins() {
			if r := distance(p, canvas.OnGrid(pin.At)); r <= reach {
				best, found, reach = Target{Ref: part.Ref, Pin: pin.Name, At: pin.At}, true, r
			}
		}
	}
	return best, found
}

func hitWire(d *model.Diagram, p canvas.Point) Target {
	best, reach := Target{At: Snap(p)}, wireReach
	for _, w := range d.Wires {
		for i := 1; i < len(w.Points); i++ {
			a, b := canvas.OnGrid(w.Points[i-1]), canvas.OnGrid(w.Points[i])
			if r := distanceToSegment(p, a, b); r <= reach {
				best, reach = Target{Wire: w.ID, At: nearest(w, Snap(p))}, r
			}
		}
	}
	return best
}

func distance(p, q canvas.Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

func distanceToSegment(p, a, b canvas.Point) float64 {
	d := b.Sub(a)
	length2 := d.X*d.X + d.Y*d.Y
	if length2 == 0 {
		return distance(p, a)
	}
	t := ((p.X-a.X)*d.X + (p.Y-a.Y)*d.Y) / length2
	t = math.Max(0, math.Min(1, t))
	return distance(p, canvas.Pt(a.X+t*d.X, a.Y+t*d.Y))
}
