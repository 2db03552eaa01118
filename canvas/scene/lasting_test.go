package scene

import (
	"maps"
	"math/rand/v2"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// lasting returns where names, badges and tags stand, by kind, part and text.
func lasting(s *Scene) map[Label]canvas.Rect {
	at := map[Label]canvas.Rect{}
	for _, l := range s.Labels {
		if l.Kind == NameLabel || l.Kind == BadgeLabel || l.Kind == TagLabel {
			at[Label{Kind: l.Kind, Ref: l.Ref, Text: l.Text}] = l.Box
		}
	}
	return at
}

// nameBoxes returns where the names of parts stand, but of meters, whose figures
// are part of them.
func nameBoxes(d *model.Diagram, s *Scene) map[string]canvas.Rect {
	at := map[string]canvas.Rect{}
	for _, l := range s.Labels {
		if l.Kind == NameLabel && d.Part(l.Ref).Kind != "meter" {
			at[l.Ref] = l.Box
		}
	}
	return at
}

// Whoever goes from one mode to the next finds every name where it was, though
// transistors are said to do something else.
func TestNamesStayInEveryMode(t *testing.T) {
	for _, e := range shown {
		d := example(t, e.name)
		o := lightOptions()
		o.Mode = e.mode
		first := lasting(Build(d, nil, o))
		var solved map[string]canvas.Rect
		for _, m := range d.Modes {
			now := nameBoxes(d, Build(d, solve(t, d, m.Name), lightOptions()))
			if solved != nil && !maps.Equal(now, solved) {
				t.Errorf("%s, mode %s: names have moved from %v to %v", e.name, m.Name, solved, now)
			}
			solved = now
			for l, box := range lasting(Build(d, solve(t, d, m.Name), lightOptions())) {
				if was, known := first[l]; known && was != box {
					t.Errorf("%s, mode %s: %q of %s is at %v, without a result at %v", e.name, m.Name, l.Text, l.Ref, box, was)
				}
			}
		}
	}
}

// Nothing moves because it is selected, pointed at or found faulty.
func TestNamesStayWhenSelected(t *testing.T) {
	for seed := range uint64(20) {
		rnd := rand.New(rand.NewPCG(seed, 5))
		d := randomDrawing(rnd, 30)
		r := inventedResult(d, rnd)
		before := lasting(Build(d, r, lightOptions()))
		o := lightOptions()
		o.Selected, o.Hover = map[string]bool{}, r.Nets.Nets[0].Name
		for _, p := range d.Parts[:10] {
			o.Selected[p.Ref] = true
		}
		r.Faults = nil
		if after := lasting(Build(d, r, o)); !maps.Equal(after, before) {
			t.Errorf("drawing %d: labels have moved", seed)
		}
	}
}

// A name that has room beside a wire only while no ribbon is there stands
// where no ribbon comes.
func TestNamesLeaveRoomForRibbons(t *testing.T) {
	part := func(ref string, x, y int) *model.Part {
		return &model.Part{Ref: ref, Kind: "resistor", Placed: true, At: geom.Pt(x, y)}
	}
	d := &model.Diagram{Parts: []*model.Part{part("R1", 10, 10), part("R2", 0, 8), part("R3", 20, 8)},
		Wires: []*model.Wire{wire(geom.Pt(2, 8), geom.Pt(18, 8))}}
	n := net.Build(d)
	r := &analysis.Result{Nets: n, Solved: true, Volts: make([]float64, len(n.Nets)), Parts: map[string]*analysis.PartResult{}}
	for _, ref := range []string{"R2", "R3"} {
		r.Parts[ref] = &analysis.PartResult{Count: 1, Pins: []analysis.PinResult{
			{Name: "1", Net: n.Pin(ref, "1"), Amps: 1}, {Name: "2", Net: n.Pin(ref, "2"), Amps: -1},
		}}
	}
	name := Label{Kind: NameLabel, Ref: "R1", Text: "R1"}
	without, with := lasting(Build(d, nil, lightOptions()))[name], lasting(Build(d, r, lightOptions()))[name]
	if without != with || with == (canvas.Rect{}) {
		t.Errorf("R1 is named at %v without a ribbon and at %v with one", without, with)
	}
}
