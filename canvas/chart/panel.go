package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"copperglass/assets"
	"copperglass/canvas"
	"copperglass/model/quantity"
)

// panel is the plot of one unit with the names of its curves.
type panel struct {
	plot   *plot.Plot
	head   string // that stands above it: what all its curves are
	axis   string // what runs along the axis, below the last panel
	curves []*curve
	listed map[*curve]bool // those that the legend names
	legend legend
	tall   vg.Length // of the room for its curves, about
	words  vg.Length // what the words above the curves take of it
}

// panels makes one for each unit among the curves, on a chart of that size.
func (c *Chart) panels(size vg.Point) ([]*panel, error) {
	handler, err := plainText()
	if err != nil {
		return nil, err
	}
	var panels []*panel
	for i, unit := range c.units() {
		p := c.panel(handler, unit, size)
		if i == c.Panels()-1 {
			p.axis = c.Axis
		} else {
			x := &p.plot.X // the axis below tells it
			x.Tick.Label.Font.Size, x.Tick.Marker = 0.1, unlabelled{x.Tick.Marker}
		}
		for _, add := range []func(*panel, quantity.Unit) error{c.addBands, c.addCurves, c.addMarks} {
			if err := add(p, unit); err != nil {
				return nil, err
			}
		}
		if i == 0 {
			if err := c.addWords(p.plot); err != nil {
				return nil, err
			}
		}
		panels = append(panels, p)
	}
	return panels, nil
}

// plainText sets text in the program's own font.
func plainText() (text.Handler, error) {
	face, err := opentype.Parse(assets.Regular())
	if err != nil {
		return nil, fmt.Errorf("the built-in font cannot be read: %w", err)
	}
	return text.Plain{Fonts: font.NewCache(font.Collection{{Font: font.Font{Typeface: typeface}, Face: face}})}, nil
}

const typeface = "Plex"

func (c *Chart) style(t *text.Style, h text.Handler, size vg.Length, colour color.Color) {
	t.Handler, t.Color, t.Font = h, colour, font.Font{Typeface: typeface, Size: size}
}

// figuresRoom is what an axis with its figures takes of the height, about.
const figuresRoom = 24 * vg.Length(1)

func (c *Chart) panel(h text.Handler, unit quantity.Unit, size vg.Point) *panel {
	p := plot.New()
	p.TextHandler, p.BackgroundColor = h, c.Theme.Paper
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		c.style(&a.Tick.Label, h, 9, c.Theme.Quiet)
		a.LineStyle.Color, a.Tick.LineStyle.Color = c.Theme.Quiet, c.Theme.Quiet
	}
	p.X.Tick.Marker = ticks(evenly{labelled}, c.Unit)
	p.Y.Tick.Marker = ticks(evenly{labelled + 1}, unit) // one more step as its ends are rounded
	if c.Log {
		p.X.Scale, p.X.Tick.Marker = plot.LogScale{}, ticks(decades{}, c.Unit)
	}
	grid := plotter.NewGrid()
	grid.Horizontal.Color, grid.Vertical.Color = c.Theme.Dots, c.Theme.Dots
	p.Add(grid)
	l := legend{width: size.X - 2*sideBorder}
	c.style(&l.style, h, 9, c.Theme.Ink)
	n := vg.Length(c.Panels())
	tall := size.Y - 2*headBorder - axisLine - (n-1)*panelBorder
	if c.Title != "" {
		tall -= titleRoom
	}
	tall = tall/n - figuresRoom - headLine
	return &panel{plot: p, legend: l, tall: tall, listed: map[*curve]bool{}}
}

// settled returns the value x of a tick, or exactly 0 where it differs from 0 only
// by rounding.
func settled(x, low, high float64) float64 {
	if math.Abs(x) < 1e-9*(high-low) {
		return 0
	}
	return x
}

// reach returns the least and the greatest value of the curves of a unit; low is
// above high where they have no points.
func (c *Chart) reach(unit quantity.Unit) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, curve := range c.Curves {
		for _, y := range curve.Y {
			if curve.Unit == unit && !math.IsNaN(y) {
				low, high = min(low, y), max(high, y)
			}
		}
	}
	return low, high
}

// dashes distinguish curves for people who cannot distinguish their colours.
var dashes = [][]vg.Length{nil, {8, 2}, {2, 1.5}, {8, 2, 2, 2}, {14, 3}, {8, 2, 2, 2, 2, 2}}

// addCurves adds the curves of that unit.
func (c *Chart) addCurves(p *panel, unit quantity.Unit) error {
	th := c.Theme
	colours := []color.Color{th.Volts, th.Current, th.Flag, th.Accent, th.Ink, th.Quiet}
	shown := -1
	for _, one := range c.Curves {
		if one.Unit != unit {
			continue
		}
		if !one.Dashed {
			shown++
		}
		look := draw.LineStyle{Color: colours[max(shown, 0)%len(colours)], Width: 1.5, Dashes: dashes[max(shown, 0)%len(dashes)]}
		if one.Dashed {
			look.Width, look.Dashes = 1, []vg.Length{4, 3}
		}
		if err := addRuns(p, one, look); err != nil {
			return err
		}
	}
	p.nameCurves()
	p.settle(unit)
	if unit == c.units()[0] {
		p.makeRoom(c.wordLines())
	}
	return p.drawZero(th)
}

// nameCurves splits the names of the curves into what all have in common, which
// becomes the head, and what distinguishes each.
func (p *panel) nameCurves() {
	var full []string
	for _, c := range p.curves {
		full = append(full, c.Name)
	}
	if len(full) == 0 {
		return
	}
	head, names := headOf(full)
	p.head = head
	for i, name := range names {
		p.curves[i].name = name
	}
}

// drawZero draws a line at zero where the axis has values on both sides of it.
func (p *panel) drawZero(th canvas.Theme) error {
	x, y := &p.plot.X, &p.plot.Y
	if !(y.Min < 0 && 0 < y.Max) {
		return nil
	}
	line, err := plotter.NewLine(plotter.XYs{{X: x.Min, Y: 0}, {X: x.Max, Y: 0}})
	if err != nil {
		return err
	}
	line.Color, line.Width = th.Quiet, 0.75
	p.plot.Add(line)
	return nil
}

// What settle judges the range of an axis by: our judgement.
const (
	hardly  = 0.005   // curves that vary by less than this fraction of their size are drawn as all but constant
	zeroes  = 1.0 / 3 // the axis includes zero where they vary by at least this fraction
	upwards = 1e-9    // fraction of a step that counts as rounding
)

// settle chooses the ends of the value axis. It includes zero where the curves come
// near enough to it, where they are percentages, and where they hardly vary, since
// the figures at the ticks would all read the same otherwise. Both ends are ticks.
func (p *panel) settle(unit quantity.Unit) {
	y := &p.plot.Y
	size := max(math.Abs(y.Min), math.Abs(y.Max))
	switch moves := (y.Max - y.Min) / size; {
	case size == 0:
	case moves < hardly:
		y.Min, y.Max = min(0, 1.2*y.Min), max(0, 1.2*y.Max)
	case moves >= zeroes || unit == quantity.Percent:
		y.Min, y.Max = min(0, y.Min), max(0, y.Max)
	}
	p.roundEnds()
}

// roundEnds moves the ends of the axis outwards to ticks.
func (p *panel) roundEnds() {
	y := &p.plot.Y
	if step := roundStep((y.Max-y.Min)/labelled) / minors; step > 0 && !math.IsInf(step, 0) {
		y.Min, y.Max = step*math.Floor(y.Min/step+upwards), step*math.Ceil(y.Max/step-upwards)
	}
}

// wordLines is how many lines the names of bands and marks take.
func (c *Chart) wordLines() int {
	lines := len(c.Marks)
	if len(c.Bands) > 0 {
		lines++
	}
	return lines
}

// Words above the curves.
const (
	wordLine = 12 * vg.Length(1) // height of a line
	wordFoot = 4 * vg.Length(1)  // from the last line to the curves
)

// makeRoom raises the upper end of the axis so that the curves stay clear of so many
// lines of words above them, which take two thirds of the height at most.
func (p *panel) makeRoom(lines int) {
	if lines == 0 {
		return
	}
	p.words = wordLine*vg.Length(lines) + wordFoot
	share := min(float64(p.words/max(p.tall, 1)), 2.0/3)
	p.plot.Y.Max += (p.plot.Y.Max - p.plot.Y.Min) * share / (1 - share)
}

// addRuns adds one line for each run of points without a gap.
func addRuns(p *panel, c Curve, look draw.LineStyle) error {
	var run plotter.XYs
	if !c.blank() {
		p.curves = append(p.curves, &curve{Curve: c, look: look})
	}
	flush := func() error {
		if len(run) == 0 {
			return nil
		}
		line, err := plotter.NewLine(run)
		if err != nil {
			return err
		}
		line.LineStyle = look
		p.plot.Add(line)
		run = nil
		return nil
	}
	for i, y := range c.Y {
		if !math.IsNaN(y) {
			run = append(run, plotter.XY{X: c.X[i], Y: y})
			continue
		}
		if err := flush(); err != nil {
			return err
		}
	}
	return flush()
}

// shades are the strengths, of 255, in which bands are shaded: each name has its
// own, the first ones well apart.
var shades = []uint8{120, 30, 75, 165}

// addBands shades the bands, those of one name alike.
func (c *Chart) addBands(p *panel, unit quantity.Unit) error {
	low, high := c.reach(unit)
	var names []string
	for _, b := range c.Bands {
		if low > high {
			return nil
		}
		if !slices.Contains(names, b.Name) {
			names = append(names, b.Name)
		}
		box, err := plotter.NewPolygon(plotter.XYs{{X: b.From, Y: low}, {X: b.To, Y: low}, {X: b.To, Y: high}, {X: b.From, Y: high}})
		if err != nil {
			return err
		}
		shade := c.Theme.Ribbon
		shade.A = shades[slices.Index(names, b.Name)%len(shades)]
		box.Color, box.LineStyle.Width = shade, 0
		p.plot.Add(box)
	}
	return nil
}

// addMarks draws an upright dashed line at each mark.
func (c *Chart) addMarks(p *panel, _ quantity.Unit) error {
	for _, m := range c.Marks {
		line, err := plotter.NewLine(plotter.XYs{{X: m.At, Y: p.plot.Y.Min}, {X: m.At, Y: p.plot.Y.Max}})
		if err != nil {
			return err
		}
		line.Color, line.Width, line.Dashes = c.Theme.Quiet, 1, []vg.Length{2, 2}
		p.plot.Add(line)
	}
	return nil
}

// addWords names the marks and the bands above the curves, a line for each mark
// and one for all bands.
func (c *Chart) addWords(p *plot.Plot) error {
	line := 0
	for _, m := range c.Marks {
		if err := c.write(p, m.At, line, " "+m.Name, draw.XLeft); err != nil {
			return err
		}
		line++
	}
	for _, b := range c.Bands {
		if err := c.write(p, c.middle(b), line, b.Name, draw.XCenter); err != nil {
			return err
		}
	}
	return nil
}

// middle is the middle of a band as it is seen.
func (c *Chart) middle(b Band) float64 {
	if c.Log {
		return math.Sqrt(b.From * b.To)
	}
	return (b.From + b.To) / 2
}

// write puts a word at a place of the axis, on a line of the panel counted from
// its head.
func (c *Chart) write(p *plot.Plot, x float64, line int, word string, across draw.XAlignment) error {
	labels, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{{X: x, Y: p.Y.Max}}, Labels: []string{word}})
	if err != nil {
		return err
	}
	c.style(&labels.TextStyle[0], p.TextHandler, 9, c.Theme.Quiet)
	labels.TextStyle[0].XAlign, labels.TextStyle[0].YAlign = across, draw.YTop
	labels.Offset = vg.Point{Y: -wordLine * vg.Length(line)}
	p.Add(labels)
	return nil
}
