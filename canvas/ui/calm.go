package ui

import (
	"slices"
	"time"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/canvas/tool"
	"copperglass/model"
)

// calmTime is how long nothing has been drawn before ends that lead nowhere yet
// get their flags: while one draws there are many, and they go by themselves.
const calmTime = 12 * time.Second

// calm keeps a drawing that is under way free of flags at unfinished ends. The
// panel lists them all the while.
type calm struct {
	on    bool
	still func() // stops what is waiting to end it, or nil
}

// stir is called with every change of the drawing.
func (s *surface) stir() {
	s.settleCalm()
	s.calm = calm{on: true, still: s.later(calmTime, func() {
		s.calm.on = false
		s.redraw()
	})}
}

// settleCalm ends the calm without a frame of its own.
func (s *surface) settleCalm() {
	if s.calm.still != nil {
		s.calm.still()
	}
	s.calm = calm{}
}

// calmFindings are the findings that have flags. Of a part that is not joined
// yet they wait for the drawing to rest, too: it will be another then.
func (s *surface) calmFindings() []scene.Finding {
	list, r := s.findings(), s.doc.Result()
	if !s.calm.on || r == nil {
		return list
	}
	unfinished := unfinishedParts(r)
	for i, f := range list {
		list[i].Muted = f.Muted || slices.ContainsFunc(f.Parts, func(ref string) bool { return unfinished[ref] })
	}
	return list
}

// unfinishedParts are those that hang on what is unfinished yet.
func unfinishedParts(r *analysis.Result) map[string]bool {
	refs := map[string]bool{}
	for _, f := range r.Faults {
		if !f.Unfinished {
			continue
		}
		for _, ref := range f.Parts {
			refs[ref] = true
		}
		for _, n := range f.Nets {
			for _, pin := range r.Nets.Nets[n].Pins {
				refs[pin.Ref] = true
			}
		}
	}
	return refs
}

// visitFault selects what a fault is about and brings its place into view, with
// the cursor on it.
func (w *Window) visitFault(f analysis.Fault) {
	w.toSheet()
	d := w.doc.Shown()
	var wires []model.WireID
	for _, i := range f.Wires {
		if i < len(d.Wires) {
			wires = append(wires, d.Wires[i].ID)
		}
	}
	w.surface.edit(func(e *tool.Editor) {
		if e.SelectWires(wires...); len(f.Parts) > 0 {
			e.Select(f.Parts...)
		}
	})
	at := tool.Anchor(d, w.doc.Selected())
	switch {
	case f.At != nil:
		at = *f.At
	case len(wires) == 0 && !slices.ContainsFunc(f.Parts, func(ref string) bool { p := d.Part(ref); return p != nil && p.Placed }):
		return // it is in no place
	}
	w.surface.follow(canvas.OnGrid(at))
	w.surface.cursor = cursor{at: at, used: true}
	w.surface.raster.Refresh()
}
