package scene

import (
	"math"
	"slices"

	"copperglass/canvas"
)

// obstacles answers whether a rectangle is free of others. They are kept by
// the cells of a coarse grid that they reach into, those of a cell in a chain.
type obstacles struct {
	last  map[uint64]int32 // entered in each cell
	chain []obstacle
	large []canvas.Rect // what reaches into very many cells
}

type obstacle struct {
	box  canvas.Rect
	id   int32 // for who enters something else than a box
	next int32 // in the same cell, or none
}

const none = -1

// cell is the side of an obstacle cell: about the height of a block of text.
const cell = 3 * canvas.Grid

// manyCells bounds how often one obstacle is entered.
const manyCells = 4096

func (x *obstacles) init() { x.last = make(map[uint64]int32) }

func (x *obstacles) reset() {
	clear(x.last)
	x.chain, x.large = x.chain[:0], x.large[:0]
}

func (x *obstacles) add(r canvas.Rect) { x.enter(r, 0) }

func (x *obstacles) enter(r canvas.Rect, id int32) {
	a, b := cellOf(r.Min), cellOf(r.Max)
	if int64(b[0]-a[0]+1)*int64(b[1]-a[1]+1) > manyCells {
		x.large = append(x.large, r)
		return
	}
	for i := a[0]; i <= b[0]; i++ {
		for j := a[1]; j <= b[1]; j++ {
			next, ok := x.last[key(i, j)]
			if !ok {
				next = none
			}
			x.last[key(i, j)] = int32(len(x.chain))
			x.chain = append(x.chain, obstacle{r, id, next})
		}
	}
}

// first returns the first of the chain of a cell, or none.
func (x *obstacles) first(i, j int32) int32 {
	if k, ok := x.last[key(i, j)]; ok {
		return k
	}
	return none
}

// hit reports whether r overlaps an obstacle.
func (x *obstacles) hit(r canvas.Rect) bool {
	a, b := cellOf(r.Min), cellOf(r.Max)
	for i := a[0]; i <= b[0]; i++ {
		for j := a[1]; j <= b[1]; j++ {
			for k := x.first(i, j); k != none; k = x.chain[k].next {
				if x.chain[k].box.Overlaps(r) {
					return true
				}
			}
		}
	}
	return slices.ContainsFunc(x.large, r.Overlaps)
}

func cellOf(p canvas.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p.X / cell)), int32(math.Floor(p.Y / cell))}
}

// key names a cell by its column and row.
func key(i, j int32) uint64 { return uint64(uint32(i))<<32 | uint64(uint32(j)) }

// meets reports whether r overlaps an obstacle that was entered as id.
func (x *obstacles) meets(r canvas.Rect, id int32) bool {
	a, b := cellOf(r.Min), cellOf(r.Max)
	for i := a[0]; i <= b[0]; i++ {
		for j := a[1]; j <= b[1]; j++ {
			for k := x.first(i, j); k != none; k = x.chain[k].next {
				if x.chain[k].id == id && x.chain[k].box.Overlaps(r) {
					return true
				}
			}
		}
	}
	return false
}

// addLine enters the straight line from p to q, wide by 2·half. An oblique one
// is entered as a row of squares.
func (x *obstacles) addLine(p, q canvas.Point, half float64) { x.enterLine(p, q, half, 0) }

func (x *obstacles) enterLine(p, q canvas.Point, half float64, id int32) {
	d := q.Sub(p)
	n := 1.0
	if d.X != 0 && d.Y != 0 {
		n = math.Min(manyCells, math.Ceil(math.Max(math.Abs(d.X), math.Abs(d.Y))/8))
	}
	for i := range int(n) {
		t0, t1 := float64(i)/n, float64(i+1)/n
		a := canvas.Pt(p.X+t0*d.X, p.Y+t0*d.Y)
		b := canvas.Pt(p.X+t1*d.X, p.Y+t1*d.Y)
		x.enter(canvas.EmptyRect().Include(a).Include(b).Inset(-half), id)
	}
}

// block keeps labels off a rectangle, blockLine off a line, wherever they are.
func (b *builder) block(r canvas.Rect) {
	b.outside.add(r)
	if b.chips {
		b.inside.add(r)
	}
}

func (b *builder) blockLine(p, q canvas.Point, half float64) {
	b.outside.addLine(p, q, half)
	if b.chips {
		b.inside.addLine(p, q, half)
	}
}
