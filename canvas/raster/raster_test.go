package raster_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/fogleman/gg"

	"copperglass/canvas"
	"copperglass/canvas/raster"
)

var ink = color.NRGBA{R: 0x22, G: 0x30, B: 0x3c, A: 255}

// draw draws items on transparent paper at a scale, the origin in the corner.
func draw(scale float64, w, h int, items ...canvas.Item) *image.RGBA {
	var r raster.Renderer
	return r.Draw(&canvas.Picture{Items: items}, canvas.View{Scale: scale}, w, h)
}

// worst returns the greatest difference of a channel, of 255.
func worst(t *testing.T, a, b *image.RGBA) (most int) {
	t.Helper()
	if a.Rect != b.Rect {
		t.Fatalf("sizes %v and %v", a.Rect, b.Rect)
	}
	for i := range a.Pix {
		most = max(most, int(a.Pix[i])-int(b.Pix[i]), int(b.Pix[i])-int(a.Pix[i]))
	}
	return most
}

// A pixel worked out by hand: the line covers x from 2.5 to 4.25 and y from 1 to
// 5, so column 2 is half covered, column 3 all, column 4 a quarter.
func TestCoverage(t *testing.T) {
	t.Parallel()
	line := &canvas.Path{Style: canvas.Style{Stroke: color.NRGBA{R: 200, A: 255}, Width: 1.75}}
	im := draw(1, 8, 8, line.MoveTo(3.375, 1).LineTo(3.375, 5))
	for x, alpha := range []uint8{0, 0, 128, 255, 64, 0} {
		if got := im.RGBAAt(x, 3).A; got != alpha {
			t.Errorf("column %d covered %d, want %d", x, got, alpha)
		}
	}
	if got := im.RGBAAt(3, 3); got != (color.RGBA{R: 200, A: 255}) {
		t.Errorf("covered pixel is %v", got)
	}
	if got := im.RGBAAt(3, 5).A; got != 0 {
		t.Errorf("a flat end reaches %d past the line", got)
	}
}

// polyline is a random path of a style.
func polyline(rnd *rand.Rand, s canvas.Style, size float64) *canvas.Path {
	p := &canvas.Path{Style: s}
	at := func() (float64, float64) { return rnd.Float64() * size, rnd.Float64() * size }
	p.MoveTo(at())
	for range 2 + rnd.IntN(4) {
		x, y := at()
		switch rnd.IntN(4) {
		case 0:
			x1, y1 := at()
			x2, y2 := at()
			p.CubicTo(x1, y1, x2, y2, x, y)
		default:
			p.LineTo(x, y)
		}
	}
	return p
}

// gg, which drives the same rasteriser, is the twin for fills.
func TestFillLikeGG(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		fill := polyline(rand.New(rand.NewPCG(seed, 0)), canvas.Style{Fill: ink}, 60)
		dc := gg.NewContext(120, 120)
		dc.SetColor(ink)
		dc.Scale(2, 2)
		for _, s := range fill.Segs {
			switch s.Op {
			case canvas.Move:
				dc.MoveTo(s.P.X, s.P.Y)
			case canvas.Line:
				dc.LineTo(s.P.X, s.P.Y)
			case canvas.Cubic:
				dc.CubicTo(s.C1.X, s.C1.Y, s.C2.X, s.C2.Y, s.P.X, s.P.Y)
			}
		}
		dc.Fill()
		if d := worst(t, draw(2, 120, 120, fill), dc.Image().(*image.RGBA)); d > 24 {
			t.Errorf("fill %d differs from gg by %d of 255", seed, d)
		}
	}
}

// A round stroke covers what is no further than half its width from its line:
// that, at 8 × 8 places of each pixel, is the slow twin for strokes.
func TestStrokeIsNearItsLine(t *testing.T) {
	t.Parallel()
	for seed := range uint64(20) {
		rnd := rand.New(rand.NewPCG(seed, 0))
		stroke := polyline(rnd, canvas.Style{Stroke: ink, Width: 1 + 6*rnd.Float64(), Round: true}, 60)
		im, line := draw(1, 60, 60, stroke), chords(stroke)
		sum, inked := 0.0, 1.0
		for y := range 60 {
			for x := range 60 {
				want := covered(line, stroke.Width/2, float64(x), float64(y))
				if got := float64(im.RGBAAt(x, y).A) / 255; want+got > 0 {
					sum += math.Abs(got - want)
					inked++
				}
			}
		}
		// Where a line doubles back on itself, both parts of its outline cross
		// the same pixels, and the rasteriser adds up what they cover. That is
		// 3 % of the ink in the worst of these.
		if mean := sum / inked; mean > 0.035 {
			t.Errorf("stroke %d is off by %.2f %% in the mean", seed, 100*mean)
		}
	}
}

// chords returns points along a path of one run, close to each other on curves.
func chords(p *canvas.Path) (pts []canvas.Point) {
	for _, s := range p.Segs {
		if s.Op != canvas.Cubic {
			pts = append(pts, s.P)
			continue
		}
		a := pts[len(pts)-1]
		for i := range 48 {
			t := float64(i+1) / 48
			between := func(p, q canvas.Point) canvas.Point { return canvas.Pt(p.X+t*(q.X-p.X), p.Y+t*(q.Y-p.Y)) }
			b, c, d := between(a, s.C1), between(s.C1, s.C2), between(s.C2, s.P)
			pts = append(pts, between(between(b, c), between(c, d)))
		}
	}
	return pts
}

// covered returns how much of the pixel at x, y is within reach of a line. Only
// pixels near the edge need sampling: no place in one is more than √½ from its
// centre.
func covered(line []canvas.Point, reach, x, y float64) float64 {
	switch d := nearest(line, canvas.Pt(x+0.5, y+0.5)); {
	case d > reach+math.Sqrt(0.5):
		return 0
	case d < reach-math.Sqrt(0.5):
		return 1
	}
	n := 0.0
	for i := range 64 {
		if nearest(line, canvas.Pt(x+(float64(i%8)+0.5)/8, y+(float64(i/8)+0.5)/8)) <= reach {
			n++
		}
	}
	return n / 64
}

func nearest(line []canvas.Point, p canvas.Point) float64 {
	d := math.Inf(1)
	for i := range line[1:] {
		d = min(d, distance(p, line[i], line[i+1]))
	}
	return d
}

func distance(p, a, b canvas.Point) float64 {
	d, e := b.Sub(a), p.Sub(a)
	t := math.Max(0, math.Min(1, (d.X*e.X+d.Y*e.Y)/(d.X*d.X+d.Y*d.Y+1e-12)))
	return math.Hypot(e.X-t*d.X, e.Y-t*d.Y)
}

// What a view shows must not depend on what lies outside it.
func TestViewIsACrop(t *testing.T) {
	t.Parallel()
	for seed := range uint64(40) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		for i, item := range []canvas.Item{
			polyline(rnd, canvas.Style{Fill: color.NRGBA{R: 200, A: 90}}, 200),
			polyline(rnd, canvas.Style{Stroke: ink, Width: 3}, 200),
			polyline(rnd, canvas.Style{Stroke: ink, Width: 2, Dash: []float64{7, 3, 1}, Round: seed%2 == 0}, 200),
			&canvas.Text{At: canvas.Pt(rnd.Float64()*100, 90), String: "R12 4.7 kΩ measured", Size: 14, Colour: ink},
			&canvas.Text{At: canvas.Pt(rnd.Float64()*100, 120), String: "812 mA", Size: 80, Bold: true, Colour: ink},
		} {
			all := draw(1, 200, 200, item)
			crop := image.NewRGBA(image.Rect(0, 0, 70, 60))
			for y := range 60 {
				copy(crop.Pix[y*crop.Stride:], all.Pix[all.PixOffset(80, 75+y):all.PixOffset(150, 75+y)])
			}
			var r raster.Renderer
			got := r.Draw(&canvas.Picture{Items: []canvas.Item{item}}, canvas.View{Scale: 1, Origin: canvas.Pt(80, 75)}, 70, 60)
			// The rasteriser rounds to a 64th of a pixel, along long lines anew at
			// each crossing of the border.
			if d := worst(t, got, crop); d > 12 {
				t.Errorf("seed %d, item %d: view differs from the whole by %d of 255", seed, i, d)
			}
		}
	}
}

// Far ends change nothing, and dashes keep their phase over them.
func TestFarAway(t *testing.T) {
	t.Parallel()
	for _, dash := range [][]float64{nil, {4, 4}, {0.001, 0.002}} {
		style := canvas.Style{Stroke: ink, Width: 2, Dash: dash}
		line := func(from, to float64) *canvas.Path {
			return (&canvas.Path{Style: style}).MoveTo(from, 10).LineTo(to, 10)
		}
		near, far := draw(1, 100, 20, line(-80, 180)), draw(1, 100, 20, line(-8e10, 8e10))
		if d := worst(t, near, far); d > 1 {
			t.Errorf("dash %v: differs by %d of 255", dash, d)
		}
	}
	square := (&canvas.Path{Style: canvas.Style{Fill: ink}}).MoveTo(-1e11, -1e11).LineTo(1e11, -2e10).LineTo(2e10, 1e11).Close()
	if got := draw(1, 9, 9, square).RGBAAt(4, 4).A; got != 255 {
		t.Errorf("inside a vast polygon alpha is %d", got)
	}
}

// Opaque runs may be filled one by one, translucent ones may not.
func TestOverlaps(t *testing.T) {
	t.Parallel()
	cross := func(c color.NRGBA) *canvas.Path {
		return (&canvas.Path{Style: canvas.Style{Stroke: c, Width: 4}}).MoveTo(0, 10).LineTo(20, 10).MoveTo(10, 0).LineTo(10, 20)
	}
	half := draw(1, 20, 20, cross(color.NRGBA{A: 128}))
	if arm, centre := half.RGBAAt(3, 10).A, half.RGBAAt(10, 10).A; arm != 128 || centre != 128 {
		t.Errorf("translucent strokes that cross: alpha %d and %d, want 128", arm, centre)
	}
	box := func(d float64) canvas.Rect {
		return canvas.Rect{Min: canvas.Pt(10, 10), Max: canvas.Pt(10, 10)}.Inset(-d)
	}
	ring := (&canvas.Path{Style: canvas.Style{Fill: ink}}).Rectangle(box(8)).Rectangle(canvas.Rect{Min: canvas.Pt(14, 6), Max: canvas.Pt(6, 14)})
	if im := draw(1, 20, 20, ring); im.RGBAAt(10, 10).A != 0 || im.RGBAAt(3, 3).A != 255 {
		t.Error("a run that winds the other way cuts no hole")
	}
	disc := (&canvas.Path{Style: canvas.Style{Fill: ink}}).Rectangle(box(8)).Rectangle(box(4))
	if im := draw(1, 20, 20, disc); im.RGBAAt(10, 10).A != 255 {
		t.Error("a run that winds the same way cuts a hole")
	}
}

// All ink of letters in use lies within the bounds of their text, in all
// alignments, and the same text at 64 pixels and above, where glyphs are drawn
// as paths and not from the cache, looks the same.
func TestText(t *testing.T) {
	t.Parallel()
	for _, align := range []canvas.Align{canvas.Start, canvas.Middle, canvas.End} {
		for _, s := range []string{"jÅgy|Q,", "fT7 Ωµ≈±°", "Ŵž½"} {
			for _, bold := range []bool{false, true} {
				text := &canvas.Text{At: canvas.Pt(200.3, 100.7), String: s, Size: 63.9, Bold: bold, Align: align, Colour: ink}
				b := text.Bounds()
				small := draw(1, 400, 200, text)
				for y := range 200 {
					for x := range 400 {
						if small.RGBAAt(x, y).A > 0 && !b.Inset(-1).Contains(canvas.Pt(float64(x), float64(y))) {
							t.Fatalf("%q: ink at %d, %d, outside %v", s, x, y, b)
						}
					}
				}
				text.Size = 64.1
				if mean := meanDifference(small, draw(1, 400, 200, text)); mean > 3 || mean == 0 {
					t.Errorf("%q: cached glyphs and paths differ by %.2f of 255 in the mean", s, mean)
				}
			}
		}
	}
}

func meanDifference(a, b *image.RGBA) float64 {
	sum := 0.0
	for i := range a.Pix {
		sum += math.Abs(float64(a.Pix[i]) - float64(b.Pix[i]))
	}
	return sum / float64(len(a.Pix))
}

// A renderer used again gives the same picture in the same memory.
// It runs by itself, for allocations are counted for the whole process.
func TestReuse(t *testing.T) {
	p, v := crowded(), canvas.View{Scale: 1}
	var r raster.Renderer
	first := r.Draw(p, v, 640, 480)
	before := bytes.Clone(first.Pix)
	r.Draw(p, canvas.View{Scale: 3.3, Origin: canvas.Pt(100, 50)}, 640, 480)
	if again := r.Draw(p, v, 640, 480); again != first || !bytes.Equal(again.Pix, before) {
		t.Error("the second drawing differs, or is in another image")
	}
	if n := testing.AllocsPerRun(5, func() { r.Draw(p, v, 640, 480) }); n > 20 {
		t.Errorf("a drawing of 2700 items makes %v allocations", n)
	}
}

// Of a million runes those in the middle are found; the rest costs no drawing.
func TestLongText(t *testing.T) {
	t.Parallel()
	long := &canvas.Text{String: strings.Repeat("漢x\n", 1<<18), Size: 12, At: canvas.Pt(-1e6, 15), Colour: ink}
	if im := draw(1, 100, 20, long); bytes.Count(im.Pix, []byte{0}) == len(im.Pix) {
		t.Error("the middle of a long text does not show")
	}
}

func TestWritePNG(t *testing.T) {
	t.Parallel()
	p := &canvas.Picture{}
	p.Add((&canvas.Path{Style: canvas.Style{Fill: ink}}).Rectangle(canvas.Rect{Min: canvas.Pt(-10, -5), Max: canvas.Pt(10, 5)}))
	var b bytes.Buffer
	if err := raster.WritePNG(&b, p, 1.5, 4); err != nil {
		t.Fatal(err)
	}
	im, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	if size := im.Bounds().Size(); size != image.Pt(42, 27) {
		t.Errorf("28 × 18 units at 1.5 are %v pixels", size)
	}
	if _, _, _, a := im.At(0, 0).RGBA(); a != 0 {
		t.Error("the margin is not transparent")
	}
	p.Paper = canvas.LightTheme().Paper
	b.Reset()
	if err := raster.WritePNG(&b, p, 1, 4); err != nil {
		t.Fatal(err)
	}
	if im, _ = png.Decode(&b); color.NRGBAModel.Convert(im.At(0, 0)) != p.Paper {
		t.Error("the margin is not paper")
	}
}

func TestWritePNGErrors(t *testing.T) {
	t.Parallel()
	p := &canvas.Picture{}
	p.Add((&canvas.Path{Style: canvas.Style{Fill: ink}}).Rectangle(canvas.Rect{Max: canvas.Pt(1000, 500)}))
	for _, c := range []struct {
		scale, margin float64
		want          string
	}{
		{0, 0, "the scale must be"},
		{-1, 0, "the scale must be"},
		{math.NaN(), 0, "the scale must be"},
		{math.Inf(1), 0, "the scale must be"},
		{15, 0, "15000 × 7500 pixels are more than the limit of 100 million"},
		{1e300, 0, "more than the limit"},
		{1, math.NaN(), "nothing is left"},
		{1, -600, "nothing is left"},
		{1, 1e9, "more than the limit"},
	} {
		err := raster.WritePNG(io.Discard, p, c.scale, c.margin)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("scale %v, margin %v: error %v, want %q", c.scale, c.margin, err, c.want)
		}
	}
}

func TestWritePNGFull(t *testing.T) {
	t.Parallel()
	r, w := io.Pipe()
	r.CloseWithError(io.ErrShortWrite)
	if err := raster.WritePNG(w, &canvas.Picture{}, 1, 0); err == nil || !strings.Contains(err.Error(), "short write") {
		t.Errorf("error %v", err)
	}
}

// Whatever the numbers, drawing ends, and does not panic.
func FuzzDraw(f *testing.F) {
	f.Add(1.0, 0.0, 10.0, 5.0, 3.0, 2.0, 1.0, "R1", uint8(0))
	f.Add(math.NaN(), math.Inf(1), -1e300, 1e-300, 1e12, 1e9, 1e-9, "\xff\x00漢", uint8(255))
	f.Add(1e-3, 9e11, -9e11, 9e11, -9e11, 1e11, 0.25, "x", uint8(7))
	f.Add(1e6, 0.0, 1e-6, 0.0, 1e-6, 1e-6, 1e-7, "Ω", uint8(2))
	f.Fuzz(func(_ *testing.T, scale, a, b, c, d, width, dash float64, s string, bits uint8) {
		style := canvas.Style{Stroke: color.NRGBA{A: 255 - bits&1}, Width: width, Round: bits&2 > 0}
		if bits&4 > 0 {
			style.Dash = []float64{dash, width}
		}
		if bits&8 > 0 {
			style.Fill = ink
		}
		path := (&canvas.Path{Style: style}).MoveTo(a, b).LineTo(c, d).CubicTo(b, a, d, c, a, a).LineTo(a, d)
		if bits&16 > 0 {
			path.Close().LineTo(b, c)
		}
		draw(scale, 64, 48, path, &canvas.Text{At: canvas.Pt(c, d), String: s, Size: width, Colour: ink})
	})
}

// What is drawn over a picture is as if it were the picture's last.
func TestOver(t *testing.T) {
	whole := crowded()
	part := *whole
	part.Items = whole.Items[:2000]
	var r, q raster.Renderer
	r.Draw(&part, canvas.View{Scale: 1}, 400, 300)
	got, want := r.Over(whole.Items[2000:]), q.Draw(whole, canvas.View{Scale: 1}, 400, 300)
	if !bytes.Equal(got.Pix, want.Pix) {
		t.Error("the picture differs from one that is drawn at once")
	}
}
