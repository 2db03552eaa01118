package ui

import (
	"strings"

	"copperglass/canvas"
	"copperglass/canvas/tool"
)

// ahead says what letting go here would cover, how a wire that hangs goes on, or
// that the value of a new part can be typed, or is "".
func (s *surface) ahead(t actions) string {
	if c := s.doc.editor.Overlay().Cover; !c.Empty() {
		return s.coverWords(c, t)
	}
	if hangs, bent := s.doc.editor.HangingWire(); hangs {
		return wireWords(bent, t)
	}
	if ref := s.newest(); ref != "" {
		return s.newWords(ref, t)
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

// newWords say how a part that has just been set down gets its value: by typing,
// where values of its kind begin with a figure.
func (s *surface) newWords(ref string, t actions) string {
	fields := t.named("fields").told()
	if k := s.doc.Shown().Part(ref).LookupKind(); k != nil && k.Suggest != "" && isFigure(k.Suggest) {
		return ref + " · type its value, as " + k.Suggest + ", and Enter; " + fields + " for all its fields"
	}
	return ref + " · " + t.named("act").told() + " or " + fields + " goes to its value"
}

// coverWords say what a cover is and how to go on.
func (s *surface) coverWords(c tool.Cover, t actions) string {
	drop := t.named("cancel").told()
	dragging, _ := s.doc.editor.Dragging()
	switch {
	case c.Hides && dragging:
		return enumerate(c.Parts) + " would be hidden: let go here and it goes back"
	case c.Hides:
		return "cannot be set down here: " + enumerate(c.Parts) + " would be hidden; move on, or " + drop + " drops it"
	case len(c.Parts) > 0:
		return "lies over " + enumerate(c.Parts) + " here; it can, but neither is easy to read"
	case c.Turns:
		return "lies across a wire; " + t.named("turn").told() + " turns it into the wire"
	}
	return "lies over a wire here that does not go into it"
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

// newPart is a part that has just been set down: a figure that is typed next is
// of its value. Whatever else is done ends that.
type newPart struct {
	ref      string
	revision int
	nought   bool // whether a nought was typed, which does what it does otherwise until a figure follows
}

// noteNew remembers the part that has just been set down, if it is one that is
// more than a sign.
func (s *surface) noteNew() {
	s.new = newPart{}
	if refs := s.doc.selectedRefs(); len(refs) == 1 && s.doc.stacks(refs[0]) {
		s.new = newPart{ref: refs[0], revision: s.doc.history.Revision()}
	}
}

// newest returns the part that has just been set down and is selected, or "".
func (s *surface) newest() string {
	n, sel := s.new, s.doc.Selected()
	alone := sel.Parts[n.ref] && len(sel.Parts) == 1 && len(sel.Wires) == 0
	if !alone || n.revision != s.doc.history.Revision() || s.doc.editor.Busy() || s.doc.editor.DrawingWires() {
		return ""
	}
	return n.ref
}

// values takes what is typed for the value of the part that has just been set
// down: a figure begins it, and a nought only with what follows it.
func (s *surface) values(r rune) bool {
	begun := s.new.nought
	s.new.nought = false
	figure := r >= '0' && r <= '9'
	if begun && (figure || r == '.' || r == ',') {
		s.edit((*tool.Editor).Cancel) // what the nought hung on the pointer
		return s.newest() != "" && s.value('0', r)
	}
	if !figure || s.newest() == "" {
		return false
	}
	if r == '0' {
		s.new.nought = true
		return false
	}
	return s.value(r)
}
