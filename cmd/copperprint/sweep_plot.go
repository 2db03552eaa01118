package main

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"slices"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"copperglass/analysis"
	"copperglass/assets"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/quantity"
)

// The size of a plot: one panel for each unit, one below the other.
const (
	plotWidth   = 16 * vg.Centimeter
	panelHeight = 8 * vg.Centimeter
	plotDPI     = 144
)

// plotSweep draws a sweep as a plot. Letters are drawn as outlines, so that
// the file looks the same everywhere.
func plotSweep(w io.Writer, d *model.Diagram, s *analysis.SweepResult, log, svg bool) error {
	panels, err := newPanels(d, s, log)
	if err != nil {
		return err
	}
	height := panelHeight * vg.Length(len(panels))
	if svg {
		c := vgsvg.New(plotWidth, height)
		drawPanels(&outlined{CanvasSizer: c}, panels)
		_, err = c.WriteTo(w)
		return err
	}
	c := vgimg.NewWith(vgimg.UseWH(plotWidth, height), vgimg.UseDPI(plotDPI))
	drawPanels(&outlined{CanvasSizer: c}, panels)
	_, err = vgimg.PngCanvas{Canvas: c}.WriteTo(w)
	return err
}

func drawPanels(c vg.CanvasSizer, panels [][]*plot.Plot) {
	all := draw.New(c)
	all.SetColor(canvas.LightTheme().Paper)
	all.Fill(all.Rectangle.Path())
	inside := draw.Crop(all, 4*vg.Millimeter, -4*vg.Millimeter, 3*vg.Millimeter, -3*vg.Millimeter)
	tiles := draw.Tiles{Rows: len(panels), Cols: 1, PadY: 4 * vg.Millimeter}
	for i, row := range plot.Align(panels, tiles, inside) {
		panels[i][0].Draw(row[0])
	}
}

// newPanels makes one plot for each unit among the quantities.
func newPanels(d *model.Diagram, s *analysis.SweepResult, log bool) ([][]*plot.Plot, error) {
	handler, err := plainText()
	if err != nil {
		return nil, err
	}
	var units []quantity.Unit
	for _, u := range s.Units {
		if !slices.Contains(units, u) {
			units = append(units, u)
		}
	}
	var panels [][]*plot.Plot
	for i, unit := range units {
		p := newPanel(handler, s, unit, log)
		if i == 0 {
			p.Title.Text = d.Title
		}
		if err := addLines(p, s, unit); err != nil {
			return nil, err
		}
		panels = append(panels, []*plot.Plot{p})
	}
	return panels, nil
}

// plainText sets text in the program's own font.
func plainText() (text.Handler, error) {
	face, err := opentype.Parse(assets.Regular())
	if err != nil {
		return nil, fmt.Errorf("the built-in font cannot be read: %w", err)
	}
	return text.Plain{Fonts: font.NewCache(font.Collection{{Font: font.Font{Typeface: "Plex"}, Face: face}})}, nil
}

func newPanel(h text.Handler, s *analysis.SweepResult, unit quantity.Unit, log bool) *plot.Plot {
	th := canvas.LightTheme()
	p := plot.New()
	p.TextHandler, p.BackgroundColor = h, th.Paper
	style := func(t *text.Style, size vg.Length, c color.Color) {
		t.Handler, t.Color, t.Font = h, c, font.Font{Typeface: "Plex", Size: size}
	}
	style(&p.Title.TextStyle, 11, th.Ink)
	style(&p.Legend.TextStyle, 9, th.Ink)
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		style(&a.Label.TextStyle, 10, th.Ink)
		style(&a.Tick.Label, 9, th.Quiet)
		a.LineStyle.Color, a.Tick.LineStyle.Color = th.Quiet, th.Quiet
		a.Label.TextStyle.XAlign, a.Label.TextStyle.YAlign = draw.XCenter, draw.YBottom
	}
	p.X.Label.Text, p.X.Tick.Marker = s.Parameter, marks(plot.DefaultTicks{}, s.Unit)
	p.Y.Tick.Marker = marks(plot.DefaultTicks{}, unit)
	if log {
		p.X.Scale, p.X.Tick.Marker = plot.LogScale{}, marks(plot.LogTicks{Prec: -1}, s.Unit)
	}
	p.Legend.Top = true
	grid := plotter.NewGrid()
	grid.Horizontal.Color, grid.Vertical.Color = th.Dots, th.Dots
	p.Add(grid)
	return p
}

// marks labels ticks as the rest of the program writes figures.
func marks(t plot.Ticker, unit quantity.Unit) plot.Ticker {
	return plot.TickerFunc(func(low, high float64) []plot.Tick {
		ticks := t.Ticks(low, high)
		for i := range ticks {
			if ticks[i].Label != "" {
				ticks[i].Label = quantity.Short(settled(ticks[i].Value, low, high), unit)
			}
		}
		return ticks
	})
}

// settled is the value of a tick, or nought where it differs from it by
// rounding only.
func settled(x, low, high float64) float64 {
	if math.Abs(x) < 1e-9*(high-low) {
		return 0
	}
	return x
}

// addLines adds the quantities of that unit, the way back dashed.
func addLines(p *plot.Plot, s *analysis.SweepResult, unit quantity.Unit) error {
	th := canvas.LightTheme()
	colours := []color.Color{th.Volts, th.Current, th.Flag, th.Accent, th.Ink, th.Quiet}
	var shown []string
	for i, name := range s.Of {
		if s.Units[i] != unit {
			continue
		}
		colour := colours[len(shown)%len(colours)]
		shown = append(shown, name)
		if err := addRuns(p, s, func(q analysis.SweepPoint) []float64 { return q.There }, i, colour, nil, name); err != nil {
			return err
		}
		if s.Points[0].Back == nil {
			continue
		}
		dashes := []vg.Length{4, 3}
		if err := addRuns(p, s, func(q analysis.SweepPoint) []float64 { return q.Back }, i, colour, dashes, name+", on the way back"); err != nil {
			return err
		}
	}
	makeRoom(p, len(shown), s.Points[0].Back != nil)
	return nil
}

// makeRoom keeps the lines clear of the legend above them.
func makeRoom(p *plot.Plot, lines int, andBack bool) {
	const share = 0.08 // of the height, for one line of the legend
	if andBack {
		lines *= 2
	}
	height := p.Y.Max - p.Y.Min
	p.Y.Max += height * share * float64(lines) / (1 - share*float64(min(lines, 8)))
}

// addRuns adds one line for each run of points that were solved.
func addRuns(p *plot.Plot, s *analysis.SweepResult, of func(analysis.SweepPoint) []float64, i int, colour color.Color, dashes []vg.Length, name string) error {
	var run plotter.XYs
	named := false
	flush := func() error {
		if len(run) == 0 {
			return nil
		}
		line, err := plotter.NewLine(run)
		if err != nil {
			return err
		}
		line.Color, line.Width, line.Dashes = colour, 1.5, dashes
		p.Add(line)
		if !named {
			named = true
			p.Legend.Add(name, line)
		}
		run = nil
		return nil
	}
	for _, q := range s.Points {
		y := of(q)[i]
		if !math.IsNaN(y) {
			run = append(run, plotter.XY{X: q.Value, Y: y})
			continue
		}
		if err := flush(); err != nil {
			return err
		}
	}
	return flush()
}

// outlined draws text as the outlines of its letters.
type outlined struct {
	vg.CanvasSizer
	glyphs sfnt.Buffer
}

// FillString fills the outlines of the letters of s from at.
func (o *outlined) FillString(f font.Face, at vg.Point, s string) {
	const em = 1000
	size := f.Font.Size / (em * 64) // sheet units to a 64th of a font unit
	for _, r := range s {
		index, err := f.Face.GlyphIndex(&o.glyphs, r)
		if err != nil {
			continue
		}
		if segments, err := f.Face.LoadGlyph(&o.glyphs, index, fixed.I(em), nil); err == nil {
			o.Fill(outline(segments, at, size))
		}
		if advance, err := f.Face.GlyphAdvance(&o.glyphs, index, fixed.I(em), xfont.HintingNone); err == nil {
			at.X += vg.Length(advance) * size
		}
	}
}

func outline(segments sfnt.Segments, at vg.Point, size vg.Length) vg.Path {
	point := func(p fixed.Point26_6) vg.Point {
		return vg.Point{X: at.X + vg.Length(p.X)*size, Y: at.Y - vg.Length(p.Y)*size}
	}
	var path vg.Path
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			path.Move(point(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			path.Line(point(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			path.QuadTo(point(s.Args[0]), point(s.Args[1]))
		case sfnt.SegmentOpCubeTo:
			path.CubeTo(point(s.Args[0]), point(s.Args[1]), point(s.Args[2]))
		}
	}
	return path
}
