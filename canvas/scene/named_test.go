package scene

import (
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// A wire that a fault names has its name beside it, and no other has.
func TestWiresThatFaultsNameAreNamed(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{Wires: []*model.Wire{
		wire(geom.Pt(0, 0), geom.Pt(10, 0)),
		wire(geom.Pt(0, 8), geom.Pt(10, 8)),
	}}
	r := &analysis.Result{Nets: net.Build(d), Faults: []analysis.Fault{
		{Text: "W2 ends where nothing is", Wires: []int{1}},
		{Text: "something else is wrong", Wires: []int{0}},
	}}
	var named []Label
	for _, l := range Build(d, r, lightOptions()).Labels {
		if l.Kind == WireLabel {
			named = append(named, l)
		}
	}
	if len(named) != 1 || named[0].Text != "W2" {
		t.Fatalf("named are %+v", named)
	}
	row := canvas.OnGrid(geom.Pt(0, 8)).Y
	if box := named[0].Box; box.Max.Y < row-20 || box.Min.Y > row+20 {
		t.Errorf("the name stands at %v, its wire at %v", box, row)
	}
}

// The halo of a selected part leaves out its leads, at the ends of which other
// parts are, and keeps to what it may take of the room around its ink.
func TestTheHaloHoldsOnlyItsPart(t *testing.T) {
	t.Parallel()
	for _, k := range model.Kinds() {
		p := k.NewPart(geom.Point{})
		p.Ref, p.Placed = "X1", true
		d := &model.Diagram{Parts: []*model.Part{p}}
		b := &builder{}
		b.begin(d, nil, lightOptions())
		b.readParts()
		b.drawParts(false)
		body, extent := b.parts[0].body, symbol.Extent(p)
		if extent.Empty() {
			continue
		}
		if body.Empty() || !extent.Inset(-1).Contains(body.Min) || !extent.Inset(-1).Contains(body.Max) {
			t.Errorf("%s: the halo is around %v, the symbol is %v", k.Name, body, extent)
		}
		if k.Name == "resistor" && body.Width() > extent.Width()-20 {
			t.Errorf("the halo of a resistor holds its leads: %v of %v", body, extent)
		}
	}
}
