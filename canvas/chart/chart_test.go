package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"io"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"copperglass/canvas"
	"copperglass/model/quantity"
)

func specimen(theme canvas.Theme) *Chart {
	c := &Chart{Title: "Lamp", Axis: "V1.voltage", Unit: quantity.Volt, Theme: theme,
		Bands: []Band{{0, 2, "cut-off"}, {2, 4, "active"}}, Marks: []Mark{{3, "now"}}}
	var x, y, z []float64
	for i := range 41 {
		v := float64(i) / 10
		x, y, z = append(x, v), append(y, v*v/1000), append(z, v)
	}
	y[20] = math.NaN()
	c.Curves = []Curve{{Name: "E1.1.amps", Unit: quantity.Ampere, X: x, Y: y}, {Name: "net.p.volts", Unit: quantity.Volt, X: x, Y: z}}
	return c
}

func paths(t *testing.T, c *Chart) (count int, text []byte) {
	t.Helper()
	var b bytes.Buffer
	if err := c.WriteSVG(&b); err != nil {
		t.Fatal(err)
	}
	text = b.Bytes()
	for d := xml.NewDecoder(&b); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return count, text
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "path" {
			count++
		} else if ok && e.Name.Local == "text" {
			t.Error("letters are to be outlines")
		}
	}
}

// Whatever is added to a chart adds to its picture, and a chart is the same
// each time.
func TestChartHasItsParts(t *testing.T) {
	t.Parallel()
	whole, text := paths(t, specimen(canvas.LightTheme()))
	if _, again := paths(t, specimen(canvas.LightTheme())); !bytes.Equal(text, again) {
		t.Error("the same chart differs from itself")
	}
	for name, without := range map[string]func(*Chart){
		"title":  func(c *Chart) { c.Title = "" },
		"bands":  func(c *Chart) { c.Bands = nil },
		"mark":   func(c *Chart) { c.Marks = nil },
		"gap":    func(c *Chart) { c.Curves[0].Y[20] = 4e-3 },
		"curve":  func(c *Chart) { c.Curves = c.Curves[:1] },
		"legend": func(c *Chart) { c.Curves[0].Name = "" },
	} {
		c := specimen(canvas.LightTheme())
		without(c)
		if n, _ := paths(t, c); n >= whole {
			t.Errorf("without the %s there are %d paths, with it %d", name, n, whole)
		}
	}
}

// A curve without a point has no panel; the others stand as they are.
func TestBlankCurve(t *testing.T) {
	t.Parallel()
	c := specimen(canvas.LightTheme())
	c.Curves = append(c.Curves, Curve{Name: "light", Unit: quantity.None, X: []float64{0, 1}, Y: []float64{math.NaN(), math.NaN()}})
	if c.Panels() != 2 {
		t.Errorf("%d panels, want 2", c.Panels())
	}
	paths(t, c)
}

// The image has the size asked for and the theme's ground.
func TestImage(t *testing.T) {
	t.Parallel()
	for _, theme := range []canvas.Theme{canvas.LightTheme(), canvas.DarkTheme()} {
		img, err := specimen(theme).Image(image.Pt(640, 480), 2)
		if err != nil {
			t.Fatal(err)
		}
		if size := img.Bounds().Size(); size != image.Pt(640, 480) {
			t.Errorf("%v pixels", size)
		}
		if got := color.NRGBAModel.Convert(img.At(1, 1)); got != theme.Paper {
			t.Errorf("ground %v, want %v", got, theme.Paper)
		}
	}
}

// crossing is a chart of curves that run from corner to corner and about.
func crossing(names ...string) *Chart {
	c := &Chart{Axis: "time", Unit: quantity.Hour, Theme: canvas.LightTheme(), Marks: []Mark{{0.3, "now"}}}
	for i, name := range names {
		curve := Curve{Name: name, Unit: quantity.Ampere}
		for k := range 21 {
			x := float64(k) / 20
			curve.X, curve.Y = append(curve.X, x), append(curve.Y, math.Abs(float64(i%2)-x)+0.7*float64(i/2)*x*x)
		}
		c.Curves = append(c.Curves, curve)
	}
	return c
}

// A name beside its curve touches none, nor a mark or another name, is nearer to
// its own curve than to any other, and is on the panel; where it is not, the
// legend below has it. In a narrow chart as in a wide one.
func TestNamesStandBesideTheirCurves(t *testing.T) {
	t.Parallel()
	for _, size := range []vg.Point{{X: 220, Y: 140}, {X: 450, Y: 230}, {X: 900, Y: 600}} {
		c := crossing("alkaline", "carbon", "lithium", "hydride")
		panels, err := c.panels(size)
		if err != nil {
			t.Fatal(err)
		}
		p := panels[0]
		da := p.plot.DataCanvas(draw.New(vgimg.New(size.X, size.Y)))
		named, left := p.besideCurves(da, c.Marks, p.words)
		if len(named)+len(left) != 4 || len(named) == 0 {
			t.Errorf("%v: %d names beside the curves and %d below, want 4", size, len(named), len(left))
		}
		x, y := p.plot.Transforms(&da)
		for i, l := range named {
			if mark := x(0.3); l.box.Min.X < da.Min.X || l.box.Max.X > da.Max.X || l.box.Max.Y > da.Max.Y || l.box.Min.Y < da.Min.Y || l.box.Min.X < mark && mark < l.box.Max.X {
				t.Errorf("%v: %s is at %v", size, l.curve.name, l.box)
			}
			for _, o := range named[:i] {
				if l.box.Min.X < o.box.Max.X && o.box.Min.X < l.box.Max.X && l.box.Min.Y < o.box.Max.Y && o.box.Min.Y < l.box.Max.Y {
					t.Errorf("%v: %s covers %s", size, l.curve.name, o.curve.name)
				}
			}
			nearest, whose := math.Inf(1), ""
			for _, o := range p.curves {
				if d := away(o, l.box, x, y); d < nearest {
					nearest, whose = d, o.Name
				}
			}
			if nearest <= 0 || nearest > 15 || whose != l.curve.Name {
				t.Errorf("%v: %s is %v from %s", size, l.curve.name, nearest, whose)
			}
		}
	}
}

// away is how far a curve is from a box, by many points of it.
func away(c *curve, box vg.Rectangle, x, y func(float64) vg.Length) float64 {
	least := math.Inf(1)
	for k := 1; k < len(c.X); k++ {
		for i := range 51 {
			t := float64(i) / 50
			at := vg.Point{X: x(c.X[k-1] + t*(c.X[k]-c.X[k-1])), Y: y(c.Y[k-1] + t*(c.Y[k]-c.Y[k-1]))}
			dx, dy := max(0, box.Min.X-at.X, at.X-box.Max.X), max(0, box.Min.Y-at.Y, at.Y-box.Max.Y)
			least = min(least, math.Hypot(float64(dx), float64(dy)))
		}
	}
	return least
}

// Curves that lie on one another are named by the legend, which covers none.
func TestCurvesAlikeHaveALegend(t *testing.T) {
	t.Parallel()
	c := crossing("light, alkaline", "light, carbon")
	c.Curves[1].Y = c.Curves[0].Y
	panels, err := c.panels(c.paper())
	if err != nil {
		t.Fatal(err)
	}
	c.draw(vgimg.New(c.paper().X, c.paper().Y), panels)
	p := panels[0]
	if len(p.listed) != 2 || len(p.legend.rows) != 1 || p.head != "light" || p.legend.rows[0][1].name != "carbon" {
		t.Errorf("head %q, legend %v", p.head, p.legend.rows)
	}
}

// What all curves are stands above them once.
func TestHead(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		full  []string
		head  string
		names []string
	}{
		{[]string{"D1.A.amps"}, "D1.A.amps", []string{""}},
		{[]string{"light, 3 × R6", "light, 3 × FR6"}, "light", []string{"3 × R6", "3 × FR6"}},
		{[]string{"D1.A.amps", "D1.A.amps, on the way back"}, "", []string{"D1.A.amps", "D1.A.amps, on the way back"}},
	} {
		if head, names := headOf(tt.full); head != tt.head || !slices.Equal(names, tt.names) {
			t.Errorf("%q: %q over %q", tt.full, head, names)
		}
	}
}

// Curves are told apart by their dashes, too.
func TestDashesDiffer(t *testing.T) {
	t.Parallel()
	for i, a := range dashes {
		for _, b := range dashes[:i] {
			if slices.Equal(a, b) {
				t.Errorf("two curves are dashed %v", a)
			}
		}
	}
	panels, err := crossing("a", "b", "c", "d", "e", "f").panels(vg.Point{X: 450, Y: 230})
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range panels[0].curves {
		if !slices.Equal(c.look.Dashes, dashes[i]) {
			t.Errorf("curve %d is dashed %v", i, c.look.Dashes)
		}
	}
}

// The rows of a legend hold every name and are no wider than the chart.
func TestLegendRows(t *testing.T) {
	t.Parallel()
	said := []string{"alkaline", "", "carbon", "light, lithium", "light, hydride"}
	l := legend{width: 150}
	c := specimen(canvas.LightTheme())
	handler, err := plainText()
	if err != nil {
		t.Fatal(err)
	}
	c.style(&l.style, handler, 9, color.Black)
	for _, name := range said {
		l.add(entry{name: name})
	}
	names := 0
	for _, row := range l.rows {
		wide := -legendGap
		for _, e := range row {
			wide, names = wide+legendGap+l.wide(e), names+1
		}
		if wide > l.width {
			t.Errorf("a row is %v wide, the chart %v", wide, l.width)
		}
	}
	if names != len(said)-1 || len(l.rows) < 2 {
		t.Errorf("%d names in %d rows", names, len(l.rows))
	}
}

// The name of a band stands in its middle as it is seen.
func TestMiddleOfABand(t *testing.T) {
	t.Parallel()
	b := Band{From: 10, To: 1000}
	if even, log := (&Chart{}).middle(b), (&Chart{Log: true}).middle(b); even != 505 || math.Abs(log-100) > 1e-9 {
		t.Errorf("%g, and where ratios are lengths %g", even, log)
	}
}
