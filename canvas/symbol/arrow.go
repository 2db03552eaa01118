package symbol

import (
	"math"
	"strings"

	"copperglass/canvas"
	"copperglass/model"
)

// An arrow's tip is at its part's place; its words stand beyond its tail.
const (
	arrowHead = 9.0 // length of the head
	arrowWide = 7.0 // width of the head
	arrowGap  = 5.0 // from the tail to the words
)

func (catalogue) Arrow() symbol { return symbol{draw: drawArrow, fit: fitArrow} }

// arrowTail is the tail in the part's own coordinates.
func arrowTail(p *model.Part) canvas.Point {
	x, y := model.ArrowTail(p)
	return canvas.Pt(x*canvas.Grid, y*canvas.Grid)
}

// writeArrow lays the words out, level, on the side of the tail that is away
// from the tip.
func writeArrow(p *model.Part, f frame) *canvas.Text {
	tail := arrowTail(p)
	at, tip := f.at(tail.X, tail.Y), f.at(0, 0)
	line, _, _ := strings.Cut(p.Value, "\n")
	t := &canvas.Text{String: shorten(line, noteText, noteWidest), Size: noteText}
	dx, dy := at.X-tip.X, at.Y-tip.Y
	switch lift := canvas.CapHeight(noteText) / 2; {
	case math.Abs(dx) >= math.Abs(dy) && dx < 0:
		t.At, t.Align = at.Add(canvas.Pt(-arrowGap, lift)), canvas.End
	case math.Abs(dx) >= math.Abs(dy):
		t.At, t.Align = at.Add(canvas.Pt(arrowGap, lift)), canvas.Start
	case dy < 0:
		t.At, t.Align = at.Add(canvas.Pt(0, -arrowGap)), canvas.Middle
	default:
		t.At, t.Align = at.Add(canvas.Pt(0, arrowGap+2*lift)), canvas.Middle
	}
	return t
}

func fitArrow(p *model.Part) canvas.Rect {
	f, tail := frameOf(p), arrowTail(p)
	r := canvas.EmptyRect().Include(canvas.Pt(0, 0)).Include(tail).Inset(-arrowWide / 2)
	r = f.rect(r)
	if t := writeArrow(p, f); t.String != "" {
		r = r.Union(t.Bounds())
	}
	return r
}

func drawArrow(p *pen) {
	tail := arrowTail(p.part)
	length := math.Hypot(tail.X, tail.Y)
	if length > arrowHead {
		k := (arrowHead - 1) / length // the line ends inside the head
		p.solid(polyline(tail.X, tail.Y, tail.X*k, tail.Y*k), fine)
	}
	p.head(0, 0, math.Atan2(-tail.Y, -tail.X), arrowHead, arrowWide)
	t := writeArrow(p.part, p.frame)
	t.Colour = p.letters()
	p.write(t)
}
