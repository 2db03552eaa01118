package tool

import (
	"cmp"
	"math"
	"slices"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// Alignment is a way to bring parts into line.
type Alignment int

// The ways: an edge of all the symbols, or their places, in one line; or, with
// the outermost where they are, equal distances between their places.
const (
	AlignLeft Alignment = iota
	AlignRight
	AlignTop
	AlignBottom
	AlignInColumn
	AlignInRow
	SpreadAcross
	SpreadDown
)

// Align brings the selected parts into line. Their wires follow. A part that
// would join something there, or hide a part, stays where it is; those that do
// are returned in natural order.
func (e *Editor) Align(a Alignment) (stayed []string) {
	refs := e.placedRefs()
	if e.Busy() || len(refs) < 2 {
		return nil
	}
	f := model.NewDraft(e.history.Diagram())
	left := inOrder(a.moves(f.Diagram(), refs))
	for moved := true; moved && len(left) > 0; { // one that goes makes room for others
		before := len(left)
		left = slices.DeleteFunc(left, func(m alignMove) bool { return m.done(f) })
		moved = len(left) < before
	}
	e.commit(f, "align", "")
	for _, m := range left {
		stayed = append(stayed, m.ref)
	}
	slices.SortFunc(stayed, model.NaturalCompare)
	return stayed
}

// done makes the move in the draft if there is room, and reports whether there
// is.
func (m alignMove) done(f *model.Draft) bool {
	s, sel := newSheet(f.Diagram()), newSelection()
	sel.Parts[m.ref] = true
	p := newPlan(s, sel)
	g := p.apply(motion{by: m.by})
	if len(newJoins(s, g.Diagram(), nil)) > 0 || p.refuses(g) {
		return false
	}
	f.Become(g.Diagram())
	return true
}

// alignMove is where to a part goes.
type alignMove struct {
	ref    string
	at, by geom.Point
}

// inOrder sorts moves so that no part is carried over another's place: the
// foremost first.
func inOrder(moves []alignMove) []alignMove {
	ahead := func(m alignMove) int { return m.at.X*sign(m.by.X) + m.at.Y*sign(m.by.Y) }
	moves = slices.DeleteFunc(moves, func(m alignMove) bool { return m.by == geom.Point{} })
	slices.SortStableFunc(moves, func(m, n alignMove) int { return cmp.Compare(ahead(n), ahead(m)) })
	return moves
}

// moves returns where the parts have to go.
func (a Alignment) moves(d *model.Diagram, refs []string) []alignMove {
	down := a == AlignTop || a == AlignBottom || a == AlignInRow || a == SpreadDown
	moves := make([]alignMove, len(refs))
	values := make([]float64, len(refs)) // in grid steps, along the way they go
	for i, ref := range refs {
		p := d.Part(ref)
		moves[i] = alignMove{ref: ref, at: p.At}
		values[i] = a.measure(p, down)
	}
	for i, goal := range a.goals(values) {
		by := int(math.Round(goal - values[i]))
		if moves[i].by = geom.Pt(by, 0); down {
			moves[i].by = geom.Pt(0, by)
		}
	}
	return moves
}

// measure returns what of a part is to be brought into line.
func (a Alignment) measure(p *model.Part, down bool) float64 {
	at, x := canvas.OnGrid(p.At), symbol.Extent(p)
	switch a {
	case AlignLeft, AlignTop:
		at = x.Min
	case AlignRight, AlignBottom:
		at = x.Max
	}
	if down {
		return at.Y / canvas.Grid
	}
	return at.X / canvas.Grid
}

// goals returns what the measures are to become.
func (a Alignment) goals(values []float64) []float64 {
	least, most := slices.Min(values), slices.Max(values)
	goals := make([]float64, len(values))
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(values[i], values[j]) })
	for rank, i := range order {
		switch a {
		case AlignLeft, AlignTop:
			goals[i] = least
		case AlignRight, AlignBottom:
			goals[i] = most
		case AlignInColumn, AlignInRow:
			goals[i] = math.Round((least + most) / 2)
		default:
			goals[i] = least + (most-least)*float64(rank)/float64(len(values)-1)
		}
	}
	return goals
}
