package symbol

import (
	"strings"

	"copperglass/canvas"
	"copperglass/model"
)

// A note is plain text of several lines, shown up to a bound.
const (
	noteText    = 13.0
	noteLeading = 17.0 // from line to line
	noteWidest  = 1000.0
	noteLongest = 60  // lines
	noteHalf    = 9.0 // half the height of one line
)

func (catalogue) Note() symbol { return symbol{draw: drawNote, fit: fitNote} }

func noteLines(p *model.Part) []string {
	lines := strings.SplitN(p.Value, "\n", noteLongest+1)
	if len(lines) > noteLongest {
		lines[noteLongest] = "…"
	}
	for i, line := range lines {
		lines[i] = shorten(strings.TrimSuffix(line, "\r"), noteText, noteWidest)
	}
	return lines
}

// writeNote lays the note out: level, however the part is turned, with the
// middle of its first line's capitals beside the part's place.
func writeNote(p *model.Part) []*canvas.Text {
	at := canvas.OnGrid(p.At).Add(canvas.Pt(0, canvas.CapHeight(noteText)/2))
	var texts []*canvas.Text
	for i, line := range noteLines(p) {
		texts = append(texts, &canvas.Text{
			At: at.Add(canvas.Pt(0, float64(i)*noteLeading)), String: line, Size: noteText,
		})
	}
	return texts
}

// fitNote leaves an empty note room to be pointed at.
func fitNote(p *model.Part) canvas.Rect {
	at := canvas.OnGrid(p.At)
	r := canvas.Rect{Min: at.Add(canvas.Pt(0, -noteHalf)), Max: at.Add(canvas.Pt(canvas.Grid, noteHalf))}
	for _, t := range writeNote(p) {
		r = r.Union(t.Bounds())
	}
	return r
}

func drawNote(p *pen) {
	for _, t := range writeNote(p.part) {
		t.Colour = p.letters()
		p.write(t)
	}
}
