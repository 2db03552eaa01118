package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"copperglass/assets"
	"copperglass/canvas"
)

// The sizes of text in the window, in points of the toolkit, where nobody has
// chosen larger text. What is drawn by styledText grows by itself.
const (
	captionSize = 11
	smallSize   = 12
	textSize    = 13
	headingSize = 15
	refSize     = 20
)

// fyneTheme gives the toolkit's own widgets the colours and the fonts of the
// drawing.
type fyneTheme struct {
	fyne.Theme
	look          canvas.Theme
	ink           color.NRGBA
	regular, bold fyne.Resource
	scale         float32 // of all text; 1 for the usual size
}

// textScale is how much larger than usual the text in the window is, 1 for the
// usual size. The toolkit has one theme at a time for the whole program.
func textScale() float32 {
	if t, ok := fyne.CurrentApp().Settings().Theme().(fyneTheme); ok {
		return t.scale
	}
	return 1
}

// grown is a size for text of the usual size as it is for text as large as it
// is now, in whole units.
func grown(size float32) float32 { return ceil(size * textScale()) }

// menuInk is as good as the drawing's ink. The toolkit (2.7.1) makes the colour
// of shortcuts in menus of the low bytes of the 16-bit foreground, at 95 % of
// its alpha; from these values that gives a quiet grey with a contrast of more
// than 5:1, from the ink itself an illegible one.
func menuInk(dark bool) color.NRGBA {
	if dark {
		return color.NRGBA{R: 232, G: 231, B: 230, A: 244}
	}
	return color.NRGBA{R: 31, G: 48, B: 64, A: 240}
}

// newFyneTheme has text scale times as large as usual.
func newFyneTheme(look canvas.Theme, scale float32) fyneTheme {
	return fyneTheme{
		Theme:   theme.DefaultTheme(),
		look:    look,
		scale:   scale,
		ink:     menuInk(look.Dark),
		regular: fyne.NewStaticResource("IBMPlexSans-Regular.ttf", assets.Regular()),
		bold:    fyne.NewStaticResource("IBMPlexSans-SemiBold.ttf", assets.SemiBold()),
	}
}

func (t fyneTheme) Font(s fyne.TextStyle) fyne.Resource {
	switch {
	case s.Monospace || s.Symbol:
		return t.Theme.Font(s)
	case s.Bold:
		return t.bold
	}
	return t.regular
}

func (t fyneTheme) variant() fyne.ThemeVariant {
	if t.look.Dark {
		return theme.VariantDark
	}
	return theme.VariantLight
}

func (t fyneTheme) Color(name fyne.ThemeColorName, _ fyne.ThemeVariant) color.Color {
	k := t.look
	switch name {
	case theme.ColorNameBackground:
		return k.Panel
	case theme.ColorNameOverlayBackground: // dialogs have a ground of their own
		return color.Transparent
	case theme.ColorNameMenuBackground, theme.ColorNameInputBackground:
		return k.Card
	case theme.ColorNameForeground:
		return t.ink
	case theme.ColorNamePlaceHolder, theme.ColorNameDisabled:
		return k.Quiet
	case theme.ColorNameInputBorder:
		return k.Border
	case theme.ColorNameSeparator:
		return k.Edge
	case theme.ColorNamePrimary, theme.ColorNameHyperlink:
		return k.Accent
	case theme.ColorNameForegroundOnPrimary:
		return k.Paper
	case theme.ColorNameFocus, theme.ColorNameSelection, theme.ColorNamePressed:
		return withAlpha(k.Accent, 70)
	case theme.ColorNameHover:
		return withAlpha(k.Accent, 36)
	case theme.ColorNameButton:
		return k.Chosen
	case theme.ColorNameError:
		return k.Flag
	case theme.ColorNameScrollBar:
		return withAlpha(k.Quiet, 110)
	case theme.ColorNameShadow:
		return color.NRGBA{A: 40}
	}
	return t.Theme.Color(name, t.variant())
}

func (t fyneTheme) Size(name fyne.ThemeSizeName) float32 {
	switch name {
	case theme.SizeNameText:
		return textSize * t.scale
	case theme.SizeNameCaptionText:
		return captionSize * t.scale
	case theme.SizeNameSubHeadingText:
		return headingSize * t.scale
	case theme.SizeNameHeadingText:
		return refSize * t.scale
	case theme.SizeNameInnerPadding:
		return 6
	case theme.SizeNameInlineIcon:
		return 16 * t.scale
	case theme.SizeNameScrollBar:
		return 8
	case theme.SizeNameScrollBarSmall:
		return 3
	}
	return t.Theme.Size(name)
}

func withAlpha(c color.NRGBA, a uint8) color.NRGBA { c.A = a; return c }

// barTheme is a fyneTheme for what stands on the dark band at the top.
func barTheme(look canvas.Theme) fyneTheme {
	look.Dark = true
	look.Quiet, look.Card, look.Panel, look.Edge, look.Border, look.Accent = look.BarQuiet, look.Bar, look.Bar, look.Bar, look.BarQuiet, look.BarQuiet
	t := newFyneTheme(look, textScale())
	t.ink = look.OnBar
	return t
}

// shadeless is a fyneTheme without the shadows where a list goes on: they would
// smear over the edges of cards.
type shadeless struct{ fyneTheme }

func (t shadeless) Color(name fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	if name == theme.ColorNameShadow {
		return color.Transparent
	}
	return t.fyneTheme.Color(name, v)
}

// knobTheme is a fyneTheme for a slider: it begins where the field above it does,
// and what it slides on can be seen on the panel.
type knobTheme struct{ fyneTheme }

func (t knobTheme) Size(name fyne.ThemeSizeName) float32 {
	if name == theme.SizeNameInnerPadding {
		return -3.5 // the toolkit adds half a thumb
	}
	return t.fyneTheme.Size(name)
}

func (t knobTheme) Color(name fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	if name == theme.ColorNameInputBackground {
		return withAlpha(t.look.Quiet, 120)
	}
	return t.fyneTheme.Color(name, v)
}
