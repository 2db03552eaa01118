package tool

import (
	"slices"
	"strconv"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// wire is a wire being drawn. It ends where the button is let go. In the wire
// tool a click begins it; the next one ends it or, on bare paper, bends it, and
// one at the same place ends it there.
type wire struct {
	from, to geom.Point
	terrain  *terrain
	begun    bool   // whether it has had its first click
	chain    string // what undoes all its bends together
	f        *model.Draft
}

func newWire(s *sheet, from geom.Point) *wire {
	return &wire{from: from, to: from, terrain: survey(s.d, noWire)}
}

func (g *wire) move(e *Editor, p canvas.Point) {
	s := e.sheetNow()
	to := Hit(s.d, p).At
	if to == g.to {
		return
	}
	g.to, g.f = to, nil
	if to != g.from {
		g.f = model.NewDraft(s.d)
		lead(g.f, s.freeEnd(g.from), g.terrain.route(g.from, to, nil))
	}
}

// lead adds a wire along way, or lengthens w by it, if there is one: it ends
// where the way begins.
func lead(f *model.Draft, w *model.Wire, way []geom.Point) {
	if w == nil {
		f.AddWire(&model.Wire{Points: way})
		return
	}
	points := w.Points
	if points[0] == way[0] {
		points = reversed(points)
	}
	setPoints(f, w, simplify(slices.Concat(points, way)))
}

// freeEnd returns the wire, without a tag, that ends at p where nothing else
// is, or nil.
func (s *sheet) freeEnd(p geom.Point) *model.Wire {
	o := s.spots.at[p]
	if o == nil || len(o.pins) > 0 || len(o.through) > 0 || len(o.ends) != 1 {
		return nil
	}
	w := s.d.Wires[o.ends[0]]
	if ends := w.Ends(); ends[0] == ends[1] || w.Tag != "" {
		return nil
	}
	return w
}

func (g *wire) release(e *Editor) bool {
	if g.f == nil {
		over := g.begun || !e.wiring
		g.begun = true
		return over
	}
	if g.chain == "" {
		g.chain = "wire " + strconv.Itoa(e.history.Revision())
	}
	bends := e.wiring && Hit(e.history.Diagram(), canvas.OnGrid(g.to)).None()
	e.commit(g.f, "draw a wire", g.chain)
	if !bends {
		return true
	}
	next := newWire(e.sheetNow(), g.to)
	next.begun, next.chain = true, g.chain
	e.begin(next)
	return false
}

func (g *wire) lasts(e *Editor) bool { return e.wiring }

func (g *wire) draft() *model.Draft { return g.f }

// overlay marks where the wire would end on something, even if that is joined
// to its beginning already.
func (g *wire) overlay(e *Editor, o *Overlay) {
	if g.f != nil && !Hit(e.history.Diagram(), canvas.OnGrid(g.to)).None() && !slices.Contains(o.Joins, g.to) {
		o.Joins = append(o.Joins, g.to)
	}
}
