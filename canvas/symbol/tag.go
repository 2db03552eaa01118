package symbol

import (
	"copperglass/canvas"
	"copperglass/model"
)

// A tag is a flag with its point at the pin and the net's name in it.
const (
	tagHalf   = 9.0 // half its height
	tagPoint  = 8.0 // length of its point
	tagMargin = 6.0 // between the name and the edge
	tagText   = 12.0
	tagWidest = 240.0 // room for a name
	tagNarrow = 12.0  // room kept for a name that is missing
)

func (catalogue) Tag() symbol { return symbol{draw: drawTag, fit: fitTag} }

func tagName(p *model.Part) string { return shorten(p.Value, tagText, tagWidest) }

// tagBox returns the flag without its point, in the part's own coordinates.
// The name stays level on the sheet, so the flag of an upright tag lies across
// its axis.
func tagBox(f frame, name string) canvas.Rect {
	width := max(canvas.TextWidth(name, tagText, false), tagNarrow) + 2*tagMargin
	if f.x.X != 0 {
		return box(tagPoint, -tagHalf, tagPoint+width, tagHalf)
	}
	return box(tagPoint, -width/2, tagPoint+2*tagHalf, width/2)
}

func fitTag(p *model.Part) canvas.Rect {
	f := frameOf(p)
	return f.rect(tagBox(f, tagName(p)).Include(canvas.Pt(0, 0)))
}

func drawTag(p *pen) {
	name := tagName(p.part)
	r := tagBox(p.frame, name)
	p.body(polyline(
		0, 0, r.Min.X, -tagHalf, r.Min.X, r.Min.Y, r.Max.X, r.Min.Y,
		r.Max.X, r.Max.Y, r.Min.X, r.Max.Y, r.Min.X, tagHalf,
	).Close())
	at := p.at(r.Center().X, 0).Add(canvas.Pt(0, canvas.CapHeight(tagText)/2))
	p.write(&canvas.Text{At: at, String: name, Size: tagText, Colour: p.letters(), Align: canvas.Middle})
}
