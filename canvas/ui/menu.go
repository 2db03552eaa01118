package ui

import (
	"bytes"
	"errors"
	"path/filepath"
	"runtime"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"

	"copperglass/assets"
	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
)

// menus is the menu bar, with the items whose looks follow the state.
type menus struct {
	window     *Window
	main       *fyne.MainMenu
	undo, redo *fyne.MenuItem
}

func newMenus(w *Window) *menus { return &menus{window: w} }

// build makes the bar anew: lists in it may have changed.
func (m *menus) build() *fyne.MainMenu {
	m.main = fyne.NewMainMenu(m.file(), m.edit(), m.view(), m.help())
	m.addKeys()
	m.refresh()
	return m.main
}

// refresh names what undo and redo would do.
func (m *menus) refresh() {
	if m.main == nil {
		return
	}
	name := func(item *fyne.MenuItem, verb, what string) {
		item.Label, item.Disabled = strings.TrimSpace(verb+" "+what), what == ""
	}
	name(m.undo, "Undo", m.window.doc.CanUndo())
	name(m.redo, "Redo", m.window.doc.CanRedo())
	m.main.Refresh()
}

// control is a shortcut with the platform's command key.
func control(key fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: key, Modifier: fyne.KeyModifierShortcutDefault}
}

func controlShift(key fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: key, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}

// item is a menu item for a command. Shortcuts of the toolkit's menus fire in
// dialogs as well; commands look for themselves whether they may.
func (m *menus) item(label string, sc fyne.Shortcut, command string) *fyne.MenuItem {
	if m.window.commands()[command] == nil {
		panic("ui: there is no command " + command)
	}
	i := fyne.NewMenuItem(label, func() { m.window.command(command) })
	i.Shortcut = sc
	return i
}

func (m *menus) file() *fyne.Menu {
	recent := fyne.NewMenuItem("Open recent", nil)
	recent.ChildMenu = fyne.NewMenu("")
	for _, path := range m.window.settings.recent {
		recent.ChildMenu.Items = append(recent.ChildMenu.Items,
			fyne.NewMenuItem(filepath.Base(path)+"   "+filepath.Dir(path), func() { m.window.OpenFile(path) }))
	}
	recent.Disabled = len(recent.ChildMenu.Items) == 0
	examples := fyne.NewMenuItem("Examples", nil)
	examples.ChildMenu = fyne.NewMenu("")
	for _, name := range assets.Examples() {
		examples.ChildMenu.Items = append(examples.ChildMenu.Items,
			fyne.NewMenuItem(sentenceCase(strings.ReplaceAll(name, "-", " ")), func() { m.window.OpenExample(name) }))
	}
	quit := m.item("Quit", control(fyne.KeyQ), "quit")
	quit.IsQuit = true
	return fyne.NewMenu("File",
		m.item("New", control(fyne.KeyN), "new"),
		m.item("Open…", control(fyne.KeyO), "open"),
		recent, examples,
		fyne.NewMenuItemSeparator(),
		m.item("Save", control(fyne.KeyS), "save"),
		m.item("Save as…", controlShift(fyne.KeyS), "save as"),
		m.item("Export a picture…", control(fyne.KeyE), "export"),
		fyne.NewMenuItemSeparator(), quit)
}

func (m *menus) edit() *fyne.Menu {
	m.undo = m.item("Undo", &fyne.ShortcutUndo{}, "undo")
	m.redo = m.item("Redo", &fyne.ShortcutRedo{}, "redo")
	return fyne.NewMenu("Edit", m.undo, m.redo,
		fyne.NewMenuItemSeparator(),
		m.item("Cut", &fyne.ShortcutCut{}, "cut"),
		m.item("Copy", &fyne.ShortcutCopy{}, "copy"),
		m.item("Paste", &fyne.ShortcutPaste{}, "paste"),
		m.item("Select all", &fyne.ShortcutSelectAll{}, "all"),
		m.item("Duplicate", control(fyne.KeyD), "duplicate"),
		m.keyed("Delete", fyne.KeyDelete, "delete"),
		fyne.NewMenuItemSeparator(),
		m.keyed("Turn", fyne.KeyPeriod, "turn"),
		m.keyed("Turn back", fyne.KeyComma, "turn back"),
		m.keyed("Mirror", fyne.KeySlash, "mirror"),
		m.keyed("Draw wires", fyne.KeyW, "wires"))
}

// keyed is an item for a command that the sheet has a key for, to tell which.
// The toolkit takes no key without a modifier for a shortcut, so the item does
// not act on it; the menus of macOS would, in the middle of a text.
func (m *menus) keyed(label string, key fyne.KeyName, command string) *fyne.MenuItem {
	if runtime.GOOS == "darwin" {
		return m.item(label+"   "+string(key), nil, command)
	}
	return m.item(label, &desktop.CustomShortcut{KeyName: key}, command)
}

func (m *menus) view() *fyne.Menu {
	s := m.window.settings
	check := func(label, command string, on bool) *fyne.MenuItem {
		i := m.item(label, nil, command)
		i.Checked = on
		return i
	}
	return fyne.NewMenu("View",
		m.item("Zoom in", control(fyne.KeyEqual), "zoom in"),
		m.item("Zoom out", control(fyne.KeyMinus), "zoom out"),
		m.item("Zoom to fit", control(fyne.Key0), "fit"),
		fyne.NewMenuItemSeparator(),
		check("Voltages", "show voltages", s.show.Voltages),
		check("Currents", "show currents", s.show.Currents),
		check("Ribbons", "show ribbons", s.show.Ribbons),
		check("Findings", "show findings", s.show.Findings),
		fyne.NewMenuItemSeparator(),
		check("Symbols: boxes (IEC 60617)", "iec", s.standard == symbol.IEC),
		check("Symbols: zigzags (IEEE 315)", "ieee", s.standard == symbol.IEEE),
		fyne.NewMenuItemSeparator(),
		check("Light theme", Light, !m.window.look.Dark),
		check("Dark theme", Dark, m.window.look.Dark))
}

func (m *menus) help() *fyne.Menu {
	return fyne.NewMenu("Help", m.item("Mouse and keys", nil, "help"), m.item("About Copperglass", nil, "about"))
}

// addKeys adds the shortcuts that stand beside those in the menus.
func (m *menus) addKeys() {
	c := m.window.win.Canvas()
	for _, k := range []struct {
		sc      fyne.Shortcut
		command string
	}{
		{controlShift(fyne.KeyZ), "redo"},
		{control(fyne.KeyPlus), "zoom in"},
		{controlShift(fyne.KeyEqual), "zoom in"},
	} {
		c.AddShortcut(k.sc, func(fyne.Shortcut) { m.window.command(k.command) })
	}
}

// command carries out a command of the menus by its name.
func (w *Window) command(name string) {
	if w.toEntry(name) || w.modal() {
		return
	}
	if do := w.commands()[name]; do != nil {
		do()
	}
}

// toEntry hands the commands that an entry knows to the one that has the
// keyboard, if one has.
func (w *Window) toEntry(command string) bool {
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
	}[command]
	if sc == nil {
		return false
	}
	typing.TypedShortcut(sc)
	return true
}

// commands are the menus' commands by their names.
func (w *Window) commands() map[string]func() {
	hand := func(f func(*tool.Editor)) func() { return func() { w.surface.edit(f) } }
	return map[string]func(){
		"new": w.New, "open": w.Open, "save": w.Save, "save as": w.SaveAs, "export": w.Export, "quit": w.close,
		"undo": w.doc.Undo, "redo": w.doc.Redo,
		"cut": w.cut, "copy": w.copy, "paste": w.paste,
		"all": hand((*tool.Editor).SelectAll), "duplicate": hand((*tool.Editor).Duplicate), "delete": hand((*tool.Editor).Delete),
		"turn": hand((*tool.Editor).Turn), "turn back": hand((*tool.Editor).TurnBack), "mirror": hand((*tool.Editor).Mirror),
		"wires":   hand(func(e *tool.Editor) { e.DrawWires(!e.DrawingWires()) }),
		"zoom in": func() { w.surface.Zoom(zoomStep) }, "zoom out": func() { w.surface.Zoom(1 / zoomStep) }, "fit": w.surface.FitAll,
		"show voltages": w.toggle(&w.settings.show.Voltages), "show currents": w.toggle(&w.settings.show.Currents),
		"show ribbons": w.toggle(&w.settings.show.Ribbons), "show findings": w.toggle(&w.settings.show.Findings),
		"iec": w.setStandard(symbol.IEC), "ieee": w.setStandard(symbol.IEEE),
		Light: w.setTheme(Light), Dark: w.setTheme(Dark),
		"set out": func() {
			w.surface.edit((*tool.Editor).SetOut)
			w.surface.FitAll()
		},
		"mode": func() { w.editMode(w.doc.Mode()) },
		"help": w.help, "about": w.about,
	}
}

// toggle turns one of the settings over.
func (w *Window) toggle(setting *bool) func() {
	return func() {
		*setting = !*setting
		w.redress()
	}
}

func (w *Window) setStandard(s symbol.Standard) func() {
	return func() {
		w.settings.standard = s
		w.redress()
	}
}

func (w *Window) setTheme(name string) func() {
	return func() {
		w.settings.theme, w.settings.forced = name, ""
		w.redress()
	}
}

// redress keeps the settings and shows the window by them.
func (w *Window) redress() {
	w.settings.save()
	w.dress()
	w.toSheet()
}

// copy puts what is selected on the clipboard, as a drawing file.
func (w *Window) copy() {
	part := w.doc.editor.Extract()
	if len(part.Parts)+len(part.Wires) == 0 {
		return
	}
	var text bytes.Buffer
	if err := file.Encode(&text, part); err != nil {
		w.fail("Not copied", err)
		return
	}
	w.app.Clipboard().SetContent(text.String())
}

func (w *Window) cut() {
	w.copy()
	w.surface.edit((*tool.Editor).Delete)
}

// paste inserts the drawing on the clipboard under the pointer.
func (w *Window) paste() {
	text := w.app.Clipboard().Content()
	if strings.TrimSpace(text) == "" {
		return
	}
	d, err := file.Decode(strings.NewReader(text))
	if err != nil {
		w.fail("Not pasted", errors.New("what is on the clipboard is no part of a drawing; copy something on a sheet first"))
		return
	}
	at := w.surface.pasteAt()
	w.surface.edit(func(e *tool.Editor) { e.Insert("paste", d, at.Sub(middle(d))) })
}

// middle returns the grid point in the middle of what stands on a sheet.
func middle(d *model.Diagram) geom.Point {
	var points []geom.Point
	for _, p := range d.Parts {
		points = append(points, p.At)
	}
	for _, wire := range d.Wires {
		points = append(points, wire.Points...)
	}
	if len(points) == 0 {
		return geom.Point{}
	}
	r := geom.Rect{Min: points[0], Max: points[0]}
	for _, p := range points {
		r = r.Union(geom.Rect{Min: p, Max: p})
	}
	return geom.Pt((r.Min.X+r.Max.X)/2, (r.Min.Y+r.Max.Y)/2)
}

// help lists what the mouse and the keys do.
func (w *Window) help() {
	list := container.New(column{gap: 6})
	for _, r := range []row{
		{name: "Place a part", figure: "click it, then the sheet; or its key"},
		{name: "Draw a wire", figure: "drag from a pin; W for many"},
		{name: "Select", figure: "click; drag a box; Shift adds"},
		{name: "Move", figure: "drag, or the arrow keys"},
		{name: "Turn, turn back, mirror", figure: "full stop, comma, slash"},
		{name: "Delete", figure: "Delete"},
		{name: "Set a value", figure: "double-click the part, or Enter"},
		{name: "Throw a switch", figure: "double-click it"},
		{name: "Zoom", figure: "wheel; Ctrl +, Ctrl −, Ctrl 0"},
		{name: "Move the sheet", figure: "middle button, or Space and drag"},
		{name: "Stop what is begun", figure: "Escape or the right button"},
	} {
		list.Add(container.New(ends{}, styledText(r.name, textSize, true, w.look.Ink), styledText(r.figure, textSize, false, w.look.Quiet)))
	}
	w.ask("Mouse and keys", list, answer{label: "Close"})
}

func (w *Window) about() {
	text := "Copperglass shows what a small battery-powered circuit does, on its drawing. " +
		"Work on things with the cells out, or under 60 V DC. Text is set in IBM Plex Sans, under the SIL Open Font License."
	w.ask("About Copperglass", paragraph(text, dialogWidth, textSize, w.look.Ink), answer{label: "Close"})
}
