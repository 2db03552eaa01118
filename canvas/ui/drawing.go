package ui

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"

	"copperglass/canvas/tool"
)

// arrangeGroup is the menu of what is done to several parts at once.
const arrangeGroup = "Arrange"

// arrangeActions bring what is drawn into order.
func arrangeActions() actions {
	list := actions{
		{name: "select net", title: "Select the whole net", group: arrangeGroup, keys: []stroke{sign('A')}, do: byHand((*tool.Editor).SelectNet),
			when:  func(w *Window) bool { return len(w.doc.Selected().Wires) > 0 },
			needs: "to take a whole net, select one of its wires first",
			help:  "Selects all wires that are joined to those selected, with the grounds and tags on them."},
		{name: "select kind", title: "Select all of the kind", group: arrangeGroup, keys: []stroke{controlShift(fyne.KeyA)}, do: byHand((*tool.Editor).SelectKind),
			when: hasParts, help: "Selects all parts of the kinds that are selected."},
		{name: "delete and join", title: "Delete and join", group: arrangeGroup, ruled: true, keys: []stroke{sign('J')}, rests: true, do: (*Window).deleteAndJoin,
			when:  func(w *Window) bool { return w.doc.editor.CanHeal() },
			needs: "to delete and join, select a part of two pins that lies between wires; " + key(fyne.KeyDelete).String() + " takes any part away",
			help:  "Takes away what is selected, and joins what a part of two pins lay between; plain deleting leaves a gap there."},
		{name: "change kind", title: "Make it another kind…", group: arrangeGroup, keys: []stroke{sign('I')}, rests: true, do: (*Window).chooseKind, when: hasRealParts,
			help: "The selected parts become parts of another kind, where they are and joined as they are; type to find it."},
		{name: "leave wires", title: "Drag without the wires", group: arrangeGroup, keys: []stroke{sign('V')}, do: byHand((*tool.Editor).LeaveWires),
			when: func(w *Window) bool { dragging, _ := w.doc.editor.Dragging(); return dragging },
			on:   func(w *Window) bool { _, loose := w.doc.editor.Dragging(); return loose },
			help: "While something is dragged: its wires stay behind, and what comes apart is marked; the same key takes them along again."},
		{name: "renumber", title: "Renumber by place", group: arrangeGroup, keys: []stroke{control(fyne.KeyR)}, rests: true, do: byHand((*tool.Editor).Renumber),
			when: func(w *Window) bool { return len(w.doc.Shown().Parts) > 0 },
			help: "Numbers all parts row by row, from left to right. Names given by hand stay, and modes and notes follow."},
	}
	for i, a := range alignments() {
		list = append(list, action{name: a.title, title: a.title, group: arrangeGroup, ruled: i == 0 || a.way == tool.SpreadAcross,
			keys: []stroke{controlShift(a.key)}, rests: true, do: func(w *Window) { w.align(a.way) }, when: hasSeveralParts, help: a.help})
	}
	return list
}

// alignment is a way to bring several parts into line.
type alignment struct {
	way         tool.Alignment
	title, help string
	key         fyne.KeyName // with Ctrl and Shift
}

// alignments are all the ways.
func alignments() []alignment {
	return []alignment{
		{tool.AlignLeft, "Align left edges", "Their left edges come into one line; wires follow.", fyne.KeyLeft},
		{tool.AlignRight, "Align right edges", "Their right edges come into one line; wires follow.", fyne.KeyRight},
		{tool.AlignTop, "Align top edges", "Their top edges come into one line; wires follow.", fyne.KeyUp},
		{tool.AlignBottom, "Align bottom edges", "Their bottom edges come into one line; wires follow.", fyne.KeyDown},
		{tool.AlignInColumn, "Align in a column", "Their middles come one below the other; wires follow.", fyne.KeyJ},
		{tool.AlignInRow, "Align in a row", "Their middles come side by side; wires follow.", fyne.KeyR},
		{tool.SpreadAcross, "Spread evenly across", "Equal distances from left to right, with the outermost where they are.", fyne.KeyH},
		{tool.SpreadDown, "Spread evenly down", "Equal distances from top to bottom, with the outermost where they are.", fyne.KeyV},
	}
}

// deleteSelected takes away what is selected and tells of the gaps it leaves.
func (w *Window) deleteSelected() {
	between := w.doc.editor.Between()
	w.surface.edit((*tool.Editor).Delete)
	if len(between) > 0 {
		w.bar.report(fmt.Sprintf("%s gone, with a gap left there; %s instead of %s joins what lay on both sides", isGone(between), w.keyOf("delete and join"), w.keyOf("delete")))
	}
}

// deleteAndJoin takes away what is selected and tells what it joined.
func (w *Window) deleteAndJoin() {
	between := w.doc.editor.Between()
	w.surface.edit((*tool.Editor).DeleteAndJoin)
	if len(between) > 0 {
		w.bar.report(isGone(between) + " gone, and what lay on both sides is joined")
	}
}

func isGone(refs []string) string {
	if len(refs) == 1 {
		return refs[0] + " is"
	}
	return enumerate(refs) + " are"
}

func (w *Window) keyOf(name string) string { return w.menu.table.named(name).told() }

// align brings what is selected into line and tells what had no room there.
func (w *Window) align(way tool.Alignment) {
	var stayed []string
	w.surface.edit(func(e *tool.Editor) { stayed = e.Align(way) })
	if words := stayedWords(stayed); words != "" {
		w.bar.report(words)
	}
}

// stayedWords say which parts could not be aligned, or nothing.
func stayedWords(refs []string) string {
	switch len(refs) {
	case 0:
		return ""
	case 1:
		return refs[0] + " stayed: in line it would join or hide something"
	}
	return enumerate(refs) + " stayed: in line they would join or hide something"
}

func hasParts(w *Window) bool { return len(w.doc.Selected().Parts) > 0 }

func hasSeveralParts(w *Window) bool { return len(w.doc.Selected().Parts) > 1 }

// hasRealParts reports whether a part of the circuit is selected, not only signs.
func hasRealParts(w *Window) bool {
	return slices.ContainsFunc(w.doc.selectedRefs(), func(ref string) bool {
		p := w.doc.Shown().Part(ref)
		return p != nil && (p.LookupKind() == nil || !p.LookupKind().Sign)
	})
}

// stacks reports whether a part is one of which several may lie in parallel.
func (doc *Document) stacks(ref string) bool {
	p := doc.Diagram().Part(ref)
	return p != nil && p.LookupKind() != nil && p.LookupKind().Equation != nil
}
