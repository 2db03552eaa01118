package tool

import (
	"slices"
	"unicode"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// placing is a new part that hangs on the pointer until it is set down.
type placing struct {
	part *model.Part
	f    *model.Draft
}

// Place begins to place a new part of kind k at the pointer.
func (e *Editor) Place(k *model.Kind) {
	p := k.NewPart(Snap(e.pointer))
	p.Ref = e.history.Diagram().NextRef(k.Prefix)
	e.drop()
	e.wiring = false
	g := &placing{part: p}
	g.redraw(e)
	e.begin(g)
}

// Placing returns the kind of the part that hangs on the pointer, or nil.
func (e *Editor) Placing() *model.Kind {
	if g, ok := e.under().(*placing); ok {
		return g.part.LookupKind()
	}
	return nil
}

// PlaceByKey begins to place the kind that answers to the key; the same key
// again takes the next kind that does. It reports whether any kind does.
func (e *Editor) PlaceByKey(key rune) bool {
	var answer []*model.Kind
	for _, k := range model.Kinds() {
		if unicode.ToUpper(k.Key) == unicode.ToUpper(key) {
			answer = append(answer, k)
		}
	}
	if len(answer) == 0 {
		return false
	}
	next := 0
	for i, k := range answer {
		if k == e.Placing() {
			next = (i + 1) % len(answer)
		}
	}
	e.Place(answer[next])
	return true
}

func (g *placing) redraw(e *Editor) {
	s := e.sheetNow()
	g.f = model.NewDraft(s.d)
	g.f.AddPart(g.part)
	s.open(g.f, g.part)
}

func (g *placing) move(e *Editor, p canvas.Point) {
	if at := Snap(p); at != g.part.At {
		moved := g.part.Clone()
		moved.At, g.part = at, moved
		g.redraw(e)
	}
}

func (g *placing) orient(e *Editor, lay func(geom.Orientation) geom.Orientation) {
	turned := g.part.Clone()
	turned.Orient, g.part = lay(turned.Orient), turned
	g.redraw(e)
}

func (g *placing) release(e *Editor) bool {
	e.commit(g.f, "place "+g.part.Ref, "")
	e.Select(g.part.Ref)
	return true
}

func (g *placing) lasts(*Editor) bool { return true }

func (g *placing) draft() *model.Draft { return g.f }

func (g *placing) overlay(*Editor, *Overlay) {}

// openFor lets a part that is carried alone, and that nothing was joined to,
// interrupt the wire it comes to lie along, as a new part does.
func (p *plan) openFor(f *model.Draft) {
	if len(p.parts) != 1 || slices.Contains(p.whole, true) {
		return
	}
	for ref := range p.parts {
		if !p.joined(p.d.Part(ref)) {
			p.open(f, f.Diagram().Part(ref))
		}
	}
}

// joined reports whether a wire or another pin is at one of the part's pins.
func (s *sheet) joined(p *model.Part) bool {
	return slices.ContainsFunc(p.PlacedPins(), func(pin model.Pin) bool {
		o := s.spots.at[pin.At]
		return len(o.pins)+len(o.ends)+len(o.through) > 1
	})
}

// open lets a new part of two pins that lies along a wire interrupt it: the
// wire then ends at one pin and goes on from the other. A wire that is joined
// to something between the pins stays as it is.
func (s *sheet) open(f *model.Draft, p *model.Part) {
	pins := p.PlacedPins()
	if len(pins) != 2 {
		return
	}
	a, b := pins[0].At, pins[1].At
	for i, w := range s.d.Wires {
		for j := 1; j < len(w.Points); j++ {
			if a.OnSegment(w.Points[j-1], w.Points[j]) && b.OnSegment(w.Points[j-1], w.Points[j]) && !s.joinedBetween(i, a, b) {
				cutOut(f, w, j, a, b)
				return
			}
		}
	}
}

func (s *sheet) joinedBetween(wire int, a, b geom.Point) bool {
	for _, k := range s.spots.on[wire] {
		if k.at != a && k.at != b && k.at.OnSegment(a, b) {
			return true
		}
	}
	return false
}

// cutOut takes the stretch between a and b out of the wire, which has it
// between its points j − 1 and j. A tag stays with the wire's first part; a
// tagged wire of which nothing would be left stays.
func cutOut(f *model.Draft, w *model.Wire, j int, a, b geom.Point) {
	if gap(w.Points[j-1], b) < gap(w.Points[j-1], a) {
		a, b = b, a
	}
	head := simplify(append(w.Points[:j:j], a))
	tail := simplify(append([]geom.Point{b}, w.Points[j:]...))
	switch {
	case hasLength(head):
		setPoints(f, w, head)
		if hasLength(tail) {
			rest := w.Clone()
			rest.Points, rest.Tag = tail, ""
			f.AddWire(rest)
		}
	case hasLength(tail):
		setPoints(f, w, tail)
	case w.Tag == "":
		f.RemoveWire(w.ID)
	}
}

// hasLength reports whether the way, simplified, is more than one place.
func hasLength(way []geom.Point) bool { return len(way) > 2 || way[0] != way[1] }
