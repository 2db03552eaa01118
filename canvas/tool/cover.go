package tool

import (
	"slices"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// Cover is what of the drawing would lie under something else if the hand let go
// now, which did not before.
type Cover struct {
	Ink     []canvas.Rect // parts, and stretches of wires
	Parts   []string      // parts under what is carried, in the diagram's order
	Over    []string      // parts that wires would run under, in that order
	Hides   bool          // whether one part would hide another wholly
	Bridges []string      // parts that wires under them would bridge: they would look as if they were in these
	Enters  bool          // whether the part that is carried would go into that wire without its own
	Turns   bool          // whether what lies across a wire would go into it after a quarter turn
}

// Empty reports whether nothing would be covered.
func (c Cover) Empty() bool { return len(c.Ink) == 0 }

// Refuses reports whether nobody could see what is there: letting go does nothing
// then.
func (c Cover) Refuses() bool { return c.Hides || len(c.Bridges) > 0 }

// carrier is a gesture that carries parts and wires.
type carrier interface {
	// carried reports whether a part of the draft is one of them.
	carried(ref string) bool
	// carriesWire reports whether a wire of the draft is carried as it is.
	carriesWire(id model.WireID) bool
	// inserts reports whether nothing is joined to part i of the draft in being
	// carried, so that it can go into wires.
	inserts(i int, p *model.Part) bool
}

// coverOf returns what a gesture would cover in d, the diagram as it would be.
// Signs and words may lie anywhere.
func (s *sheet) coverOf(c carrier, d *model.Diagram) Cover {
	cover := s.coverParts(c, d)
	s.addRunsUnder(&cover, c, d)
	if i := onlyPart(c, d); i >= 0 && len(cover.Parts) == 0 && !cover.Empty() {
		cover.Turns = c.inserts(i, d.Parts[i]) && goesIntoWire(d, turned(d.Parts[i]))
	}
	return cover
}

// addBridges adds the parts that wires would bridge under them, by the nets of d.
func (s *sheet) addBridges(cover *Cover, c carrier, d *model.Diagram, nets *net.Netlist) {
	cover.Bridges = s.bridgedIn(c, d, nets)
	if i := onlyPart(c, d); i >= 0 && len(cover.Bridges) > 0 {
		cover.Enters = !c.inserts(i, d.Parts[i]) && goesIntoWire(d, d.Parts[i])
	}
}

// coverParts returns what the parts that are carried would cover.
func (s *sheet) coverParts(c carrier, d *model.Diagram) Cover {
	var cover Cover
	var over []canvas.Rect
	for i, p := range d.Parts {
		if c.carried(p.Ref) && hasBody(p) {
			over = append(over, s.outlineOf(d, i).ink)
		}
	}
	for i, p := range d.Parts {
		if len(over) > 0 && !c.carried(p.Ref) && hasBody(p) {
			cover.addPart(p, s.outlineOf(d, i).ink, over)
		}
	}
	for _, ink := range over {
		cover.addWires(d, underInk(ink))
	}
	return cover
}

// addRunsUnder adds where wires that were laid anew run under parts that stay.
func (s *sheet) addRunsUnder(cover *Cover, c carrier, d *model.Diagram) {
	anew := s.laidAnew(d)
	for i, p := range s.d.Parts {
		if len(anew) == 0 || c.carried(p.Ref) || !hasBody(p) {
			continue
		}
		body, before := underInk(s.outlines[i].ink), len(cover.Ink)
		for _, w := range anew {
			if !s.ranUnder(w.ID, body) {
				cover.addWire(w, body)
			}
		}
		if len(cover.Ink) > before {
			cover.Over = append(cover.Over, p.Ref)
		}
	}
}

// laidAnew returns the wires of d that are not on the sheet just so, until it is
// asked again.
func (s *sheet) laidAnew(d *model.Diagram) []*model.Wire {
	anew := s.memory.anew[:0]
	for _, w := range d.Wires {
		if i, known := s.wires[w.ID]; !known || s.d.Wires[i] != w {
			anew = append(anew, w)
		}
	}
	s.memory.anew = anew
	return anew
}

// ranUnder reports whether the wire of that identity runs through a body on the
// sheet.
func (s *sheet) ranUnder(id model.WireID, body geom.Rect) bool {
	i, known := s.wires[id]
	return known && runsThrough(s.d.Wires[i], body)
}

func runsThrough(w *model.Wire, body geom.Rect) bool {
	for i := 1; i < len(w.Points); i++ {
		if _, ok := crossing(body, geom.Around(w.Points[i-1], w.Points[i])); ok {
			return true
		}
	}
	return false
}

// bridgedIn returns the parts of d that wires bridge under them, by the nets of d,
// and did not before. What is carried as it is counts as it was.
func (s *sheet) bridgedIn(c carrier, d *model.Diagram, nets *net.Netlist) []string {
	var refs []string
	for _, u := range nets.Underlain(d) {
		ref := d.Parts[u.Part].Ref
		along := c.carried(ref) && !slices.ContainsFunc(u.Wires, func(i int) bool { return !c.carriesWire(d.Wires[i].ID) })
		if !along && !slices.Contains(s.under, ref) {
			refs = append(refs, ref)
		}
	}
	return refs
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
		c.addWire(w, body)
	}
}

func (c *Cover) addWire(w *model.Wire, body geom.Rect) {
	for i := 1; i < len(w.Points); i++ {
		if r, ok := crossing(body, geom.Around(w.Points[i-1], w.Points[i])); ok {
			c.Ink = append(c.Ink, canvas.Rect{Min: canvas.OnGrid(r.Min), Max: canvas.OnGrid(r.Max)}.Inset(-canvas.Grid/2))
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

// onlyPart returns the place of the part that is carried, where it is one, or −1.
func onlyPart(c carrier, d *model.Diagram) int {
	only := -1
	for i, p := range d.Parts {
		if c.carried(p.Ref) {
			if only >= 0 {
				return -1
			}
			only = i
		}
	}
	return only
}

// goesIntoWire reports whether a part can interrupt a wire.
func goesIntoWire(d *model.Diagram, p *model.Part) bool {
	pins := p.PlacedPins()
	return len(pins) == 2 && slices.ContainsFunc(d.Wires, func(w *model.Wire) bool {
		return pieceUnder(d, w, pins[0].At, pins[1].At) > 0
	})
}

// refuses reports whether what the plan comes to could not be seen.
func (p *plan) refuses(f *model.Draft) bool {
	d := f.Diagram()
	return p.coverParts(p, d).Hides || len(p.bridgedIn(p, d, p.netsOf(d))) > 0
}

func (p *plan) carried(ref string) bool { return p.parts[ref] }

func (p *plan) carriesWire(id model.WireID) bool {
	i, known := p.wires[id]
	return known && p.whole[i]
}

func (p *plan) inserts(i int, _ *model.Part) bool { return p.loose || !p.joined(i) }

func (g *placing) carried(ref string) bool { return g.sel.Parts[ref] }

func (g *placing) carriesWire(id model.WireID) bool { return g.sel.Wires[id] }

// inserts looks for what is pasted along with the part.
func (g *placing) inserts(_ int, p *model.Part) bool {
	return len(g.sel.Parts)+len(g.sel.Wires) == 1 || !slices.ContainsFunc(p.PlacedPins(), g.joins)
}

func (g *placing) joins(pin model.Pin) bool {
	d := g.f.Diagram()
	return slices.ContainsFunc(d.Wires, func(w *model.Wire) bool { return g.sel.Wires[w.ID] && w.Touches(pin.At) })
}

func (g *grab) inserts(i int, p *model.Part) bool { return g.plan != nil && g.plan.inserts(i, p) }
