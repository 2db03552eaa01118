package scene

import (
	"math"

	"copperglass/canvas"
)

// The title block, in sheet units.
const (
	blockText = 12.0
	blockRow  = 22.0 // height of a row
	blockPad  = 8.0  // at the sides of a text
	blockMost = 60   // runes of each text
	blockEdge = 1.0  // width of its lines
)

// blockCell is a text of the title block with what it is.
type blockCell struct{ label, text string }

// writeBlock stands the title block below the drawing, at its left: the title
// in one row, who, date and revision in another. A drawing that says none of
// these three has no block.
func (b *builder) writeBlock() {
	block := b.d.Block
	var cells []blockCell
	for _, c := range []blockCell{{"", block.Who}, {"", block.Date}, {"rev.", block.Revision}} {
		if c.text != "" {
			cells = append(cells, blockCell{c.label, brief(c.text, blockMost)})
		}
	}
	if len(cells) == 0 {
		return
	}
	at := canvas.Pt(b.s.Bounds.Min.X, math.Round(b.s.Bounds.Max.Y+canvas.Grid))
	title := brief(b.d.Title, blockMost)
	width := canvas.TextWidth(title, blockText, true) + 2*blockPad
	if title == "" {
		width = 0
	}
	width = math.Ceil(math.Max(width, rowWidth(cells)))
	top := at
	if title != "" {
		b.blockFrame(canvas.Rect{Min: at, Max: at.Add(canvas.Pt(width, blockRow))})
		b.blockWrite(at, title, true)
		at.Y += blockRow
	}
	b.blockRow(at, width, cells)
	box := canvas.Rect{Min: top, Max: at.Add(canvas.Pt(width, blockRow))}
	b.outside.add(box)
	b.s.Bounds = b.s.Bounds.Union(box.Inset(-blockEdge))
}

// blockRow writes cells side by side over the width; the last takes what is
// left.
func (b *builder) blockRow(at canvas.Point, width float64, cells []blockCell) {
	end := at.X + width
	for i, c := range cells {
		w := c.width()
		if i == len(cells)-1 {
			w = end - at.X
		}
		b.blockFrame(canvas.Rect{Min: at, Max: at.Add(canvas.Pt(w, blockRow))})
		b.blockWrite(at, c.String(), false)
		at.X += w
	}
}

func (b *builder) blockFrame(r canvas.Rect) {
	b.add((&canvas.Path{Style: canvas.Style{Stroke: b.t.Quiet, Width: blockEdge}}).Rectangle(r))
}

func (b *builder) blockWrite(at canvas.Point, text string, bold bool) {
	base := at.Add(canvas.Pt(blockPad, (blockRow+canvas.CapHeight(blockText))/2))
	b.add(&canvas.Text{At: base, String: text, Size: blockText, Bold: bold, Colour: b.t.Ink})
}

func (c blockCell) String() string {
	if c.label == "" {
		return c.text
	}
	return c.label + " " + c.text
}

func (c blockCell) width() float64 {
	return math.Ceil(canvas.TextWidth(c.String(), blockText, false)) + 2*blockPad
}

func rowWidth(cells []blockCell) float64 {
	sum := 0.0
	for _, c := range cells {
		sum += c.width()
	}
	return sum
}
