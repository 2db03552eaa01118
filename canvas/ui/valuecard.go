package ui

import (
	"math"
	"regexp"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
)

// valueCard is a field for the value of a part, on the sheet beside it: it opens
// when the part has been set down, and at the first figure that is typed on one
// that is selected. It takes whatever is typed until Enter or Escape. So that
// several parts are set down as fast as ever, a key that goes on drawing is that
// key, and no value, once the pointer or an arrow key goes on, too.
type valueCard struct {
	window *Window
	layer  *fyne.Container // above the window, without anything while the card is closed

	ref      string // of the part, "" where there is no card
	revision int    // of the drawing that it opened in
	entry    *cardEntry
	input    *input
	box      fyne.CanvasObject
	below    *fyne.Container // what the text was understood as, or what is wrong with it
	said     string          // there
	touched  bool            // whether anything has been typed
	from     fyne.Position   // of the pointer on the sheet when it was
}

// The sizes of the card, for text of the usual size.
const (
	valueWidth = 150 // of its field
	valuePad   = 6   // around what is in it
	valueOff   = 8   // to the part
)

func newValueCard(w *Window) *valueCard {
	return &valueCard{window: w, layer: container.NewWithoutLayout()}
}

// open opens the card for the part that is selected, and begins its value anew
// with these signs. It reports whether there is a value.
func (c *valueCard) open(signs ...rune) bool {
	w, refs := c.window, c.window.doc.selectedRefs()
	p := w.inspector.page
	if len(refs) != 1 || p.value == nil || !w.doc.stacks(refs[0]) {
		return false
	}
	*c = valueCard{window: w, layer: c.layer, ref: refs[0], revision: w.doc.history.Revision(), below: container.New(column{})}
	if !c.belongs() {
		c.ref = ""
		return false
	}
	c.entry = &cardEntry{card: c}
	c.entry.ExtendBaseWidget(c.entry)
	c.entry.prepare(w.toSheet)
	c.input = newInput(p.valueSpec(p.model().LookupKind()), p, &c.entry.entry, c.say)
	c.watch()
	c.box = c.build(w.look)
	w.tips.hide()
	refill(c.layer, c.box)
	c.follow()
	w.focusAll(c.entry)
	for _, r := range signs {
		c.entry.TypedRune(r)
	}
	return true
}

func (c *valueCard) build(look canvas.Theme) fyne.CanvasObject {
	ref := styledText(c.ref, textSize, true, look.Ink)
	line := container.New(columns{widths: []float32{ceil(ref.MinSize().Width), grown(valueWidth)}, gap: labelGap}, ref, c.entry)
	return container.NewStack(rounded(look.Panel, look.Accent, 1.5, dialogRadius), container.New(column{gap: 2, pad: valuePad}, line, c.below))
}

// watch lets the card know what becomes of its entry.
func (c *valueCard) watch() {
	e := &c.entry.entry
	typed, lost, gained := e.typed, e.lost, e.gained
	e.typed = func(text string) {
		if !c.input.quiet {
			c.touched, c.from = true, c.window.surface.hand.at
		}
		typed(text)
	}
	e.gained = func() {
		gained()
		c.returned()
	}
	e.lost = func() {
		c.leave()
		lost()
		refill(c.layer)
		c.window.toolChanged()
	}
}

// leave drops what is no value, and says so.
func (c *valueCard) leave() {
	if problem := c.input.problem; problem != "" && c.keys() == "" {
		c.window.bar.report(c.ref + " keeps its value: " + problem)
	}
	if c.input.problem != "" || c.keys() != "" {
		c.input.restore()
	}
}

// returned is called when the keyboard comes to the card, be it with the window,
// which has had it elsewhere meanwhile.
func (c *valueCard) returned() {
	if !c.belongs() {
		fyne.Do(c.window.toSheet)
	} else if len(c.layer.Objects) == 0 {
		refill(c.layer, c.box)
	}
}

// belongs reports whether the part is still as it was when the card was opened
// for it, and alone is selected.
func (c *valueCard) belongs() bool {
	doc := c.window.doc
	sel := doc.Selected()
	alone := sel.Parts[c.ref] && len(sel.Parts) == 1 && len(sel.Wires) == 0
	return alone && c.revision == doc.history.Revision() && !doc.editor.Busy() && !doc.editor.DrawingWires()
}

// shown reports whether the card is open.
func (c *valueCard) shown() bool { return len(c.layer.Objects) > 0 }

// follow keeps the card beside its part, and closes it where that is no longer
// what it was opened for.
func (c *valueCard) follow() {
	w := c.window
	if !c.shown() {
		return
	}
	if !c.belongs() {
		if w.hasFocus(c.entry) {
			w.toSheet()
		}
		refill(c.layer)
		return
	}
	size := c.box.MinSize()
	c.box.Resize(size)
	c.box.Move(c.place(size))
}

// place is below the part, or above it where there is no room, and on the sheet.
func (c *valueCard) place(size fyne.Size) fyne.Position {
	w, s := c.window, c.window.surface
	ink := symbol.Extent(w.doc.Shown().Part(c.ref))
	least, most := s.view.ToPixel(ink.Min), s.view.ToPixel(ink.Max)
	room := s.Size().Subtract(size)
	x := float32(least.X+most.X)/2 - size.Width/2
	y := float32(most.Y) + valueOff
	if y > room.Height {
		y = float32(least.Y) - valueOff - size.Height
	}
	where := fyne.CurrentApp().Driver()
	origin := where.AbsolutePositionForObject(s).Subtract(where.AbsolutePositionForObject(c.layer))
	whole := func(x, most float32) float32 { return float32(int(max(0, min(x, most)))) }
	return fyne.NewPos(whole(x, room.Width), whole(y, room.Height)).Add(origin)
}

// say writes below the field what its text was understood as, what is wrong with
// it, or what it does as keys of the sheet.
func (c *valueCard) say() {
	text, colour := "", c.window.look.Quiet
	switch {
	case !c.touched:
	case c.keys() != "":
		text = c.keyWords()
	case c.input.problem != "":
		text, colour = sentence(c.input.problem), c.window.look.Flag
	default:
		text = c.input.note()
	}
	if text == c.said {
		return
	}
	c.said = text
	refill(c.below)
	if text != "" {
		refill(c.below, paragraph(text, c.box.MinSize().Width-2*valuePad, smallSize, colour))
	}
	c.follow()
}

// words are what the bar says of the card.
func (c *valueCard) words(t actions) string {
	if !c.shown() {
		return ""
	}
	such := ""
	if k := c.window.doc.Shown().Part(c.ref).LookupKind(); k != nil && k.Suggest != "" {
		such = ", as " + k.Suggest + ","
	}
	return c.ref + " · type its value" + such + " and Enter, or go on · " + t.named("fields").told() + " for all its fields"
}

// drawingKeys are texts that go on drawing rather than telling a value: the key of
// a kind, again for the next kind, and what turns and mirrors it then.
var drawingKeys = regexp.MustCompile(`^(\p{L}|0)?[.,/]*$`)

// keys is what was typed where it may as well be keys of the sheet, or "".
func (c *valueCard) keys() string {
	if !c.touched {
		return ""
	}
	text := c.entry.Text
	first, rest := firstSign(text)
	if !drawingKeys.MatchString(first+strings.TrimLeft(rest, first)) || text == "" {
		return ""
	}
	if a := c.window.menu.table.at(sign([]rune(text)[0])); a == nil || !a.draws() || c.isLink() {
		return ""
	}
	return text
}

// isLink reports whether a nought was typed for a resistor, which makes it a link.
func (c *valueCard) isLink() bool {
	p := c.window.doc.Shown().Part(c.ref)
	return p != nil && p.Kind == "resistor" && strings.HasPrefix(c.entry.Text, "0")
}

func firstSign(text string) (first, rest string) {
	for _, r := range text {
		first = string(r)
		break
	}
	return first, text[len(first):]
}

// draws reports whether an action goes on with the drawing.
func (a *action) draws() bool {
	switch a.name {
	case "wires", "turn", "turn back", "mirror":
		return true
	}
	return a.group == placeGroup
}

// keyWords say what is typed does as keys.
func (c *valueCard) keyWords() string {
	text := []rune(c.entry.Text)
	if len(text) > 1 {
		return "Enter takes it as the value; going on takes it as keys."
	}
	return "Enter takes it as the value; going on takes the key: " + c.window.menu.table.at(sign(text[0])).title + "."
}

// goOn takes what was typed for keys, if it may be.
func (c *valueCard) goOn() {
	keys := c.keys()
	if keys == "" || !c.shown() {
		return
	}
	c.window.toSheet()
	for _, r := range keys {
		c.window.surface.TypedRune(r)
	}
}

// pointerAt is called when the pointer moves on the sheet.
func (c *valueCard) pointerAt(to fyne.Position) {
	const moved = 48 // more than a hand moves that types
	if c.shown() && c.touched && math.Hypot(float64(to.X-c.from.X), float64(to.Y-c.from.Y)) > moved {
		c.goOn()
	}
}

// cardEntry is the field on the card.
type cardEntry struct {
	entry
	card *valueCard
}

// AcceptsTab is true: Tab goes to the fields in the panel.
func (e *cardEntry) AcceptsTab() bool { return true }

// TypedKey takes the keys that are not text. Where nothing is typed that must be a
// value the arrow keys are the sheet's, and where nothing is typed at all those that
// delete.
func (e *cardEntry) TypedKey(k *fyne.KeyEvent) {
	w := e.card.window
	switch k.Name {
	case fyne.KeyTab, fyne.KeyF2:
		w.toFields()
		return
	case fyne.KeyDelete, fyne.KeyBackspace:
		if !e.card.touched {
			w.toSheet()
			w.surface.TypedKey(k)
			return
		}
	case fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown:
		if !e.card.touched || e.card.keys() != "" {
			e.card.goOn()
			w.toSheet()
			w.surface.TypedKey(k)
			return
		}
	}
	e.entry.TypedKey(k)
}

// TypedShortcut leaves to the sheet what is about the part while nothing is typed.
func (e *cardEntry) TypedShortcut(s fyne.Shortcut) {
	name := ""
	switch s.(type) {
	case *fyne.ShortcutUndo:
		name = "undo"
	case *fyne.ShortcutRedo:
		name = "redo"
	case *fyne.ShortcutCopy:
		name = "copy"
	case *fyne.ShortcutCut:
		name = "cut"
	case *fyne.ShortcutPaste:
		name = "paste"
	}
	if w := e.card.window; name != "" && !e.card.touched {
		w.toSheet()
		w.command(name)
		return
	}
	e.entry.TypedShortcut(s)
}
