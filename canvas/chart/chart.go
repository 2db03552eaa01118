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

// Image draws the chart at a size in pixels, with perPoint pixels to a point of
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

// The empty borders of a chart, and between its panels, and its title.
const (
	titleSize   = 12 * vg.Length(1)
	titleRoom   = 22 * vg.Length(1)
	axisSize    = 10 * vg.Length(1) // letters of an axis' name
	axisGap     = 1 * vg.Length(1)  // above it
	axisLine    = 14 * vg.Length(1) // its height with the gap
	sideBorder  = 4 * vg.Millimeter
	headBorder  = 3 * vg.Millimeter
	panelBorder = 7 * vg.Millimeter
)

// draw lays the panels one below the other, with their heads above them and
// their legends below, so that all have as much room for their curves.
func (c *Chart) draw(onto vg.CanvasSizer, panels []*panel) {
	all := draw.New(onto)
	all.SetColor(c.Theme.Paper)
	all.Fill(all.Rectangle.Path())
	inside := draw.Crop(all, sideBorder, -sideBorder, headBorder, -headBorder)
	inside = c.writeTitle(inside, panels)
	rows := c.align(inside, panels)
	var named [][]label
	for again := true; again; {
		named, again = named[:0], false
		layOut(rows, inside, panels)
		for i, p := range panels {
			labels, left := p.besideCurves(p.plot.DataCanvas(rows[i]), c.Marks, p.words)
			for _, one := range left {
				p.listed[one], again = true, true
				p.legend.add(entry{one.name, one.look})
			}
			named = append(named, labels)
		}
	}
	for i, p := range panels {
		p.plot.Draw(rows[i])
		p.write(rows[i], named[i])
		p.writeHead(rows[i])
		p.writeAxis(rows[i])
		foot := rows[i]
		foot.Min.X, foot.Min.Y = inside.Min.X, foot.Min.Y-p.footRoom() // below the figures of the axis, too
		p.legend.draw(foot)
	}
}

// writeTitle writes the title at the head of the chart and returns what is left.
func (c *Chart) writeTitle(inside draw.Canvas, panels []*panel) draw.Canvas {
	if c.Title == "" || len(panels) == 0 {
		return inside
	}
	style := panels[0].legend.style
	style.Font.Size, style.XAlign, style.YAlign = titleSize, draw.XLeft, draw.YTop
	inside.FillText(style, vg.Point{X: inside.Min.X, Y: inside.Max.Y}, c.Title)
	return draw.Crop(inside, 0, 0, 0, -titleRoom)
}

// align returns a canvas for each panel on which all axes begin and end at the
// same places.
func (c *Chart) align(inside draw.Canvas, panels []*panel) []draw.Canvas {
	var plots [][]*plot.Plot
	for _, p := range panels {
		plots = append(plots, []*plot.Plot{p.plot})
	}
	var rows []draw.Canvas
	for _, row := range plot.Align(plots, draw.Tiles{Rows: len(panels), Cols: 1}, inside) {
		rows = append(rows, row[0])
	}
	return rows
}

// layOut gives each panel its part of the height: the same for its curves, and
// what its axis, its head and its legend take.
func layOut(rows []draw.Canvas, inside draw.Canvas, panels []*panel) {
	n := len(panels)
	free := inside.Max.Y - inside.Min.Y - panelBorder*vg.Length(n-1)
	around := make([]vg.Length, n) // what the axes take
	for i, p := range panels {
		area := p.plot.DataCanvas(rows[i])
		around[i] = area.Min.Y - rows[i].Min.Y + rows[i].Max.Y - area.Max.Y
		free -= around[i] + p.headRoom() + p.footRoom()
	}
	y := inside.Max.Y
	for i, p := range panels {
		rows[i].Max.Y = y - p.headRoom()
		rows[i].Min.Y = rows[i].Max.Y - around[i] - free/vg.Length(n)
		y = rows[i].Min.Y - p.footRoom() - panelBorder
	}
}

// headRoom is what the panel's head takes of its height.
func (p *panel) headRoom() vg.Length {
	if p.head == "" {
		return 0
	}
	return headLine
}

// footRoom is what the axis' name and the legend take of the panel's height.
func (p *panel) footRoom() vg.Length {
	if p.axis == "" {
		return p.legend.height()
	}
	return axisLine + p.legend.height()
}

// writeAxis writes what runs along the axis below the panel's canvas. The plot's
// own label would keep room free beside an axis of decades.
func (p *panel) writeAxis(c draw.Canvas) {
	style, area := p.legend.style, p.plot.DataCanvas(c)
	style.Font.Size, style.XAlign, style.YAlign = axisSize, draw.XCenter, draw.YTop
	c.FillText(style, vg.Point{X: (area.Min.X + area.Max.X) / 2, Y: c.Min.Y - axisGap}, p.axis)
}

// writeHead writes what all curves of the panel are above its canvas.
func (p *panel) writeHead(c draw.Canvas) {
	style := p.legend.style
	style.XAlign, style.YAlign = draw.XLeft, draw.YTop
	c.FillText(style, vg.Point{X: p.plot.DataCanvas(c).Min.X, Y: c.Max.Y + headLine}, p.head)
}

// blank reports whether the curve has no points.
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
