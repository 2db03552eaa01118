package raster

import (
	"image/color"
	"testing"

	"copperglass/canvas"
)

// Text at ever new sizes does not grow the glyph cache without end.
func TestGlyphCacheIsBounded(t *testing.T) {
	t.Parallel()
	var r Renderer
	p := &canvas.Picture{}
	p.Add(&canvas.Text{At: canvas.Pt(0, 50), String: "ABCDEFGHIJKLMNOPQRSTUVWXYZ", Size: 40, Colour: color.NRGBA{A: 255}})
	emptied, before := false, 0
	for i := range 200 {
		r.Draw(p, canvas.View{Scale: 1 + float64(i)/1000}, 1200, 80)
		if r.glyphs.bytes > cacheBytes+64*64 {
			t.Fatalf("the cache holds %d bytes", r.glyphs.bytes)
		}
		emptied = emptied || r.glyphs.bytes < before
		before = r.glyphs.bytes
	}
	if !emptied {
		t.Error("the cache was never full: the test tests nothing")
	}
}
