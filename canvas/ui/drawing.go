package ui

import (
	"slices"

	"fyne.io/fyne/v2"

	"copperglass/canvas/tool"
	"copperglass/model"
)

// arrangeGroup is the menu of what is done to several parts at once.
const arrangeGroup = "Arrange"

// arrangeActions bring what is drawn into order.
func arrangeActions() actions {
	list := actions{
		{name: "select net", title: "Select the whole net", group: arrangeGroup, keys: []stroke{sign('A')}, do: byHand((*tool.Editor).SelectNet),
			when: func(w *Window) bool { return len(w.doc.Selected().Wires) > 0 },
			help: "Selects all wires that are joined to those selected, with the grounds and tags on them."},
		{name: "select kind", title: "Select all of the kind", group: arrangeGroup, keys: []stroke{controlShift(fyne.KeyA)}, do: byHand((*tool.Editor).SelectKind),
			when: hasParts, help: "Selects all parts of the kinds that are selected."},
		{name: "delete and join", title: "Delete and join", group: arrangeGroup, ruled: true, keys: []stroke{sign('J')}, do: byHand((*tool.Editor).DeleteAndJoin),
			when: func(w *Window) bool { return w.doc.editor.CanHeal() },
			help: "Takes away what is selected, and joins what a part of two pins lay between."},
		{name: "change kind", title: "Make it another kind…", group: arrangeGroup, keys: []stroke{sign('I')}, do: (*Window).chooseKind, when: hasRealParts,
			help: "The selected parts become parts of another kind, where they are and joined as they are; type to find it."},
		{name: "leave wires", title: "Drag without the wires", group: arrangeGroup, keys: []stroke{sign('V')}, do: byHand((*tool.Editor).LeaveWires),
			when: func(w *Window) bool { dragging, _ := w.doc.editor.Dragging(); return dragging },
			on:   func(w *Window) bool { _, loose := w.doc.editor.Dragging(); return loose },
			help: "While something is dragged: its wires stay behind, and what comes apart is marked; the same key takes them along again."},
		{name: "renumber", title: "Renumber by place", group: arrangeGroup, do: byHand((*tool.Editor).Renumber),
			when: func(w *Window) bool { return len(w.doc.Shown().Parts) > 0 },
			help: "Numbers all parts row by row, from left to right. Names given by hand stay, and modes and notes follow."},
	}
	for i, a := range []struct {
		way         tool.Alignment
		title, help string
	}{
		{tool.AlignLeft, "Align left edges", "Their left edges come into one line; wires follow."},
		{tool.AlignRight, "Align right edges", "Their right edges come into one line; wires follow."},
		{tool.AlignTop, "Align top edges", "Their top edges come into one line; wires follow."},
		{tool.AlignBottom, "Align bottom edges", "Their bottom edges come into one line; wires follow."},
		{tool.AlignInColumn, "Align in a column", "Their middles come one below the other; wires follow."},
		{tool.AlignInRow, "Align in a row", "Their middles come side by side; wires follow."},
		{tool.SpreadAcross, "Spread evenly across", "Equal distances from left to right, with the outermost where they are."},
		{tool.SpreadDown, "Spread evenly down", "Equal distances from top to bottom, with the outermost where they are."},
	} {
		list = append(list, action{name: a.title, title: a.title, group: arrangeGroup, ruled: i == 0 || a.way == tool.SpreadAcross,
			do: byHand(func(e *tool.Editor) { e.Align(a.way) }), when: hasSeveralParts, help: a.help})
	}
	return list
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

// chooseKind asks which kind the selected parts are to become.
func (w *Window) chooseKind() {
	var list []found
	for _, k := range model.Kinds() {
		if k.Sign {
			continue
		}
		list = append(list, found{title: k.Title, detail: k.About, choose: func() {
			w.surface.edit(func(e *tool.Editor) { e.ChangeKind(k) })
			w.toSheet()
		}})
	}
	w.find("Make it another kind", "a kind of part", "Change", list)
}
