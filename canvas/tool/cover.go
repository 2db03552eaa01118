package tool

import (
	"slices"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// Cover is what of the drawing would lie under what is carried if the hand let
// go now.
type Cover struct {
	Ink   []canvas.Rect // parts, and stretches of wires
	Parts []string      // the parts, in the diagram's order
	Hides bool          // whether one part would hide another wholly: letting go does nothing there
	Turns bool          // whether what lies across a wire would go into it after a quarter turn
}

// Empty reports whether nothing would be covered.
func (c Cover) Empty() bool { return len(c.Ink) == 0 }

// carrier is a gesture that carries parts.
type carrier interface {
	// carried reports whether a part of the draft is one of them.
	carried(ref string) bool
	// insertable returns the only part that goes into wires, or nil.
	insertable() *model.Part
}

// coverOf returns what the parts that are carried would cover in d, the diagram
// as it would be. Signs and words may lie anywhere.
func (s *sheet) coverOf(d *model.Diagram, carried func(ref string) bool) Cover {
	var c Cover
	var over []canvas.Rect
	for i, p := range d.Parts {
		if carried(p.Ref) && hasBody(p) {
			over = append(over, s.outlineOf(d, i).ink)
		}
	}
	for i, p := range d.Parts {
		if len(over) > 0 && !carried(p.Ref) && hasBody(p) {
			c.addPart(p, s.outlineOf(d, i).ink, over)
		}
	}
	for _, ink := range over {
		c.addWires(d, underInk(ink))
	}
	return c
}

// coverBy returns what a gesture would cover in d.
func (s *sheet) coverBy(g carrier, d *model.Diagram) Cover {
	c := s.coverOf(d, g.carried)
	if p := g.insertable(); p != nil && len(c.Parts) == 0 && !c.Empty() {
		c.Turns = s.wireUnder(turned(p)) != nil
	}
	return c
}

// hasBody reports whether a part stands on the sheet and is more than a sign.
func hasBody(p *model.Part) bool {
	k := p.LookupKind()
	return p.Placed && k != nil && k.Equation != nil
}

func (c *Cover) addPart(p *model.Part, x canvas.Rect, over []canvas.Rect) {
	body := underInk(x)
	covered := false
	for _, y := range over {
		if _, meet := crossing(body, underInk(y)); meet { // leads may meet, as they do pin on pin
			covered = true
			c.Hides = c.Hides || holds(x, y) || holds(y, x)
		}
	}
	if covered {
		c.Parts = append(c.Parts, p.Ref)
		c.Ink = append(c.Ink, x)
	}
}

// addWires adds the wires that would run through a body.
func (c *Cover) addWires(d *model.Diagram, body geom.Rect) {
	for _, w := range d.Wires {
		for i := 1; i < len(w.Points); i++ {
			if r, ok := crossing(body, geom.Around(w.Points[i-1], w.Points[i])); ok {
				c.Ink = append(c.Ink, canvas.Rect{Min: canvas.OnGrid(r.Min), Max: canvas.OnGrid(r.Max)}.Inset(-canvas.Grid/2))
			}
		}
	}
}

// crossing returns what two rectangles of grid points have in common.
func crossing(a, b geom.Rect) (geom.Rect, bool) {
	r := geom.Rect{
		Min: geom.Pt(max(a.Min.X, b.Min.X), max(a.Min.Y, b.Min.Y)),
		Max: geom.Pt(min(a.Max.X, b.Max.X), min(a.Max.Y, b.Max.Y)),
	}
	return r, r.Min.X <= r.Max.X && r.Min.Y <= r.Max.Y
}

// holds reports whether b lies in a, or comes out of it by less than could be
// told from it.
func holds(a, b canvas.Rect) bool {
	a = a.Inset(-canvas.Grid / 2)
	return a.Contains(b.Min) && a.Contains(b.Max)
}

// turned returns the part a quarter further about its place.
func turned(p *model.Part) *model.Part {
	c := p.Clone()
	c.Orient = motion{}.then(quarter(p.At.Add(p.At), p.Orient.Turn)).lay(p.Orient)
	return c
}

func (g *placing) carried(ref string) bool { return g.sel.Parts[ref] }

// insertable returns what is placed, or pasted, alone.
func (g *placing) insertable() *model.Part {
	if len(g.sel.Parts) != 1 || len(g.sel.Wires) > 0 {
		return nil
	}
	d := g.f.Diagram()
	i := slices.IndexFunc(d.Parts, func(p *model.Part) bool { return g.sel.Parts[p.Ref] })
	return d.Parts[i]
}

// hides reports whether what the plan carries hides a part, or lies hidden.
func (p *plan) hides(f *model.Draft) bool {
	return p.coverOf(f.Diagram(), func(ref string) bool { return p.parts[ref] }).Hides
}

func (g *grab) carried(ref string) bool { return g.plan != nil && g.plan.parts[ref] }

func (g *grab) insertable() *model.Part { return g.plan.insertable(g.f) }
