package symbol_test

import (
	"image/color"
	"testing"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
)

// fills returns the insides of an LED of a colour, at a glow.
func fills(colour string, th canvas.Theme, glow float64) []color.NRGBA {
	var all []color.NRGBA
	v := model.Values{"colour": model.Word(colour)}
	for _, it := range symbol.Draw(&model.Part{Ref: "D1", Kind: "led", Placed: true}, v, symbol.Look{Theme: th, Glow: glow}) {
		if q, ok := it.(*canvas.Path); ok && q.Fill.A > 0 {
			all = append(all, q.Fill)
		}
	}
	return all
}

// Each visible colour of light has a tint of its own. On light paper the ink
// around it and the bar across it stand out from it; on dark it stands out itself
// from the paper; from a ribbon the ink parts it (WCAG 2.2, success criterion 1.4.11,
// non-text contrast). What nobody sees does not shine.
func TestLEDsShineInTheirColour(t *testing.T) {
	t.Parallel()
	for _, th := range []canvas.Theme{canvas.LightTheme(), canvas.DarkTheme()} {
		seen := map[color.NRGBA]string{}
		for _, q := range model.LookupKind("led").Params {
			for _, c := range q.Choices {
				bright, dark := fills(c, th, 1), fills(c, th, 0)
				if c == "infrared" || c == "infrared 850" {
					if bright[0] != dark[0] {
						t.Errorf("%s is seen to shine", c)
					}
					continue
				}
				if other := seen[bright[0]]; other != "" || bright[0] == dark[0] {
					t.Errorf("dark %v: %s shines in %v as %q does", th.Dark, c, bright[0], other)
				}
				seen[bright[0]] = c
				from, least := []color.NRGBA{th.Ink}, 3.0
				if th.Dark {
					from, least = []color.NRGBA{th.Paper, th.Body}, 4.5
				}
				for _, other := range from {
					if got := canvas.Contrast(other, bright[0]); got < least {
						t.Errorf("dark %v: the light of %s has a contrast of %.2f to %v, want %v", th.Dark, c, got, other, least)
					}
				}
			}
		}
		if len(seen) < 9 {
			t.Errorf("%d colours, want 9", len(seen))
		}
	}
}
