package scene

import (
	"image/color"
	"slices"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/geom"
)

// strokes returns the paths of wires in a colour.
func strokes(s *Scene, c color.NRGBA) []*canvas.Path {
	var list []*canvas.Path
	for _, it := range s.Picture.Items {
		if p, ok := it.(*canvas.Path); ok && p.Stroke == c && p.Width == wireWidth && p.Fill.A == 0 {
			list = append(list, p)
		}
	}
	return list
}

// What is lit keeps its colours, and so do the wires from one lit part to
// another; all else is drawn paler, and its names can be read.
func TestLitPartsStandOut(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	for name, th := range themes() {
		var b Builder
		o := Options{Theme: th, Show: Usual(), Lit: map[string]bool{"Q1": true, "R1": true, "IC1": true}}
		s := b.Build(d, solve(t, d, "White"), o)
		var lit, back []string
		for _, it := range s.Picture.Items {
			text, ok := it.(*canvas.Text)
			if !ok || d.Part(text.String) == nil {
				continue
			}
			if text.Colour == th.Ink {
				lit = append(lit, text.String)
			} else if c := canvas.Contrast(text.Colour, th.Paper); c >= 4.5 && c < canvas.Contrast(th.Ink, th.Paper)/2 {
				back = append(back, text.String)
			}
		}
		slices.Sort(lit)
		if got := strings.Join(lit, " "); got != "IC1 Q1 R1" || len(back) < 8 {
			t.Errorf("%s: %s stand out, and %v stand back", name, got, back)
		}
		q, r := d.Part("Q1").PlacedPins()[1].At, d.Part("R1").PlacedPins()
		onBase := func(p geom.Point) bool { return p == q || p == r[0].At || p == r[1].At }
		for i, piece := range b.b.pieces {
			at := onBase(piece.A) || onBase(piece.B)
			if at && !b.b.lit.pieces[i] {
				t.Errorf("%s: the wire from %v to %v stands back", name, piece.A, piece.B)
			}
			if piece.Net == b.b.nets.Pin("D1", "K") && b.b.lit.pieces[i] {
				t.Errorf("%s: the wire from %v to %v stands out, and leads from no lit part to another", name, piece.A, piece.B)
			}
		}
	}
}

// strokesAt returns the items of a scene with a line that begins or ends at a
// pin, and their colours.
func strokesAt(s *Scene, pin model.Pin) (colours []color.NRGBA) {
	for _, it := range s.Picture.Items {
		p, ok := it.(*canvas.Path)
		if !ok || p.Width != wireWidth || len(p.Segs) != 2 {
			continue
		}
		if slices.ContainsFunc(p.Segs, func(g canvas.Seg) bool { return g.P == canvas.OnGrid(pin.At) }) {
			colours = append(colours, p.Stroke)
		}
	}
	return colours
}

// Of a part that is lit the leads are paler that go to no other lit part, and
// no symbol that stands back is drawn over what does not.
func TestLeadsBesideTheLitPathStandBack(t *testing.T) {
	t.Parallel()
	d := example(t, "lantern")
	o := Options{Theme: canvas.LightTheme(), Show: Usual(), Lit: map[string]bool{"BT1": true, "Q1": true, "R1": true, "IC1": true}}
	s := Build(d, solve(t, d, "White"), o)
	for ref, pale := range map[string][]string{"Q1": {"C"}, "IC1": {"2", "3", "5"}, "R1": nil} {
		for _, pin := range d.Part(ref).PlacedPins() {
			got := slices.Contains(strokesAt(s, pin), o.Theme.Ink)
			if want := !slices.Contains(pale, pin.Name); got != want {
				t.Errorf("%s.%s: a lead in full ink %v, want %v", ref, pin.Name, got, want)
			}
		}
	}
	last, dots := 0, 0
	for i, it := range s.Picture.Items {
		p, ok := it.(*canvas.Path)
		switch {
		case ok && p.Fill == o.Theme.Ink && p.Width == 0 && dots == 0 && len(p.Segs) > 4:
			dots = i
		case ok && len(p.Segs) == 2 && p.Segs[0].P == canvas.OnGrid(d.Part("GND1").PlacedPins()[0].At):
			last = i
		}
	}
	if dots == 0 || last == 0 || last > dots {
		t.Errorf("the ground's lead is item %d, the lit dots are item %d", last, dots)
	}
}

// No part that is lit means that nothing stands back.
func TestNothingLit(t *testing.T) {
	t.Parallel()
	d, r := switched()
	o := lightOptions()
	plain := Build(d, r, o)
	o.Lit = map[string]bool{}
	if !sameScene(plain, Build(d, r, o)) {
		t.Error("an empty list of lit parts changes the scene")
	}
	o.Lit["R1"] = true
	if len(strokes(Build(d, r, o), o.Theme.Ink)) >= len(strokes(plain, o.Theme.Ink)) {
		t.Error("with R1 lit as many wires and symbols are in full ink as before")
	}
}

// What stands back is paler than what does not, letters or lines, and lines are
// paler than letters.
func TestWhatStandsBackIsPaler(t *testing.T) {
	t.Parallel()
	for name, th := range themes() {
		b := &builder{t: th, back: true}
		for _, c := range []color.NRGBA{th.Ink, th.Current, th.Volts, th.Flag} {
			full := canvas.Contrast(c, th.Paper)
			text, line := canvas.Contrast(b.toneText(c), th.Paper), canvas.Contrast(b.tone(c), th.Paper)
			if text >= full || line > text {
				t.Errorf("%s: %v has a contrast of %.2f, behind %.2f in letters and %.2f in lines", name, c, full, text, line)
			}
		}
		if badge := canvas.Contrast(b.toneBadge(), th.Paper); badge >= canvas.Contrast(th.Badge, th.Paper) {
			t.Errorf("%s: a badge behind has a contrast of %.2f", name, badge)
		}
	}
}
