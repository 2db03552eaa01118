package ui

import (
	"strings"

	"copperglass/canvas/tool"
)

// foretells says what a gesture would do besides carrying things, or what the last
// keys have done.
func (s *surface) foretells(o tool.Overlay, t actions) string {
	switch {
	case o.Cover.Refuses():
		return s.refusalWords(o.Cover, t)
	case o.Stuck:
		return "no room for that here: it would join or cover something; drag it to free paper first"
	}
	var says []string
	if len(o.Nets) > 0 {
		says = append(says, "joins "+enumerate(o.Nets))
	}
	if c := coverWords(o.Cover, t); c != "" {
		says = append(says, c)
	}
	if len(o.Stops) > 0 {
		says = append(says, "the wire stops here: farther on it would run under "+enumerate(o.Stops))
	}
	if o.Aside > 0 {
		says = append(says, "laid "+plural(o.Aside, "step", "steps")+" aside, where it joins and covers nothing")
	}
	if len(says) > 0 && o.Done {
		says[len(says)-1] += " · " + t.named("undo").told() + " takes it back"
	}
	return strings.Join(says, "; ")
}

// refusalWords say why a part cannot be let go here and how to go on.
func (s *surface) refusalWords(c tool.Cover, t actions) string {
	dragging, _ := s.doc.editor.Dragging()
	switch why := refusal(c); {
	case !dragging:
		return "cannot be set down here: " + why + "; move on, or " + t.named("cancel").told() + " drops it"
	case c.Enters && !c.Hides:
		return why + ": let go here and it goes back; " + t.named("leave wires").told() + " puts it into this wire without its own"
	default:
		return why + ": let go here and it goes back"
	}
}

func refusal(c tool.Cover) string {
	if c.Hides {
		return enumerate(c.Parts) + " would be hidden"
	}
	return enumerate(c.Bridges) + " would be bridged by the wire under it"
}

// coverWords say what a cover is and how to go on, or nothing where there is none.
func coverWords(c tool.Cover, t actions) string {
	switch {
	case c.Empty():
		return ""
	case len(c.Parts) > 0:
		return "lies over " + enumerate(c.Parts) + " here; it can, but neither is easy to read"
	case c.Turns:
		return "lies across a wire; " + t.named("turn").told() + " turns it into the wire"
	case len(c.Over) > 0:
		return "a wire runs under " + enumerate(c.Over) + " here"
	}
	return "lies over a wire here that does not go into it"
}
