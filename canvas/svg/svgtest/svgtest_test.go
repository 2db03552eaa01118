package svgtest

import (
	"image"
	"image/color"
	"image/draw"
	"testing"
)

// card is a picture with a bar on it.
func card(bar image.Rectangle) *image.RGBA {
	im := image.NewRGBA(image.Rect(0, 0, 400, 400))
	draw.Draw(im, im.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(im, bar, image.Black, image.Point{}, draw.Src)
	return im
}

// The comparison must notice what a person would: a line that is missing, or is
// elsewhere by half a sheet unit, or is thicker by a third.
func TestCompareNotices(t *testing.T) {
	t.Parallel()
	white := color.NRGBA{255, 255, 255, 255}
	line := reduce(card(image.Rect(40, 40, 360, 46)))
	if d := compare(line, line, white); d.mean != 0 || d.far != 0 || d.ink == 0 {
		t.Errorf("a picture differs from itself: %v", d)
	}
	for name, other := range map[string]image.Rectangle{
		"missing": {},
		"moved":   image.Rect(40, 42, 360, 48),
		"thicker": image.Rect(40, 40, 360, 48),
	} {
		if d := compare(line, reduce(card(other)), white); d.mean <= MeanLimit && d.far <= FarShare {
			t.Errorf("%s: not noticed: %v", name, d)
		}
	}
}
