package tool

import (
	"slices"
	"strconv"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// wire is a wire being drawn. It ends where the button is let go. One that hangs
// on the pointer, as in the wire tool, is ended by the next click or, on bare
// paper, bent by it, and a click at the same place ends it there.
type wire struct {
	from, to geom.Point
	terrain  *terrain
	hangs    bool   // on the pointer, from click to click
	begun    bool   // whether it has had its first click
	chain    string // what undoes all its bends together
	f        *model.Draft
}

func newWire(s *sheet, from geom.Point) *wire {
	g := &wire{from: from, to: from, terrain: survey(s.d, noWire)}
	g.terrain.finder, g.terrain.aims = &s.memory.finder, true
	g.terrain.open(func(p geom.Point) bool { return s.freeEnd(p) != nil })
	return g
}

// BeginWire lets a wire hang on the pointer that begins at p: at a pin, where
// wires end, or anywhere.
func (e *Editor) BeginWire(p canvas.Point) {
	e.drop()
	s := e.sheetNow()
	e.pointer = p
	g := newWire(s, Hit(s.d, p).At)
	g.hangs, g.begun = true, true
	e.begin(g)
}

// HangingWire reports whether a wire hangs on the pointer, and whether it has a
// corner already at which it stays if it is dropped.
func (e *Editor) HangingWire() (hangs, bent bool) {
	g, ok := e.under().(*wire)
	return ok && g.hangs, ok && g.chain != ""
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
		lead(g.f, s.freeEnd(g.from), g.terrain.lead(g.from, to))
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

// BeginsWire reports whether a drag from t draws a wire: from a pin, and from
// where wires end or meet.
func (e *Editor) BeginsWire(t Target) bool { return e.sheetNow().beginsWire(t) }

func (s *sheet) beginsWire(t Target) bool {
	return t.Pin != "" || s.freeEnd(t.At) != nil || t.Ref == "" && s.spots.at[t.At] != nil
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
		over := g.begun || !g.hangs
		g.begun = true
		return over
	}
	if g.chain == "" {
		g.chain = "wire " + strconv.Itoa(e.history.Revision())
	}
	bends := g.hangs && !g.meets(e)
	e.commit(g.f, "draw a wire", g.chain)
	if !bends {
		return true
	}
	next := newWire(e.sheetNow(), g.to)
	next.hangs, next.begun, next.chain = true, true, g.chain
	e.begin(next)
	return false
}

// meets reports whether the wire comes to something that it joins: the body of a
// part is nothing of that kind.
func (g *wire) meets(e *Editor) bool {
	t := Hit(e.history.Diagram(), canvas.OnGrid(g.to))
	return t.Pin != "" || t.Wire != 0
}

func (g *wire) lasts(*Editor) bool { return g.hangs }

func (g *wire) draft() *model.Draft { return g.f }

// overlay marks where the wire would end on something, even if that is joined
// to its beginning already.
func (g *wire) overlay(e *Editor, o *Overlay) {
	if g.f != nil && g.meets(e) && !slices.Contains(o.Joins, g.to) {
		o.Joins = append(o.Joins, g.to)
	}
}
