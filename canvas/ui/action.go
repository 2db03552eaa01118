package ui

import (
	"slices"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// action is something a person can have done. Menus, keys, the explanations on
// hover and the list of commands are all made from the one table of actions.
type action struct {
	name  string   // what the program calls it by
	title string   // what people read
	group string   // its menu; what is in no menu is still in the list of commands
	ruled bool     // whether a line stands above it in its menu
	keys  []stroke // the first is the one that is told
	help  string   // one sentence on what it does, without its key
	words string   // what else it is found by

	do     func(*Window)
	rests  bool                 // whether it waits until nothing is in the hand, which it would drop
	needs  string               // what to say where a key asks for it and there is nothing; "" for nothing
	when   func(*Window) bool   // whether there is something for it to do; nil for always
	on     func(*Window) bool   // whether it is in force; nil for what is done rather than turned on
	titled func(*Window) string // the title where it follows the drawing, or nil
}

// says is the action's title now.
func (a *action) says(w *Window) string {
	if a.titled != nil {
		return a.titled(w)
	}
	return a.title
}

// can reports whether there is something for the action to do.
func (a *action) can(w *Window) bool { return !a.disturbs(w) && (a.when == nil || a.when(w)) }

// disturbs reports whether the action would drop what is in the hand.
func (a *action) disturbs(w *Window) bool { return a.rests && w.doc.editor.Busy() }

// told is the key to tell people, or "".
func (a *action) told() string {
	if len(a.keys) == 0 {
		return ""
	}
	return a.keys[0].String()
}

// explains is the action's explanation with its key.
func (a *action) explains() string {
	if a.told() == "" {
		return a.help
	}
	return a.help + " Key: " + a.told() + "."
}

// actions is the table.
type actions []action

// named returns the action of that name, or nil.
func (t actions) named(name string) *action {
	return t.find(func(a *action) bool { return a.name == name })
}

// at returns the action that answers to a key, or nil.
func (t actions) at(s stroke) *action {
	return t.find(func(a *action) bool { return slices.Contains(a.keys, s) })
}

func (t actions) find(wanted func(*action) bool) *action {
	for i := range t {
		if wanted(&t[i]) {
			return &t[i]
		}
	}
	return nil
}

// stroke is a key, or a sign that is typed by whatever keys, with what is held
// beside it.
type stroke struct {
	key  fyne.KeyName // empty for a sign
	sign rune
	with fyne.KeyModifier
}

func key(k fyne.KeyName) stroke     { return stroke{key: k} }
func shifted(k fyne.KeyName) stroke { return stroke{key: k, with: fyne.KeyModifierShift} }
func sign(r rune) stroke            { return stroke{sign: unicode.ToUpper(r)} }
func control(k fyne.KeyName) stroke { return stroke{key: k, with: fyne.KeyModifierShortcutDefault} }
func controlShift(k fyne.KeyName) stroke {
	return stroke{key: k, with: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}

// commanding reports whether the stroke is one that works in the whole window,
// by the platform's command key; others are for the sheet.
func (s stroke) commanding() bool { return s.with&fyne.KeyModifierShortcutDefault != 0 }

// shortcut is the stroke as the toolkit has it, which has names of its own for
// some.
func (s stroke) shortcut() fyne.Shortcut {
	if s.with == fyne.KeyModifierShortcutDefault {
		switch s.key {
		case fyne.KeyZ:
			return &fyne.ShortcutUndo{}
		case fyne.KeyY:
			return &fyne.ShortcutRedo{}
		case fyne.KeyX:
			return &fyne.ShortcutCut{}
		case fyne.KeyC:
			return &fyne.ShortcutCopy{}
		case fyne.KeyV:
			return &fyne.ShortcutPaste{}
		case fyne.KeyA:
			return &fyne.ShortcutSelectAll{}
		}
	}
	return &desktop.CustomShortcut{KeyName: s.key, Modifier: s.with}
}

// String is how people call the keys: "Ctrl+Shift+S", "full stop".
func (s stroke) String() string {
	var words []string
	for _, m := range []struct {
		held fyne.KeyModifier
		word string
	}{
		{fyne.KeyModifierControl, "Ctrl"}, {fyne.KeyModifierSuper, "Cmd"},
		{fyne.KeyModifierAlt, "Alt"}, {fyne.KeyModifierShift, "Shift"},
	} {
		if s.with&m.held != 0 {
			words = append(words, m.word)
		}
	}
	return strings.Join(append(words, s.word()), "+")
}

// word is the key without what is held.
func (s stroke) word() string {
	if s.key != "" {
		return keyWord(s.key)
	}
	switch s.sign {
	case '.':
		return "full stop"
	case ',':
		return "comma"
	case '/':
		return "slash"
	case '?':
		return "question mark"
	}
	return string(s.sign)
}

// keyWord is how people call a key that the toolkit calls otherwise.
func keyWord(k fyne.KeyName) string {
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		return "Enter"
	case fyne.KeyBackspace:
		return "Backspace"
	case fyne.KeyPageUp:
		return "Page Up"
	case fyne.KeyPageDown:
		return "Page Down"
	case fyne.KeyLeft:
		return "←"
	case fyne.KeyRight:
		return "→"
	case fyne.KeyUp:
		return "↑"
	case fyne.KeyDown:
		return "↓"
	}
	return string(k)
}
