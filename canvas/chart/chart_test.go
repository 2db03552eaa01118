package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"io"
	"math"
	"testing"

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

// The names of curves are below the panel, where they cover none, in a narrow
// chart as in a wide one.
func TestLegendCoversNoCurve(t *testing.T) {
	t.Parallel()
	c := &Chart{Axis: "time", Unit: quantity.Hour, Theme: canvas.LightTheme()}
	for i, name := range []string{"alkaline", "light, lithium"} { // which cross from corner to corner
		c.Curves = append(c.Curves, Curve{Name: name, Unit: quantity.Ampere, X: []float64{0, 1}, Y: []float64{float64(i), float64(1 - i)}})
	}
	for _, pixels := range []image.Point{{300, 190}, {640, 400}} {
		img, err := c.Image(pixels, 1.2)
		if err != nil {
			t.Fatal(err)
		}
		lettered, drawn := 0, 0
		for y := range pixels.Y / 2 {
			for x := range pixels.X {
				switch color.NRGBAModel.Convert(img.At(x, y)) {
				case c.Theme.Ink:
					lettered++
				case c.Theme.Volts, c.Theme.Current:
					drawn++
				}
			}
		}
		if lettered > 0 || drawn == 0 {
			t.Errorf("%v: %d pixels of letters and %d of curves in the upper half", pixels, lettered, drawn)
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
