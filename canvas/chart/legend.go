package chart

import (
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"copperglass/canvas"
)

// Measures of a legend.
const (
	legendLine   = 12 * vg.Length(1) // height of a row
	legendSample = 20 * vg.Length(1)
	legendSpace  = 4 * vg.Length(1)  // from a sample to its name
	legendGap    = 12 * vg.Length(1) // between two entries
	legendHead   = 1 * vg.Length(1)  // above the first row
)

// legend names those of a panel's curves in rows below it that have no room for
// their names beside them.
type legend struct {
	style text.Style
	width vg.Length
	rows  [][]entry
	used  vg.Length // of the last row
}

// entry is a curve's line with its name.
type entry struct {
	name string
	look draw.LineStyle
}

func (l *legend) wide(e entry) vg.Length {
	return legendSample + legendSpace + l.style.Width(e.name)
}

// add puts an entry into the last row, or into a new one where it does not fit.
func (l *legend) add(e entry) {
	if e.name == "" {
		return
	}
	wide := l.wide(e)
	if last := len(l.rows) - 1; last >= 0 && l.used+legendGap+wide <= l.width {
		l.rows[last] = append(l.rows[last], e)
		l.used += legendGap + wide
		return
	}
	l.rows, l.used = append(l.rows, []entry{e}), wide
}

func (l *legend) height() vg.Length {
	if len(l.rows) == 0 {
		return 0
	}
	return legendHead + legendLine*vg.Length(len(l.rows))
}

// draw puts the rows at the foot of a canvas.
func (l *legend) draw(c draw.Canvas) {
	// Letters stand with the middle of their capitals at the line's height.
	foot := -rise(l.style) - vg.Length(canvas.CapHeight(float64(l.style.Font.Size)))/2
	y := c.Min.Y + l.height() - legendHead - legendLine/2
	for _, row := range l.rows {
		x := c.Min.X
		for _, e := range row {
			c.StrokeLine2(e.look, x, y, x+legendSample, y)
			style := l.style
			style.XAlign, style.YAlign = draw.XLeft, draw.YBottom
			c.FillText(style, vg.Point{X: x + legendSample + legendSpace, Y: y + foot}, e.name)
			x += l.wide(e) + legendGap
		}
		y -= legendLine
	}
}
