package ui

import (
	"image"
	"image/color"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"copperglass/canvas/chart"
)

// newPlot shows a chart at so many units of width, each panel so high.
func newPlot(c *chart.Chart, width, panel float32) fyne.CanvasObject {
	size := fyne.NewSize(width, grown(panel)*float32(max(c.Panels(), 1)))
	raster := prim.NewRaster(func(w, h int) image.Image {
		letters := 1.2 * float64(textScale()) // pixels to a point at one pixel to the unit: 9 points are as large as small text
		img, err := c.Image(image.Pt(w, h), letters*float64(w)/float64(width))
		if err != nil {
			return image.NewUniform(color.Transparent)
		}
		return img
	})
	return container.New(fixed{size}, raster)
}

// fixed gives its objects one size.
type fixed struct{ size fyne.Size }

func (l fixed) Layout(objects []fyne.CanvasObject, _ fyne.Size) {
	for _, o := range objects {
		o.Move(fyne.Position{})
		o.Resize(l.size)
	}
}

func (l fixed) MinSize([]fyne.CanvasObject) fyne.Size { return l.size }
