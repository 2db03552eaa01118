//go:build linux

package main

import (
	"image"
	"image/color"

	"copperglass/canvas"
)

// Where things are in the window, in the toolkit's units: the widths and
// heights that canvas/ui gives to the palette, the bar, the strip of modes and
// the inspector.
const (
	paletteWidth   = 188
	barHeight      = 46
	stripHeight    = 152
	inspectorWidth = 328
)

// The menus' titles, in the middle of the bar of menus.
var (
	fileMenu = image.Pt(22, 12)
	editMenu = image.Pt(60, 12)
	viewMenu = image.Pt(267, 12)
	helpMenu = image.Pt(310, 12)
)

// pixels turns units into pixels.
func (p *program) pixels(r image.Rectangle) image.Rectangle {
	return image.Rectangle{Min: r.Min.Mul(p.scale), Max: r.Max.Mul(p.scale)}
}

// sheet is where the sheet is. The bar of menus above it is as high as the
// font wants, so that is seen on the screen.
func (p *program) sheet() image.Rectangle {
	p.t.Helper()
	img := p.shot()
	bar, found := findBlock(img, image.Rect(img.Rect.Dx()/2, 0, img.Rect.Dx(), img.Rect.Dy()), image.Pt(10, 10), p.look.Bar)
	if !found {
		p.t.Fatalf("there is no bar above the sheet; the screen is in %s", p.keep())
	}
	return image.Rect(paletteWidth, bar.Y/p.scale+barHeight, windowWidth-inspectorWidth, windowHeight-stripHeight)
}

// strip is where the cards of the modes are.
func (p *program) strip() image.Rectangle {
	return image.Rect(paletteWidth, windowHeight-stripHeight+1, windowWidth-inspectorWidth, windowHeight)
}

// emptyMargin is how far the grid's origin is from the corner of a sheet that
// was empty when it was opened; such a sheet is shown at one unit to the unit
// of the drawing.
const emptyMargin = 2 * canvas.Grid

// grid is where a point of the grid is on such a sheet.
func (p *program) grid(x, y int) image.Point {
	p.t.Helper()
	return p.sheet().Min.Add(image.Pt(emptyMargin+x*canvas.Grid, emptyMargin+y*canvas.Grid))
}

// ribbon is a place on a wire that carries a current worth showing: on the
// first ribbon from the left.
func (p *program) ribbon() image.Point {
	p.t.Helper()
	band := p.untilBlock("a ribbon", p.sheet(), image.Pt(3, 30), p.look.Ribbon)
	return band.Add(image.Pt(6, 15))
}

// untilBlock waits for a block of a colour and returns where it is.
func (p *program) untilBlock(what string, within image.Rectangle, size image.Point, c color.NRGBA) image.Point {
	p.t.Helper()
	var place image.Point
	p.until(what+" is seen", func() (found bool) {
		place, found = findBlock(p.shot(), p.pixels(within), size.Mul(p.scale), c)
		return found
	})
	return place.Div(p.scale)
}

// window is all of it.
var window = image.Rect(0, 0, windowWidth, windowHeight)

// usualAnswer is a place near the left edge of the coloured button of a dialog,
// which is the one at the right; it waits for the dialog.
func (p *program) usualAnswer() image.Point {
	p.t.Helper()
	return p.untilBlock("a dialog", window, image.Pt(5, 14), p.look.Accent).Add(image.Pt(3, 7))
}

// otherAnswer is a place on the button at the left of that.
func (p *program) otherAnswer() image.Point {
	p.t.Helper()
	return p.usualAnswer().Sub(image.Pt(22, 0))
}

// lastLink is a place on the lowest line of the inspector that can be clicked:
// such lines are coloured.
func (p *program) lastLink() image.Point {
	panel := p.pixels(image.Rect(windowWidth-inspectorWidth+1, barHeight, windowWidth, windowHeight))
	coloured := boundsOf(p.shot(), panel, p.look.Accent)
	return image.Pt(coloured.Min.X, coloured.Max.Y).Div(p.scale).Add(image.Pt(12, -6))
}

// chosenCard is where the card of the chosen mode is, by its coloured edge.
func (p *program) chosenCard() image.Rectangle {
	r := boundsOf(p.shot(), p.pixels(p.strip()), p.look.Accent)
	return image.Rectangle{Min: r.Min.Div(p.scale), Max: r.Max.Div(p.scale)}
}
