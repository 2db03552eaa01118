package canvas

import (
	"image/color"
	"math"
)

// Theme is a set of colours by what they are for. Text colours have a contrast
// of at least 4.5:1 on the surfaces they stand on, what one acts on has borders
// of at least 3:1 (WCAG 2.2, success criteria 1.4.3 and 1.4.11).
type Theme struct {
	Dark bool

	Paper    color.NRGBA // the sheet
	Dots     color.NRGBA // of the sheet's grid
	Ink      color.NRGBA // symbols, wires and names
	Quiet    color.NRGBA // secondary text on paper and panels
	Body     color.NRGBA // the inside of symbols that have one
	Ribbon   color.NRGBA // the band under a wire that carries current
	Current  color.NRGBA // currents: text and chevrons
	Pill     color.NRGBA // the ground of a voltage
	PillEdge color.NRGBA
	Volts    color.NRGBA // voltages, on Pill
	Badge    color.NRGBA // the ground of a stack's ×N
	OnBadge  color.NRGBA
	Flag     color.NRGBA // the ground of a finding's or fault's number
	OnFlag   color.NRGBA
	Accent   color.NRGBA // selection, focus, what is being drawn
	Lit      color.NRGBA // the inside of an LED that shines

	Bar      color.NRGBA // the band along the top of the window
	OnBar    color.NRGBA
	BarQuiet color.NRGBA // secondary text on Bar
	Panel    color.NRGBA // inspector
	Tray     color.NRGBA // palette and strip of modes
	Card     color.NRGBA // what lies on a tray
	Chosen   color.NRGBA // a card that is chosen
	Edge     color.NRGBA // rules, and borders that only part things
	Border   color.NRGBA // borders of what can be clicked or typed into
}

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
}

// LightTheme is ink on paper.
func LightTheme() Theme {
	return Theme{
		Paper: rgb(0xfcfbf7), Dots: rgb(0xdcd9cf), Ink: rgb(0x22303c), Quiet: rgb(0x5d6873), Body: rgb(0xfffffc),
		Ribbon: rgb(0xf5d9ae), Current: rgb(0x8a4a00), Pill: rgb(0xe3eef8), PillEdge: rgb(0xb7cde2), Volts: rgb(0x1d4e7e),
		Badge: rgb(0x22303c), OnBadge: rgb(0xffffff), Flag: rgb(0xb3261e), OnFlag: rgb(0xffffff), Accent: rgb(0x2b689f), Lit: rgb(0xffeeb0),
		Bar: rgb(0x22303c), OnBar: rgb(0xffffff), BarQuiet: rgb(0xb9c4ce), Panel: rgb(0xf6f5f0), Tray: rgb(0xebe9e1),
		Card: rgb(0xfcfbf7), Chosen: rgb(0xdce8f2), Edge: rgb(0xd5d2c6), Border: rgb(0x838173),
	}
}

// DarkTheme is light ink on a dark sheet.
func DarkTheme() Theme {
	return Theme{
		Dark:  true,
		Paper: rgb(0x1b2229), Dots: rgb(0x333d46), Ink: rgb(0xe6e9ea), Quiet: rgb(0xa5b0b9), Body: rgb(0x232c35),
		Ribbon: rgb(0x7a5620), Current: rgb(0xf0b45f), Pill: rgb(0x233a50), PillEdge: rgb(0x3d5a76), Volts: rgb(0xb5d7f5),
		Badge: rgb(0xe6e9ea), OnBadge: rgb(0x1b2229), Flag: rgb(0xe8756b), OnFlag: rgb(0x1b1110), Accent: rgb(0x78b5e8), Lit: rgb(0xab7a00),
		Bar: rgb(0x11171c), OnBar: rgb(0xf2f4f5), BarQuiet: rgb(0xa5b0b9), Panel: rgb(0x20282f), Tray: rgb(0x171d23),
		Card: rgb(0x262f38), Chosen: rgb(0x2b4459), Edge: rgb(0x3a4650), Border: rgb(0x8292a0),
	}
}

// Contrast is the contrast ratio of two opaque colours, 1 to 21 (WCAG 2.2,
// definitions).
func Contrast(a, b color.NRGBA) float64 {
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// luminance is the relative luminance of WCAG 2.2 (definitions), 0 to 1.
func luminance(c color.NRGBA) float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}
