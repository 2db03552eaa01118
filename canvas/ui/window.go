// Package ui is the desktop window: the palette, the sheet, the inspector, the
// strip of modes and the menus around one drawing. It turns the toolkit's
// events into calls of canvas/tool and shows what canvas/scene makes of the
// drawing and its solution; it knows no electrical law.
package ui

import (
	"cmp"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"copperglass/canvas"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/journal"
)

// Options say how a window begins. The zero value is the usual one.
type Options struct {
	Theme       string        // Light or Dark for this run; empty for the setting
	Size        fyne.Size     // of each window; zero for that of the last one, at first 1440 × 900
	Patience    time.Duration // how long to wait for a solution before showing the drawing without; 0 for half a frame
	Later       Later         // what waits; nil for the clock
	StateFolder string        // for the journals of drawings without a file; empty for the system's
	Settings    string        // the folder of the settings; empty for the system's
	End         func()        // ends the program once all is safe; nil closes the last window by the toolkit
}

// Window is a window of the program with the drawing that is open in it. All its
// methods but Rescue are for the main goroutine.
type Window struct {
	program   *program
	app       fyne.App
	win       fyne.Window
	doc       *Document
	settings  *settings
	keeper    *journal.Keeper
	protected protected
	known     content // of the file, as last read or written here
	saving    *saving // what is being written to a file, or nil
	asked     content // of the file, as last asked about
	looking   bool    // whether the file is being looked at
	told      bool    // whether it was told that the file is gone
	takesOver bool    // while the drawing becomes what the file says
	look      canvas.Theme
	asking    []*asking // dialogs that are open, the top one last
	later     Later
	closed    bool // whether the person has closed the window
	exposed   bool // whether the journal cannot be written

	tips      *tips
	bar       *bar
	palette   *palette
	surface   *surface
	strip     *strip
	inspector *inspector
	menu      *menus
	greeting  *greeting
	card      *valueCard
}

// New makes the program's first window with an empty drawing; Run shows it.
func New(app fyne.App, o Options) *Window { return newWindow(newProgram(app, o)) }

// NewWindow opens another window, with an empty drawing.
func (w *Window) NewWindow() *Window {
	other := newWindow(w.program)
	other.win.Show()
	other.toSheet()
	return other
}

func newWindow(p *program) *Window {
	w := &Window{program: p, app: p.app, win: p.app.NewWindow("Copperglass"), later: p.options.Later, settings: p.settings}
	w.keeper = journal.NewKeeper(p.options.StateFolder, w.unprotected)
	w.doc = NewDocument(&model.Diagram{}, "", p.options.Patience)
	w.surface = newSurface(w.doc, surfaceActions{open: w.toFields, menu: w.partMenu, state: w.toolChanged, keys: w.focus, later: w.later, struck: w.strike, value: func(signs ...rune) bool { return w.card.open(signs...) }, findings: w.flags, found: w.flagText, before: w.before,
		panned: func() { w.card.follow() }, goes: func(to fyne.Position) { w.card.pointerAt(to) }, goOn: func() { w.card.goOn() },
		tell: func(news string) { w.bar.report(news) },
		ask:  func(of string) { w.inspector.ask(w.inspector.influenceTopic(of)) }})
	w.menu = newMenus(w)
	w.win.SetPadded(false)
	w.dress()
	w.doc.Watch(w.changed)
	w.win.SetCloseIntercept(w.close)
	w.win.SetOnDropped(w.dropped)
	w.win.Canvas().SetOnTypedKey(w.typedKey)
	w.win.Canvas().SetOnTypedRune(w.typedRune)
	w.win.Resize(p.size())
	w.changed(FileChanged)
	p.add(w)
	return w
}

// Run shows the window and stays until the last one is closed, or until the
// system ends the program; see Rescue for the drawings then.
func (w *Window) Run() {
	w.toSheet()
	w.offerOrphans()
	w.program.watchOutside()
	w.win.ShowAndRun()
}

// Rescue sees to it that all that is not saved, in any window, is on the disk,
// and says where; the next start offers it. It may be called from any
// goroutine.
func (w *Window) Rescue() []string { return w.program.rescue() }

// Document returns the drawing that is open.
func (w *Window) Document() *Document { return w.doc }

// dress builds everything around the sheet in the colours that are set.
func (w *Window) dress() {
	w.look = w.settings.look(w.program.system)
	w.program.putOn(w.look, w.settings.textScale())
	w.hush()
	w.tips = newTips(w.look, w.later)
	w.bar = newBar(w.doc, w.look, w.tips, w.later, w.menu.table, w.toSheet)
	w.bar.exposed = w.exposed
	w.palette = newPalette(w.look, w.settings.standard, w.tips, paletteActions{help: w.kindHelp, pick: w.pick, drag: w.drag, drop: w.drop})
	w.strip = newStrip(w.doc, w.look, w.tips, stripActions{choose: w.SetMode, add: w.addMode, help: w.menu.table.named("add mode").help, menu: w.modeMenu, rename: w.editMode, later: w.later, lasts: w.lasting, warns: w.cautions,
		marks: func() bool { return w.settings.changes }, mark: func() { w.command("show changes") }, since: w.doc.modeSince})
	w.dressInspector()
	w.surface.dress(w.look, w.settings.standard, w.settings.show, w.tips)
	w.greeting = newGreeting(w)
	w.card = newValueCard(w)
	w.win.SetContent(container.NewStack(w.arrange(), w.card.layer, w.tips.layer))
	w.win.SetMainMenu(w.menu.build())
	w.strip.refresh()
	w.toolChanged()
}

// dressInspector keeps the inspector, with the question that is open in it, once
// there is one.
func (w *Window) dressInspector() {
	if w.inspector != nil {
		w.inspector.dress(w.look, w.tips)
		return
	}
	w.inspector = newInspector(w.doc, w.look, w.tips, inspectorActions{
		release: w.toSheet, run: w.command, table: w.menu.table, fail: func(err error) { w.fail("Not done", err) },
		find: w.find, name: w.askName, save: w.saveText, fields: w.toFields, redraw: w.redrawn, visit: w.visitFault, later: w.later,
		news: func(text string) { w.bar.report(text) },
	})
}

// hush stops what waits to change the bar or to explain something.
func (w *Window) hush() {
	w.menu.hush()
	if w.bar != nil {
		w.bar.hush()
		w.tips.hide()
	}
}

// arrange puts the parts of the window in their places.
func (w *Window) arrange() fyne.CanvasObject {
	k := w.look
	return container.New(frame{w.inspector},
		w.bar.object,
		container.NewStack(prim.NewRectangle(k.Tray), w.palette.object),
		container.NewStack(w.surface, w.greeting.object),
		container.NewStack(prim.NewRectangle(k.Panel), w.inspector.object), // before the strip: Tab goes from the sheet to the fields
		container.NewStack(prim.NewRectangle(k.Tray), w.strip.object),
		prim.NewRectangle(k.Edge), prim.NewRectangle(k.Edge),
	)
}

// frame arranges the window at whole units: a picture that stands between two
// pixels would be blurred.
type frame struct{ inspector *inspector }

func (f frame) Layout(o []fyne.CanvasObject, size fyne.Size) {
	put := func(o fyne.CanvasObject, x, y, w, h float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(max(w, 0), max(h, 0)))
	}
	width, height := float32(int(size.Width)), float32(int(size.Height))
	left, top := paletteWidth(size.Width), barHeight()
	right, below := width-inspectorWidth(width), height-stripHeight()
	f.inspector.fit(width - right)
	put(o[0], 0, 0, size.Width, top)
	put(o[1], 0, top, left, size.Height-top)
	put(o[2], left, top, right-left, below-top)
	put(o[3], right, top, size.Width-right, size.Height-top)
	put(o[4], left, below, right-left, size.Height-below)
	put(o[5], right, top, 1, size.Height-top)
	put(o[6], left, below, right-left, 1)
}

func (frame) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(paletteWidth(0)+inspectorWidth(0)+leastSheet, barHeight()+stripHeight()+220)
}

// changed follows the document.
func (w *Window) changed(c Change) {
	w.protect()
	if edited := DrawingChanged | FileChanged; c&edited == edited {
		w.bar.news = "" // which was of the drawing as it was
	}
	w.surface.changed(c)
	w.strip.refresh()
	if c&ModeChanged != 0 {
		w.strip.reveal()
	}
	w.inspector.refresh()
	w.toolChanged()
	if c&(FileChanged|ModeChanged|DrawingChanged) != 0 {
		w.showTitle()
	}
}

// showTitle names the drawing in the window's title, with a mark where there
// is something to save.
func (w *Window) showTitle() {
	mark := ""
	if w.doc.Changed() {
		mark = "• "
	}
	if title := mark + w.name() + " – Copperglass"; w.win.Title() != title {
		w.win.SetTitle(title)
	}
}

// toolChanged marks the kind that hangs on the pointer and says what the next
// click does.
func (w *Window) toolChanged() {
	kind := ""
	if k := w.doc.editor.Placing(); k != nil {
		kind = k.Name
	}
	w.palette.mark(kind)
	w.card.follow()
	w.bar.ahead = cmp.Or(w.surface.ahead(w.menu.table), w.card.words(w.menu.table))
	w.bar.doing = w.surface.holds(w.menu.table)
	w.bar.refresh()
	if !w.doc.editor.Busy() { // a frame of a gesture has no time for menus that nobody sees
		w.menu.refreshSoon()
	}
	w.greeting.refresh()
}

func (w *Window) refreshMenu() { w.win.SetMainMenu(w.menu.build()) }

// modal reports whether a dialog or a menu is open.
func (w *Window) modal() bool { return len(w.win.Canvas().Overlays().List()) > 0 }

func (w *Window) focus(o fyne.Focusable) { w.win.Canvas().Focus(o) }

func (w *Window) hasFocus(o fyne.Focusable) bool { return w.win.Canvas().Focused() == o }

// toSheet gives the keyboard to the sheet.
func (w *Window) toSheet() {
	if !w.modal() {
		w.focus(w.surface)
	}
}

// toFields gives the keyboard to the first field of what is selected.
func (w *Window) toFields() {
	if e := w.inspector.firstEntry(); e != nil {
		w.focusAll(e)
	}
}

// focusAll gives the keyboard to an entry and selects what is in it.
func (w *Window) focusAll(e interface {
	fyne.Focusable
	fyne.Shortcutable
}) {
	w.focus(e)
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
}

// typedKey takes keys that no object has asked for.
func (w *Window) typedKey(e *fyne.KeyEvent) {
	if p, is := w.win.Canvas().Overlays().Top().(*popup); is {
		w.focus(p)
		p.TypedKey(e)
		return
	}
	if len(w.asking) > 0 {
		w.typedInDialog(e.Name)
		return
	}
	if !w.modal() {
		w.toSheet()
		w.surface.TypedKey(e)
	}
}

func (w *Window) typedRune(r rune) {
	if !w.modal() {
		w.toSheet()
		w.surface.TypedRune(r)
	}
}

// pick hangs a new part on the pointer, or drops it where its tile is clicked
// again.
func (w *Window) pick(kind string) {
	if k := w.doc.editor.Placing(); k != nil && k.Name == kind {
		w.surface.place((*tool.Editor).Cancel)
		return
	}
	w.hang(model.LookupKind(kind))
}

func (w *Window) drag(kind string, at fyne.Position) {
	if k := w.doc.editor.Placing(); k == nil || k.Name != kind {
		w.surface.place(func(e *tool.Editor) { e.Place(model.LookupKind(kind)) })
	}
	w.surface.carry(at)
}

func (w *Window) drop(_ string, at fyne.Position) { w.surface.setDown(at) }

// SetMode chooses the mode of that name.
func (w *Window) SetMode(name string) {
	w.doc.SetMode(name)
	w.toSheet()
}

// Select selects parts by their reference designators.
func (w *Window) Select(refs ...string) { w.doc.Select(refs...) }

func (w *Window) addMode() {
	w.fail("Not done", w.doc.addMode())
	w.doc.Select()
}

// modeMenu chooses a mode and offers what can be done with it.
func (w *Window) modeMenu(mode string, at fyne.Position) {
	w.SetMode(mode)
	w.contextMenu(at, "mode", "what it sets", "add mode", "delete mode")
}

// editMode asks for the name and the note of a mode.
func (w *Window) editMode(mode string) {
	m := w.doc.Diagram().Mode(mode)
	if m == nil {
		return
	}
	name, note := w.dialogEntry(m.Name), w.dialogEntry(m.Note)
	problem := container.New(column{})
	line := func(label string, e fyne.CanvasObject) fyne.CanvasObject {
		return container.New(columns{widths: []float32{labelRoom(), 0}, gap: labelGap}, styledText(label, textSize, false, w.look.Quiet), e)
	}
	form := container.New(column{gap: 8}, line("Name", name), line("Note", note), problem)
	check := func() bool {
		err := w.doc.nameMode(mode, name.Text)
		complain(problem, err, dialogWidth, w.look)
		return err == nil
	}
	w.ask("Rename or describe “"+mode+"”", form, answer{label: "Cancel"}, answer{label: "Done", check: check, do: func() {
		if note.Text != m.Note {
			w.fail("Not done", w.doc.noteMode(strings.TrimSpace(name.Text), note.Text))
		}
	}})
	w.focusAll(name)
}

// partMenu offers what can be done with what is selected.
func (w *Window) partMenu(at fyne.Position) {
	if w.doc.Selected().Empty() {
		w.contextMenu(at, "causes", "paste", "all", "fit")
		return
	}
	w.contextMenu(at, "fields", "causes", "change kind", "throw", "turn", "mirror", "pick up", "select net", "select kind", "duplicate", "copy", "delete", "delete and join")
}
