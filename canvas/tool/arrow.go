package tool

import (
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// Handles returns where the selected arrow can be taken by its ends, in sheet
// units: the tip and the tail. There are none unless it is selected alone.
func (e *Editor) Handles() []canvas.Point {
	p := e.arrow()
	if p == nil {
		return nil
	}
	return []canvas.Point{canvas.OnGrid(p.At), tailOf(p)}
}

// arrow returns the arrow that is selected alone, or nil.
func (e *Editor) arrow() *model.Part {
	s := e.Selection()
	if len(s.Parts) != 1 || len(s.Wires) > 0 {
		return nil
	}
	for ref := range s.Parts {
		if p := e.Diagram().Part(ref); p.Kind == "arrow" && p.Placed {
			return p
		}
	}
	return nil
}

// HandleAt returns the number of the handle nearest to p within reach, or −1.
func (e *Editor) HandleAt(p canvas.Point) int {
	best, reach := -1, handleReach
	for i, h := range e.Handles() {
		if r := distance(p, h); r <= reach {
			best, reach = i, r
		}
	}
	return best
}

// TakeHandle takes the end of an arrow at p into the hand, as a press on it does:
// Move carries it and Release puts it down. It reports whether there is one.
func (e *Editor) TakeHandle(p canvas.Point) bool {
	i := e.HandleAt(p)
	if e.Busy() || i < 0 {
		return false
	}
	e.pointer, e.down = p, true
	e.begin(&stretching{arrow: e.arrow(), tip: i == 0})
	return true
}

// tailOf is where the tail of an arrow is on the sheet.
func tailOf(p *model.Part) canvas.Point {
	x, y := model.ArrowTail(p)
	along, aside := axes(p.Orient)
	return canvas.OnGrid(p.At).Add(canvas.Pt((x*along.X+y*aside.X)*canvas.Grid, (x*along.Y+y*aside.Y)*canvas.Grid))
}

// axes are the unit steps to the right and down of a part that lies like that.
func axes(o geom.Orientation) (along, aside canvas.Point) {
	unit := func(p geom.Point) canvas.Point { return canvas.Pt(float64(p.X), float64(p.Y)) }
	return unit(o.Apply(geom.Pt(1, 0))), unit(o.Apply(geom.Pt(0, 1)))
}

// stretched returns the arrow with its tip and its tail at other places. The
// tail is never ahead of the tip as the arrow lies, so it is turned round where
// it would be. One without length, or longer than arrows are, stays as it is.
func stretched(p *model.Part, tip geom.Point, tail canvas.Point) *model.Part {
	c := p.Clone()
	c.At = tip
	by := canvas.OnGrid(tip).Sub(tail)
	along, aside := axes(c.Orient)
	if by.X*along.X+by.Y*along.Y < 0 {
		c.Orient.Turn = (c.Orient.Turn + 180) % 360
		along, aside = axes(c.Orient)
	}
	if c.Params == nil {
		c.Params = model.Params{}
	}
	c.Params["length"] = model.Number((by.X*along.X + by.Y*along.Y) / canvas.Grid)
	c.Params["rise"] = model.Number((by.X*aside.X + by.Y*aside.Y) / canvas.Grid)
	if by == (canvas.Point{}) || distance(tailOf(c), tail) > slack {
		return p
	}
	return c
}

// stretching is an end of an arrow being dragged while the other stays.
type stretching struct {
	arrow *model.Part
	tip   bool // whether the tip is dragged, else the tail
	f     *model.Draft
}

func (g *stretching) move(e *Editor, p canvas.Point) {
	tip, tail := g.arrow.At, tailOf(g.arrow)
	if g.tip {
		tip = Snap(p)
	} else if distance(p, tail) >= slack {
		tail = canvas.OnGrid(Snap(p))
	}
	g.f = nil
	if tip == g.arrow.At && tail == tailOf(g.arrow) {
		return
	}
	if c := stretched(g.arrow, tip, tail); c != g.arrow {
		g.f = model.NewDraft(e.history.Diagram())
		g.f.SetPart(g.arrow.Ref, c)
	}
}

func (g *stretching) release(e *Editor) bool {
	if g.f != nil {
		e.commit(g.f, "stretch the arrow", "")
	}
	return true
}

func (g *stretching) lasts(*Editor) bool { return false }

func (g *stretching) draft() *model.Draft { return g.f }

func (g *stretching) overlay(*Editor, *Overlay) {}
