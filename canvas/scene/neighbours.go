package scene

import (
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/model/net"
)

// neighbours finds the pieces of wire near a place, by the cells of the
// obstacles' grid.
type neighbours struct{ cells obstacles }

// A pill that is hardly nearer to its own wire than to a stranger's could be
// taken for the stranger's: doubtCost is for one that is as near, and nothing
// is for one that is nearer by doubtRoom, in sheet units.
const (
	doubtCost = 12.0
	doubtRoom = 12.0
)

func (n *neighbours) read(pieces []net.Piece) {
	n.cells.reset()
	for i, s := range pieces {
		n.cells.enter(canvas.EmptyRect().Include(canvas.OnGrid(s.A)).Include(canvas.OnGrid(s.B)), int32(i))
	}
}

// doubt is what a place beside a wire of the group's nets costs for the wires
// of others nearby.
func (n *neighbours) doubt(s *spot, group []int, pieces []net.Piece) float64 {
	own := apart(s.box, canvas.Rect{Min: s.mark.at, Max: s.mark.at})
	nearest := own + doubtRoom
	near := s.box.Inset(-nearest)
	a, b := cellOf(near.Min), cellOf(near.Max)
	for i := a[0]; i <= b[0]; i++ {
		for j := a[1]; j <= b[1]; j++ {
			for k := n.cells.first(i, j); k != none; k = n.cells.chain[k].next {
				if wire := &n.cells.chain[k]; !slices.Contains(group, pieces[wire.id].Net) {
					nearest = math.Min(nearest, apart(s.box, wire.box))
				}
			}
		}
	}
	return doubtCost * math.Min(1, (own+doubtRoom-nearest)/doubtRoom)
}

// apart is how far one rectangle is from another.
func apart(r, s canvas.Rect) float64 {
	x := math.Max(0, math.Max(s.Min.X-r.Max.X, r.Min.X-s.Max.X))
	y := math.Max(0, math.Max(s.Min.Y-r.Max.Y, r.Min.Y-s.Max.Y))
	return math.Hypot(x, y)
}
