package ui

import (
	"slices"
	"strings"

	"copperglass/model"
)

// findPart lists the parts; choosing one selects it and brings it into view.
func (w *Window) findPart() {
	d := w.doc.Shown()
	parts := slices.SortedFunc(slices.Values(d.Parts), func(a, b *model.Part) int { return model.NaturalCompare(a.Ref, b.Ref) })
	var all []found
	for _, p := range parts {
		all = append(all, w.foundPart(d, p))
	}
	w.find("Find a part", "name, kind, value, marking, note, …", "Show it", all)
}

// foundPart is a part as a line of the list.
func (w *Window) foundPart(d *model.Diagram, p *model.Part) found {
	f := found{
		title: strings.TrimSpace(p.Ref + "  " + shortValue(d, p)), detail: p.Note, end: kindTitle(p.Kind),
		words:  strings.Join([]string{p.Value, p.Marking, kindWords(p.Kind)}, " "),
		choose: func() { w.visit(openPoint{ref: p.Ref}) },
	}
	if !p.Placed {
		f.detail = strings.TrimSuffix("not on the sheet · "+p.Note, " · ")
	}
	return f
}

func hasAnyParts(w *Window) bool { return len(w.doc.Shown().Parts) > 0 }

// commandWords are other words by which people look for what can be done.
func commandWords(name string) string {
	switch name {
	case "left", "right", "up", "down":
		return "nudge shift move arrow"
	case "far left", "far right", "far up", "far down":
		return "nudge shift move arrow further"
	case "act too":
		return "add to selection extend multiple shift click"
	case "all":
		return "everything whole selection"
	case "select net":
		return "select all of the net node wires joined segment"
	case "select kind":
		return "select all of a kind same type alike"
	case "leave wires":
		return "leave wires behind detach pull off break"
	case "pick up":
		return "move carry drag nudge"
	case "wires":
		return "connect route line segment bend"
	case "zoom in", "zoom out":
		return "scale magnify wheel"
	case "fit":
		return "pan scroll centre whole see all"
	case "help":
		return "pan scroll move the sheet drag slide a wire segment mouse"
	case "turn", "turn back":
		return "rotate orientation"
	case "mirror":
		return "flip reflect"
	case "delete":
		return "remove erase"
	case "delete and join":
		return "remove heal close the gap"
	case "change kind":
		return "replace convert type swap"
	case "renumber":
		return "designators names order annotate"
	case "fields":
		return "edit properties"
	case "undo":
		return "back revert"
	case Light, Dark:
		return "colours appearance night"
	case "iec", "ieee":
		return "standard european american"
	case "export", "copy picture":
		return "image png svg print"
	case "save as":
		return "rename copy"
	}
	return ""
}
