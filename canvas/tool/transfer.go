package tool

import (
	"slices"
	"strings"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// Extract returns what is selected as a drawing of its own: the parts, and the
// wires that are selected or run between two pins of theirs.
func (e *Editor) Extract() *model.Diagram {
	s := e.Selection()
	d := e.history.Diagram()
	out := &model.Diagram{}
	pins := map[geom.Point]bool{}
	for _, p := range d.Parts {
		if !s.Parts[p.Ref] {
			continue
		}
		out.Parts = append(out.Parts, p)
		for _, pin := range p.PlacedPins() {
			pins[pin.At] = pins[pin.At] || p.Placed
		}
	}
	for _, w := range d.Wires {
		if ends := w.Ends(); s.Wires[w.ID] || pins[ends[0]] && pins[ends[1]] {
			out.Wires = append(out.Wires, w)
		}
	}
	return out
}

// Insert adds a drawing's parts, under fresh refs where theirs are taken, and
// wires, moved by shift, and selects them.
func (e *Editor) Insert(label string, from *model.Diagram, shift geom.Point) {
	if e.Busy() || len(from.Parts)+len(from.Wires) == 0 {
		return
	}
	f, sel := e.inserted(from, motion{by: shift})
	e.commit(f, label, "")
	e.sel = sel
}

func (e *Editor) inserted(from *model.Diagram, m motion) (*model.Draft, Selection) {
	f := model.NewDraft(e.history.Diagram())
	sel := newSelection()
	for _, p := range from.Parts {
		c := p.Clone()
		if c.Placed {
			c.At, c.Orient = m.at(c.At), m.lay(c.Orient)
		}
		c.Ref = freshRef(f.Diagram(), c)
		f.AddPart(c)
		sel.Parts[c.Ref] = true
	}
	for _, w := range from.Wires {
		c := w.Clone()
		c.Points = each(w.Points, m.at)
		sel.Wires[f.AddWire(c)] = true
	}
	return f, sel
}

// freshRef returns the part's ref if it is free in d, else the next one with
// its letters.
func freshRef(d *model.Diagram, p *model.Part) string {
	prefix := strings.TrimRight(p.Ref, "0123456789")
	if k := p.LookupKind(); k != nil {
		prefix = k.Prefix
	}
	for _, other := range d.Parts {
		if strings.EqualFold(other.Ref, p.Ref) {
			return d.NextRef(prefix)
		}
	}
	return p.Ref
}

// extent returns what the parts' places and the wires of d take up, and
// whether there are any on the sheet.
func extent(d *model.Diagram) (r geom.Rect, ok bool) {
	include := func(p geom.Point) {
		at := geom.Rect{Min: p, Max: p}
		if !ok {
			r, ok = at, true
		}
		r = r.Union(at)
	}
	for _, p := range d.Parts {
		if p.Placed {
			include(p.At)
		}
	}
	for _, w := range d.Wires {
		for _, p := range w.Points {
			include(p)
		}
	}
	return r, ok
}

// furthestCopy is how far a copy goes from its original, in grid steps, to find
// a free place.
const furthestCopy = 60

// Duplicate puts a copy of what is selected to the nearest place to the right,
// below, or both, where it joins nothing and covers nothing.
func (e *Editor) Duplicate() {
	if e.Busy() {
		return
	}
	from := e.Extract()
	e.Insert("duplicate", from, e.freeShift(from))
}

// largestSearch is how many parts may be selected for the places nearby to be
// tried.
const largestSearch = 300

// freeShift returns the least shift that brings from to a free place; of very
// many parts, or where there is none nearby, to the right of everything.
func (e *Editor) freeShift(from *model.Diagram) geom.Point {
	d := e.history.Diagram()
	for n := 2; n <= furthestCopy && len(from.Parts) <= largestSearch; n += 2 {
		for _, by := range [3]geom.Point{{X: n, Y: n}, {X: n}, {Y: n}} {
			if covers(d, from, by) {
				continue
			}
			if f, _ := e.inserted(from, motion{by: by}); standsApart(e.sheetNow(), f.Diagram()) {
				return by
			}
		}
	}
	all, _ := extent(d)
	copied, _ := extent(from)
	return geom.Pt(all.Max.X-copied.Min.X+8, 0)
}

// covers reports whether the ink of from, moved by shift, would meet the ink of
// d: parts on parts, wires on parts, parts on wires, or a wire along a wire.
// Wires that only cross do no harm.
func covers(d, from *model.Diagram, shift geom.Point) bool {
	old, moved := inkOf(d, geom.Point{}), inkOf(from, shift)
	return old.parts.meet(moved.parts) || old.parts.meet(moved.wires()) || moved.parts.meet(old.wires()) ||
		old.level.meet(moved.level) || old.upright.meet(moved.upright)
}

// ink is the room that a drawing takes on the sheet.
type ink struct{ parts, level, upright rects }

func (k ink) wires() rects { return slices.Concat(k.level, k.upright) }

// inkSlack is the room around ink, in sheet units. Things closer than that look
// as if they touched.
const inkSlack = 2

func inkOf(d *model.Diagram, shift geom.Point) ink {
	var k ink
	by := canvas.OnGrid(shift)
	for _, p := range d.Parts {
		if p.Placed {
			r := symbol.Extent(p)
			k.parts = append(k.parts, canvas.Rect{Min: r.Min.Add(by), Max: r.Max.Add(by)}.Inset(-inkSlack))
		}
	}
	for _, w := range d.Wires {
		for i := 1; i < len(w.Points); i++ {
			a, b := canvas.OnGrid(w.Points[i-1]).Add(by), canvas.OnGrid(w.Points[i]).Add(by)
			r := canvas.EmptyRect().Include(a).Include(b).Inset(-inkSlack)
			if a.Y == b.Y {
				k.level = append(k.level, r)
			} else {
				k.upright = append(k.upright, r)
			}
		}
	}
	return k
}

type rects []canvas.Rect

func (r rects) meet(s rects) bool {
	for _, a := range r {
		if slices.ContainsFunc(s, a.Overlaps) {
			return true
		}
	}
	return false
}

// standsApart reports whether nothing that is new in after meets anything that
// was there before.
func standsApart(before *sheet, after *model.Diagram) bool {
	old := len(before.d.Wires) // new wires come after these
	for _, o := range findSpots(after).list {
		was, is := false, false
		for _, id := range o.pins {
			known := before.nets.Pin(id.Ref, id.Pin) != fresh
			was, is = was || known, is || !known
		}
		for _, w := range slices.Concat(o.ends, o.through) {
			was, is = was || w < old, is || w >= old
		}
		if was && is {
			return false
		}
	}
	return true
}
