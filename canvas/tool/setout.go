package tool

import (
	"cmp"
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// Room that SetOut leaves, in grid steps.
const (
	nameAcross = 6  // beside an upright part, for its name and value
	nameAbove  = 2  // above a part, for the name of a level one
	setApart   = 2  // between parts, and from what is there
	tagText    = 12 // size of a tag's letters, sheet units
	tagRoom    = 36 // what a tag takes beside its letters, sheet units
	leastRow   = 48 // length of a row before the next begins
)

// SetOut gives a place below what is on the sheet to every part that has none:
// supplies at the left, the rest in rows beside them. It selects them.
func (e *Editor) SetOut() {
	d := e.history.Diagram()
	if e.Busy() {
		return
	}
	f := model.NewDraft(d)
	supplies, rest := withoutPlace(d)
	o := setter{f: f, at: firstPlace(d)}
	o.rows(supplies, 0)
	o.at = geom.Pt(o.right, firstPlace(d).Y)
	o.rows(rest, rowLength(rest))
	if len(o.refs) > 0 {
		e.commit(f, "set out", "")
		e.Select(o.refs...)
	}
}

// withoutPlace returns the parts that do not stand on the sheet, those that
// feed apart from the rest, both in the order of the palette.
func withoutPlace(d *model.Diagram) (supplies, rest []cell) {
	for _, p := range d.Parts {
		switch k := p.LookupKind(); {
		case p.Placed || k == nil || d.Part(p.Ref) != p: // one of two of the same name cannot be told from the other
		case p.Kind == "battery" || p.Kind == "supply" || p.Kind == "current_source":
			supplies = append(supplies, newCell(p, k.Order))
		default:
			rest = append(rest, newCell(p, k.Order))
		}
	}
	for _, list := range [][]cell{supplies, rest} {
		slices.SortStableFunc(list, func(a, b cell) int {
			return cmp.Or(cmp.Compare(a.order, b.order), model.NaturalCompare(a.part.Ref, b.part.Ref))
		})
	}
	return supplies, rest
}

// cell is a part with the room it takes around its place, in grid steps.
type cell struct {
	part  *model.Part
	order int
	room  geom.Rect
}

func newCell(p *model.Part, order int) cell {
	c := p.Clone()
	c.Placed, c.At = true, geom.Point{}
	x := symbol.Extent(c)
	upright := false
	for _, pin := range c.PlacedPins() {
		upright = upright || pin.Out.Y != 0
		x = x.Union(tagExtent(pin, c.Tags[pin.Name]))
	}
	room := steps(x)
	room.Min.Y, room.Max.Y = room.Min.Y-nameAbove, room.Max.Y+1
	if upright {
		room.Max.X += nameAcross
	}
	return cell{c, order, room}
}

// tagExtent is about what a tag takes at a pin.
func tagExtent(pin model.Pin, tag string) canvas.Rect {
	at := canvas.OnGrid(pin.At)
	r := canvas.Rect{Min: at, Max: at}
	if tag == "" {
		return r
	}
	long := canvas.TextWidth(tag, tagText, false) + tagRoom
	if pin.Out.Y == 0 {
		return r.Include(at.Add(canvas.Pt(long*float64(pin.Out.X), 0)))
	}
	far := at.Add(canvas.Pt(0, tagRoom*float64(pin.Out.Y)))
	return r.Include(far.Sub(canvas.Pt(long/2, 0))).Include(far.Add(canvas.Pt(long/2, 0)))
}

// steps returns the least rectangle of grid steps around r.
func steps(r canvas.Rect) geom.Rect {
	down := func(v float64) int { return int(math.Floor(v / canvas.Grid)) }
	up := func(v float64) int { return int(math.Ceil(v / canvas.Grid)) }
	return geom.Rect{Min: geom.Pt(down(r.Min.X), down(r.Min.Y)), Max: geom.Pt(up(r.Max.X), up(r.Max.Y))}
}

// firstPlace is where the first row begins: below all that is on the sheet.
func firstPlace(d *model.Diagram) geom.Point {
	x := canvas.EmptyRect()
	for _, p := range d.Parts {
		if p.Placed {
			x = x.Union(symbol.Extent(p))
		}
	}
	for _, w := range d.Wires {
		for _, p := range w.Points {
			x = x.Include(canvas.OnGrid(p))
		}
	}
	if x.Empty() {
		return geom.Point{}
	}
	r := steps(x)
	return geom.Pt(r.Min.X, r.Max.Y+nameAbove+setApart)
}

// rowLength makes the rows about one and a half times as long as all of them
// are high.
func rowLength(cells []cell) int {
	area := 0
	for _, c := range cells {
		area += (c.width() + setApart) * (c.room.Max.Y - c.room.Min.Y + setApart)
	}
	return max(leastRow, int(math.Sqrt(1.5*float64(area))))
}

func (c cell) width() int { return c.room.Max.X - c.room.Min.X }

// setter sets parts out.
type setter struct {
	f     *model.Draft
	at    geom.Point // top left corner of what comes next
	right int        // of all so far
	refs  []string
}

// rows sets cells out in rows of that length, at least one to a row.
func (o *setter) rows(cells []cell, length int) {
	o.right = max(o.right, o.at.X)
	for len(cells) > 0 {
		n, used := 1, cells[0].width()
		for ; n < len(cells) && used+setApart+cells[n].width() <= length; n++ {
			used += setApart + cells[n].width()
		}
		o.row(cells[:n])
		cells = cells[n:]
	}
}

// row sets cells out side by side, their places in one line.
func (o *setter) row(cells []cell) {
	above, below := 0, 0
	for _, c := range cells {
		above, below = max(above, -c.room.Min.Y), max(below, c.room.Max.Y)
	}
	x := o.at.X
	for _, c := range cells {
		c.part.At = geom.Pt(x-c.room.Min.X, o.at.Y+above)
		o.f.SetPart(c.part.Ref, c.part)
		o.refs = append(o.refs, c.part.Ref)
		x += c.width() + setApart
	}
	o.right = max(o.right, x)
	o.at.Y += above + below + setApart
}
