package tool

import (
	"maps"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// Selection is what the next command acts on.
type Selection struct {
	Parts map[string]bool
	Wires map[model.WireID]bool
}

// Empty reports whether nothing is selected.
func (s Selection) Empty() bool { return len(s.Parts) == 0 && len(s.Wires) == 0 }

func newSelection() Selection {
	return Selection{Parts: map[string]bool{}, Wires: map[model.WireID]bool{}}
}

func (s Selection) clone() Selection {
	return Selection{Parts: maps.Clone(s.Parts), Wires: maps.Clone(s.Wires)}
}

func (s Selection) same(t Selection) bool {
	return maps.Equal(s.Parts, t.Parts) && maps.Equal(s.Wires, t.Wires)
}

// toggle takes what t points at out of the selection if it is in it, and puts
// it in if not.
func (s Selection) toggle(t Target) {
	switch {
	case t.Ref != "" && s.Parts[t.Ref]:
		delete(s.Parts, t.Ref)
	case t.Ref != "":
		s.Parts[t.Ref] = true
	case t.Wire != 0 && s.Wires[t.Wire]:
		delete(s.Wires, t.Wire)
	case t.Wire != 0:
		s.Wires[t.Wire] = true
	}
}

func (s Selection) has(t Target) bool { return s.Parts[t.Ref] || s.Wires[t.Wire] }

// Selection returns what is selected, without what is not there any more.
func (e *Editor) Selection() Selection {
	d, s := e.Diagram(), newSelection()
	for ref := range e.sel.Parts {
		if d.Part(ref) != nil {
			s.Parts[ref] = true
		}
	}
	for id := range e.sel.Wires {
		if d.Wire(id) != nil {
			s.Wires[id] = true
		}
	}
	return s
}

// Select selects these parts and nothing else.
func (e *Editor) Select(refs ...string) {
	e.sel = newSelection()
	for _, ref := range refs {
		e.sel.Parts[ref] = true
	}
}

// SelectWires selects these wires and nothing else.
func (e *Editor) SelectWires(ids ...model.WireID) {
	e.sel = newSelection()
	for _, id := range ids {
		e.sel.Wires[id] = true
	}
}

// SelectAll selects everything on the sheet.
func (e *Editor) SelectAll() {
	e.sel = newSelection()
	d := e.history.Diagram()
	for _, p := range d.Parts {
		if p.Placed {
			e.sel.Parts[p.Ref] = true
		}
	}
	for _, w := range d.Wires {
		e.sel.Wires[w.ID] = true
	}
}

// click selects what t points at and nothing else.
func (e *Editor) click(t Target) {
	e.sel = newSelection()
	e.sel.toggle(t)
}

// within returns base and all that lies wholly inside r.
func within(d *model.Diagram, r canvas.Rect, base Selection) Selection {
	s := base.clone()
	for _, p := range d.Parts {
		if !p.Placed {
			continue
		}
		if x := symbol.Extent(p); r.Contains(x.Min) && r.Contains(x.Max) {
			s.Parts[p.Ref] = true
		}
	}
	for _, w := range d.Wires {
		if insideAll(r, w.Points) {
			s.Wires[w.ID] = true
		}
	}
	return s
}

func insideAll(r canvas.Rect, points []geom.Point) bool {
	for _, p := range points {
		if !r.Contains(canvas.OnGrid(p)) {
			return false
		}
	}
	return true
}

// SelectNet adds all wires of the nets of the selected wires, and the signs on
// them, to what is selected.
func (e *Editor) SelectNet() {
	if e.Busy() {
		return
	}
	s, sel := e.sheetNow(), e.Selection()
	nets := map[int]bool{}
	for i, w := range s.d.Wires {
		if sel.Wires[w.ID] {
			nets[s.nets.Wire(i)] = true
		}
	}
	for i, w := range s.d.Wires {
		if nets[s.nets.Wire(i)] {
			sel.Wires[w.ID] = true
		}
	}
	for _, p := range s.d.Parts {
		if k := p.LookupKind(); k == nil || !k.Sign || !p.Placed {
			continue
		}
		for _, pin := range p.PlacedPins() {
			if nets[s.nets.Pin(p.Ref, pin.Name)] {
				sel.Parts[p.Ref] = true
			}
		}
	}
	e.sel = sel
}

// SelectKind adds all parts on the sheet that are of the kinds of the selected
// parts to what is selected.
func (e *Editor) SelectKind() {
	if e.Busy() {
		return
	}
	d, sel := e.history.Diagram(), e.Selection()
	kinds := map[string]bool{}
	for ref := range sel.Parts {
		kinds[d.Part(ref).Kind] = true
	}
	for _, p := range d.Parts {
		if p.Placed && kinds[p.Kind] {
			sel.Parts[p.Ref] = true
		}
	}
	e.sel = sel
}
