package svg

import (
	"reflect"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"copperglass/assets"
)

// A subset holds the glyphs of its runes, composed ones too, as another reader
// finds them in the whole font, and no others.
func TestSubset(t *testing.T) {
	t.Parallel()
	const chosen = " AVRg0129.ΩµåÅŵǺﬁ½≈→"
	for bold, data := range map[bool][]byte{false: assets.Regular(), true: assets.SemiBold()} {
		runes := map[rune]bool{'漢': true, 0x1f600: true}
		for _, r := range chosen {
			runes[r] = true
		}
		whole, part := parse(t, data), parse(t, subset(bold, runes))
		for _, r := range chosen {
			if want, got := look(t, whole, r), look(t, part, r); !reflect.DeepEqual(got, want) {
				t.Errorf("bold %v: glyph of %c differs", bold, r)
			}
		}
		for _, r := range "漢B\U0001f600\uffff" {
			if i, _ := part.GlyphIndex(nil, r); i != 0 {
				t.Errorf("bold %v: %U has a glyph", bold, r)
			}
		}
		if got, err := part.Name(nil, sfnt.NameIDFamily); err != nil || got != family {
			t.Errorf("family %q, error %v", got, err)
		}
	}
}

func TestSubsetOfEverything(t *testing.T) {
	t.Parallel()
	runes := map[rune]bool{}
	for r := range rune(0x10000) {
		runes[r] = true
	}
	whole, part := parse(t, assets.Regular()), parse(t, subset(false, runes))
	for r := range rune(0x10000) {
		i, _ := whole.GlyphIndex(nil, r)
		if j, _ := part.GlyphIndex(nil, r); (i == 0) != (j == 0) {
			t.Fatalf("%U is glyph %d in the whole and %d in the subset", r, i, j)
		}
		if i != 0 && !reflect.DeepEqual(look(t, whole, r), look(t, part, r)) {
			t.Errorf("glyph of %U differs", r)
		}
	}
}

type glyph struct {
	segs    sfnt.Segments
	advance fixed.Int26_6
}

func look(t *testing.T, f *sfnt.Font, r rune) glyph {
	t.Helper()
	var b sfnt.Buffer // the segments live in it
	i, err := f.GlyphIndex(&b, r)
	if err != nil {
		t.Fatal(err)
	}
	segs, err := f.LoadGlyph(&b, i, fixed.I(1000), nil)
	if err != nil {
		t.Fatalf("%U: %v", r, err)
	}
	advance, err := f.GlyphAdvance(&b, i, fixed.I(1000), font.HintingNone)
	if err != nil {
		t.Fatalf("%U: %v", r, err)
	}
	return glyph{segs, advance}
}

func parse(t *testing.T, data []byte) *sfnt.Font {
	t.Helper()
	f, err := sfnt.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
