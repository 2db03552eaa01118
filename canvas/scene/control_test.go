package scene

import (
	"slices"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// controlled returns the control paths of a drawing in a mode: the parts that
// they pass through, sorted, and whether they pass a place.
func controlled(t *testing.T, d *model.Diagram, mode string) (refs string, passes func(geom.Point) bool) {
	t.Helper()
	o := lightOptions()
	o.Show.Control = true
	var b Builder
	s := b.Build(d, solve(t, d, mode), o)
	var names []string
	var pieces []int
	for i, taken := range b.b.driven.taken {
		switch w := &b.b.driven.ways[i]; {
		case taken && w.kind == byPart:
			names = append(names, b.b.parts[w.index].Ref)
		case taken && w.kind == byPiece:
			pieces = append(pieces, w.index)
		}
	}
	explained := slices.ContainsFunc(s.Picture.Items, func(it canvas.Item) bool {
		text, ok := it.(*canvas.Text)
		return ok && text.String == "control path"
	})
	if explained != (len(pieces) > 0) {
		t.Errorf("mode %s: the legend explains control paths: %v; there are %d pieces", mode, explained, len(pieces))
	}
	slices.Sort(names)
	return strings.Join(names, " "), func(p geom.Point) bool {
		return slices.ContainsFunc(pieces, func(i int) bool { return p.OnSegment(b.b.pieces[i].A, b.b.pieces[i].B) })
	}
}

// The base current of a switch goes through what the examples' own notes say:
// base resistor, button and battery, and not through the load.
func TestControlPathsOfExamples(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ example, mode, parts string }{
		{"high-side", "Drive low", "BT1 R1 S1"},
		{"low-side", "Drive high", "BT1 R1 S1"},
		{"lantern", "White", "BT1 IC1 R1"},
		{"lantern", "Off", ""},
	} {
		if got, _ := controlled(t, example(t, tt.example), tt.mode); got != tt.parts {
			t.Errorf("%s, %s: the control path passes %q, want %q", tt.example, tt.mode, got, tt.parts)
		}
	}
}

// No current enters a gate: its path goes through the resistor that drops
// nothing to the battery, not through the one that stands between gate and
// source.
func TestControlPathOfAGate(t *testing.T) {
	t.Parallel()
	part := func(ref, kind, value string, x, y, turn int) *model.Part {
		return &model.Part{Ref: ref, Kind: kind, Value: value, Placed: true, At: geom.Pt(x, y), Orient: geom.Orientation{Turn: turn}}
	}
	q := part("Q1", "nmos", "", 20, 14, 0)
	pins := q.PlacedPins()
	d, g, s := pins[0].At, pins[1].At, pins[2].At
	drawing := &model.Diagram{Parts: []*model.Part{
		part("BT1", "battery", "9 V", 0, 10, 0), q, part("R1", "resistor", "100", 10, g.Y-6, 90),
		part("R2", "resistor", "1M", 14, g.Y+4, 90), part("R3", "resistor", "100", d.X, 5, 90), part("GND1", "ground", "", 0, 24, 0),
	}, Wires: []*model.Wire{
		wire(geom.Pt(0, 8), geom.Pt(0, 0), geom.Pt(d.X, 0), geom.Pt(d.X, 3)), wire(geom.Pt(10, 0), geom.Pt(10, g.Y-8)),
		wire(geom.Pt(10, g.Y-4), geom.Pt(10, g.Y), g), wire(geom.Pt(14, g.Y), geom.Pt(14, g.Y+2)),
		wire(geom.Pt(14, g.Y+6), geom.Pt(14, 24)), wire(geom.Pt(d.X, 7), d), wire(s, geom.Pt(s.X, 24), geom.Pt(0, 24), geom.Pt(0, 12)),
	}}
	got, passes := controlled(t, drawing, "")
	if got != "BT1 R1" {
		t.Errorf("the control path passes %q, want BT1 R1", got)
	}
	if !passes(geom.Pt(12, g.Y)) || passes(geom.Pt(14, g.Y+1)) || passes(geom.Pt(d.X, 1)) {
		t.Error("the control path goes by other wires than those from the gate to R1")
	}
}

// Powers say what is absorbed and what is given, and only where that is asked.
func TestPowers(t *testing.T) {
	t.Parallel()
	d := example(t, "low-side")
	r, o := solve(t, d, "Drive high"), lightOptions()
	count := func() (n int, gives []string) {
		for _, l := range Build(d, r, o).Labels {
			if l.Kind == PowerLabel {
				n++
				if strings.HasPrefix(l.Text, "gives ") {
					gives = append(gives, l.Ref)
				}
			}
		}
		return n, gives
	}
	if n, _ := count(); n > 0 {
		t.Errorf("%d powers are told though nobody asked", n)
	}
	o.Show.Powers = true
	if n, gives := count(); n < 4 || !slices.Equal(gives, []string{"BT1"}) {
		t.Errorf("%d powers are told, of which %v give; want 4 or more, and BT1", n, gives)
	}
}

// Chevrons stand clear of the ties of a control path.
func TestChevronsAreNotLostAmongTies(t *testing.T) {
	t.Parallel()
	d, o := example(t, "lantern"), lightOptions()
	o.Show.Control = true
	var b Builder
	s := b.Build(d, solve(t, d, "White"), o)
	ties, chevrons := 0, 0
	for _, it := range s.Picture.Items {
		p, ok := it.(*canvas.Path)
		if !ok || p.Width != chevronWidth || p.Stroke != o.Theme.Current {
			continue
		}
		for k := 1; k < len(p.Segs); k += 3 {
			chevrons++
			for i, seg := range b.b.driven.ties.Segs {
				ties++
				if d := distance(seg.P, p.Segs[k].P); d < tieRoom {
					t.Errorf("the end of tie %d at %v is %.1f from a chevron's tip", i/2, seg.P, d)
				}
			}
		}
	}
	if ties == 0 || chevrons < 4 {
		t.Errorf("%d chevrons and %d ties were seen", chevrons, ties)
	}
}
