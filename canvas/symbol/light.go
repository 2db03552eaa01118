package symbol

import (
	"image/color"

	"copperglass/model"
)

// tint is the inside of an LED that shines, on light paper and on dark: near
// enough to the body for the ink around it to stand out, far enough for one
// colour of light to be told from the next. What colour it is the label says,
// too.
type tint struct{ light, dark color.NRGBA }

// tintOf returns the tint of an LED's colour. It is not ok for infrared, which
// nobody sees.
func tintOf(colour string) (t tint, ok bool) {
	switch colour {
	case "infrared", "infrared 850":
		return tint{}, false
	case "red":
		return tint{opaque(0xff, 0xa3, 0x96), opaque(0xa8, 0x38, 0x30)}, true
	case "orange":
		return tint{opaque(0xff, 0xb8, 0x85), opaque(0xa3, 0x4e, 0x1c)}, true
	case "amber":
		return tint{opaque(0xff, 0xcb, 0x66), opaque(0x96, 0x60, 0x00)}, true
	case "yellow":
		return tint{opaque(0xff, 0xe6, 0x5c), opaque(0x80, 0x70, 0x00)}, true
	case "yellow-green":
		return tint{opaque(0xd6, 0xed, 0x6d), opaque(0x5a, 0x75, 0x12)}, true
	case "green":
		return tint{opaque(0x9d, 0xe3, 0x9b), opaque(0x26, 0x78, 0x3c)}, true
	case "blue":
		return tint{opaque(0xa3, 0xc8, 0xff), opaque(0x2b, 0x5f, 0xb3)}, true
	case "warm white":
		return tint{opaque(0xff, 0xe8, 0xba), opaque(0x85, 0x76, 0x55)}, true
	}
	return tint{opaque(0xff, 0xf4, 0xc8), opaque(0x86, 0x85, 0x6e)}, true
}

func opaque(r, g, b uint8) color.NRGBA { return color.NRGBA{R: r, G: g, B: b, A: 255} }

// lightOf is the inside of a part that shines as brightly as it may.
func (l *Look) lightOf(part *model.Part, v model.Values) color.NRGBA {
	if part.Kind != "led" {
		return l.Theme.Lit
	}
	t, ok := tintOf(v.Text("colour"))
	switch {
	case !ok:
		return l.Theme.Body
	case l.Theme.Dark:
		return mix(t.dark, l.Theme.Paper, l.Pale)
	}
	return mix(t.light, l.Theme.Paper, l.Pale)
}
