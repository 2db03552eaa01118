package scene

import (
	"slices"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// A fault about a pin has its flag at that pin, however it names it, and not
// on it.
func TestFlagsStandAtTheirPin(t *testing.T) {
	q := &model.Part{Ref: "Q1", Kind: "npn", Placed: true}
	d := &model.Diagram{Parts: []*model.Part{q}}
	n := net.Build(d)
	for _, pin := range q.PlacedPins() {
		at := pin.At
		for name, f := range map[string]analysis.Fault{
			"by net":           {Parts: []string{"Q1"}, Nets: []int{n.Pin("Q1", pin.Name)}},
			"by place":         {At: &at},
			"by part at place": {Parts: []string{"Q1"}, At: &at},
		} {
			s := Build(d, &analysis.Result{Nets: n, Faults: []analysis.Fault{f}}, lightOptions())
			box := s.Flags[0].Box
			for _, other := range q.PlacedPins() {
				d := apart(box, dot(canvas.OnGrid(other.At)))
				switch {
				case !s.Flags[0].Shown || other.At == pin.At && (d == 0 || d > 14):
					t.Errorf("%s, %s: the flag is %v from its pin", pin.Name, name, d)
				case other.At != pin.At && d < 15:
					t.Errorf("%s, %s: the flag is %v from %s", pin.Name, name, d, other.Name)
				}
			}
		}
	}
}

// Only what stops the analysis has a filled flag; all others are smaller, and
// outlined.
func TestFlagsThatStopStandOut(t *testing.T) {
	d, r := switched()
	r.Faults = []analysis.Fault{{Text: "a", Stops: true, Parts: []string{"Q1"}}, {Text: "b", Parts: []string{"R1"}}}
	for name, th := range themes() {
		o := lightOptions()
		o.Theme = th
		s := Build(d, r, o)
		if loud, quiet := s.Flags[0].Box, s.Flags[1].Box; quiet.Width() >= loud.Width() {
			t.Errorf("%s: flags are %v and %v wide", name, loud.Width(), quiet.Width())
		}
		filled, rings := 0, 0
		for _, it := range s.Picture.Items {
			if p, ok := it.(*canvas.Path); ok && p.Fill == th.Flag {
				filled++
			} else if ok && p.Stroke == th.Flag && p.Fill == th.Paper {
				rings++
			}
		}
		if filled != 1 || rings != 1 {
			t.Errorf("%s: %d filled flags and %d rings, want one of each", name, filled, rings)
		}
	}
}

// A pin that is shorted to another is no open pin: its flag is the part's.
func TestFlagsOfSeveralPins(t *testing.T) {
	p := &model.Part{Ref: "BT1", Kind: "battery", Placed: true}
	d := &model.Diagram{Parts: []*model.Part{p}, Wires: []*model.Wire{
		wire(p.PlacedPins()[0].At, geom.Pt(4, p.PlacedPins()[0].At.Y), geom.Pt(4, p.PlacedPins()[1].At.Y), p.PlacedPins()[1].At)}}
	n := net.Build(d)
	b := &builder{}
	b.begin(d, &analysis.Result{Nets: n}, lightOptions())
	b.readParts()
	f := analysis.Fault{Parts: []string{"BT1"}, Nets: []int{n.Pin("BT1", "+")}}
	if _, pin, ok := b.faultPin(f); ok {
		t.Errorf("the fault is said to be about %s alone", pin.Name)
	}
}

// While one draws, ends that lead nowhere yet and parts that are joined to
// nothing have no flags, and then they do; the numbers of the others stay.
func TestCalmLeavesOutUnfinishedEnds(t *testing.T) {
	t.Parallel()
	d, r := switched()
	at := geom.Pt(20, 20)
	r.Faults = []analysis.Fault{{Text: "a", Parts: []string{"R1"}, At: &at, Unfinished: true}, {Text: "b", Parts: []string{"R2"}}, {Text: "R1 is joined to nothing", Parts: []string{"R1"}, Unfinished: true}}
	o := lightOptions()
	for _, o.Calm = range []bool{false, true} {
		var shown []int
		for _, f := range Build(d, r, o).Flags {
			if f.Shown {
				shown = append(shown, f.Number)
			}
		}
		want := []int{1, 2, 3}
		if o.Calm {
			want = []int{2}
		}
		if !slices.Equal(shown, want) {
			t.Errorf("calm %v: flags %v, want %v", o.Calm, shown, want)
		}
	}
}
