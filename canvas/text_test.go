package canvas

import (
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"copperglass/assets"
)

// Widths agree with those that another reader of TrueType files finds.
func TestTextWidth(t *testing.T) {
	t.Parallel()
	for bold, data := range map[bool][]byte{false: assets.Regular(), true: assets.SemiBold()} {
		f, err := sfnt.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		var b sfnt.Buffer
		em := float64(f.UnitsPerEm())
		for _, s := range []string{"", "R12", "AVATAR office", "4.7 kΩ ± 5 %", "µ≈→−漢", "naïve\u0301"} {
			want := 0.0
			for _, r := range s {
				i, _ := f.GlyphIndex(&b, r)
				a, err := f.GlyphAdvance(&b, i, fixed.I(int(em)), font.HintingNone)
				if err != nil {
					t.Fatal(err)
				}
				want += float64(a) / 64 / em
			}
			if got := TextWidth(s, 12.5, bold); math.Abs(got-12.5*want) > 1e-9 {
				t.Errorf("%q bold %v: %v, want %v", s, bold, got, 12.5*want)
			}
		}
	}
}

// The constants are those of the fonts' tables.
func TestMetrics(t *testing.T) {
	t.Parallel()
	for _, data := range [][]byte{assets.Regular(), assets.SemiBold()} {
		f, err := sfnt.Parse(data)
		if err != nil {
			t.Fatal(err)
		}
		m, err := f.Metrics(nil, fixed.I(1000), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			name string
			want fixed.Int26_6
			got  float64
		}{{"ascent", m.Ascent, Ascent(1000)}, {"descent", m.Descent, Descent(1000)}, {"cap height", m.CapHeight, CapHeight(1000)}} {
			if fixed.Int26_6(math.Round(64*c.got)) != c.want {
				t.Errorf("%s is %v, want %v", c.name, c.got, c.want)
			}
		}
	}
}

func TestPrintable(t *testing.T) {
	t.Parallel()
	for r, want := range map[rune]rune{
		'a': 'a', 'Ω': 'Ω', ' ': ' ', '\t': ' ', '\n': ' ', '\u00a0': ' ', '\u2028': ' ',
		0: 0xfffd, 0x1b: 0xfffd, 0x7f: 0xfffd, 0x9b: 0xfffd, 0xd800: 0xfffd, 0xfffe: 0xfffd, 0x110000: 0xfffd, -1: 0xfffd,
	} {
		if got := Printable(r); got != want {
			t.Errorf("%U is drawn as %U, want %U", r, got, want)
		}
	}
}

func TestTextBounds(t *testing.T) {
	t.Parallel()
	text := Text{At: Pt(100, 50), String: "812 mA", Size: 12}
	w := TextWidth(text.String, 12, false)
	for align, left := range map[Align]float64{Start: 100, Middle: 100 - w/2, End: 100 - w} {
		text.Align = align
		if b := text.Bounds(); b.Min.X > left || b.Max.X < left+w || b.Width() > w+1 || b.Min.Y != 50-Ascent(12) || b.Max.Y != 50+Descent(12) {
			t.Errorf("alignment %d: %v", align, b)
		}
	}
	for _, empty := range []Text{{Size: 12}, {String: "x"}, {String: "x", Size: -1}, {String: "x", Size: math.NaN()}} {
		if !empty.Bounds().Empty() {
			t.Errorf("%+v has bounds", empty)
		}
	}
}

func TestPictureBoundsLeaveOutTheUndrawable(t *testing.T) {
	t.Parallel()
	var p Picture
	p.Add((&Path{}).MoveTo(1, 2).LineTo(3, math.NaN()), (&Path{}).MoveTo(1, 2).LineTo(3, 4), &Text{}, (&Path{}).MoveTo(math.Inf(1), 0))
	if got, want := p.Bounds(), (Rect{Pt(1, 2), Pt(3, 4)}); got != want {
		t.Errorf("bounds %v, want %v", got, want)
	}
	if got, want := (&Picture{}).Frame(4), (Rect{Pt(-4, -4), Pt(5, 5)}); got != want {
		t.Errorf("frame of nothing %v, want %v", got, want)
	}
}

func TestView(t *testing.T) {
	t.Parallel()
	v := View{Scale: 2, Origin: Pt(10, -5)}
	if got := v.ToPixel(Pt(11, 0)); got != Pt(2, 10) {
		t.Errorf("pixel %v", got)
	}
	if got := v.ToSheet(v.ToPixel(Pt(3.5, 7))); got != Pt(3.5, 7) {
		t.Errorf("back at %v", got)
	}
}

func BenchmarkTextWidth(b *testing.B) {
	for name, s := range map[string]string{"label": "R12 4.7 kΩ", "megabyte": strings.Repeat("4.7 kΩ — ", 1e5)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				TextWidth(s, 12, true)
			}
		})
	}
}
