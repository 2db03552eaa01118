// Package chart draws curves of quantities, over one they depend on, in the
// program's own colours and letters.
package chart

import (
	"image"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"copperglass/canvas"
	"copperglass/model/quantity"
)

// Chart is curves over one axis. Curves of one unit share a panel; the panels
// lie one below the other.
type Chart struct {
	Title  string
	Axis   string        // what runs along it
	Unit   quantity.Unit // of the axis
	Log    bool          // whether equal ratios along the axis are equal lengths
	Curves []Curve
	Bands  []Band
	Marks  []Mark
	Theme  canvas.Theme
}

// Curve is a quantity over the axis, SI units. Where Y is NaN it has a gap.
type Curve struct {
	Name   string
	Unit   quantity.Unit
	X, Y   []float64
	Dashed bool // drawn in the colour of the curve before it, thin and dashed
}

// Band is a stretch of the axis in which something holds: a transistor's state.
type Band struct {
	From, To float64
	Name     string
}

// Mark is a place on the axis: where the drawing is now, or where something
// ends.
type Mark struct {
	At   float64
	Name string
}

// The size of a chart on paper.
const (
	width       = 16 * vg.Centimeter
	panelHeight = 8 * vg.Centimeter
	dpi         = 144
)

// WriteSVG writes the chart as SVG. Letters are outlines, so that the file
// looks the same everywhere.
func (c *Chart) WriteSVG(w io.Writer) error {
	size := c.paper()
	panels, err := c.panels(size)
	if err != nil {
		return err
	}
	canvas := vgsvg.New(size.X, size.Y)
	c.draw(&outlined{CanvasSizer: canvas}, panels)
	_, err = canvas.WriteTo(w)
	return err
}

// WritePNG writes the chart as PNG.
func (c *Chart) WritePNG(w io.Writer) error {
	size := c.paper()
	panels, err := c.panels(size)
	if err != nil {
		return err
	}
	canvas := vgimg.NewWith(vgimg.UseWH(size.X, size.Y), vgimg.UseDPI(dpi))
	c.draw(&outlined{CanvasSizer: canvas}, panels)
	_, err = vgimg.PngCanvas{Canvas: canvas}.WriteTo(w)
	return err
}

// Image draws the chart with so many pixels, and so many of them to a point of
// 1/72 inch.
func (c *Chart) Image(pixels image.Point, perPoint float64) (image.Image, error) {
	dpi := max(1, int(math.Round(72*perPoint)))
	length := func(pixels int) vg.Length { return vg.Inch * vg.Length(pixels) / vg.Length(dpi) }
	size := vg.Point{X: length(pixels.X), Y: length(pixels.Y)}
	panels, err := c.panels(size)
	if err != nil {
		return nil, err
	}
	canvas := vgimg.NewWith(vgimg.UseWH(size.X, size.Y), vgimg.UseDPI(dpi))
	c.draw(&outlined{CanvasSizer: canvas}, panels)
	return canvas.Image(), nil
}

// Panels is how many panels the chart has: one for each unit.
func (c *Chart) Panels() int { return len(c.units()) }

// paper is the size of the chart on paper.
func (c *Chart) paper() vg.Point {
	return vg.Point{X: width, Y: panelHeight * vg.Length(max(c.Panels(), 1))}
}

// The empty borders of a chart, and between its panels.
const (
	sideBorder  = 4 * vg.Millimeter
	headBorder  = 3 * vg.Millimeter
	panelBorder = 7 * vg.Millimeter
)

func (c *Chart) draw(onto vg.CanvasSizer, panels []*panel) {
	all := draw.New(onto)
	all.SetColor(c.Theme.Paper)
	all.Fill(all.Rectangle.Path())
	inside := draw.Crop(all, sideBorder, -sideBorder, headBorder, -headBorder)
	tiles := draw.Tiles{Rows: len(panels), Cols: 1, PadY: panelBorder}
	var plots [][]*plot.Plot
	for _, p := range panels {
		plots = append(plots, []*plot.Plot{p.plot})
	}
	for i, row := range plot.Align(plots, tiles, inside) {
		p := panels[i]
		p.plot.Draw(draw.Crop(row[0], 0, 0, p.legend.height(), 0))
		row[0].Min.X = inside.Min.X // below the figures of the axis, too
		p.legend.draw(row[0])
	}
}

// blank reports whether the curve has no point at all.
func (c *Curve) blank() bool {
	return !slices.ContainsFunc(c.Y, func(y float64) bool { return !math.IsNaN(y) })
}

// units are those of the curves, in their order; one that only blank curves
// have gets no panel.
func (c *Chart) units() []quantity.Unit {
	var units []quantity.Unit
	for _, curve := range c.Curves {
		if !curve.blank() && !slices.Contains(units, curve.Unit) {
			units = append(units, curve.Unit)
		}
	}
	return units
}
