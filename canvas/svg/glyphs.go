package svg

import (
	"math"
	"strconv"

	"copperglass/assets"
	"copperglass/canvas"
)

// Letters are drawn as outlines, each glyph defined once: many viewers and
// editors know no embedded fonts, and with another font texts would run into
// each other. What is written lies over them, transparent, to be read, found
// and copied as text.

// glyph is a rune in one weight.
type glyph struct {
	r    rune
	bold bool
}

// id names a glyph. It is the same in every file, as the glyph is.
func (g glyph) id() string {
	weight := "r"
	if g.bold {
		weight = "b"
	}
	return weight + strconv.FormatInt(int64(g.r), 16)
}

// lacksGlyph reports whether a text has a rune that is not in the font.
func lacksGlyph(t *canvas.Text) bool {
	f := assets.Font(t.Bold)
	for _, r := range t.String {
		if f.Index(canvas.Printable(r)) == 0 {
			return true
		}
	}
	return false
}

// define writes the outlines that a picture's texts need, in the order of their
// first use, and notes them.
func (b *writer) define(p *canvas.Picture) {
	var out canvas.Outliner
	b.defined = map[glyph]bool{}
	b.put("<defs>\n")
	for _, it := range p.Items {
		t, ok := it.(*canvas.Text)
		if !ok || !shows(t) || lacksGlyph(t) {
			continue
		}
		for _, r := range t.String {
			g := glyph{canvas.Printable(r), t.Bold}
			if _, known := b.defined[g]; !known {
				b.defined[g] = b.outline(g, out.Outline(g.r, g.bold))
			}
		}
	}
	b.put("</defs>\n")
}

// outline defines a glyph, in font units, and reports whether it has any ink.
func (b *writer) outline(g glyph, segs []canvas.Seg) bool {
	if len(segs) == 0 {
		return false
	}
	b.put(`<path id="`, g.id(), `" d="`)
	at, from := [2]int{}, canvas.Point{}
	for _, s := range segs {
		switch to := whole(s.P); {
		case s.Op == canvas.Close:
			b.put("z")
			continue
		case s.Op == canvas.Move:
			b.steps("M", [2]int{}, s.P)
		case s.Op == canvas.Cubic: // the same as a quadratic curve, as the font has it
			b.steps("q", at, control(from, s.C1), s.P)
		case to == at:
		case to[1] == at[1]:
			b.put("h", strconv.Itoa(to[0]-at[0]))
		case to[0] == at[0]:
			b.put("v", strconv.Itoa(to[1]-at[1]))
		default:
			b.steps("l", at, s.P)
		}
		at, from = whole(s.P), s.P
	}
	b.put("\"/>\n")
	return true
}

// control returns the control point of the quadratic Bézier that a cubic one stands
// for. The cubic's first control point lies two thirds of the way from its beginning
// to it.
func control(from, first canvas.Point) canvas.Point {
	d := first.Sub(from)
	return from.Add(canvas.Pt(1.5*d.X, 1.5*d.Y))
}

// steps writes a path command with its points, rounded to whole font units and
// relative to from.
func (b *writer) steps(command string, from [2]int, points ...canvas.Point) {
	b.put(command)
	for i, p := range points {
		at := whole(p)
		for j, x := range [...]int{at[0] - from[0], at[1] - from[1]} {
			if i+j > 0 && x >= 0 {
				b.put(" ")
			}
			b.put(strconv.Itoa(x))
		}
	}
}

func whole(p canvas.Point) [2]int { return [2]int{int(math.Round(p.X)), int(math.Round(p.Y))} }

// letters draws a text by its glyphs, each at its unhinted advance.
func (b *writer) letters(t *canvas.Text) {
	em, at := canvas.Em(t.Bold), t.Left()
	b.put(`<g transform="translate(`, pair(at), `) scale(`, strconv.FormatFloat(math.Round(t.Size/em*1e6)/1e6, 'f', -1, 64), `)"`)
	b.colour("fill", t.Colour)
	b.put(">")
	x := 0.0
	for _, r := range t.String {
		g := glyph{canvas.Printable(r), t.Bold}
		if b.defined[g] {
			b.put(`<use xlink:href="#`, g.id(), `"`)
			if x != 0 {
				b.attr("x", number(x))
			}
			b.put("/>")
		}
		x += canvas.Advance(r, em, t.Bold)
	}
	b.put("</g>\n")
}
