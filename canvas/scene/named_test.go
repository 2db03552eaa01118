package scene

import (
	"math"
	"slices"
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

// A part's power stands below its name and in line with it.
func TestPowersStandBelowNames(t *testing.T) {
	t.Parallel()
	d, o := example(t, "lantern"), lightOptions()
	o.Show.Powers = true
	s := Build(d, solve(t, d, "White"), o)
	names := map[string]canvas.Rect{}
	for _, l := range s.Labels {
		if l.Kind == NameLabel {
			names[l.Ref] = l.Box
		}
	}
	below := 0
	for _, l := range s.Labels {
		if name := names[l.Ref]; l.Kind == PowerLabel && l.Box.Min.X == name.Min.X && l.Box.Min.Y == name.Max.Y+labelGap {
			below++
		}
	}
	if below < 3 {
		t.Errorf("%d powers stand below their names, want those of BT1, D1 and Q1", below)
	}
}

// A drawing is where it is, whatever is selected or brought out.
func TestSelectionMovesNothing(t *testing.T) {
	t.Parallel()
	d, o := example(t, "lantern"), lightOptions()
	r := solve(t, d, "White")
	usual := Build(d, r, o)
	o.Selected, o.Hover = map[string]bool{}, r.Nets.Nets[0].Name
	for _, p := range d.Parts {
		o.Selected[p.Ref] = true
	}
	if got := Build(d, r, o); got.Bounds != usual.Bounds || !slices.Equal(got.Labels, usual.Labels) {
		t.Errorf("bounds %v, before %v", got.Bounds, usual.Bounds)
	}
}

// Where a wire goes straight on into a lead they meet at the pin, and hardly
// overlap: two strokes on one another look thicker.
func TestWiresMeetLeadsFlush(t *testing.T) {
	t.Parallel()
	pin := geom.Pt(2, 0) // of a resistor, which points right
	for name, tt := range map[string]struct {
		points []geom.Point
		over   float64
	}{
		"straight on":   {[]geom.Point{pin, geom.Pt(6, 0)}, flushOver},
		"and back":      {[]geom.Point{geom.Pt(6, 0), pin}, flushOver},
		"at a corner":   {[]geom.Point{pin, geom.Pt(2, 4)}, wireWidth / 2},
		"to no lead":    {[]geom.Point{geom.Pt(9, 3), geom.Pt(12, 3)}, wireWidth / 2},
		"over the part": {[]geom.Point{pin, geom.Pt(-6, 0)}, wireWidth / 2},
	} {
		d := &model.Diagram{Parts: []*model.Part{{Ref: "R1", Kind: "resistor", Placed: true}}, Wires: []*model.Wire{wire(tt.points...)}}
		s := Build(d, nil, lightOptions())
		end, next := canvas.OnGrid(tt.points[0]), canvas.OnGrid(tt.points[1])
		if tt.points[0] != pin && tt.points[1] == pin {
			end, next = next, end
		}
		found := math.NaN()
		for _, p := range strokes(s, canvas.LightTheme().Ink) {
			for _, seg := range p.Segs {
				if over := distance(seg.P, next) - distance(end, next); distance(seg.P, end) < 5 && over > 0 {
					found = over
				}
			}
		}
		if !(math.Abs(found-tt.over) < 1e-9) {
			t.Errorf("%s: the wire ends %.2f beyond the pin, want %.2f", name, found, tt.over)
		}
	}
}
