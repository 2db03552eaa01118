package assets

import (
	"testing"

	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
)

// Every glyph loads, so that drawing need not expect a fault, and the signs the
// program writes have one.
func TestFonts(t *testing.T) {
	t.Parallel()
	for _, bold := range []bool{false, true} {
		f := Font(bold)
		var b truetype.GlyphBuf
		for r := range rune(0x11000) {
			if err := b.Load(f, fixed.I(int(f.FUnitsPerEm())), f.Index(r), font.HintingNone); err != nil {
				t.Errorf("bold %v: glyph of %U: %v", bold, r, err)
			}
		}
		for _, r := range "ΩµμβηΔλ×·°±≈≤≥→−√∞–—…½\ufffd" {
			if f.Index(r) == 0 {
				t.Errorf("bold %v: no glyph for %c", bold, r)
			}
		}
	}
}
