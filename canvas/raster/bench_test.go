package raster_test

import (
	"fmt"
	"image/color"
	"io"
	"math/rand/v2"
	"testing"

	"github.com/fogleman/gg"

	"copperglass/canvas"
	"copperglass/canvas/raster"
)

// crowded is an invented picture of a drawing much larger than most: the grid's
// dots, 2000 short strokes, 300 filled pills and 400 texts on 1920 × 1080.
func crowded() *canvas.Picture {
	rnd := rand.New(rand.NewPCG(1, 2))
	theme := canvas.LightTheme()
	p := &canvas.Picture{Paper: theme.Paper}
	dots := &canvas.Path{Style: canvas.Style{Fill: theme.Dots}}
	for x := 0.0; x < 1920; x += canvas.Grid {
		for y := 0.0; y < 1080; y += canvas.Grid {
			dots.Rectangle(canvas.Rect{Min: canvas.Pt(x, y), Max: canvas.Pt(x, y)}.Inset(-0.7))
		}
	}
	p.Add(dots)
	at := func() canvas.Point { return canvas.Pt(rnd.Float64()*1850, 20+rnd.Float64()*1050) }
	for i := range 2000 {
		q, style := at(), canvas.Style{Stroke: theme.Ink, Width: 1.6, Round: i%4 == 0}
		line := (&canvas.Path{Style: style}).MoveTo(q.X, q.Y)
		switch i % 3 {
		case 0:
			line.LineTo(q.X+50, q.Y)
		case 1:
			line.LineTo(q.X, q.Y+30).LineTo(q.X+20, q.Y+30)
		case 2:
			line.LineTo(q.X+20, q.Y+12)
		}
		p.Add(line)
	}
	for range 300 {
		q := at()
		pill := &canvas.Path{Style: canvas.Style{Fill: theme.Pill, Stroke: theme.PillEdge, Width: 1}}
		p.Add(pill.RoundRect(canvas.Rect{Min: q, Max: q.Add(canvas.Pt(56, 20))}, 10))
	}
	for i := range 400 {
		p.Add(&canvas.Text{At: at(), String: fmt.Sprintf("R%d %.2f kΩ", i, rnd.Float64()*9), Size: 12 + float64(i%2), Bold: i%2 == 0, Colour: color.NRGBA{A: 255}})
	}
	return p
}

func BenchmarkRedraw(b *testing.B) {
	p := crowded()
	var r raster.Renderer
	b.Run("still", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			r.Draw(p, canvas.View{Scale: 1}, 1920, 1080)
		}
	})
	b.Run("zooming", func(b *testing.B) { // no glyph is in the cache
		b.ReportAllocs()
		scale := 1.0
		for b.Loop() {
			scale += 0.001
			r.Draw(p, canvas.View{Scale: scale}, 1920, 1080)
		}
	})
	for i, kind := range []string{"dots", "strokes", "pills", "texts"} {
		part := *p
		bounds := []int{0, 1, 2001, 2301, 2701}
		part.Items = p.Items[bounds[i]:bounds[i+1]]
		b.Run(kind, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r.Draw(&part, canvas.View{Scale: 1}, 1920, 1080)
			}
		})
	}
}

// BenchmarkStrokesByGG strokes the same lines as gg does by itself.
func BenchmarkStrokesByGG(b *testing.B) {
	lines := crowded().Items[1:2001]
	dc := gg.NewContext(1920, 1080)
	dc.SetLineWidth(1.6)
	b.ReportAllocs()
	for b.Loop() {
		for _, it := range lines {
			for _, s := range it.(*canvas.Path).Segs {
				dc.LineTo(s.P.X, s.P.Y)
			}
			dc.Stroke()
		}
	}
}

func BenchmarkWritePNG(b *testing.B) {
	p := crowded()
	for b.Loop() {
		if err := raster.WritePNG(io.Discard, p, 2, canvas.Grid); err != nil {
			b.Fatal(err)
		}
	}
}
