package tool

import (
	"slices"
	"strings"

	"copperglass/canvas"
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
	f, sel := e.inserted(from, shift)
	e.commit(f, label, "")
	e.sel = sel
}

func (e *Editor) inserted(from *model.Diagram, shift geom.Point) (*model.Draft, Selection) {
	f := model.NewDraft(e.history.Diagram())
	sel := newSelection()
	for _, p := range from.Parts {
		c := p.Clone()
		if c.Placed {
			c.At = c.At.Add(shift)
		}
		c.Ref = freshRef(f.Diagram(), c)
		f.AddPart(c)
		sel.Parts[c.Ref] = true
	}
	for _, w := range from.Wires {
		c := w.Clone()
		c.Points = each(w.Points, shift.Add)
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

// PasteAt inserts a drawing with its middle at the grid point nearest to p.
func (e *Editor) PasteAt(from *model.Diagram, p canvas.Point) {
	if r, ok := extent(from); ok {
		middle := geom.Pt((r.Min.X+r.Max.X)/2, (r.Min.Y+r.Max.Y)/2)
		e.Insert("paste", from, Snap(p).Sub(middle))
		return
	}
	e.Insert("paste", from, geom.Point{})
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

// furthestCopy is how far a copy goes from its original, in steps of 2, to
// find a place where it joins nothing.
const furthestCopy = 12

// Duplicate puts a copy of what is selected to the right and below, at the
// first place where it joins nothing.
func (e *Editor) Duplicate() {
	if e.Busy() {
		return
	}
	from, shift := e.Extract(), geom.Pt(2, 2)
	for n := 1; n <= furthestCopy; n++ {
		by := geom.Pt(2*n, 2*n)
		f, _ := e.inserted(from, by)
		if standsApart(e.sheetNow(), f.Diagram()) {
			shift = by
			break
		}
	}
	e.Insert("duplicate", from, shift)
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
