package symbol

import (
	"image/color"

	"copperglass/model"
)

// tint is the inside of an LED that shines, on light paper and on dark. On light
// paper the ink around it stands out from it; on dark it is as bright as the ink
// and stands out from the paper itself. Each is far enough from the next for one
// colour of light to be told from another; what colour it is the label says, too.
type tint struct{ light, dark color.NRGBA }

// tintOf returns the tint of an LED's colour. It is not ok for infrared, which
// nobody sees.
func tintOf(colour string) (t tint, ok bool) {
	switch colour {
	case "infrared", "infrared 850":
		return tint{}, false
	case "red":
		return tint{opaque(0xff, 0xa3, 0x96), opaque(0xff, 0x6b, 0x5c)}, true
	case "orange":
		return tint{opaque(0xff, 0xb8, 0x85), opaque(0xff, 0x91, 0x3d)}, true
	case "amber":
		return tint{opaque(0xff, 0xcb, 0x66), opaque(0xff, 0xb3, 0x1f)}, true
	case "yellow":
		return tint{opaque(0xff, 0xe6, 0x5c), opaque(0xff, 0xe0, 0x3d)}, true
	case "yellow-green":
		return tint{opaque(0xd6, 0xed, 0x6d), opaque(0xc4, 0xe6, 0x3c)}, true
	case "green":
		return tint{opaque(0x9d, 0xe3, 0x9b), opaque(0x5f, 0xd8, 0x6e)}, true
	case "blue":
		return tint{opaque(0xa3, 0xc8, 0xff), opaque(0x5c, 0xa4, 0xff)}, true
	case "warm white":
		return tint{opaque(0xff, 0xe8, 0xba), opaque(0xff, 0xe3, 0xad)}, true
	}
	return tint{opaque(0xff, 0xf4, 0xc8), opaque(0xff, 0xf9, 0xdc)}, true
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
