package scene

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// A builder that has made other scenes before makes the same as a new one,
// whatever was edited, chosen or solved between.
func TestKeptBuilderForgets(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		rnd := rand.New(rand.NewPCG(seed, 8))
		var kept Builder
		d, o := randomDrawing(rnd, 5+rnd.IntN(30)), lightOptions()
		r := inventedResult(d, rnd)
		for step := range 30 {
			d, o = editAtRandom(d, o, rnd)
			if r == nil || rnd.IntN(3) > 0 {
				r = inventedResult(d, rnd)
			} else {
				r = nil
			}
			got, want := kept.Build(d, r, o), Build(d, r, o)
			if !sameScene(got, want) {
				t.Fatalf("drawing %d, step %d: the kept builder's scene differs from a new one's", seed, step)
			}
		}
	}
}

func sameScene(a, b *Scene) bool {
	same := len(a.Picture.Items) == len(b.Picture.Items) && a.Picture.About == b.Picture.About && a.Bounds == b.Bounds
	same = same && slices.Equal(a.Labels, b.Labels) && slices.Equal(a.Dropped, b.Dropped) && slices.Equal(a.Flags, b.Flags)
	for i := 0; same && i < len(a.Picture.Items); i++ {
		same = sameItem(a.Picture.Items[i], b.Picture.Items[i])
	}
	return same && reflect.DeepEqual(a.Legend(), b.Legend())
}

func sameItem(a, b canvas.Item) bool {
	p, isPath := a.(*canvas.Path)
	q, ok := b.(*canvas.Path)
	if !isPath || !ok {
		return reflect.DeepEqual(a, b)
	}
	return reflect.DeepEqual(p.Style, q.Style) && slices.Equal(p.Segs, q.Segs)
}

// editAtRandom changes the drawing as edits do, by other parts and wires in
// other lists, or how it is seen.
func editAtRandom(d *model.Diagram, o Options, rnd *rand.Rand) (*model.Diagram, Options) {
	c := *d
	c.Parts, c.Wires = slices.Clone(d.Parts), slices.Clone(d.Wires)
	i := rnd.IntN(len(c.Parts))
	p := c.Parts[i].Clone()
	switch rnd.IntN(16) {
	case 0:
		return dragged(d, i, geom.Pt(rnd.IntN(5)-2, rnd.IntN(5)-2)), o
	case 1:
		p.Value = []string{"0", "4k7", "10 µF", "white", "tag"}[rnd.IntN(5)]
	case 2:
		p.Orient.Turn = (p.Orient.Turn + 90) % 360
	case 3:
		p.Doubt = []model.Doubt{"", model.Guessed}[rnd.IntN(2)]
	case 4:
		p.Tags = map[string]string{"1": "V+", "A": "mid"}
	case 5:
		if len(c.Wires) > 0 {
			c.Wires = slices.Delete(c.Wires, 0, 1)
		}
		return &c, o
	case 6:
		joinAtRandom(&c, rnd)
		return &c, o
	case 7:
		if len(c.Parts) > 1 {
			c.Parts = slices.Delete(c.Parts, i, i+1)
		}
		return &c, o
	case 8:
		o.Theme = themes()[[]string{"light", "dark"}[rnd.IntN(2)]]
		o.Standard = symbol.Standard(rnd.IntN(2))
		return &c, o
	case 9:
		o.Set = model.Setting{}
		o.Set.Set(p.Ref, "state", model.Word("closed"))
		return &c, o
	case 10:
		o.Selected = map[string]bool{p.Ref: rnd.IntN(2) == 0}
		return &c, o
	case 12:
		o.Lit = map[string]bool{p.Ref: true, c.Parts[0].Ref: rnd.IntN(2) == 0}
		return &c, o
	case 13:
		o.Before, o.Drawn = inventedResult(d, rnd), d
		return &c, o
	case 14:
		o.Lit, o.Before, o.Drawn = nil, nil, nil
		o.Explain = []func(Flag) string{nil, func(f Flag) string { return strings.Repeat("so ", f.Number) }}[rnd.IntN(2)]
		o.Findings = []Finding{{Severity: Caution, Parts: []string{p.Ref}}, {Severity: Oddity, Parts: []string{"no such part", c.Parts[0].Ref}}, {Severity: Fact, Key: true, Parts: []string{p.Ref}}, {Severity: Fact, Stale: true}, {Severity: Caution, Parts: []string{p.Ref}, Muted: true}}
		return &c, o
	case 15:
		o.Calm = !o.Calm
		o.Page, o.Level = &canvas.Rect{Max: canvas.Pt(100+400*rnd.Float64(), 300)}, Level(rnd.IntN(5)-2)
		return &c, o
	case 11:
		o.Show = Show{rnd.IntN(2) == 0, rnd.IntN(2) == 0, rnd.IntN(2) == 0, rnd.IntN(2) == 0, rnd.IntN(2) == 0, rnd.IntN(2) == 0, rnd.IntN(2) == 0, rnd.IntN(2) == 0}
		o.Level = Level(rnd.IntN(5) - 2)
		seen := canvas.Rect{Max: canvas.Pt(float64(rnd.IntN(300)), 200)}
		o.Dots = &seen
		return &c, o
	}
	c.Parts[i] = p
	return &c, o
}
