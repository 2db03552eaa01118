package ui

import (
	"strings"

	"copperglass/canvas"
	"copperglass/canvas/tool"
)

// ahead says what letting go here would join and cover, or what was joined and
// covered by keys, or how a wire that hangs goes on, or is "".
func (s *surface) ahead(t actions) string {
	if says := s.foretells(s.doc.editor.Overlay(), t); says != "" {
		return says
	}
	if hangs, bent := s.doc.editor.HangingWire(); hangs {
		return wireWords(bent, t)
	}
	return s.chosenWords(t)
}

// chosenWords say what the keys do with what they have just selected, where that
// is a wire or the end of an arrow, or nothing.
func (s *surface) chosenWords(t actions) string {
	sel, e := s.doc.Selected(), s.doc.editor
	switch {
	case !s.cursor.shown || e.Busy() || e.DrawingWires():
		return ""
	case e.HandleAt(s.here()) >= 0:
		return "the end of an arrow · " + t.named("act").told() + " takes it into the hand; the arrow keys move the whole arrow"
	case len(sel.Wires) != 1 || len(sel.Parts) > 0:
		return ""
	}
	return "a wire is selected · the arrow keys move it, " + t.named("undo").told() + " takes that back; " +
		t.named("cancel").told() + " gives them back to the cursor"
}

// wireWords say how a wire that hangs on the pointer or the cursor goes on.
func wireWords(bent bool, t actions) string {
	drop := " drops it"
	if bent {
		drop = " keeps it to its last corner"
	}
	return "a wire · click or " + t.named("act").told() + " bends it on bare paper, twice ends it, and joins it to what it meets; " +
		t.named("cancel").told() + drop
}

// enumerate is "R1, R2 and R3"; of many, the first and how many more.
func enumerate(names []string) string {
	const most = 4
	if n := len(names); n > most {
		return strings.Join(names[:most-1], ", ") + " and " + plural(n-most+1, "part more", "parts more")
	}
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// covered marks what would lie under what is carried: parts and wires in a calm
// wash, with a line around it where it would be hidden.
func (s *surface) covered(c tool.Cover) []canvas.Item {
	style := canvas.Style{Fill: withAlpha(s.look.Flag, coverAlpha)}
	if c.Hides {
		style.Stroke, style.Width = s.look.Flag, 2/s.view.Scale
	}
	var items []canvas.Item
	for _, ink := range c.Ink {
		items = append(items, (&canvas.Path{Style: style}).RoundRect(ink.Inset(-hangingRoom), 6))
	}
	return items
}

// coverAlpha is how strong the wash over what would be covered is.
const coverAlpha = 0x40

// values takes a figure for the value of the one part that is selected. A nought
// alone is a key.
func (s *surface) values(r rune) bool {
	e, sel := s.doc.editor, s.doc.Selected()
	if r < '1' || r > '9' || len(sel.Parts) != 1 || len(sel.Wires) > 0 || e.Busy() || e.DrawingWires() {
		return false
	}
	return s.value(r)
}
