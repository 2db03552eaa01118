package tool

import (
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
	g.f, g.sel = e.inserted(g.from, g.turned.shifted(g.at))
	e.sheetNow().open(g.f, g)
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
