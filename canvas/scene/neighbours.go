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
	nearest := n.nearest(s.box, own+doubtRoom, func(i int) bool { return !slices.Contains(group, pieces[i].Net) })
	return doubtCost * math.Min(1, (own+doubtRoom-nearest)/doubtRoom)
}

// nearest is how far from a box the nearest is of the pieces of wire that are
// strange to it, at most so far.
func (n *neighbours) nearest(box canvas.Rect, most float64, strange func(piece int) bool) float64 {
	near := box.Inset(-most)
	a, b := cellOf(near.Min), cellOf(near.Max)
	for i := a[0]; i <= b[0]; i++ {
		for j := a[1]; j <= b[1]; j++ {
			for k := n.cells.first(i, j); k != none; k = n.cells.chain[k].next {
				if wire := &n.cells.chain[k]; strange(int(wire.id)) {
					most = math.Min(most, apart(box, wire.box))
				}
			}
		}
	}
	return most
}

// aloneRoom is how far a label at the end of a lead is from wires of others at
// least: twice as far as one that stands beside its wire, so that it cannot be
// taken for theirs.
const aloneRoom = 18.0

// alone leaves out of the places found, from one on, those that others' wires
// are too near to.
func (k *seeker) alone(from int, n *neighbours, strange func(piece int) bool) {
	kept := k.spots[:from]
	for _, s := range k.spots[from:] {
		if n.nearest(s.box, aloneRoom, strange) >= aloneRoom {
			kept = append(kept, s)
		}
	}
	k.spots = kept
}

// apart is how far one rectangle is from another.
func apart(r, s canvas.Rect) float64 {
	x := max(0, s.Min.X-r.Max.X, r.Min.X-s.Max.X)
	y := max(0, s.Min.Y-r.Max.Y, r.Min.Y-s.Max.Y)
	return math.Sqrt(x*x + y*y)
}
