package canvas

import (
	"math"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/math/fixed"

	"copperglass/assets"
)

// Metrics of the text font in parts of its size, for both weights, as its OS/2
// and hhea tables give them.
const (
	ascent    = 1.025
	descent   = 0.275
	capHeight = 0.698
	overhang  = 0.04 // how far the ink of a letter reaches past its advance
)

// Ascent is how far above the baseline text of a size may reach, accents
// included. Like all metrics of text it does not depend on the scale a picture
// is drawn at, because no renderer hints or kerns.
func Ascent(size float64) float64 { return ascent * size }

// Descent is how far below the baseline text of a size may reach.
func Descent(size float64) float64 { return descent * size }

// CapHeight is the height of capital letters and digits above the baseline.
func CapHeight(size float64) float64 { return capHeight * size }

// TextWidth is the length that text of a size advances, in the unit of size.
func TextWidth(s string, size float64, bold bool) float64 {
	face := faceOf(bold)
	sum := 0
	for _, r := range s {
		sum += face.advance(Printable(r))
	}
	return float64(sum) * size / face.em
}

// Advance is the length that one rune of a text advances, in the unit of size.
func Advance(r rune, size float64, bold bool) float64 {
	face := faceOf(bold)
	return float64(face.advance(Printable(r))) * size / face.em
}

// Printable returns the rune that is drawn for r: a space for any white space,
// U+FFFD for what is no character of XML 1.0 (section 2.2, production 2) and
// for other control characters, so that a text is the same in every renderer.
func Printable(r rune) rune {
	switch {
	case r >= ' ' && r < 0x7f:
		return r
	case unicode.IsSpace(r):
		return ' '
	case unicode.IsControl(r), r == 0xfffe, r == 0xffff, !utf8.ValidRune(r):
		return unicode.ReplacementChar
	}
	return r
}

// Left returns where on the baseline the text begins.
func (t *Text) Left() Point {
	w := TextWidth(t.String, t.Size, t.Bold)
	switch t.Align {
	case Middle:
		return Pt(t.At.X-w/2, t.At.Y)
	case End:
		return Pt(t.At.X-w, t.At.Y)
	}
	return t.At
}

// Bounds holds the text's ink as the font's metrics promise it; the few signs
// that reach further than a twenty-fifth of the size past their advance, such
// as the fraction bar, stick out. Text without size or runes has empty bounds.
func (t *Text) Bounds() Rect {
	if t.String == "" || !(t.Size > 0) {
		return EmptyRect()
	}
	l, w, o := t.Left(), TextWidth(t.String, t.Size, t.Bold), overhang*t.Size
	return Rect{Pt(l.X-o, l.Y-Ascent(t.Size)), Pt(l.X+w+o, l.Y+Descent(t.Size))}
}

// face is one weight of the font with the advances of its commonest runes at
// hand. It does not change once made.
type face struct {
	bold   bool
	em     float64 // font units to the em
	latin1 [256]uint16
}

var plain = sync.OnceValue(func() *face { return newFace(false) })
var strong = sync.OnceValue(func() *face { return newFace(true) })

func faceOf(bold bool) *face {
	if bold {
		return strong()
	}
	return plain()
}

func newFace(bold bool) *face {
	f := &face{bold: bold, em: float64(assets.Font(bold).FUnitsPerEm())}
	for r := range f.latin1 {
		f.latin1[r] = uint16(f.lookUp(rune(r)))
	}
	return f
}

// advance returns the unhinted advance of r in font units.
func (f *face) advance(r rune) int {
	if r >= 0 && int(r) < len(f.latin1) {
		return int(f.latin1[r])
	}
	return f.lookUp(r)
}

func (f *face) lookUp(r rune) int {
	font := assets.Font(f.bold)
	return int(font.HMetric(fixed.Int26_6(font.FUnitsPerEm()), font.Index(r)).AdvanceWidth)
}

// finite reports whether x is a number of a size that a drawing can have.
func finite(x float64) bool { return math.Abs(x) < 1e12 }
