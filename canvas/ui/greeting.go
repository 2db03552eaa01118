package ui

import (
	"context"
	"image/color"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/assets"
	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/canvas/symbol"
	"copperglass/model"
)

const (
	previewWidth  = 156
	previewHeight = 104
	previewPad    = 10
	greetingGap   = 12
)

// greeting stands on an empty sheet: how to begin, and the examples as
// pictures. It is gone as soon as something is drawn.
type greeting struct {
	window *Window
	object *fyne.Container
}

func newGreeting(w *Window) *greeting {
	g := &greeting{window: w}
	g.object = container.New(greetingLayout{g})
	return g
}

// refresh shows or hides the greeting as the drawing wants it.
func (g *greeting) refresh() {
	w := g.window
	d := w.doc.Shown()
	wanted := len(d.Parts)+len(d.Wires) == 0 && !w.doc.editor.Busy() && !w.doc.editor.DrawingWires()
	switch {
	case wanted && len(g.object.Objects) == 0:
		refill(g.object, prim.NewRectangle(g.window.look.Paper), container.New(column{gap: lineGap}), g.offer(), g.cards())
	case !wanted && len(g.object.Objects) > 0:
		refill(g.object)
	}
}

// told are the sentences that say how to begin.
func (g *greeting) told() []string {
	told := func(name string) string { return g.window.menu.table.named(name).told() }
	return []string{
		"Click a part at the left, or press its letter; then click, or " + told("act") + ", where it belongs.",
		"Drag from a pin to draw a wire. It joins where it ends on a pin or on another wire.",
		"Every circuit needs a ground, the net that is 0 V. " + told("commands") + " lists all there is to do.",
	}
}

// words are as many of the sentences as there is room for, the first of them
// first, in lines that fit the width.
func (g *greeting) words(width, height float32) []fyne.CanvasObject {
	var lines []fyne.CanvasObject
	pitch := lineGap + ceil(styledText("X", textSize, false, color.Transparent).MinSize().Height)
	for _, sentence := range g.told() {
		wrapped := balanced(sentence, width)
		if float32(len(lines)+len(wrapped))*pitch-lineGap > height {
			break
		}
		for _, line := range wrapped {
			lines = append(lines, container.New(centred{}, styledText(line, textSize, false, g.window.look.Quiet)))
		}
	}
	return lines
}

// balanced breaks a sentence into lines of about one length.
func balanced(sentence string, width float32) []string {
	const step = 8
	lines := wrap(sentence, width, textSize, false)
	for w := width - step; w > width/2; w -= step {
		narrower := wrap(sentence, w, textSize, false)
		if len(narrower) > len(lines) {
			break
		}
		lines = narrower
	}
	return lines
}

// offer is the line above the examples.
func (g *greeting) offer() fyne.CanvasObject {
	return container.New(centred{}, styledText("Or open an example", headingSize, true, g.window.look.Ink))
}

// cards are the examples.
func (g *greeting) cards() fyne.CanvasObject {
	row := container.New(cardGrid{})
	for _, name := range assets.Examples() {
		row.Add(g.card(name))
	}
	return row
}

// card is one example: its picture above its name.
func (g *greeting) card(name string) fyne.CanvasObject {
	w := g.window
	k := w.look
	ink := exampleInk(name, k, w.settings.standard)
	preview := newSketch(fyne.Size{}, func(size fyne.Size) canvas.Picture { return preview(ink, size) })
	title := styledText(exampleTitle(name), textSize, false, k.Ink)
	card := newTapArea(container.New(cardLayout{}, rounded(k.Card, k.Border, 1, 8), preview, title), func() {
		w.tips.hide()
		w.OpenExample(name)
	})
	return newHinted(w.tips, exampleHelp(name), card)
}

// exampleHelp says what an example is.
func exampleHelp(name string) string {
	d, err := example(name)
	if err != nil {
		return ""
	}
	help := d.Title + ", " + plural(len(d.Parts), "part", "parts")
	if len(d.Modes) > 0 {
		help += ", " + plural(len(d.Modes), "mode", "modes")
	}
	return help + ". A click, or Enter, opens a copy."
}

// exampleInk is an example's symbols, wires and ribbons. Text would not be legible
// on a card, and chevrons and the sign of a stack would be blots.
func exampleInk(name string, look canvas.Theme, standard symbol.Standard) []canvas.Item {
	d, err := example(name)
	if err != nil {
		return nil
	}
	r, _ := analysis.Solve(context.Background(), d, analysis.Options{Mode: livelyMode(d)})
	s := scene.Build(unstacked(d), r, scene.Options{Theme: look, Standard: standard, Show: scene.Show{Ribbons: true}})
	var ink []canvas.Item
	for _, item := range s.Picture.Items {
		if path, ok := item.(*canvas.Path); ok && path.Stroke != look.Current {
			ink = append(ink, path)
		}
	}
	return ink
}

// unstacked is a drawing with one part in the place of each stack.
func unstacked(d *model.Diagram) *model.Diagram {
	one := *d
	one.Parts = nil
	for _, p := range d.Parts {
		p = p.Clone()
		p.Count = 0
		one.Parts = append(one.Parts, p)
	}
	return &one
}

// preview fits a drawing into the picture of a card.
func preview(ink []canvas.Item, size fyne.Size) canvas.Picture {
	const thinnest = 0.9
	wide, high := float64(size.Width), float64(size.Height)
	pad := previewPad * wide / previewWidth
	b := (&canvas.Picture{Items: ink}).Bounds()
	scale := min((wide-2*pad)/b.Width(), (high-2*pad)/b.Height())
	c := b.Center()
	return canvas.Picture{Items: drawn(ink, scale, canvas.Pt(wide/2-c.X*scale, high/2-c.Y*scale), thinnest)}
}

// livelyMode is the second mode of a drawing: in the first, by custom, all is
// off.
func livelyMode(d *model.Diagram) string {
	if len(d.Modes) < 2 {
		return ""
	}
	return d.Modes[1].Name
}

// cardLayout puts the ground of a card under its picture and its name.
type cardLayout struct{}

// cardName is the height of the line with the name.
func cardName() float32 { return grown(26) }

func (cardLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Resize(size)
	high := size.Height - cardName()
	wide := high * previewWidth / previewHeight
	objects[1].Move(fyne.NewPos(float32(int((size.Width-wide)/2)), 0))
	objects[1].Resize(fyne.NewSize(wide, high))
	m := objects[2].MinSize()
	objects[2].Resize(m)
	objects[2].Move(fyne.NewPos(float32(int((size.Width-m.Width)/2)), float32(int(high+(cardName()-m.Height)/2-3))))
}

func (cardLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.Size{} }

// greetingLayout puts the words above the cards, in the middle of the sheet, on
// paper without the dots of the grid.
// Where there is too little room the cards shrink, then some are left out, then
// all, and then the last of the words.
type greetingLayout struct{ g *greeting }

const (
	greetingMargin = 20 // at its sides
	greetingHead   = 10 // above and below it
	lineGap        = 5
	offerGap       = 19 // from the words to the line above the cards
)

func (l greetingLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	if len(objects) < 4 {
		return
	}
	ground, words, offer, cards := objects[0], objects[1].(*fyne.Container), objects[2], objects[3].(*fyne.Container)
	width, height := size.Width-2*greetingMargin, size.Height-2*greetingHead
	refill(words, l.g.words(width, height)...)
	said, offered := ceil(words.MinSize().Height), ceil(offer.MinSize().Height)
	head := said + offerGap + offered + greetingGap
	grid := gridOf(len(cards.Objects), width, height-head)
	show(offer, grid.n > 0)
	show(cards, grid.n > 0)
	if grid.n == 0 {
		y := float32(int((size.Height - said) / 2))
		put(words, greetingMargin, y, width, said)
		put(ground, 0, max(y-greetingHead, 0), size.Width, min(said+2*greetingHead, size.Height))
		return
	}
	y := float32(int((size.Height - head - grid.height()) * 0.42))
	wide := max(words.MinSize().Width, grid.rowWidth()) + 2*greetingMargin
	top := max(y-greetingHead, 0)
	put(ground, float32(int((size.Width-wide)/2)), top, wide, min(y+head+grid.height()+greetingHead, size.Height)-top)
	put(words, greetingMargin, y, width, said)
	put(offer, greetingMargin, y+said+offerGap, width, offered)
	cards.Layout = grid
	put(cards, greetingMargin, y+head, width, grid.height())
}

func put(o fyne.CanvasObject, x, y, width, height float32) {
	o.Move(fyne.NewPos(x, y))
	o.Resize(fyne.NewSize(width, height))
}

func show(o fyne.CanvasObject, wanted bool) {
	if wanted {
		o.Show()
		return
	}
	o.Hide()
}

func (greetingLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.Size{} }

// centred puts its object in the middle of its room.
type centred struct{}

func (centred) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	m := objects[0].MinSize()
	objects[0].Resize(m)
	objects[0].Move(fyne.NewPos(float32(int((size.Width-m.Width)/2)), float32(int((size.Height-m.Height)/2))))
}

func (centred) MinSize(objects []fyne.CanvasObject) fyne.Size { return objects[0].MinSize() }

// cardGrid lays cards out in centred rows, once it knows the room.
type cardGrid struct {
	n, perRow int     // of the cards that have room
	width     float32 // of a card
}

// The sizes of a card. One that is narrower than the least tells nothing.
const (
	widestExample = 264
	leastExample  = 72 // for text of the usual size
)

// gridOf makes n cards as large as they may be in the room, but no larger than
// they are to be. Where even small ones have no room it has fewer.
func gridOf(n int, width, height float32) cardGrid {
	const step = 4
	narrowest := grown(leastExample)
	for w := float32(widestExample); w >= narrowest; w -= step {
		if g := rowsOf(n, width, w); g.perRow > 0 && g.height() <= height {
			return g
		}
	}
	least := rowsOf(n, width, narrowest)
	rows := int((height + greetingGap) / (least.cardHeight() + greetingGap))
	if most := perRow(width, narrowest); rows > 0 && most > 0 {
		return rowsOf(min(n, rows*most), width, narrowest)
	}
	return cardGrid{}
}

// perRow is how many cards of a width have room beside each other.
func perRow(width, card float32) int { return int((width + greetingGap) / (card + greetingGap)) }

// rowsOf lays n cards of a width out in rows as equal as they can be.
func rowsOf(n int, width, card float32) cardGrid {
	most := min(n, perRow(width, card))
	if most <= 0 {
		return cardGrid{width: card}
	}
	rows := (n + most - 1) / most
	return cardGrid{n, (n + rows - 1) / rows, card}
}

// cardHeight is how high a card of the grid is.
func (g cardGrid) cardHeight() float32 {
	return float32(int(g.width*previewHeight/previewWidth)) + cardName()
}

// rowWidth is how wide a full row of cards is.
func (g cardGrid) rowWidth() float32 {
	return float32(g.perRow)*(g.width+greetingGap) - greetingGap
}

func (g cardGrid) height() float32 {
	rows := float32((g.n + g.perRow - 1) / g.perRow)
	return rows*(g.cardHeight()+greetingGap) - greetingGap
}

func (g cardGrid) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	if g.perRow == 0 {
		return
	}
	for i, o := range objects {
		show(o, i < g.n)
		row, column := i/g.perRow, i%g.perRow
		inRow := float32(min(g.perRow, g.n-row*g.perRow))
		left := (size.Width - inRow*(g.width+greetingGap) + greetingGap) / 2
		o.Resize(fyne.NewSize(g.width, g.cardHeight()))
		o.Move(fyne.NewPos(float32(int(left+float32(column)*(g.width+greetingGap))), float32(row)*(g.cardHeight()+greetingGap)))
	}
}

// MinSize is nothing: a grid takes what room there is.
func (cardGrid) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.Size{} }
