package ui

import (
	"fmt"
	"slices"
	"strconv"

	"fyne.io/fyne/v2"

	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
)

// The groups of actions, which are the menus but for the last.
const (
	fileGroup  = "File"
	editGroup  = "Edit"
	placeGroup = "Place"
	modeGroup  = "Modes"
	viewGroup  = "View"
	helpGroup  = "Help"
	sheetGroup = "Sheet"
)

// menuGroups are the menus in their order.
func menuGroups() []string {
	return []string{fileGroup, editGroup, arrangeGroup, placeGroup, modeGroup, viewGroup, helpGroup}
}

// allActions is the table of all that can be done.
func allActions() actions {
	return slices.Concat(fileActions(), editActions(), arrangeActions(), placeActions(), modeActions(), viewActions(), helpActions(), sheetActions(), askActions())
}

func fileActions() actions {
	return actions{
		{name: "new", title: "New", group: fileGroup, keys: []stroke{control(fyne.KeyN)}, do: (*Window).New,
			help: "An empty sheet in the place of this drawing."},
		{name: "new window", title: "New window", group: fileGroup, keys: []stroke{controlShift(fyne.KeyN)}, do: func(w *Window) { w.NewWindow() },
			help: "An empty sheet in a window of its own."},
		{name: "open", title: "Open…", group: fileGroup, keys: []stroke{control(fyne.KeyO)}, do: (*Window).Open,
			help: "A drawing from a file."},
		{name: "save", title: "Save", group: fileGroup, ruled: true, keys: []stroke{control(fyne.KeyS)}, do: (*Window).Save,
			help: "Writes the drawing to its file."},
		{name: "save as", title: "Save as…", group: fileGroup, keys: []stroke{controlShift(fyne.KeyS)}, do: (*Window).SaveAs,
			help: "Writes the drawing to another file."},
		{name: "block", title: "Title block…", group: fileGroup, keys: []stroke{sign('B')}, rests: true, do: (*Window).editBlock,
			help: "What the drawing is called, who drew it, when, and which revision it is; shown below it, in pictures too."},
		{name: "export", title: "Export a picture…", group: fileGroup, keys: []stroke{control(fyne.KeyE)}, do: (*Window).Export,
			help: "The drawing with its figures as PNG or SVG."},
		{name: "copy picture", title: "Copy the picture", group: fileGroup, keys: []stroke{controlShift(fyne.KeyC)}, do: (*Window).CopyPicture,
			help: "Puts the drawing with its figures on the clipboard as a picture, or into a file where the clipboard takes none."},
		{name: "close", title: "Close the window", group: fileGroup, ruled: true, keys: []stroke{control(fyne.KeyW)}, do: (*Window).close,
			help: "Closes this window; what is not saved is asked about."},
		{name: quitName, title: "Quit", group: fileGroup, keys: []stroke{control(fyne.KeyQ)}, do: func(w *Window) { w.program.quit() },
			help: "Closes all windows; what is not saved is asked about."},
	}
}

// quitName is the action that some systems have in a place of its own.
const quitName = "quit"

func editActions() actions {
	return actions{
		{name: "undo", title: "Undo", group: editGroup, keys: []stroke{control(fyne.KeyZ)}, do: func(w *Window) { w.doc.Undo() },
			help:   "Takes the last change back.",
			when:   func(w *Window) bool { return w.doc.CanUndo() != "" },
			titled: func(w *Window) string { return join("Undo", w.doc.CanUndo()) }},
		{name: "redo", title: "Redo", group: editGroup, keys: []stroke{control(fyne.KeyY), controlShift(fyne.KeyZ)}, do: func(w *Window) { w.doc.Redo() },
			help:   "Does again what was taken back.",
			when:   func(w *Window) bool { return w.doc.CanRedo() != "" },
			titled: func(w *Window) string { return join("Redo", w.doc.CanRedo()) }},
		{name: "cut", title: "Cut", group: editGroup, ruled: true, keys: []stroke{control(fyne.KeyX)}, rests: true, do: (*Window).cut, when: hasSelection,
			help: "Takes away what is selected and keeps it on the clipboard."},
		{name: "copy", title: "Copy", group: editGroup, keys: []stroke{control(fyne.KeyC)}, do: (*Window).copy, when: hasSelection,
			help: "Keeps what is selected on the clipboard, for any drawing."},
		{name: "paste", title: "Paste", group: editGroup, keys: []stroke{control(fyne.KeyV)}, do: (*Window).paste,
			help: "Puts what is on the clipboard under the pointer."},
		{name: "all", title: "Select all", group: editGroup, keys: []stroke{control(fyne.KeyA)}, do: byHand((*tool.Editor).SelectAll),
			help: "Selects all that stands on the sheet."},
		{name: "find", title: "Find a part…", group: editGroup, keys: []stroke{control(fyne.KeyF)}, do: (*Window).findPart, when: hasAnyParts,
			help: "Lists the parts by name, kind and value; type to find one, Enter selects it and brings it into view."},
		{name: "duplicate", title: "Duplicate", group: editGroup, keys: []stroke{control(fyne.KeyD)}, rests: true, do: byHand((*tool.Editor).Duplicate), when: hasSelection,
			help: "A copy of what is selected, beside it."},
		{name: "delete", title: "Delete", group: editGroup, keys: []stroke{key(fyne.KeyDelete), key(fyne.KeyBackspace)}, rests: true, do: (*Window).deleteSelected, when: hasSelection,
			help: "Takes away what is selected. Where a part lay between two wires a gap stays; deleting and joining closes it."},
		{name: "turn", title: "Turn", group: editGroup, ruled: true, keys: []stroke{sign('.')}, do: byHand((*tool.Editor).Turn), when: canTurn,
			help: "A quarter turn clockwise."},
		{name: "turn back", title: "Turn back", group: editGroup, keys: []stroke{sign(',')}, do: byHand((*tool.Editor).TurnBack), when: canTurn,
			help: "A quarter turn counter-clockwise."},
		{name: "mirror", title: "Mirror", group: editGroup, keys: []stroke{sign('/')}, do: byHand((*tool.Editor).Mirror), when: canTurn,
			help: "Exchanges left and right."},
		{name: "pick up", title: "Pick up or put down", group: editGroup, keys: []stroke{sign('H')}, do: func(w *Window) { w.surface.pickUp() }, when: canHold,
			help: "Takes what is selected into the hand: the arrow keys carry it, the same key or Enter puts it down, Escape puts it back."},
		{name: "wires", title: "Draw wires", group: editGroup, ruled: true, keys: []stroke{sign('W')}, do: drawWires,
			help: "Every click, and Enter, begins, bends or ends a wire until Escape.",
			on:   func(w *Window) bool { return w.doc.editor.DrawingWires() }},
		{name: "fields", title: "Value and fields", group: editGroup, keys: []stroke{key(fyne.KeyF2)}, rests: true, do: (*Window).toFields, when: hasSelection,
			help: "Goes to the fields of what is selected, the value first; Enter there keeps what was typed, Escape takes it back."},
		{name: "look up", title: "Look up typical data…", group: editGroup, keys: []stroke{sign('K')}, rests: true, do: func(w *Window) { w.inspector.page.value.lookUp() }, when: canLookUp,
			help: "What the catalogue knows of such parts: types, colours, sizes; type to find."},
		{name: "throw", title: "Throw the switch", group: editGroup, keys: []stroke{sign('T')}, rests: true, do: throwSelected, when: canThrow,
			help: "Opens the selected switch where it is closed, and closes it where it is open; so does a double click."},
		{name: "doubt", title: "Measured, read or guessed", group: editGroup, ruled: true, keys: []stroke{sign('?')}, rests: true, do: stepDoubt, when: hasSelection,
			help: "How sure you are of what is selected: measured with a meter, read off the part, or guessed, which is drawn with dashes."},
		{name: "doubts", title: "Open points…", group: editGroup, keys: []stroke{sign('O')}, do: (*Window).listDoubts,
			when: anyOpen,
			help: "Lists what is guessed, or what nobody has said yet how sure it is; choosing goes there."},
		{name: "set out", title: "Set out parts without a place", group: editGroup, keys: []stroke{controlShift(fyne.KeyO)}, rests: true, do: setOut,
			when: func(w *Window) bool { return unplacedWords(w.doc.Shown()) != "" },
			help: "Puts them on the sheet in rows, to be moved where they belong."},
	}
}

// placeActions are one for each kind of part. Kinds that share a key take
// turns.
func placeActions() actions {
	var list actions
	for _, k := range model.Kinds() {
		list = append(list, action{
			name: "place " + k.Name, title: k.Title, group: placeGroup, keys: []stroke{sign(k.Key)}, help: k.About, words: kindWords(k.Name),
			do: func(w *Window) { w.hang(k) },
		})
	}
	return list
}

// kindWords are other words for a kind of part, or for what it is used as.
func kindWords(kind string) string {
	switch kind {
	case "resistor":
		return "link bridge jumper zero ohm series"
	case "battery":
		return "cell accumulator"
	case "potentiometer":
		return "trimmer variable resistor"
	case "inductor":
		return "coil choke"
	case "led":
		return "light lamp indicator"
	case "chip":
		return "ic integrated circuit controller"
	case "nmos", "pmos":
		return "mosfet field effect transistor"
	case "npn", "pnp":
		return "bipolar transistor"
	case "button":
		return "key push switch"
	case "tag":
		return "net label name"
	case "note":
		return "text words"
	}
	return ""
}

func modeActions() actions {
	return actions{
		{name: "next mode", title: "Next mode", group: modeGroup, keys: []stroke{key(fyne.KeyPageDown)}, do: func(w *Window) { w.stepMode(1) }, when: hasModes,
			help: "Shows the circuit in the next mode."},
		{name: "previous mode", title: "Previous mode", group: modeGroup, keys: []stroke{key(fyne.KeyPageUp)}, do: func(w *Window) { w.stepMode(-1) }, when: hasModes,
			help: "Shows the circuit in the mode before."},
		{name: "add mode", title: "Add a mode", group: modeGroup, ruled: true, keys: []stroke{control(fyne.KeyM)}, rests: true, do: (*Window).addMode,
			help: "A new mode, as a copy of the one chosen: another set of what the pins of the chip and the switches do."},
		{name: "mode", title: "Rename or describe…", group: modeGroup, keys: []stroke{controlShift(fyne.KeyM)}, rests: true, do: func(w *Window) { w.editMode(w.doc.Mode()) }, when: hasModes,
			help: "Gives the mode a name and a few words."},
		{name: "what it sets", title: "What it sets", group: modeGroup, do: (*Window).toSettings, when: hasModes,
			help: "Goes to what the mode sets, in the panel."},
		{name: "delete mode", title: "Delete the mode", group: modeGroup, keys: []stroke{controlShift(fyne.KeyBackspace)}, rests: true, do: func(w *Window) { w.fail("Not done", w.doc.removeMode(w.doc.Mode())) }, when: hasModes,
			help: "Takes the mode away."},
	}
}

func viewActions() actions {
	toggle := func(setting func(*settings) *bool) (do func(*Window), on func(*Window) bool) {
		return func(w *Window) {
				*setting(w.settings) = !*setting(w.settings)
				w.program.redress()
			}, func(w *Window) bool {
				return *setting(w.settings)
			}
	}
	figure := 0
	shows := func(name, title, help string, setting func(*settings) *bool) action {
		do, on := toggle(setting)
		figure++ // each has a figure among the keys, in their order
		return action{name: name, title: title, group: viewGroup, keys: []stroke{controlShift(fyne.KeyName(strconv.Itoa(figure)))}, help: help, do: do, on: on}
	}
	list := actions{
		{name: "zoom in", title: "Zoom in", group: viewGroup, keys: []stroke{control(fyne.KeyEqual), control(fyne.KeyPlus), controlShift(fyne.KeyEqual), sign('+'), sign('=')},
			do: func(w *Window) { w.surface.Zoom(zoomStep) }, help: "Larger; the wheel does it about the pointer."},
		{name: "zoom out", title: "Zoom out", group: viewGroup, keys: []stroke{control(fyne.KeyMinus), sign('-')},
			do: func(w *Window) { w.surface.Zoom(1 / zoomStep) }, help: "Smaller."},
		{name: "fit", title: "Zoom to fit", group: viewGroup, keys: []stroke{control(fyne.Key0)},
			do: func(w *Window) { w.surface.FitAll() }, help: "The whole drawing."},
		shows("show voltages", "Voltages", "The voltage of each net, in a pill.", func(s *settings) *bool { return &s.show.Voltages }),
		shows("show currents", "Currents", "The currents, with their directions.", func(s *settings) *bool { return &s.show.Currents }),
		shows("show ribbons", "Ribbons", "Bands under the wires, as wide as their currents are large.", func(s *settings) *bool { return &s.show.Ribbons }),
		shows("show states", "States of transistors", "What each transistor is doing, in words beside its name.", func(s *settings) *bool { return &s.show.States }),
		shows("show powers", "Powers", "What each part takes or gives.", func(s *settings) *bool { return &s.show.Powers }),
		shows("show control", "Control paths", "Ties across the wires by which transistors are switched.", func(s *settings) *bool { return &s.show.Control }),
		shows("show findings", "Findings", "Numbered flags where something is worth knowing.", func(s *settings) *bool { return &s.show.Findings }),
		shows("show facts", "Facts among the findings", "Flags, too, at what is merely good to know.", func(s *settings) *bool { return &s.show.Facts }),
		shows("show changes", "Mark what changed from the mode before", "Beside each figure that differs, small and struck through, what it was in the mode that was shown before.", func(s *settings) *bool { return &s.changes }),
		textAction(100), textAction(125), textAction(150),
		{name: "iec", title: "Symbols: boxes (IEC 60617)", group: viewGroup, ruled: true, keys: []stroke{controlShift(fyne.KeyB)}, do: setStandard(symbol.IEC), help: "Symbols as in Europe.",
			on: func(w *Window) bool { return w.settings.standard == symbol.IEC }},
		{name: "ieee", title: "Symbols: zigzags (IEEE 315)", group: viewGroup, keys: []stroke{controlShift(fyne.KeyW)}, do: setStandard(symbol.IEEE), help: "Symbols as in North America.",
			on: func(w *Window) bool { return w.settings.standard == symbol.IEEE }},
		{name: Light, title: "Light theme", group: viewGroup, ruled: true, keys: []stroke{controlShift(fyne.KeyL)}, do: setTheme(Light), help: "Dark ink on paper.",
			on: func(w *Window) bool { return !w.look.Dark }},
		{name: Dark, title: "Dark theme", group: viewGroup, keys: []stroke{controlShift(fyne.KeyD)}, do: setTheme(Dark), help: "Light ink on a dark sheet.",
			on: func(w *Window) bool { return w.look.Dark }},
	}
	list.named("show voltages").ruled = true
	list.named(textName(100)).ruled = true
	return list
}

// textName is the name of the action for a size of text.
func textName(percent int) string { return fmt.Sprint("text ", percent) }

// textAction gives all text a size.
func textAction(percent int) action {
	place := slices.Index(textSizes(), percent) + 1
	return action{
		name: textName(percent), title: fmt.Sprintf("Text at %d %%", percent), group: viewGroup,
		keys: []stroke{control(fyne.KeyName(strconv.Itoa(place)))},
		help: "The size of all text, on the sheet and around it.",
		do: func(w *Window) {
			w.settings.text = percent
			w.program.redress()
		},
		on: func(w *Window) bool { return w.settings.text == percent },
	}
}

func helpActions() actions {
	return actions{
		{name: "commands", title: "All commands and keys…", group: helpGroup, keys: []stroke{control(fyne.KeyK), key(fyne.KeyF1)}, do: (*Window).listCommands,
			help: "A list of all that can be done, with its keys; type to find, Enter does it."},
		{name: "help", title: "With the mouse", group: helpGroup, do: (*Window).help, help: "What the buttons and the wheel do."},
		menuAction(),
		{name: "about", title: "About Copperglass", group: helpGroup, do: (*Window).about, help: "What the program is, and what to mind."},
	}
}

// kindHelp says what a kind of part is, with its key.
func (w *Window) kindHelp(kind string) string { return w.menu.table.named("place " + kind).explains() }

// hang hangs a new part of a kind on the pointer, or on the cursor of the keys.
func (w *Window) hang(k *model.Kind) {
	w.surface.readyKeys()
	w.surface.place(func(e *tool.Editor) { e.Place(k) })
}

func byHand(f func(*tool.Editor)) func(*Window) {
	return func(w *Window) { w.surface.edit(f) }
}

func hasSelection(w *Window) bool { return !w.doc.Selected().Empty() }

func canTurn(w *Window) bool { return hasParts(w) || !w.doc.editor.Hanging().Empty() }

func canHold(w *Window) bool { return hasSelection(w) || w.surface.holding() }

func hasModes(w *Window) bool { return len(w.doc.Shown().Modes) > 0 }

// drawWires turns the wire tool on or off.
func drawWires(w *Window) {
	w.surface.readyKeys()
	w.surface.edit(func(e *tool.Editor) { e.DrawWires(!e.DrawingWires()) })
}

func setOut(w *Window) {
	w.surface.edit((*tool.Editor).SetOut)
	w.surface.FitAll()
}

// selectedPart is the one part that is selected, or nil.
func (w *Window) selectedPart() *model.Part {
	if refs := w.doc.selectedRefs(); len(refs) == 1 {
		return w.doc.Shown().Part(refs[0])
	}
	return nil
}

func canThrow(w *Window) bool {
	p := w.selectedPart()
	return p != nil && p.LookupKind() != nil && p.LookupKind().Param("state") != nil
}

func canLookUp(w *Window) bool {
	p := w.selectedPart()
	return p != nil && p.LookupKind() != nil && len(p.LookupKind().Handbook) > 0
}

func throwSelected(w *Window) { w.doc.throw(w.selectedPart().Ref) }

// stepMode chooses the mode that many places further on.
func (w *Window) stepMode(by int) {
	w.doc.stepMode(by)
	w.toSheet()
}

// toSettings gives the keyboard to what the chosen mode sets.
func (w *Window) toSettings() {
	w.inspector.leaveTopic()
	w.doc.Select()
	w.inspector.refresh()
	w.inspector.keysTo(w.inspector.page.sets)
}

func setStandard(s symbol.Standard) func(*Window) {
	return func(w *Window) {
		w.settings.standard = s
		w.program.redress()
	}
}

func setTheme(name string) func(*Window) {
	return func(w *Window) {
		w.settings.theme, w.settings.forced = name, ""
		w.program.redress()
	}
}

// join is a verb and what it is done to, which may be nothing.
func join(verb, what string) string {
	if what == "" {
		return verb
	}
	return verb + " " + what
}
