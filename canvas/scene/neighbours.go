package scene

import (
	"math"
	"slices"

	"copperglass/canvas"
)

// neighbours finds the pieces of wire near a place, by the cells of the
// obstacles' grid.
type neighbours struct {
	b     *builder
	cells map[uint64][]int
}

// A pill that is hardly nearer to its own wire than to a stranger's could be
// taken for the stranger's: doubtCost is for one that is as near, and nothing
// is for one that is nearer by doubtRoom, in sheet units.
const (
	doubtCost = 12.0
	doubtRoom = 12.0
)

func (b *builder) newNeighbours() *neighbours {
	n := &neighbours{b, map[uint64][]int{}}
	for i, s := range b.pieces {
		eachCell(canvas.EmptyRect().Include(canvas.OnGrid(s.A)).Include(canvas.OnGrid(s.B)), func(k uint64) {
			n.cells[k] = append(n.cells[k], i)
		})
	}
	return n
}

// eachCell calls f for the cells that r reaches into, unless they are very
// many.
func eachCell(r canvas.Rect, f func(key uint64)) {
	a, b := cellOf(r.Min), cellOf(r.Max)
	if int64(b[0]-a[0]+1)*int64(b[1]-a[1]+1) > manyCells {
		return
	}
	for i := a[0]; i <= b[0]; i++ {
		for j := a[1]; j <= b[1]; j++ {
			f(key(i, j))
		}
	}
}

// doubt is what a place beside a wire of the group's nets costs for the wires
// of others nearby.
func (n *neighbours) doubt(s *spot, group []int) float64 {
	own := apart(s.box, canvas.Rect{Min: s.mark.at, Max: s.mark.at})
	nearest := own + doubtRoom
	eachCell(s.box.Inset(-nearest), func(k uint64) {
		for _, i := range n.cells[k] {
			if p := n.b.pieces[i]; !slices.Contains(group, p.Net) {
				wire := canvas.EmptyRect().Include(canvas.OnGrid(p.A)).Include(canvas.OnGrid(p.B))
				nearest = math.Min(nearest, apart(s.box, wire))
			}
		}
	})
	return doubtCost * math.Min(1, (own+doubtRoom-nearest)/doubtRoom)
}

// apart is how far one rectangle is from another.
func apart(r, s canvas.Rect) float64 {
	x := math.Max(0, math.Max(s.Min.X-r.Max.X, r.Min.X-s.Max.X))
	y := math.Max(0, math.Max(s.Min.Y-r.Max.Y, r.Min.Y-s.Max.Y))
	return math.Hypot(x, y)
}
