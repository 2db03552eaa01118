package scene

import (
	"math"
	"slices"

	"copperglass/canvas"
)

// obstacles answers whether a rectangle is free of others. They are kept by
// the cells of a coarse grid that they reach into, those of a cell in a chain.
// Cells far apart may share one: a table of chains by a few bits of the cell is
// asked many times faster than a map, and each box is looked at anyhow.
type obstacles struct {
	last  []int32 // of each chain; a power of two of them
	chain []obstacle
	large []canvas.Rect // what reaches into very many cells
}

type obstacle struct {
	box  canvas.Rect
	id   int32 // for who enters something else than a box
	next int32 // in the same chain, or none
	i, j int32 // its cell
}

const none = -1

// cell is the side of an obstacle cell: about the height of a block of text.
const cell = 3 * canvas.Grid

// manyCells bounds how often one obstacle is entered.
const manyCells = 4096

// fewestChains is how many chains there are for an ordinary sheet.
const fewestChains = 1 << 10

func (x *obstacles) init() {
	x.last = make([]int32, fewestChains)
	x.reset()
}

func (x *obstacles) reset() {
	for i := range x.last {
		x.last[i] = none
	}
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
			x.chain = append(x.chain, obstacle{box: r, id: id, i: i, j: j})
			x.link(len(x.chain) - 1)
		}
	}
	if len(x.chain) > 2*len(x.last) {
		x.spread()
	}
}

// link puts an obstacle at the head of its cell's chain.
func (x *obstacles) link(k int) {
	o := &x.chain[k]
	head := &x.last[x.slot(o.i, o.j)]
	o.next, *head = *head, int32(k)
}

// spread makes chains short again.
func (x *obstacles) spread() {
	x.last = make([]int32, 4*len(x.last))
	for i := range x.last {
		x.last[i] = none
	}
	for k := range x.chain {
		x.link(k)
	}
}

// first returns the first of the chain of a cell, or none.
func (x *obstacles) first(i, j int32) int32 { return x.last[x.slot(i, j)] }

// slot is the place of a cell's chain: cells in a square of 16 have each another.
func (x *obstacles) slot(i, j int32) int {
	return int((uint32(i)&15|uint32(j)&15<<4)^(uint32(i)>>4*2654435761^uint32(j)>>4*2246822519)>>8<<8) & (len(x.last) - 1)
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
