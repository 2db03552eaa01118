package scene

import (
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/canvas"
)

// A drawing of up to 60 parts that just fills the sheet of a window of
// 1440 × 900 has the name and the value of every part.
func TestAFittedDrawingHasItsNames(t *testing.T) {
	t.Parallel()
	const wide, high = 920, 620 // of the sheet, in pixels, beside panel, palette and modes
	lost, named := 0, 0
	for seed := range uint64(20) {
		rnd := rand.New(rand.NewPCG(seed, 11))
		d := tidyDrawing(rnd, 20+rnd.IntN(41))
		r, o := inventedResult(d, rnd), lightOptions()
		all := Build(d, r, o)
		scale := math.Min(wide/all.Bounds.Width(), high/all.Bounds.Height())
		o.Level, o.Growth = LevelAt(scale), GrowthAt(scale)
		s := Build(d, r, o)
		shown := map[string]bool{}
		for _, l := range s.Labels {
			shown[l.Ref] = shown[l.Ref] || l.Kind == NameLabel
		}
		for _, p := range d.Parts {
			if k := p.LookupKind(); !k.Sign && p.Placed && !shown[p.Ref] {
				t.Errorf("drawing %d of %d parts: %s has no name", seed, len(d.Parts), p.Ref)
			}
		}
		for _, l := range s.Dropped {
			if l.Kind == ValueLabel {
				lost++
			}
		}
		named += len(shown)
	}
	t.Logf("%d of %d values are left out or shortened", lost, named)
	if lost*100 > named {
		t.Errorf("%d of %d values are left out or shortened, want one in a hundred at most", lost, named)
	}
}

// No flag is cut by the edge of the page, where the page has room for it.
func TestFlagsKeepToThePage(t *testing.T) {
	t.Parallel()
	flags := 0
	for seed := range uint64(30) {
		rnd := rand.New(rand.NewPCG(seed, 12))
		d := tidyDrawing(rnd, 5+rnd.IntN(30))
		r, o := inventedResult(d, rnd), lightOptions()
		o.Legend = false
		page := canvas.EmptyRect()
		for _, it := range Build(d, nil, Options{Theme: o.Theme}).Picture.Items {
			page = page.Union(it.Bounds())
		}
		o.Page = &page
		for _, p := range d.Parts {
			o.Findings = append(o.Findings, Finding{Severity: Caution, Parts: []string{p.Ref}})
		}
		for _, f := range Build(d, r, o).Flags {
			if f.Shown {
				flags++
				if !inside(f.Box, page) {
					t.Errorf("drawing %d: the flag %d at %v is cut by the page %v", seed, f.Number, f.Box, page)
				}
			}
		}
	}
	if flags < 300 {
		t.Errorf("only %d flags were seen", flags)
	}
}

// Labels find places that leave little doubt whose they are: a name or a badge
// stands by its own part, and hardly ever in the middle of what is another's.
func TestNamesStandByTheirParts(t *testing.T) {
	t.Parallel()
	near, middle, names := 0, 0, 0
	for seed := range uint64(30) {
		rnd := rand.New(rand.NewPCG(seed, 13))
		d := tidyDrawing(rnd, 5+rnd.IntN(56))
		var b Builder
		for _, l := range b.Build(d, inventedResult(d, rnd), lightOptions()).Labels {
			if l.Kind != BadgeLabel && (l.Kind != NameLabel || d.Part(l.Ref).Kind == "chip") {
				continue
			}
			names++
			own := &b.b.parts[d.PartIndex(l.Ref)]
			edges, middles := apart(l.Box, own.extent), distance(l.Box.Center(), own.body.Center())
			closer, facing := false, false
			for i := range b.b.parts {
				if p := &b.b.parts[i]; p != own && !p.extent.Empty() && !p.body.Empty() {
					closer = closer || apart(l.Box, p.body) < edges+strangeRoom/2
					facing = facing || !p.telling(l.Kind) && distance(l.Box.Center(), p.body.Center()) < middles
				}
			}
			if closer {
				near++
			}
			if facing {
				middle++
			}
		}
	}
	t.Logf("of %d names %d are about as near to another part, the middle of %d is nearer to another's", names, near, middle)
	if near*500 > names || middle*200 > names {
		t.Errorf("of %d names %d are about as near to another part, the middle of %d is nearer to another's; want one in 500 and one in 200 at most", names, near, middle)
	}
}
