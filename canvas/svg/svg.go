// Package svg writes pictures as SVG 1.1 (W3C Recommendation, second edition,
// 2011).
package svg

import (
	"bufio"
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"

	"copperglass/canvas"
)

// Write writes a picture, with a margin in sheet units about what is drawn.
// A sheet unit is one CSS pixel. Items come in the order of the picture. Letters
// are outlines, so that the picture looks the same in every viewer, and can be
// selected as text.
func Write(w io.Writer, p *canvas.Picture, margin float64) error {
	b := &writer{Writer: bufio.NewWriter(w)}
	b.open(p, p.Frame(margin))
	for _, it := range p.Items {
		if !it.Bounds().Drawable() {
			continue
		}
		switch it := it.(type) {
		case *canvas.Path:
			b.path(it)
		case *canvas.Text:
			b.text(it)
		}
	}
	b.put("</g>\n</svg>\n")
	if err := b.Flush(); err != nil {
		return fmt.Errorf("SVG not written: %w", err)
	}
	return nil
}

// writer keeps the first error until it is flushed, as bufio.Writer does.
type writer struct {
	*bufio.Writer
	defined map[glyph]bool // whether each glyph that is needed has any ink
}

func (b *writer) put(parts ...string) {
	for _, s := range parts {
		b.WriteString(s)
	}
}

// attr writes an attribute whose value needs no escaping.
func (b *writer) attr(name, value string) { b.put(" ", name, `="`, value, `"`) }

func (b *writer) open(p *canvas.Picture, r canvas.Rect) {
	b.put(`<?xml version="1.0" encoding="UTF-8"?>`, "\n",
		`<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" version="1.1"`)
	b.attr("width", number(r.Width()))
	b.attr("height", number(r.Height()))
	b.attr("viewBox", strings.Join([]string{number(r.Min.X), number(r.Min.Y), number(r.Width()), number(r.Height())}, " "))
	b.put(">\n<title>", escape(p.Title), "</title>\n<desc>", escape(p.About), "</desc>\n")
	b.define(p)
	if p.Paper.A > 0 {
		b.path(&canvas.Path{Style: canvas.Style{Fill: p.Paper}, Segs: new(canvas.Path).Rectangle(r).Segs})
	}
	b.put(`<g font-family="'IBM Plex Sans', sans-serif" xml:space="preserve"`)
	b.attr("stroke-miterlimit", number(canvas.MitreLimit))
	b.put(">\n")
}

func shows(t *canvas.Text) bool { return t.Colour.A > 0 && t.Bounds().Drawable() }

func (b *writer) path(p *canvas.Path) {
	stroked := p.Stroke.A > 0 && p.Width > 0
	if p.Fill.A == 0 && !stroked {
		return
	}
	b.put(`<path d="`)
	for i, s := range p.Segs {
		if i == 0 && s.Op != canvas.Close {
			s.Op = canvas.Move
		}
		if i > 0 || s.Op != canvas.Close {
			b.seg(s)
		}
	}
	b.put(`"`)
	b.colour("fill", p.Fill)
	if stroked {
		b.stroke(&p.Style)
	}
	b.put("/>\n")
}

func (b *writer) seg(s canvas.Seg) {
	switch s.Op {
	case canvas.Move:
		b.put("M", pair(s.P))
	case canvas.Line:
		b.put("L", pair(s.P))
	case canvas.Cubic:
		b.put("C", pair(s.C1), " ", pair(s.C2), " ", pair(s.P))
	case canvas.Close:
		b.put("Z")
	}
}

func (b *writer) stroke(s *canvas.Style) {
	b.colour("stroke", s.Stroke)
	b.attr("stroke-width", number(s.Width))
	if s.Dashed() {
		lengths := make([]string, len(s.Dash))
		for i, d := range s.Dash {
			lengths[i] = number(d)
		}
		b.attr("stroke-dasharray", strings.Join(lengths, " "))
	}
	if s.Round {
		b.attr("stroke-linecap", "round")
		b.attr("stroke-linejoin", "round")
	}
}

// colour writes a paint and its opacity. Fill is black if it is not said.
func (b *writer) colour(name string, c color.NRGBA) {
	if c.A == 0 {
		b.attr(name, "none")
		return
	}
	b.attr(name, fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B))
	if c.A < 255 {
		b.attr(name+"-opacity", strconv.FormatFloat(math.Round(float64(c.A)/255*1000)/1000, 'f', -1, 64))
	}
}

// text writes a text as outlines with the text itself over them; or the text
// alone where the font lacks a rune of it, for another font to draw.
func (b *writer) text(t *canvas.Text) {
	lacks := lacksGlyph(t)
	switch {
	case !shows(t):
		return
	case !lacks:
		b.letters(t)
	}
	b.put("<text")
	b.attr("x", number(t.At.X))
	b.attr("y", number(t.At.Y))
	b.attr("font-size", number(t.Size))
	if t.Bold {
		b.attr("font-weight", "600")
	}
	switch t.Align {
	case canvas.Middle:
		b.attr("text-anchor", "middle")
	case canvas.End:
		b.attr("text-anchor", "end")
	}
	b.attr("textLength", number(canvas.TextWidth(t.String, t.Size, t.Bold)))
	if lacks {
		b.attr("lengthAdjust", "spacingAndGlyphs")
		b.colour("fill", t.Colour)
	} else {
		b.attr("fill-opacity", "0")
	}
	b.put(">", escape(t.String), "</text>\n")
}

// number writes a length to a hundredth of a sheet unit, as short as it goes.
func number(x float64) string {
	x = math.Round(x*100) / 100
	if x == 0 {
		x = 0 // not -0
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func pair(p canvas.Point) string { return number(p.X) + " " + number(p.Y) }

// escape makes a text safe as XML text: what XML 1.0 forbids is shown as in the
// other renderers, and what would be markup is escaped.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch r = canvas.Printable(r); r {
		case '<':
			b.WriteString("&lt;")
		case '>':
			b.WriteString("&gt;")
		case '&':
			b.WriteString("&amp;")
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
