package svg_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"image/color"
	"io"
	"maps"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/svg"
	"copperglass/canvas/svg/svgtest"
)

var update = flag.Bool("update", false, "write the golden files")

// sampler is an invented picture that uses every operation.
func sampler() *canvas.Picture {
	theme := canvas.LightTheme()
	p := &canvas.Picture{Title: "Sampler", About: "every operation, “quoted” & <escaped>", Paper: theme.Paper}
	ink := canvas.Style{Stroke: theme.Ink, Width: 1.6}
	round := ink
	round.Round = true
	dashed := canvas.Style{Stroke: theme.Accent, Width: 2, Dash: []float64{5, 3}}
	oddDash := canvas.Style{Stroke: theme.Accent, Width: 3, Dash: []float64{0, 6, 4}, Round: true}
	ribbon := canvas.Style{Stroke: color.NRGBA{0xe0, 0x9a, 0x30, 0x80}, Width: 12, Round: true}
	path := func(s canvas.Style) *canvas.Path {
		q := &canvas.Path{Style: s}
		p.Add(q)
		return q
	}
	r := func(x, y, w, h float64) canvas.Rect {
		return canvas.Rect{Min: canvas.Pt(x, y), Max: canvas.Pt(x+w, y+h)}
	}
	path(ribbon).MoveTo(20, 20).LineTo(180, 20).LineTo(180, 100).MoveTo(100, 10).LineTo(100, 60)
	path(round).MoveTo(20, 20).LineTo(180, 20).LineTo(180, 100)
	path(ink).Rectangle(r(30, 40, 18, 46))
	path(ink).MoveTo(70, 50).LineTo(94, 50).LineTo(82, 70).Close().MoveTo(70, 70.8).LineTo(94, 70.8)
	path(ink).MoveTo(110, 90).LineTo(130, 40).LineTo(140, 90).LineTo(144, 40)
	path(canvas.Style{Stroke: theme.Ink, Width: 5}).MoveTo(200, 30).LineTo(230, 30).LineTo(205, 50).LineTo(250, 60)
	path(canvas.Style{Stroke: theme.Ink, Width: 5, Round: true}).MoveTo(200, 80).LineTo(230, 80).LineTo(205, 100).LineTo(250, 110)
	path(canvas.Style{Fill: theme.Pill, Stroke: theme.PillEdge, Width: 1}).RoundRect(r(270, 20, 60, 20), 10)
	path(canvas.Style{Fill: theme.Flag}).Circle(canvas.Pt(290, 66), 11)
	path(ink).Circle(canvas.Pt(320, 66), 11.5)
	path(canvas.Style{Fill: theme.Badge}).Circle(canvas.Pt(290, 100), 14).Arc(canvas.Pt(290, 100), 7, 2*math.Pi, 0).Close()
	path(round).Arc(canvas.Pt(320, 110), 14, math.Pi, 2*math.Pi)
	path(dashed).MoveTo(20, 120).LineTo(120, 120).LineTo(120, 150)
	path(dashed).Rectangle(r(140, 115, 50, 22))
	path(oddDash).MoveTo(20, 140).CubicTo(40, 180, 80, 100, 110, 150)
	path(round).MoveTo(210, 130).LineTo(210, 130).MoveTo(220, 130).Close()
	path(round).MoveTo(230, 125).LineTo(250, 125).LineTo(250, 140).Close().LineTo(235, 145)
	dots := path(canvas.Style{Fill: theme.Dots})
	for x := 200.0; x < 260; x += 10 {
		for y := 150.0; y < 170; y += 10 {
			dots.Rectangle(r(x, y, 1.4, 1.4))
		}
	}
	text := func(x, y, size float64, s string, bold bool, a canvas.Align, c color.NRGBA) {
		p.Add(&canvas.Text{At: canvas.Pt(x, y), String: s, Size: size, Bold: bold, Colour: c, Align: a})
	}
	text(300, 34, 12, "4.12 V", true, canvas.Middle, theme.Volts)
	text(290, 70.2, 12, "1", true, canvas.Middle, theme.OnFlag)
	text(20, 200, 13, "office AVATAR Ω µ ≈ × 47 kΩ", false, canvas.Start, theme.Ink)
	text(20, 222, 13, "office AVATAR Ω µ ≈ × 47 kΩ", true, canvas.Start, theme.Ink)
	text(330, 200, 11, "two  spaces <&\"'>", false, canvas.End, theme.Quiet)
	text(330, 222, 11.5, "Ångström, ﬁ, ½, Ǻ", false, canvas.End, color.NRGBA{0x8a, 0x4a, 0, 0x99})
	text(175, 280, 48, "Rag 812 mA", true, canvas.Middle, theme.Current)
	return p
}

func write(t *testing.T, p *canvas.Picture) string {
	t.Helper()
	var b bytes.Buffer
	if err := svg.Write(&b, p, 4); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestSameAsPNG(t *testing.T) {
	t.Parallel()
	svgtest.Compare(t, sampler())
	transparent := sampler()
	transparent.Paper = color.NRGBA{}
	svgtest.Compare(t, transparent)
}

func TestGolden(t *testing.T) {
	t.Parallel()
	svgtest.Golden(t, filepath.Join("testdata", "sampler"), sampler(), *update)
}

// texts reads an SVG as XML and returns the content of its elements of a name.
func texts(t *testing.T, doc, element string) (found []string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(doc))
	for in := ""; ; {
		switch tok, err := d.Token(); tok := tok.(type) {
		case nil:
			if !errors.Is(err, io.EOF) {
				t.Fatal(err)
			}
			return found
		case xml.StartElement:
			if in = tok.Name.Local; in == element {
				found = append(found, "")
			}
		case xml.EndElement:
			in = ""
		case xml.CharData:
			if in == element {
				found[len(found)-1] += string(tok)
			}
		}
	}
}

func TestHostileText(t *testing.T) {
	t.Parallel()
	for s, want := range map[string]string{
		"<&\x00\"":               "<&\ufffd\"",
		"]]></text><script>":     "]]></text><script>",
		"a\tb\nc\r d":            "a b c  d",
		"\xff\xfe":               "\ufffd\ufffd",
		"\uffff \ufffe \u0085":   "\ufffd \ufffd  ",
		"&amp;":                  "&amp;",
		"--><!--":                "--><!--",
		"漢字 lacks glyphs":        "漢字 lacks glyphs",
		strings.Repeat("x", 1e5): strings.Repeat("x", 1e5),
	} {
		p := &canvas.Picture{Title: s, About: s}
		p.Add(&canvas.Text{String: s, Size: 10, Colour: color.NRGBA{A: 255}})
		doc := write(t, p)
		for _, element := range []string{"text", "title", "desc"} {
			if got := texts(t, doc, element); len(got) != 1 || got[0] != want {
				t.Errorf("%.20q: %s is %.40q, want %.20q", s, element, got, want)
			}
		}
	}
}

// hostile is a picture of items that cannot be drawn, and one that can.
func hostile() *canvas.Picture {
	nan, inf, ink := math.NaN(), math.Inf(1), color.NRGBA{A: 255}
	stroke := func(width float64, dash ...float64) canvas.Style {
		return canvas.Style{Stroke: ink, Width: width, Dash: dash}
	}
	line := func(s canvas.Style, x float64) *canvas.Path {
		return (&canvas.Path{Style: s}).MoveTo(0, 0).LineTo(x, 5)
	}
	p := &canvas.Picture{}
	p.Add(
		&canvas.Path{}, &canvas.Path{Style: stroke(1)}, (&canvas.Path{Style: stroke(1)}).Close(), &canvas.Text{},
		line(stroke(1), nan), line(stroke(1), inf), line(stroke(1), 1e300), line(stroke(nan), 9), line(stroke(inf), 9), line(stroke(-1), 9),
		line(stroke(1, nan), 7), line(stroke(1, -1, 2), 7), line(stroke(1, 0, 0), 7), line(stroke(1, inf), 7), line(stroke(1, 1e-9), 7),
		(&canvas.Path{Style: stroke(1)}).MoveTo(0, 0).CubicTo(nan, 0, 1, 1, 2, 2),
		(&canvas.Path{Style: stroke(1)}).LineTo(3, 3).LineTo(4, 4),
		&canvas.Text{String: "x", Size: nan, Colour: ink}, &canvas.Text{String: "x", Size: -3, Colour: ink},
		&canvas.Text{String: "x", Size: inf, Colour: ink}, &canvas.Text{String: "x", Size: 3, At: canvas.Pt(nan, 0), Colour: ink},
	)
	return p
}

func TestUndrawable(t *testing.T) {
	t.Parallel()
	for name, p := range map[string]*canvas.Picture{"empty": {}, "hostile": hostile()} {
		doc := write(t, p)
		texts(t, doc, "text")
		for _, bad := range []string{"NaN", "Inf", "e+", "<text"} {
			if strings.Contains(doc, bad) {
				t.Errorf("%s: SVG holds %q", name, bad)
			}
		}
		svgtest.Compare(t, p)
	}
}

func TestNumbers(t *testing.T) {
	t.Parallel()
	p := &canvas.Picture{}
	p.Add((&canvas.Path{Style: canvas.Style{Fill: color.NRGBA{1, 2, 255, 51}}}).MoveTo(-0.001, 1.0/3).LineTo(100, 2e6).LineTo(-7.105, 3).Close())
	if doc, want := write(t, p), `<path d="M0 0.33L100 2000000L-7.11 3Z" fill="#0102ff" fill-opacity="0.2"/>`; !strings.Contains(doc, want) {
		t.Errorf("no %s in\n%s", want, doc)
	}
}

// Whatever glyph is used is defined, once; no font is needed, and what lacks
// glyphs is left to another font, in the width laid out.
func TestGlyphsAreDefined(t *testing.T) {
	t.Parallel()
	p := sampler()
	p.Add(&canvas.Text{String: "漢字", Size: 10, Colour: color.NRGBA{A: 255}})
	doc, defined := write(t, p), map[string]bool{}
	for _, m := range regexp.MustCompile(`<path id="(\w+)"`).FindAllStringSubmatch(doc, -1) {
		if defined[m[1]] {
			t.Errorf("%s is defined twice", m[1])
		}
		defined[m[1]] = true
	}
	used := map[string]bool{}
	for _, m := range regexp.MustCompile(`<use xlink:href="#(\w+)"`).FindAllStringSubmatch(doc, -1) {
		used[m[1]] = true
	}
	if !maps.Equal(used, defined) || len(used) < 30 {
		t.Errorf("used are the glyphs %v, defined %v", used, defined)
	}
	seen := 0
	for _, m := range regexp.MustCompile(`<text [^>]*>`).FindAllString(doc, -1) {
		if !strings.Contains(m, "textLength=") {
			t.Errorf("%s has no width", m)
		}
		if !strings.Contains(m, `fill-opacity="0"`) {
			seen++
		}
	}
	if seen != 1 {
		t.Errorf("%d texts are drawn by fonts, want the one that lacks glyphs", seen)
	}
}
