package canvas

import (
	"image/color"
	"math"
	"testing"
)

// The two ends of the scale, and the lightest grey that passes on white
// (#767676, the figure usually quoted; recomputed here by the formula).
func TestContrastFormula(t *testing.T) {
	white, black := rgb(0xffffff), rgb(0x000000)
	if c := Contrast(white, black); math.Abs(c-21) > 1e-12 {
		t.Errorf("white on black: %v, want 21", c)
	}
	if c := Contrast(white, white); c != 1 {
		t.Errorf("white on white: %v, want 1", c)
	}
	if pass, fail := Contrast(rgb(0x767676), white), Contrast(rgb(0x777777), white); pass < 4.5 || fail >= 4.5 {
		t.Errorf("greys on white: %v and %v, want them on either side of 4.5", pass, fail)
	}
}

func themes() map[string]Theme {
	return map[string]Theme{"light": LightTheme(), "dark": DarkTheme()}
}

// Text: WCAG 2.2, success criterion 1.4.3, level AA.
func TestTextStandsOut(t *testing.T) {
	for name, th := range themes() {
		surfaces := []struct {
			name    string
			surface color.NRGBA
			texts   map[string]color.NRGBA
		}{
			{"Paper", th.Paper, map[string]color.NRGBA{"Ink": th.Ink, "Quiet": th.Quiet, "Current": th.Current, "Volts": th.Volts, "Accent": th.Accent, "Flag": th.Flag}},
			{"Body", th.Body, map[string]color.NRGBA{"Ink": th.Ink, "Quiet": th.Quiet}},
			{"Pill", th.Pill, map[string]color.NRGBA{"Volts": th.Volts}},
			{"Badge", th.Badge, map[string]color.NRGBA{"OnBadge": th.OnBadge}},
			{"Flag", th.Flag, map[string]color.NRGBA{"OnFlag": th.OnFlag}},
			{"Bar", th.Bar, map[string]color.NRGBA{"OnBar": th.OnBar, "BarQuiet": th.BarQuiet}},
			{"Panel", th.Panel, map[string]color.NRGBA{"Ink": th.Ink, "Quiet": th.Quiet, "Current": th.Current, "Accent": th.Accent, "Flag": th.Flag}},
			{"Tray", th.Tray, map[string]color.NRGBA{"Ink": th.Ink, "Quiet": th.Quiet, "Current": th.Current, "Accent": th.Accent, "Flag": th.Flag}},
			{"Card", th.Card, map[string]color.NRGBA{"Ink": th.Ink, "Quiet": th.Quiet, "Current": th.Current, "Accent": th.Accent, "Flag": th.Flag}},
			{"Chosen", th.Chosen, map[string]color.NRGBA{"Ink": th.Ink, "Quiet": th.Quiet, "Current": th.Current, "Accent": th.Accent}},
			{"Accent", th.Accent, map[string]color.NRGBA{"Paper": th.Paper}},
			{"Ribbon", th.Ribbon, map[string]color.NRGBA{"Ink": th.Ink}},
		}
		for _, s := range surfaces {
			for text, c := range s.texts {
				if got := Contrast(c, s.surface); got < 4.5 {
					t.Errorf("%s theme: %s on %s has a contrast of %.2f, want 4.5", name, text, s.name, got)
				}
			}
		}
	}
}

// Lines that carry meaning: WCAG 2.2, success criterion 1.4.11.
func TestLinesStandOut(t *testing.T) {
	for name, th := range themes() {
		for what, pair := range map[string][2]color.NRGBA{
			"ink on paper":           {th.Ink, th.Paper},
			"ink on a ribbon":        {th.Ink, th.Ribbon},
			"ink on a lit LED":       {th.Ink, th.Lit},
			"ink on a body":          {th.Ink, th.Body},
			"a chevron on a ribbon":  {th.Current, th.Ribbon},
			"a chevron on paper":     {th.Current, th.Paper},
			"the selection on paper": {th.Accent, th.Paper},
			"a ring on paper":        {th.Flag, th.Paper},
			"a ring on the panel":    {th.Flag, th.Panel},
			"a border on paper":      {th.Border, th.Paper},
			"a border on the panel":  {th.Border, th.Panel},
			"a border on a tray":     {th.Border, th.Tray},
			"a border on a card":     {th.Border, th.Card},
			"a border of a choice":   {th.Border, th.Chosen},
			"what is chosen on tray": {th.Accent, th.Tray},
			"what is chosen on card": {th.Accent, th.Card},
			"what is chosen on it":   {th.Accent, th.Chosen},
			"focus on the panel":     {th.Accent, th.Panel},
		} {
			if got := Contrast(pair[0], pair[1]); got < 3 {
				t.Errorf("%s theme: %s has a contrast of %.2f, want 3", name, what, got)
			}
		}
	}
}
