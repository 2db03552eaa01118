package scene

import (
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
)

// Whatever is chosen, selected or found, and though it stands back while other
// parts are lit, every text that a scene has stands out from what it stands on, in
// both themes: WCAG 2.2, success criterion 1.4.3,
// level AA. The ground of a text is found in the picture, from the last filled
// shape under it and the translucent ones over that.
func TestEveryTextStandsOut(t *testing.T) {
	t.Parallel()
	seen := map[[2]color.NRGBA]bool{}
	for name, th := range themes() {
		for seed := range uint64(12) {
			rnd := rand.New(rand.NewPCG(seed, 7))
			d := randomDrawing(rnd, 40)
			r := inventedResult(d, rnd)
			o := Options{Theme: th, Standard: symbol.Standard(seed % 2), Show: Usual(), Legend: true, Caption: "Title · mode", Level: Closest}
			o.Show.Powers, o.Show.Control, o.Show.Facts = true, true, true
			o.Before = turned(r, 2)
			for i, p := range d.Parts[:9] {
				o.Findings = append(o.Findings, Finding{Severity: []Severity{Caution, Oddity, Fact}[i%3], Parts: []string{p.Ref}})
			}
			o.Selected, o.Hover = map[string]bool{}, r.Nets.Nets[0].Name
			for _, p := range d.Parts[:20] {
				o.Selected[p.Ref] = true
			}
			if seed%3 == 0 {
				o.Lit, o.Selected = map[string]bool{d.Parts[3].Ref: true, d.Parts[8].Ref: true}, nil
			}
			s := Build(d, r, o)
			for i, it := range s.Picture.Items {
				text, ok := it.(*canvas.Text)
				if !ok || text.String == "" {
					continue
				}
				ink, ground := standsOn(&s.Picture, i)
				seen[[2]color.NRGBA{text.Colour, ground}] = true
				if c := canvas.Contrast(ink, ground); c < 4.5 {
					t.Errorf("%s theme: %q in %v stands on %v with a contrast of %.2f, want 4.5", name, text.String, ink, ground, c)
				}
			}
		}
	}
	if len(seen) < 20 {
		t.Errorf("only %d pairs of text and ground were seen, want 20", len(seen))
	}
}

// standsOn returns the colour of a text, and of what is under its middle, with
// what is laid over both.
func standsOn(p *canvas.Picture, text int) (ink, ground color.NRGBA) {
	at := p.Items[text].Bounds().Center()
	ink, ground = p.Items[text].(*canvas.Text).Colour, p.Paper
	for i, it := range p.Items {
		path, ok := it.(*canvas.Path)
		if !ok || path.Fill.A == 0 || !path.Bounds().Contains(at) || runs(path) > 1 {
			continue
		}
		ground = over(path.Fill, ground)
		if i > text {
			ink = over(path.Fill, ink)
		}
	}
	return ink, ground
}

// runs is how many shapes a path is made of: the dots of all joints are no ground.
func runs(p *canvas.Path) (n int) {
	for _, s := range p.Segs {
		if s.Op == canvas.Move {
			n++
		}
	}
	return n
}

// over is what a colour looks like that is laid over an opaque one.
func over(c, under color.NRGBA) color.NRGBA {
	a := float64(c.A) / 255
	mix := func(x, y uint8) uint8 { return uint8(math.Round(a*float64(x) + (1-a)*float64(y))) }
	return color.NRGBA{R: mix(c.R, under.R), G: mix(c.G, under.G), B: mix(c.B, under.B), A: 255}
}

// Larger letters are larger in every label, and the rest of the picture stays.
func TestTextScale(t *testing.T) {
	t.Parallel()
	for _, scale := range []float64{1.25, 1.5} {
		few := droppedAt(t, scale)
		if few >= 0.03 {
			t.Errorf("at %v: %.1f %% of the examples' labels find no place", scale, 100*few)
		}
		d := example(t, "lantern")
		r, o := solve(t, d, "White"), lightOptions()
		usual := sizes(Build(d, r, o))
		o.TextScale = scale
		s := Build(d, r, o)
		if f := overlaps(d, s); len(f) > 0 {
			t.Errorf("at %v: %v", scale, f)
		}
		large := sizes(s)
		for _, text := range []string{"R4", "link, 0 Ω", "359 mA", "3.43 V", "×12", "guessed"} {
			if usual[text] == 0 || math.Abs(large[text]/usual[text]-scale) > 1e-9 {
				t.Errorf("at %v: %q is %v units high, usually %v", scale, text, large[text], usual[text])
			}
		}
	}
}

// droppedAt returns what share of the examples' labels finds no place at a
// scale of text.
func droppedAt(t *testing.T, scale float64) float64 {
	asked, dropped := 0, 0
	for _, e := range shown {
		d, o := example(t, e.name), lightOptions()
		o.TextScale = scale
		s := Build(d, solve(t, d, e.mode), o)
		asked, dropped = asked+len(s.Labels)+len(s.Dropped), dropped+len(s.Dropped)
	}
	return float64(dropped) / float64(asked)
}

// sizes returns how large each text of a scene is.
func sizes(s *Scene) map[string]float64 {
	m := map[string]float64{}
	for _, it := range s.Picture.Items {
		if text, ok := it.(*canvas.Text); ok {
			m[text.String] = text.Size
		}
	}
	return m
}
