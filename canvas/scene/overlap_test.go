package scene

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// overlaps tells in words which labels of a scene cover something: the plain
// and slow check of what Build promises, from nothing but the drawing and the
// list of labels.
func overlaps(d *model.Diagram, s *Scene) []string {
	var found []string
	say := func(l Label, what string) {
		found = append(found, fmt.Sprintf("label %q of %s covers %s", l.Text, l.Ref, what))
	}
	for i, l := range s.Labels {
		for _, m := range s.Labels[i+1:] {
			if l.Box.Overlaps(m.Box) {
				say(l, fmt.Sprintf("label %q", m.Text))
			}
		}
		for _, p := range d.Parts {
			if !p.Placed || p.Kind == "chip" && l.Ref == p.Ref && inside(l.Box, symbol.Extent(p)) {
				continue
			}
			if l.Box.Overlaps(symbol.Extent(p)) {
				say(l, p.Ref)
			}
		}
		for _, w := range d.Wires {
			for j := 1; j < len(w.Points); j++ {
				if cuts(w.Points[j-1], w.Points[j], l.Box) {
					say(l, fmt.Sprintf("the wire at %v", w.Points[j]))
				}
			}
		}
	}
	return found
}

// marksCovered tells which labels cover what the scene itself draws besides
// wires: chevrons, ribbons and the humps of wires. Each is found in the picture
// by its colour.
func marksCovered(s *Scene, t canvas.Theme) []string {
	var found []string
	for _, it := range s.Picture.Items {
		p, ok := it.(*canvas.Path)
		if !ok {
			continue
		}
		step := 0 // points to one mark
		switch {
		case p.Stroke == t.Current:
			step = 3
		case p.Stroke == t.Ribbon && p.Width > 0:
			step = 2
		}
		for i := 0; step > 0 && i+step <= len(p.Segs); i += step {
			box := (&canvas.Path{Segs: p.Segs[i : i+step]}).Bounds().Inset(-p.Width / 2)
			for _, l := range s.Labels {
				if l.Box.Overlaps(box) && upright(p.Segs[i:i+step]) {
					found = append(found, fmt.Sprintf("label %q covers a mark at %v", l.Text, box))
				}
			}
		}
		found = append(found, humpsCovered(p, s, t)...)
	}
	return found
}

// upright leaves oblique ribbons out, whose bounds say little.
func upright(segs []canvas.Seg) bool {
	return len(segs) != 2 || segs[0].P.X == segs[1].P.X || segs[0].P.Y == segs[1].P.Y
}

func humpsCovered(p *canvas.Path, s *Scene, t canvas.Theme) []string {
	var found []string
	if p.Stroke != t.Ink || p.Fill.A > 0 || p.Width != wireWidth {
		return nil
	}
	for i, seg := range p.Segs {
		if seg.Op != canvas.Cubic {
			continue
		}
		box := canvas.EmptyRect().Include(p.Segs[i-1].P).Include(seg.P)
		for _, l := range s.Labels {
			if l.Box.Overlaps(box) {
				found = append(found, fmt.Sprintf("label %q covers a hump at %v", l.Text, box))
			}
		}
	}
	return found
}

func inside(a, b canvas.Rect) bool { return b.Contains(a.Min) && b.Contains(a.Max) }

// cuts reports whether the line from a to b enters r, by trying points of it
// half a unit apart.
func cuts(a, b geom.Point, r canvas.Rect) bool {
	p, q := canvas.OnGrid(a), canvas.OnGrid(b)
	n := int(2*distance(p, q)) + 1
	for k := range n + 1 {
		t := float64(k) / float64(n)
		if r.Contains(canvas.Pt(p.X+t*(q.X-p.X), p.Y+t*(q.Y-p.Y))) {
			return true
		}
	}
	return false
}

func TestLabelsCoverNothing(t *testing.T) {
	const drawings = 200
	for seed := range uint64(drawings) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		d := randomDrawing(rnd, 5+rnd.IntN(56))
		r := inventedResult(d, rnd)
		o := lightOptions()
		o.Legend = false // its sample of a ribbon lies under no label, but in its own place
		s := Build(d, r, o)
		for _, f := range append(overlaps(d, s), marksCovered(s, o.Theme)...) {
			t.Errorf("drawing %d: %s", seed, f)
		}
		for i, f := range s.Flags {
			if !f.Shown {
				t.Errorf("drawing %d: the flag of fault %d at %s is not shown", seed, i, r.Faults[i].Parts[0])
			}
		}
		if t.Failed() {
			return
		}
	}
}

// Every text that the scene adds to the symbols' own stands in the box that it
// says, so that the check above sees all there is.
func TestTextStaysInItsBox(t *testing.T) {
	for seed := range uint64(40) {
		rnd := rand.New(rand.NewPCG(seed, 2))
		d := randomDrawing(rnd, 30)
		o := lightOptions()
		o.Legend = false
		s := Build(d, inventedResult(d, rnd), o)
		own := map[string]int{}
		for _, p := range d.Parts {
			for _, it := range symbol.Draw(p, nil, symbol.Look{}) {
				if text, ok := it.(*canvas.Text); ok {
					own[text.String]++
				}
			}
		}
		for _, it := range s.Picture.Items {
			if text, ok := it.(*canvas.Text); ok && own[text.String] == 0 && !boxed(text, s.Labels) {
				t.Errorf("drawing %d: %q at %v is in no label's box", seed, text.String, text.At)
			}
		}
	}
}

// boxed reports whether the text, measured from capitals to descenders, lies
// in one of the labels' boxes.
func boxed(text *canvas.Text, labels []Label) bool {
	left, size := text.Left(), text.Size
	ink := canvas.Rect{
		Min: canvas.Pt(left.X, left.Y-canvas.CapHeight(size)),
		Max: canvas.Pt(left.X+canvas.TextWidth(text.String, size, text.Bold), left.Y+0.2*size),
	}
	for _, l := range labels {
		if inside(ink, l.Box.Inset(-0.01)) {
			return true
		}
	}
	return false
}
