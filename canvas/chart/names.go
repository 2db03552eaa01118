package chart

import (
	"math"
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"copperglass/canvas"
)

// Measures of what names curves.
const (
	headSize = 9.0 * vg.Length(1) // letters of a panel's head
	headLine = 17 * vg.Length(1)  // its height with the room below it
	nameGap  = 3 * vg.Length(1)   // from a curve to its name
	nameFree = 4 * vg.Length(1)   // from a name to others, and how much nearer it is to its own curve than to another
	farApart = 30 * vg.Length(1)  // from a name to another curve, more of which is no better
)

// curve is a curve of a panel with how it is drawn, and its name beside others.
type curve struct {
	Curve
	name string
	look draw.LineStyle
}

// headOf splits the names of a panel's curves at their first comma into the head
// that all share, which is written above the panel, and what distinguishes each. The
// head is empty where they do not share one.
func headOf(full []string) (head string, names []string) {
	if len(full) == 1 {
		return full[0], []string{""}
	}
	for i, name := range full {
		first, rest, ok := strings.Cut(name, ", ")
		if !ok || i > 0 && first != head {
			return "", full
		}
		head, names = first, append(names, rest)
	}
	return head, names
}

// label is a curve's name where it stands beside the curve.
type label struct {
	curve *curve
	box   vg.Rectangle
}

// naming places the names of curves in a panel's data area.
type naming struct {
	area   vg.Rectangle
	lines  [][]vg.Point // of the curves, on the area
	marks  []vg.Length  // that upright lines stand at
	zero   vg.Length    // where a line is at nothing, or far below
	labels []label
}

// besideCurves finds places for the names of the panel's curves and returns those
// that find none. A name stands close to its curve, touches none, and is clearly
// further from any other.
func (p *panel) besideCurves(da draw.Canvas, marks []Mark, words vg.Length) (named []label, left []*curve) {
	x, y := p.plot.Transforms(&da)
	n := naming{area: da.Rectangle, zero: vg.Length(math.Inf(-1))}
	if p.plot.Y.Min < 0 && 0 < p.plot.Y.Max {
		n.zero = y(0)
	}
	n.area.Max.Y -= words
	for _, c := range p.curves {
		var line []vg.Point
		for i := range c.X {
			line = append(line, vg.Point{X: x(c.X[i]), Y: y(c.Y[i])})
		}
		n.lines = append(n.lines, line)
	}
	for _, m := range marks {
		n.marks = append(n.marks, x(m.At))
	}
	for i, c := range p.curves {
		if c.name != "" && !p.listed[c] && !n.place(i, c, p.legend.style) {
			left = append(left, c)
		}
	}
	return n.labels, left
}

// place finds the best place for the name of one curve, if there is any.
func (n *naming) place(i int, c *curve, style text.Style) bool {
	const steps = 40
	size := vg.Point{X: style.Width(c.name), Y: vg.Length(canvas.CapHeight(float64(style.Font.Size)))}
	best, at := math.Inf(-1), vg.Rectangle{}
	if box, ok := n.atEnd(i, size); ok {
		best, at = n.worth(i, box, 0), box
	}
	for k := range steps {
		x := n.area.Max.X - size.X/2 - vg.Length(k)*(n.area.Max.X-n.area.Min.X-size.X)/(steps-1)
		for _, up := range []bool{true, false} {
			box, ok := n.beside(i, x, size, up)
			if !ok {
				continue
			}
			middle := (box.Min.X + box.Max.X) / 2
			if worth := n.worth(i, box, gap(n.lines[i], middle, middle, box)) - 0.2*float64(k); worth > best {
				best, at = worth, box
			}
		}
	}
	if math.IsInf(best, -1) {
		return false
	}
	n.labels = append(n.labels, label{c, at})
	return true
}

// beside returns the box of a name close above or below curve i, with its middle
// at x. It is not ok where there is no curve.
func (n *naming) beside(i int, x vg.Length, size vg.Point, up bool) (box vg.Rectangle, ok bool) {
	low, high := span(n.lines[i], x-size.X/2, x+size.X/2)
	if low > high {
		return box, false
	}
	box = vg.Rectangle{Min: vg.Point{X: x - size.X/2, Y: high + nameGap}}
	if !up {
		box.Min.Y = low - nameGap - size.Y
	}
	box.Max = box.Min.Add(size)
	return box, true
}

// span returns the lowest and highest point of a line between two places of the
// axis; low is above high where the line has no point there.
func span(line []vg.Point, from, to vg.Length) (low, high vg.Length) {
	low, high = vg.Length(math.Inf(1)), vg.Length(math.Inf(-1))
	for k := 1; k < len(line); k++ {
		a, b := line[k-1], line[k]
		if a.X > b.X {
			a, b = b, a
		}
		if b.X < from || a.X > to || math.IsNaN(float64(a.Y)) || math.IsNaN(float64(b.Y)) {
			continue
		}
		for _, x := range [2]vg.Length{max(from, a.X), min(to, b.X)} {
			y := a.Y
			if b.X > a.X {
				y += (b.Y - a.Y) * (x - a.X) / (b.X - a.X)
			}
			low, high = min(low, y), max(high, y)
		}
	}
	return low, high
}

// atEnd returns the box of a name right of where curve i ends.
func (n *naming) atEnd(i int, size vg.Point) (box vg.Rectangle, ok bool) {
	line := n.lines[i]
	if len(line) == 0 || math.IsNaN(float64(line[len(line)-1].Y)) {
		return box, false
	}
	end := line[len(line)-1]
	box.Min = vg.Point{X: end.X + nameGap, Y: max(end.Y-size.Y/2, n.area.Min.Y)}
	box.Max = box.Min.Add(size)
	return box, true
}

// worth rates box as a place for the name of curve i that is own away from that
// curve: the distance to the nearest other curve less own, and minus infinity where
// a name must not be.
func (n *naming) worth(i int, box vg.Rectangle, own vg.Length) float64 {
	never := math.Inf(-1)
	if box.Min.X < n.area.Min.X || box.Max.X > n.area.Max.X || box.Min.Y < n.area.Min.Y || box.Max.Y > n.area.Max.Y {
		return never
	}
	for _, m := range n.marks {
		if box.Min.X-nameGap < m && m < box.Max.X+nameGap {
			return never
		}
	}
	if box.Min.Y-nameGap < n.zero && n.zero < box.Max.Y+nameGap {
		return never
	}
	for _, o := range n.labels {
		if box.Min.X-nameFree < o.box.Max.X && o.box.Min.X-nameFree < box.Max.X && box.Min.Y-nameFree < o.box.Max.Y && o.box.Min.Y-nameFree < box.Max.Y {
			return never
		}
	}
	others := farApart
	for k, line := range n.lines {
		if k != i {
			others = min(others, gap(line, box.Min.X, box.Max.X, box))
		}
	}
	if others < own+nameFree {
		return never
	}
	return float64(others - own)
}

// gap is the vertical distance from a box to a line between two places of the axis;
// zero where the line crosses it.
func gap(line []vg.Point, from, to vg.Length, box vg.Rectangle) vg.Length {
	low, high := span(line, from, to)
	return max(0, low-box.Max.Y, box.Min.Y-high)
}

// write draws the names beside their curves, in their colours.
func (p *panel) write(c draw.Canvas, named []label) {
	for _, l := range named {
		style := p.legend.style
		style.Color, style.XAlign, style.YAlign = l.curve.look.Color, draw.XLeft, draw.YBottom
		c.FillText(style, vg.Point{X: l.box.Min.X, Y: l.box.Min.Y - rise(style)}, l.curve.name)
	}
}

// rise is how far above the place of a text that is aligned to its bottom its
// letters stand.
func rise(style text.Style) vg.Length { return style.Font.Size - style.FontExtents().Ascent }
