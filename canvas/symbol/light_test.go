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

// Each visible colour of light has a tint of its own, on which the ink around
// it and the bar across it stand out (WCAG 2.2, success criterion 1.4.11, non-text contrast); what nobody sees
// does not shine.
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
				if got := canvas.Contrast(th.Ink, bright[0]); got < 3 {
					t.Errorf("dark %v: ink on the light of %s has a contrast of %.2f, want 3", th.Dark, c, got)
				}
			}
		}
		if len(seen) < 9 {
			t.Errorf("%d colours, want 9", len(seen))
		}
	}
}
