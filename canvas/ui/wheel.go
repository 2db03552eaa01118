package ui

import (
	"image/color"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// wheelStep is how many times as far as the toolkit has it a notch of the wheel
// moves the panel, which is some five lines then.
const wheelStep = 4

// wheel lies over what scrolls and takes the wheel for it, which entries of
// several lines on it would keep to themselves. It takes nothing else.
type wheel struct {
	widget.BaseWidget
	scroll *container.Scroll
}

func newWheel(s *container.Scroll) *wheel {
	w := &wheel{scroll: s}
	w.ExtendBaseWidget(w)
	return w
}

// Scrolled moves what lies below.
func (w *wheel) Scrolled(e *fyne.ScrollEvent) {
	far := *e
	far.Scrolled = fyne.NewDelta(wheelStep*e.Scrolled.DX, wheelStep*e.Scrolled.DY)
	w.scroll.Scrolled(&far)
}

func (w *wheel) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(prim.NewRectangle(color.Transparent))
}
