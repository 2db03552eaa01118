package scene

import (
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// tagged is a lamp fed through tags alone, and a wire that carries a tag.
func tagged() (*model.Diagram, *analysis.Result) {
	part := func(ref, kind string, at geom.Point, tags map[string]string) *model.Part {
		return &model.Part{Ref: ref, Kind: kind, Placed: true, At: at, Tags: tags}
	}
	p := geom.Pt
	d := &model.Diagram{Parts: []*model.Part{
		part("BT1", "battery", p(0, 0), map[string]string{"+": "V+", "-": "GND"}),
		part("R1", "resistor", p(12, 0), map[string]string{"1": "V+"}),
		part("R2", "resistor", p(24, 0), map[string]string{"1": "mid", "2": "GND"}),
	}, Wires: []*model.Wire{wire(p(14, 0), p(17, 0))}}
	d.Wires[0].Tag = "mid"
	r := &analysis.Result{Nets: net.Build(d), Solved: true, Parts: map[string]*analysis.PartResult{}}
	r.Volts = make([]float64, len(r.Nets.Nets))
	r.Volts[r.Nets.Find("V+")], r.Volts[r.Nets.Find("mid")] = 9, 4.5
	return d, r
}

// Every pin and wire that a tag joins says so within a grid step or two, and
// the net that has tags only shows its voltage beside one.
func TestTagsAreShown(t *testing.T) {
	d, r := tagged()
	s := Build(d, r, lightOptions())
	got := map[string][]canvas.Rect{}
	for _, l := range s.Labels {
		if l.Kind == TagLabel || l.Kind == VoltageLabel {
			got[l.Ref+" "+l.Text] = append(got[l.Ref+" "+l.Text], l.Box)
		}
	}
	near := func(what string, p geom.Point, reach float64) {
		t.Helper()
		best := math.Inf(1)
		for _, box := range got[what] {
			at := canvas.OnGrid(p)
			best = math.Min(best, apart(box, canvas.Rect{Min: at, Max: at}))
		}
		if best > reach || best == 0 {
			t.Errorf("%q is %v from %v, want it beside", what, best, p)
		}
	}
	pin := func(ref string, i int) geom.Point { return d.Part(ref).PlacedPins()[i].At }
	near("BT1 V+", pin("BT1", 0), 20)
	near("BT1 GND", pin("BT1", 1), 20)
	near("R1 V+", pin("R1", 0), 20)
	near("R2 mid", pin("R2", 0), 20)
	near("R2 GND", pin("R2", 1), 20)
	near(" mid", geom.Pt(17, 0), 20)
	if a, b := got[" 9.00 V"], append(got["BT1 V+"], got["R1 V+"]...); len(a) != 1 || len(b) != 2 || math.Min(apart(a[0], b[0]), apart(a[0], b[1])) > 10 {
		t.Errorf("the pill of V+ is at %v, its tags at %v", a, b)
	}
	if len(got[" 4.50 V"]) != 1 {
		t.Errorf("%d pills of mid, want one", len(got[" 4.50 V"]))
	}
}

// Where there is room for one only, a tag keeps it from everything but a flag.
func TestTagsYieldToFlagsAlone(t *testing.T) {
	d, r := tagged()
	b := &builder{}
	b.begin(d, r, lightOptions())
	place := []spot{{box: canvas.Rect{Max: canvas.Pt(50, 10)}}}
	ask := func(loss float64) *request { return &request{loss: loss, spots: place} }
	tag := b.newTag("R1", 0, "mid")
	tag.spots = place
	name, pill := ask(nameLoss+valueLoss), b.pill([]int{1})
	pill.spots = place
	if choose([]*request{pill, name, tag}); tag.at != 0 || name.at != nowhere || pill.at != nowhere {
		t.Errorf("tag at %d, name at %d, pill at %d; want the tag alone", tag.at, name.at, pill.at)
	}
	tag.near = nil
	flag := ask(flagLoss)
	if choose([]*request{tag, flag}); flag.at != 0 || tag.at != nowhere {
		t.Errorf("flag at %d, tag at %d; want the flag alone", flag.at, tag.at)
	}
}

// A pill that would stand between its own wire and another moves to where it
// cannot be taken for the other's.
func TestPillsStandByTheirOwnWire(t *testing.T) {
	p := geom.Pt
	d := &model.Diagram{Wires: []*model.Wire{wire(p(0, 0), p(20, 0)), wire(p(6, -2), p(16, -2), p(16, -9))}}
	r := &analysis.Result{Nets: net.Build(d), Solved: true, Volts: []float64{1, 2}}
	for _, l := range Build(d, r, lightOptions()).Labels {
		own, other := d.Wires[0], d.Wires[1]
		if l.Kind != VoltageLabel {
			continue
		}
		if r.Nets.Wire(1) == l.Net {
			own, other = other, own
		}
		if a, b := toWire(l.Box, own), toWire(l.Box, other); b < a+doubtRoom {
			t.Errorf("%s is %v from its wire and %v from the other", l.Text, a, b)
		}
	}
}

func toWire(r canvas.Rect, w *model.Wire) float64 {
	best := math.Inf(1)
	for i := 1; i < len(w.Points); i++ {
		s := canvas.EmptyRect().Include(canvas.OnGrid(w.Points[i-1])).Include(canvas.OnGrid(w.Points[i]))
		best = math.Min(best, apart(r, s))
	}
	return best
}

// The line to a tag crosses no other label, and where there is another place no
// wire and no symbol.
func TestLinesToTagsCrossNothing(t *testing.T) {
	t.Parallel()
	lines, crossing := 0, 0
	for seed := range uint64(40) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		d := tidyDrawing(rnd, 10+rnd.IntN(30))
		var b Builder
		b.Build(d, inventedResult(d, rnd), lightOptions())
		for _, q := range b.b.labels {
			if q.at == nowhere || !q.spots[q.at].tied {
				continue
			}
			line := q.spots[q.at].lead()
			lines++
			for _, o := range b.b.labels {
				if o != q && o.at != nowhere && line.Overlaps(o.spots[o.at].box) {
					t.Errorf("drawing %d: the line to %q crosses %q", seed, q.Text, o.Text)
				}
			}
			for _, w := range d.Wires {
				for j := 1; j < len(w.Points); j++ {
					if cuts(w.Points[j-1], w.Points[j], line) {
						crossing++
					}
				}
			}
		}
	}
	if lines < 100 || crossing > lines/20 {
		t.Errorf("%d of %d lines cross a wire", crossing, lines)
	}
}
