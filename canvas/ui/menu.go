package ui

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"

	"copperglass/assets"
	"copperglass/canvas/tool"
)

// menus is the menu bar, with the items whose looks follow the state.
type menus struct {
	window *Window
	table  actions
	main   *fyne.MainMenu
	items  []*menuItem
	hush   func() // stops the refreshing that waits
}

// menuItem is an action in the menu bar.
type menuItem struct {
	*fyne.MenuItem
	action *action
}

func newMenus(w *Window) *menus {
	return &menus{window: w, table: allActions(), hush: func() {}}
}

// build makes the bar anew: lists in it may have changed.
func (m *menus) build() *fyne.MainMenu {
	m.items = nil
	m.main = fyne.NewMainMenu()
	for _, group := range menuGroups() {
		m.main.Items = append(m.main.Items, m.menu(group))
	}
	m.addKeys()
	m.refresh()
	return m.main
}

// menu is the menu of a group.
func (m *menus) menu(group string) *fyne.Menu {
	menu := fyne.NewMenu(group)
	for i := range m.table {
		a := &m.table[i]
		if a.group != group {
			continue
		}
		if a.ruled {
			menu.Items = append(menu.Items, fyne.NewMenuItemSeparator())
		}
		item := m.item(a)
		m.items = append(m.items, &menuItem{item, a})
		menu.Items = append(menu.Items, item)
		if a.name == "open" {
			menu.Items = append(menu.Items, m.choices("Open recent", m.window.recentActions()), m.choices("Examples", exampleActions()))
		}
	}
	return menu
}

// item is a menu item for an action. Shortcuts of the toolkit's menus fire in
// dialogs as well, and whether or not the item is enabled: actions look for
// themselves whether they may.
func (m *menus) item(a *action) *fyne.MenuItem {
	item := fyne.NewMenuItem("", func() { m.window.run(a) })
	item.IsQuit = a.name == quitName
	switch {
	case len(a.keys) == 0:
	case a.keys[0].commanding():
		item.Shortcut = a.keys[0].shortcut()
	case runtime.GOOS != "darwin":
		// The toolkit takes no key without a modifier for a shortcut, so this
		// only tells which it is; the menus of macOS would act on it, in the
		// middle of a text.
		item.Shortcut = &desktop.CustomShortcut{KeyName: fyne.KeyName(a.told())}
	}
	item.Label = m.label(item, a)
	return item
}

// keyGap keeps the key of a menu item off its title: the toolkit leaves no more
// between the two than at the edges.
const keyGap = "\u00a0\u00a0\u00a0"

// label is what a menu item says now.
func (m *menus) label(item *fyne.MenuItem, a *action) string {
	switch says := a.says(m.window); {
	case item.Shortcut != nil:
		return says + keyGap
	case runtime.GOOS == "darwin" && a.told() != "":
		return says + keyGap + a.told()
	default:
		return says
	}
}

// choices is an item with a menu of its own.
func (m *menus) choices(title string, list actions) *fyne.MenuItem {
	item := fyne.NewMenuItem(title, nil)
	item.ChildMenu = fyne.NewMenu("")
	for i := range list {
		item.ChildMenu.Items = append(item.ChildMenu.Items, fyne.NewMenuItem(list[i].title, func() { m.window.run(&list[i]) }))
	}
	item.Disabled = len(list) == 0
	return item
}

// menuRest is how long the state has to rest before the bar follows it. The
// toolkit builds all menus anew for that, which takes a frame or two.
const menuRest = 150 * time.Millisecond

// refreshSoon refreshes once nothing changes any more. What an item does looks
// for itself whether it may.
func (m *menus) refreshSoon() {
	m.hush()
	m.hush = m.window.later(menuRest, m.refresh)
}

// refresh brings the items to what their actions would do now.
func (m *menus) refresh() {
	if m.main == nil {
		return
	}
	changed := false
	for _, i := range m.items {
		changed = i.refresh(m) || changed
	}
	if changed {
		m.main.Refresh()
	}
}

// refresh reports whether anything of the item has changed.
func (i *menuItem) refresh(m *menus) bool {
	w, label := m.window, m.label(i.MenuItem, i.action)
	disabled, checked := !i.action.can(w), i.action.on != nil && i.action.on(w)
	if i.Label == label && i.Disabled == disabled && i.Checked == checked {
		return false
	}
	i.Label, i.Disabled, i.Checked = label, disabled, checked
	return true
}

// addKeys adds the shortcuts that do not stand in the menus.
func (m *menus) addKeys() {
	c := m.window.win.Canvas()
	for i, group := range menuGroups() {
		c.AddShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyName(group[:1]), Modifier: fyne.KeyModifierAlt}, func(fyne.Shortcut) { m.window.openMenu(i) })
	}
	for i := range m.table {
		a := &m.table[i]
		for j, k := range a.keys {
			if k.commanding() && (j > 0 || !slices.Contains(menuGroups(), a.group)) {
				c.AddShortcut(k.shortcut(), func(fyne.Shortcut) { m.window.run(a) })
			}
		}
	}
}

// menuBar is what a canvas with a bar of menus can do.
type menuBar interface {
	ToggleMenu()
	DismissMenu() bool
	FocusNext()
}

// menuAction leads the keys into the bar. Its menus also open by Alt and their
// first letter, or by Alt alone, which the toolkit sees to.
func menuAction() action {
	return action{name: "menus", title: "Go to the menus", group: helpGroup, keys: []stroke{key(fyne.KeyF10)}, do: func(w *Window) { w.openMenu(0) }, when: hasMenuBar,
		help: "Opens the first menu; arrows go through all of them, Enter does it, Escape leaves. Alt and the first letter opens any."}
}

// hasMenuBar reports whether the bar is the window's own and not the system's.
func hasMenuBar(w *Window) bool {
	_, is := w.win.Canvas().(menuBar)
	return is && runtime.GOOS != "darwin"
}

// openMenu opens a menu of the bar by the keys.
func (w *Window) openMenu(i int) {
	if !hasMenuBar(w) || w.modal() {
		return
	}
	bar := w.win.Canvas().(menuBar)
	w.menu.hush()
	w.menu.refresh()
	bar.DismissMenu()
	bar.ToggleMenu()
	for range i {
		bar.FocusNext()
	}
}

// contextMenu offers actions at a place on the window. What has nothing to do
// there is left out.
func (w *Window) contextMenu(at fyne.Position, names ...string) {
	menu := fyne.NewMenu("")
	for _, name := range names {
		if a := w.menu.table.named(name); a.can(w) {
			menu.Items = append(menu.Items, w.menu.item(a))
		}
	}
	w.popUp(menu, at)
}

// exampleActions open the drawings that come with the program.
func exampleActions() actions {
	var list actions
	for _, name := range assets.Examples() {
		list = append(list, action{name: "example " + name, title: exampleTitle(name), group: "Example",
			do: func(w *Window) { w.OpenExample(name) }, help: "A drawing that comes with the program."})
	}
	return list
}

func exampleTitle(name string) string { return sentenceCase(strings.ReplaceAll(name, "-", " ")) }

// recentActions open the files that were open last, as far as they are still there.
func (w *Window) recentActions() actions {
	var list actions
	for _, path := range w.settings.recent {
		if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
			continue
		}
		list = append(list, action{name: "recent " + path, title: filepath.Base(path) + "   " + filepath.Dir(path), group: "Recent",
			do: func(w *Window) { w.OpenFile(path) }, help: "A drawing that was open lately."})
	}
	return list
}

// chooseModeActions show the circuit in each of its modes.
func (w *Window) chooseModeActions() actions {
	var list actions
	for _, m := range w.doc.Shown().Modes {
		list = append(list, action{name: "mode " + m.Name, title: "Mode: " + m.Name, group: modeGroup,
			do: func(w *Window) { w.SetMode(m.Name) }, help: m.Note})
	}
	return list
}

// command carries out the action of that name.
func (w *Window) command(name string) {
	a := w.menu.table.named(name)
	if a == nil {
		panic(fmt.Sprintf("ui: there is no action %q", name))
	}
	w.run(a)
}

// run carries an action out, unless a dialog is open or there is nothing for
// it to do.
func (w *Window) run(a *action) {
	if w.toEntry(a.name) || w.modal() {
		return
	}
	switch {
	case a.can(w):
		a.do(w)
	case a.disturbs(w):
		w.bar.report(w.handFull())
	case a.needs != "":
		w.bar.report(a.needs)
	}
}

// handFull says that something is in the hand, and how to have it free.
func (w *Window) handFull() string {
	return "something is in the hand: a click or " + w.keyOf("act") + " puts it down, " + w.keyOf("cancel") + " puts it back; then that can be done"
}

// strike carries out what a key is for on the sheet, if it is for anything.
// Kinds of parts that share a key take turns.
func (w *Window) strike(k stroke) {
	if w.inspector.takes(k) {
		return
	}
	a := w.menu.table.at(k)
	if a == nil {
		return
	}
	if a.group == placeGroup {
		w.surface.readyKeys()
		w.surface.place(func(e *tool.Editor) { e.PlaceByKey(k.sign) })
		return
	}
	w.run(a)
}

// toEntry hands the actions that an entry knows to the one that has the
// keyboard, if one has.
func (w *Window) toEntry(name string) bool {
	focused := w.win.Canvas().Focused()
	typing, ok := focused.(fyne.Shortcutable)
	if !ok {
		return false
	}
	clip := w.app.Clipboard()
	sc := map[string]fyne.Shortcut{
		"undo": &fyne.ShortcutUndo{}, "redo": &fyne.ShortcutRedo{},
		"cut": &fyne.ShortcutCut{Clipboard: clip}, "copy": &fyne.ShortcutCopy{Clipboard: clip},
		"paste": &fyne.ShortcutPaste{Clipboard: clip}, "all": &fyne.ShortcutSelectAll{},
	}[name]
	if sc == nil {
		return false
	}
	typing.TypedShortcut(sc)
	return true
}

// help lists what the mouse does; the list of commands has the keys.
func (w *Window) help() {
	list := container.New(column{gap: 6})
	for _, r := range []row{
		{name: "Place a part", figure: "click it, then the sheet; or drag it there"},
		{name: "Draw a wire", figure: "drag from a pin"},
		{name: "Select", figure: "click; drag a box; Shift adds"},
		{name: "Move", figure: "drag"},
		{name: "Set a value", figure: "double-click the part"},
		{name: "Throw a switch", figure: "double-click it"},
		{name: "Zoom", figure: "wheel"},
		{name: "Move the sheet", figure: "middle button, or Space and drag"},
		{name: "See what can be done", figure: "right button"},
		{name: "Stop what is begun", figure: "right button"},
	} {
		list.Add(container.New(ends{}, styledText(r.name, textSize, true, w.look.Ink), styledText(r.figure, textSize, false, w.look.Quiet)))
	}
	keys := "All can be done by the keys alone: " + w.menu.table.named("commands").told() + " lists everything with its key. " +
		"The arrow keys move a cursor over the sheet and Enter acts there; Tab goes to the panel and on through it, Escape comes back."
	list.Add(gap(4))
	list.Add(paragraph(keys, dialogWidth, textSize, w.look.Ink))
	w.ask("With the mouse", list, answer{label: "Close"})
}

func (w *Window) about() {
	text := "Copperglass shows what a small battery-powered circuit does, on its drawing. " +
		"Work on things with the cells out, or under 60 V DC. Text is set in IBM Plex Sans, under the SIL Open Font License."
	w.ask("About Copperglass", paragraph(text, dialogWidth, textSize, w.look.Ink), answer{label: "Close"})
}
