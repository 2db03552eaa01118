package ui

import (
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"copperglass/canvas"
)

// blend is a colour that may be seen through, on an opaque one.
func blend(top color.Color, under color.NRGBA) color.NRGBA {
	t := color.NRGBAModel.Convert(top).(color.NRGBA)
	mix := func(a, b uint8) uint8 { return uint8((int(a)*int(t.A) + int(b)*(255-int(t.A)) + 127) / 255) }
	return color.NRGBA{R: mix(t.R, under.R), G: mix(t.G, under.G), B: mix(t.B, under.B), A: 255}
}

// What the toolkit draws by the theme: text by WCAG 2.2, success criterion 1.4.3,
// borders and rings by 1.4.11.
func TestTheToolkitsColoursStandOut(t *testing.T) {
	t.Parallel()
	for _, look := range []canvas.Theme{canvas.LightTheme(), canvas.DarkTheme()} {
		usual, bar := newFyneTheme(look, 1), barTheme(look)
		for _, c := range []struct {
			of     fyneTheme
			top    fyne.ThemeColorName
			layers []fyne.ThemeColorName // what it stands on, from the ground up
			least  float64
		}{
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameBackground}, 4.5},
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameInputBackground}, 4.5},
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameInputBackground, theme.ColorNameSelection}, 4.5},
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameMenuBackground, theme.ColorNameFocus}, 4.5},
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameMenuBackground, theme.ColorNameHover}, 4.5},
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameButton}, 4.5},
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameButton, theme.ColorNameHover}, 4.5},
			{usual, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameButton, theme.ColorNameFocus}, 4.5},
			{usual, theme.ColorNamePlaceHolder, []fyne.ThemeColorName{theme.ColorNameInputBackground}, 4.5},
			{usual, theme.ColorNameDisabled, []fyne.ThemeColorName{theme.ColorNameMenuBackground}, 4.5},
			{usual, theme.ColorNameForegroundOnPrimary, []fyne.ThemeColorName{theme.ColorNamePrimary}, 4.5},
			{usual, theme.ColorNameError, []fyne.ThemeColorName{theme.ColorNameBackground}, 4.5},
			{usual, theme.ColorNameInputBorder, []fyne.ThemeColorName{theme.ColorNameInputBackground}, 3},
			{usual, theme.ColorNameInputBorder, []fyne.ThemeColorName{theme.ColorNameBackground}, 3},
			{usual, theme.ColorNamePrimary, []fyne.ThemeColorName{theme.ColorNameInputBackground}, 3},
			{usual, theme.ColorNamePrimary, []fyne.ThemeColorName{theme.ColorNameBackground}, 3},
			{bar, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameInputBackground}, 4.5},
			{bar, theme.ColorNameForeground, []fyne.ThemeColorName{theme.ColorNameInputBackground, theme.ColorNameSelection}, 4.5},
			{bar, theme.ColorNamePlaceHolder, []fyne.ThemeColorName{theme.ColorNameInputBackground}, 4.5},
			{bar, theme.ColorNameInputBorder, []fyne.ThemeColorName{theme.ColorNameInputBackground}, 3},
		} {
			ground := color.NRGBA{A: 255}
			for _, layer := range c.layers {
				ground = blend(c.of.Color(layer, 0), ground)
			}
			if got := canvas.Contrast(blend(c.of.Color(c.top, 0), ground), ground); got < c.least {
				t.Errorf("dark %v: %s on %v has a contrast of %.2f, want %v", look.Dark, c.top, c.layers, got, c.least)
			}
		}
	}
}
