package scene

import (
	"math/rand/v2"
	"testing"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/model"
)

// frame is what the window does for each picture on a screen of 1920 × 1080:
// build the scene, and draw it.
func frame(b *testing.B, d *model.Diagram, r *analysis.Result) {
	o := lightOptions()
	screen := canvas.Rect{Max: canvas.Pt(1920, 1080)}
	o.Dots = &screen
	var out raster.Renderer
	b.Run("build", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Build(d, r, o)
		}
	})
	b.Run("frame", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			s := Build(d, r, o)
			out.Draw(&s.Picture, canvas.View{Scale: 1, Origin: canvas.Pt(-60, -60)}, 1920, 1080)
		}
	})
}

func BenchmarkBoard(b *testing.B) {
	d := board(200)
	frame(b, d, inventedResult(d, rand.New(rand.NewPCG(1, 3))))
}

func BenchmarkLantern(b *testing.B) {
	d := example(b, "lantern")
	frame(b, d, solve(b, d, "White"))
}
