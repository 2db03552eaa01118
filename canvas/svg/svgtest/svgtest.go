// Package svgtest checks in tests that a picture looks the same as SVG, drawn
// by an independent renderer, and as PNG, and as it did before.
package svgtest

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goitalic"

	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/svg"
)

// The pictures are drawn at a scale of four and averaged down to one before
// they are compared. That takes out what renderers may differ in without either
// being wrong: librsvg's cairo samples a pixel at 15 × 17 places and stands
// glyphs on whole pixels, where package raster takes exact areas and quarter
// pixels. What is left of it are differences of an eighth of a sheet unit in the
// place of a glyph. Both measures are taken over the pixels with ink in either
// picture, so that empty paper does not dilute them.
const (
	oversampling = 4
	margin       = 4

	// MeanLimit bounds the mean difference of a pixel's most different channel,
	// of 255.
	MeanLimit = 3.0
	// A pixel that differs by more than FarOff is far off; FarShare bounds their
	// share.
	FarOff   = 64
	FarShare = 0.005
)

// Compare fails the test if rsvg-convert, drawing the picture's SVG without the
// font of its letters, differs from the picture's PNG by more than
// the limits. It keeps the pictures then, and says where.
func Compare(t testing.TB, p *canvas.Picture) {
	t.Helper()
	ours, theirs := drawPNG(t, p), drawSVG(t, p)
	if ours.Bounds() != theirs.Bounds() {
		t.Fatalf("PNG is %v, SVG %v", ours.Bounds(), theirs.Bounds())
	}
	d := compare(reduce(ours), reduce(theirs), p.Paper)
	t.Logf("SVG and PNG: %v", d)
	if d.mean > MeanLimit || d.far > FarShare {
		t.Errorf("SVG and PNG differ: %v; limits %.1f and %.2f %%; see %s", d, MeanLimit, FarShare*100,
			keep(t, map[string]image.Image{"png.png": ours, "svg.png": theirs}))
	}
}

func drawPNG(t testing.TB, p *canvas.Picture) image.Image {
	t.Helper()
	var out bytes.Buffer
	if err := raster.WritePNG(&out, p, oversampling, margin); err != nil {
		t.Fatal(err)
	}
	return decode(t, out.Bytes())
}

// drawSVG has rsvg-convert (Debian: librsvg2-bin) draw the SVG.
func drawSVG(t testing.TB, p *canvas.Picture) image.Image {
	t.Helper()
	var in, errs bytes.Buffer
	if err := svg.Write(&in, p, margin); err != nil {
		t.Fatal(err)
	}
	program, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Fatal("rsvg-convert is missing: install it with `apt-get install librsvg2-bin`, or run `make test`, which does")
	}
	dir := t.TempDir()
	cmd := exec.Command(program, "--unlimited", "--format", "png", "--zoom", fmt.Sprint(oversampling))
	cmd.Env = append(os.Environ(), "FONTCONFIG_FILE="+strangeFont(t, dir), "XDG_CACHE_HOME="+dir)
	cmd.Stdin, cmd.Stderr = &in, &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("rsvg-convert: %v\n%s", err, errs.Bytes())
	}
	return decode(t, out)
}

const fontsConf = `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
<dir>%[1]s</dir>
<cachedir>%[1]s/cache</cachedir>
<match target="font">
<edit name="hinting" mode="assign"><bool>false</bool></edit>
<edit name="autohint" mode="assign"><bool>false</bool></edit>
<edit name="antialias" mode="assign"><bool>true</bool></edit>
<edit name="rgba" mode="assign"><const>none</const></edit>
</match>
</fontconfig>
`

// strangeFont writes a fontconfig file that knows one font only, which is not
// that of the letters: what a viewer does without the right one.
func strangeFont(t testing.TB, dir string) string {
	t.Helper()
	write(t, filepath.Join(dir, "strange.ttf"), goitalic.TTF)
	conf := filepath.Join(dir, "fonts.conf")
	write(t, conf, fmt.Appendf(nil, fontsConf, dir))
	return conf
}

func write(t testing.TB, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

func decode(t testing.TB, data []byte) image.Image {
	t.Helper()
	im, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return im
}

// reduce averages blocks of oversampling² pixels.
func reduce(im image.Image) *image.RGBA {
	full := toRGBA(im)
	small := image.NewRGBA(image.Rect(0, 0, full.Rect.Dx()/oversampling, full.Rect.Dy()/oversampling))
	for i := range small.Pix {
		x, y, channel := i%small.Stride/4, i/small.Stride, i%4
		sum := 0
		for dy := range oversampling {
			for dx := range oversampling {
				sum += int(full.Pix[full.PixOffset(x*oversampling+dx, y*oversampling+dy)+channel])
			}
		}
		small.Pix[i] = uint8(sum / (oversampling * oversampling))
	}
	return small
}

// difference of two pictures, over the pixels with ink.
type difference struct {
	ink  int     // how many pixels those are
	mean float64 // of 255
	far  float64 // share of pixels far off
}

func (d difference) String() string {
	return fmt.Sprintf("mean %.2f of 255, %.2f %% of %d inked pixels off by more than %d", d.mean, d.far*100, d.ink, FarOff)
}

func compare(a, b *image.RGBA, paper color.NRGBA) (d difference) {
	r, g, bl, al := paper.RGBA()
	ground := [4]uint8{uint8(r >> 8), uint8(g >> 8), uint8(bl >> 8), uint8(al >> 8)}
	sum, far := 0, 0
	for i := 0; i < len(a.Pix); i += 4 {
		p, q := [4]uint8(a.Pix[i:]), [4]uint8(b.Pix[i:])
		if p == ground && q == ground {
			continue
		}
		d.ink++
		off := farthest(p, q)
		sum += off
		if off > FarOff {
			far++
		}
	}
	n := float64(max(d.ink, 1))
	d.mean, d.far = float64(sum)/n, float64(far)/n
	return d
}

func farthest(p, q [4]uint8) (most int) {
	for i := range p {
		most = max(most, int(p[i])-int(q[i]), int(q[i])-int(p[i]))
	}
	return most
}

// Golden compares a picture with path.svg, which must be the same text, and with
// path.png, drawn at a scale of two, which may differ by 2 of 255 in any
// channel: processors with fused multiplication round otherwise. It writes both
// files anew if update is true.
func Golden(t testing.TB, path string, p *canvas.Picture, update bool) {
	t.Helper()
	var doc, pic bytes.Buffer
	if err := svg.Write(&doc, p, margin); err != nil {
		t.Fatal(err)
	}
	if err := raster.WritePNG(&pic, p, 2, margin); err != nil {
		t.Fatal(err)
	}
	if update {
		write(t, path+".svg", doc.Bytes())
		write(t, path+".png", pic.Bytes())
	}
	if !bytes.Equal(read(t, path+".svg"), doc.Bytes()) {
		t.Errorf("%s.svg has changed; if the picture is right, run the test with -update", path)
	}
	old, now := decode(t, read(t, path+".png")), decode(t, pic.Bytes())
	if !alike(old, now) {
		t.Errorf("%s.png has changed; compare the old and the new in %s; if the new is right, run the test with -update",
			path, keep(t, map[string]image.Image{"old.png": old, "new.png": now}))
	}
}

func alike(a, b image.Image) bool {
	p, q := toRGBA(a), toRGBA(b)
	if p.Rect != q.Rect {
		return false
	}
	for i := 0; i < len(p.Pix); i += 4 {
		if farthest([4]uint8(p.Pix[i:]), [4]uint8(q.Pix[i:])) > 2 {
			return false
		}
	}
	return true
}

func read(t testing.TB, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func toRGBA(im image.Image) *image.RGBA {
	out := image.NewRGBA(im.Bounds())
	draw.Draw(out, out.Rect, im, im.Bounds().Min, draw.Src)
	return out
}

// keep saves the pictures of a failed comparison where they outlive the test.
func keep(t testing.TB, pictures map[string]image.Image) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "svgtest-"+strings.ReplaceAll(t.Name(), "/", "-")+"-")
	if err != nil {
		t.Fatal(err)
	}
	for name, im := range pictures {
		var b bytes.Buffer
		if err := png.Encode(&b, im); err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(dir, name), b.Bytes())
	}
	return dir
}
