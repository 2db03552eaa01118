package tool

import (
	"slices"
	"unicode"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// placing is something new that hangs on the pointer until it is set down: a
// part, or what is pasted.
type placing struct {
	kind   *model.Kind    // of the part, nil for what is pasted
	from   *model.Diagram // as it hangs, about the grid's origin
	turned motion
	at     geom.Point
	f      *model.Draft
	sel    Selection // what is new in the draft
}

// Place begins to place a new part of kind k at the pointer.
func (e *Editor) Place(k *model.Kind) {
	p := k.NewPart(geom.Point{})
	p.Ref = e.history.Diagram().NextRef(k.Prefix)
	e.hang(&placing{kind: k, from: &model.Diagram{Parts: []*model.Part{p}}})
}

// Hang begins to place a drawing's parts, under fresh refs where theirs are
// taken, and wires, with its middle at the pointer. Where nothing of it stands
// on a sheet it is added at once.
func (e *Editor) Hang(from *model.Diagram) {
	r, ok := extent(from)
	if !ok {
		e.drop()
		e.Insert("paste", from, geom.Point{})
		return
	}
	middle := geom.Pt((r.Min.X+r.Max.X)/2, (r.Min.Y+r.Max.Y)/2)
	e.hang(&placing{from: from, turned: motion{by: geom.Point{}.Sub(middle)}})
}

func (e *Editor) hang(g *placing) {
	e.drop()
	e.wiring = false
	g.at = Snap(e.pointer)
	g.redraw(e)
	e.begin(g)
}

// Placing returns the kind of the part that hangs on the pointer, or nil.
func (e *Editor) Placing() *model.Kind {
	if g, ok := e.under().(*placing); ok {
		return g.kind
	}
	return nil
}

// Hanging returns what hangs on the pointer and is in the diagram that is shown
// but not in the history's.
func (e *Editor) Hanging() Selection {
	if g, ok := e.under().(*placing); ok {
		return g.sel
	}
	return Selection{}
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
	g.f, g.sel = e.inserted(g.from, g.turned.shifted(g.at))
	if len(g.sel.Parts) == 1 && len(g.sel.Wires) == 0 {
		for ref := range g.sel.Parts {
			s.open(g.f, g.f.Diagram().Part(ref))
		}
	}
}

func (g *placing) move(e *Editor, p canvas.Point) {
	if at := Snap(p); at != g.at {
		g.at = at
		g.redraw(e)
	}
}

// turn turns one part about itself, and several things about their middle,
// which is at the pointer.
func (g *placing) turn(e *Editor, way about) {
	g.turned = g.turned.then(way(geom.Point{}, g.first()))
	g.redraw(e)
}

// first is how the first part lies.
func (g *placing) first() int {
	if len(g.from.Parts) == 0 {
		return 0
	}
	return g.turned.lay(g.from.Parts[0].Orient).Turn
}

// release sets things down, unless they would hide another there: they then go
// on hanging.
func (g *placing) release(e *Editor) bool {
	if e.Refused() {
		return false
	}
	label := "paste"
	if g.kind != nil {
		label = "place " + g.from.Parts[0].Ref
	}
	e.commit(g.f, label, "")
	e.sel = g.sel
	return true
}

func (g *placing) lasts(*Editor) bool { return true }

func (g *placing) draft() *model.Draft { return g.f }

func (g *placing) overlay(*Editor, *Overlay) {}

// openFor lets a part that is carried alone, and that nothing is joined to,
// interrupt the wire it comes to lie along, as a new part does.
func (p *plan) openFor(f *model.Draft) {
	if part := p.insertable(f); part != nil {
		p.open(f, part)
	}
}

// insertable returns that part of the draft, or nil.
func (p *plan) insertable(f *model.Draft) *model.Part {
	if len(p.parts) != 1 || slices.Contains(p.whole, true) {
		return nil
	}
	for ref := range p.parts {
		if p.loose || !p.joined(p.d.Part(ref)) {
			return f.Diagram().Part(ref)
		}
	}
	return nil
}

// joined reports whether a wire or another pin is at one of the part's pins.
func (s *sheet) joined(p *model.Part) bool {
	return slices.ContainsFunc(p.PlacedPins(), func(pin model.Pin) bool {
		o := s.spots.at[pin.At]
		return o.members() > 1
	})
}

// open lets a new part of two pins that lies along a wire interrupt it: the
// wire then ends at one pin and goes on from the other. One that ends loosely
// between the pins ends at the pin that it passes. A wire that is joined to
// something between the pins stays as it is.
func (s *sheet) open(f *model.Draft, p *model.Part) {
	if u := s.wireUnder(p); u != nil {
		cutOut(f, s.d.Wires[u.wire], u.piece, u.a, u.b)
		return
	}
	if pins := p.PlacedPins(); len(pins) == 2 {
		for i := range s.d.Wires {
			s.shorten(f, i, pins[0].At, pins[1].At)
		}
	}
}

// shorten lets wire i end at a or b where it passes that place and ends loosely
// between the two.
func (s *sheet) shorten(f *model.Draft, i int, a, b geom.Point) {
	w := s.d.Wires[i]
	for _, way := range [2][]geom.Point{w.Points, reversed(w.Points)} {
		last := len(way) - 1
		end := way[last]
		if end == a || end == b || !end.OnSegment(a, b) || s.freeEnd(end) != w {
			continue
		}
		for _, pin := range [2]geom.Point{a, b} {
			if pin.OnSegment(way[last-1], end) && !s.joinedBetween(i, pin, end) {
				endAt(f, w, append(way[:last:last], pin))
				return
			}
		}
	}
}

// endAt gives the wire that way, and takes it away where nothing is left.
func endAt(f *model.Draft, w *model.Wire, way []geom.Point) {
	if way = simplify(way); hasLength(way) {
		setPoints(f, w, way)
	} else {
		f.RemoveWire(w.ID)
	}
}

// underlying is the stretch of a wire that a part of two pins lies along, on
// the wire's straight piece of that number, counted from 1.
type underlying struct {
	wire, piece int
	a, b        geom.Point
}

// wireUnder returns the wire that a part can interrupt, or nil.
func (s *sheet) wireUnder(p *model.Part) *underlying {
	pins := p.PlacedPins()
	if len(pins) != 2 {
		return nil
	}
	a, b := pins[0].At, pins[1].At
	for i, w := range s.d.Wires {
		for j := 1; j < len(w.Points); j++ {
			if a.OnSegment(w.Points[j-1], w.Points[j]) && b.OnSegment(w.Points[j-1], w.Points[j]) && !s.joinedBetween(i, a, b) {
				return &underlying{i, j, a, b}
			}
		}
	}
	return nil
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
