package scene

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/analysis"
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
			if !p.Placed || p.Kind == "chip" && l.Ref == p.Ref && inside(l.Box, symbol.ExtentIn(p, symbol.IEC)) {
				continue
			}
			if coversPart(l.Box, p) {
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

var soak = flag.Int("soak", 60, "how many random drawings TestLabelsCoverNothing looks at")

// No label covers anything: on drawings as people make them, of which hardly
// a label finds no place, and on any others.
func TestLabelsCoverNothing(t *testing.T) {
	t.Parallel()
	asked, dropped := 0, 0
	for seed := range uint64(*soak) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		s := coversNothing(t, fmt.Sprint("tidy drawing ", seed), tidyDrawing(rnd, 5+rnd.IntN(56)), rnd)
		asked += len(s.Labels) + len(s.Dropped)
		dropped += len(s.Dropped)
		rnd = rand.New(rand.NewPCG(seed, 1))
		coversNothing(t, fmt.Sprint("drawing ", seed), randomDrawing(rnd, 5+rnd.IntN(56)), rnd)
	}
	share := float64(dropped) / float64(asked)
	t.Logf("%.2f %% of %d labels on %d tidy drawings found no place", 100*share, asked, *soak)
	if share >= 0.03 {
		t.Errorf("%.2f %% of the labels found no place, want less than 3 %%", 100*share)
	}
}

// coversNothing checks the scene of a drawing at the usual level, and of all
// there is to show in large letters and closest by.
func coversNothing(t *testing.T, name string, d *model.Diagram, rnd *rand.Rand) *Scene {
	t.Helper()
	r := inventedResult(d, rnd)
	o := lightOptions()
	o.Legend = false // its sample of a ribbon lies under no label, but in its own place
	usual := Build(d, r, o)
	all := o
	all.Show.Powers, all.Level, all.TextScale = true, Closest, 1.25
	for what, s := range map[string]*Scene{"": usual, ", all there is": Build(d, r, all)} {
		for _, f := range append(append(overlaps(d, s), marksCovered(s, o.Theme)...), leadsCovered(d, s, r, o.Theme)...) {
			t.Errorf("%s%s: %s", name, what, f)
		}
		for i, f := range s.Flags {
			if !f.Shown {
				t.Errorf("%s%s: the flag of fault %d at %s is not shown", name, what, i, r.Faults[i].Parts[0])
			}
		}
	}
	if t.Failed() {
		t.FailNow()
	}
	return usual
}

// leadsCovered tells which lines that lead to a figure cross a label, a symbol
// or a wire, and which of these figures could be taken for that of another
// net's wire. The lines are the filled rectangles in the colours of figures.
func leadsCovered(d *model.Diagram, s *Scene, r *analysis.Result, th canvas.Theme) []string {
	var found []string
	for _, it := range s.Picture.Items {
		p, ok := it.(*canvas.Path)
		if !ok || p.Fill != th.Current && p.Fill != th.Volts || len(p.Segs) != 5 {
			continue
		}
		for _, l := range s.Labels {
			if l.Box.Inset(0.01).Overlaps(p.Bounds()) {
				found = append(found, fmt.Sprintf("a lead at %v crosses the label %q", p.Bounds(), l.Text))
			}
		}
		for _, part := range d.Parts {
			if part.Placed && symbol.ExtentIn(part, symbol.IEC).Overlaps(p.Bounds()) {
				found = append(found, fmt.Sprintf("a lead at %v crosses %s", p.Bounds(), part.Ref))
			}
		}
		found = append(found, strayLeads(d, s, r, p.Bounds())...)
	}
	return found
}

// strayLeads tells which wires a lead crosses, and which wires of other nets the
// voltage at its end is near to. A current may stand beside a wire of another
// net that carries it too.
func strayLeads(d *model.Diagram, s *Scene, r *analysis.Result, lead canvas.Rect) []string {
	var found []string
	for i, w := range d.Wires {
		for j := 1; j < len(w.Points); j++ {
			if cuts(w.Points[j-1], w.Points[j], lead) {
				found = append(found, fmt.Sprintf("a lead at %v crosses the wire at %v", lead, w.Points[j]))
			}
			for _, l := range s.Labels {
				led := l.Kind == VoltageLabel && lead.Inset(-0.01).Overlaps(l.Box)
				run := canvas.EmptyRect().Include(canvas.OnGrid(w.Points[j-1])).Include(canvas.OnGrid(w.Points[j]))
				if led && r.Nets.Wire(i) != l.Net && apart(l.Box, run) < aloneRoom-0.01 {
					found = append(found, fmt.Sprintf("label %q at the end of a lead is beside the wire at %v", l.Text, w.Points[j]))
				}
			}
		}
	}
	return found
}

// On the page that a drawing just fills all its labels are where they are
// without bounds; on a smaller one fewer reach beyond it than without.
func TestLabelsKeepToThePage(t *testing.T) {
	t.Parallel()
	free, bound := 0, 0
	for seed := range uint64(30) {
		rnd := rand.New(rand.NewPCG(seed, 4))
		d := tidyDrawing(rnd, 5+rnd.IntN(30))
		r, o := inventedResult(d, rnd), lightOptions()
		o.Legend = false
		usual := Build(d, r, o)
		o.Page = &usual.Bounds
		if !slices.Equal(Build(d, r, o).Labels, usual.Labels) {
			t.Errorf("drawing %d: a page as large as the drawing moves labels", seed)
		}
		ink := canvas.EmptyRect()
		for _, p := range d.Parts {
			ink = ink.Union(symbol.ExtentIn(p, symbol.IEC))
		}
		o.Page = &ink
		free, bound = free+beyond(usual, ink), bound+beyond(Build(d, r, o), ink)
	}
	t.Logf("%d labels reach beyond the page without bounds, %d with", free, bound)
	if bound >= free/2 {
		t.Errorf("%d labels reach beyond the page, without bounds %d", bound, free)
	}
}

func beyond(s *Scene, page canvas.Rect) int {
	n := 0
	for _, l := range s.Labels {
		if !inside(l.Box, page) {
			n++
		}
	}
	return n
}

// Each level shows what the level below it shows, in the same places, and on
// the whole more.
func TestLevelsNest(t *testing.T) {
	t.Parallel()
	total := map[Level]int{}
	for seed := range uint64(20) {
		rnd := rand.New(rand.NewPCG(seed, 9))
		d := randomDrawing(rnd, 10+rnd.IntN(40))
		r, o := inventedResult(d, rnd), lightOptions()
		o.Show.Powers = true
		var below []Label
		for level := Outline; level <= Closest; level++ {
			o.Level = level
			s := Build(d, r, o)
			for _, l := range below {
				if !slices.Contains(s.Labels, l) {
					t.Errorf("drawing %d: level %d loses %q of %s, which the level below has", seed, level, l.Text, l.Ref)
				}
			}
			below, total[level] = slices.Clone(s.Labels), total[level]+len(s.Labels)
		}
	}
	for level := Outline; level < Closest; level++ {
		if total[level+1] <= total[level] {
			t.Errorf("level %d shows %d labels, the next %d; want more", level, total[level], total[level+1])
		}
	}
	for _, scale := range []float64{0.1, 0.4, 1, 1.25, 2, 4} {
		if LevelAt(scale) > LevelAt(1.1*scale) {
			t.Errorf("a larger scale than %v has a lower level", scale)
		}
	}
	if LevelAt(1) != Normal {
		t.Error("a drawing at its own size is not at the normal level")
	}
}

// What finds no place can be told elsewhere: each label that is left out says
// what it would, and of what.
func TestDroppedLabelsSayWhatTheyAre(t *testing.T) {
	t.Parallel()
	dropped := 0
	for seed := range uint64(30) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		d := randomDrawing(rnd, 50)
		for _, l := range Build(d, inventedResult(d, rnd), lightOptions()).Dropped {
			dropped++
			if l.Text == "" || l.Ref == "" && l.Net < 0 || l.Box != (canvas.Rect{}) {
				t.Errorf("drawing %d: %+v was left out", seed, l)
			}
		}
	}
	if dropped == 0 {
		t.Error("nothing was left out; this test would see nothing")
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

// coversPart reports whether a box stands on a part: on anything an arrow draws,
// and on the room of any other.
func coversPart(box canvas.Rect, p *model.Part) bool {
	if p.Kind != "arrow" {
		return box.Overlaps(symbol.ExtentIn(p, symbol.IEC))
	}
	for _, it := range symbol.Draw(p, model.Values{}, symbol.Look{Theme: canvas.LightTheme()}) {
		path, ok := it.(*canvas.Path)
		if !ok || path.Fill.A > 0 {
			if box.Overlaps(it.Bounds()) {
				return true
			}
			continue
		}
		a, d := path.Segs[0].P, path.Segs[1].P.Sub(path.Segs[0].P)
		for i := range 101 {
			t := float64(i) / 100
			if box.Contains(canvas.Pt(a.X+t*d.X, a.Y+t*d.Y)) {
				return true
			}
		}
	}
	return false
}
