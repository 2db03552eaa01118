package symbol_test

import (
	"math"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

// An arrow's tip stays at its place; its tail and words go where it is laid.
func TestAnArrowPointsAtItsPlace(t *testing.T) {
	t.Parallel()
	for _, o := range orientations() {
		p := &model.Part{Kind: "arrow", At: geom.Pt(10, 10), Orient: o, Value: "look here", Params: model.Params{"length": model.Number(5), "rise": model.Number(2)}}
		items := symbol.Draw(p, nil, symbol.Look{Theme: canvas.LightTheme()})
		tip := canvas.OnGrid(p.At)
		nearest, farthest := math.Inf(1), 0.0
		for _, it := range items {
			path, ok := it.(*canvas.Path)
			if !ok {
				continue
			}
			for _, g := range path.Segs {
				r := math.Hypot(g.P.X-tip.X, g.P.Y-tip.Y)
				nearest, farthest = min(nearest, r), max(farthest, r)
			}
		}
		if want := canvas.Grid * math.Hypot(5, 2); nearest > 1e-9 || math.Abs(farthest-want) > 1e-9 {
			t.Errorf("%v: from %v to %v of the tip, want 0 to %v", o, nearest, farthest, want)
		}
		words := items[len(items)-1].Bounds()
		if words.Contains(tip) || !symbol.Extent(p).Contains(words.Center()) {
			t.Errorf("%v: the words stand in %v", o, words)
		}
	}
}
