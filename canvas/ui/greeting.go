package ui

import (
	"context"

	"fyne.io/fyne/v2"
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
	return &greeting{window: w, object: container.New(greetingLayout{})}
}

// refresh shows or hides the greeting as the drawing wants it.
func (g *greeting) refresh() {
	w := g.window
	d := w.doc.Shown()
	wanted := len(d.Parts)+len(d.Wires) == 0 && !w.doc.editor.Busy() && !w.doc.editor.DrawingWires()
	switch {
	case wanted && len(g.object.Objects) == 0:
		refill(g.object, g.words(), g.cards())
	case !wanted && len(g.object.Objects) > 0:
		refill(g.object)
	}
}

// words say how to begin, in three lines.
func (g *greeting) words() fyne.CanvasObject {
	look := g.window.look
	told := func(name string) string { return g.window.menu.table.named(name).told() }
	box := container.New(column{gap: 5})
	for _, line := range []string{
		"Click a part at the left, or press its letter; then click, or " + told("act") + ", where it belongs.",
		"Drag from a pin to draw a wire. It joins where it ends on a pin or on another wire.",
		"Every circuit needs a ground, the net that is 0 V. " + told("commands") + " lists all there is to do.",
	} {
		box.Add(container.New(centred{}, styledText(line, textSize, false, look.Quiet)))
	}
	box.Add(gap(14))
	box.Add(container.New(centred{}, styledText("Or open an example", headingSize, true, look.Ink)))
	return box
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
	picture := examplePicture(name, k, w.settings.standard)
	preview := newSketch(fyne.Size{}, func(size fyne.Size) canvas.Picture {
		return canvas.Picture{Items: scaled(picture.Items, float64(size.Width/previewWidth), canvas.Point{})}
	})
	title := styledText(exampleTitle(name), textSize, false, k.Ink)
	return newTapArea(container.New(cardLayout{}, rounded(k.Card, k.Edge, 1, 8), preview, title), func() { w.OpenExample(name) })
}

// examplePicture draws an example's symbols, wires and ribbons as small as a
// card; text would not be legible there.
func examplePicture(name string, look canvas.Theme, standard symbol.Standard) canvas.Picture {
	d, err := example(name)
	if err != nil {
		return canvas.Picture{}
	}
	r, _ := analysis.Solve(context.Background(), d, analysis.Options{Mode: livelyMode(d)})
	s := scene.Build(d, r, scene.Options{Theme: look, Standard: standard, Show: scene.Show{Ribbons: true}})
	var ink []canvas.Item
	for _, item := range s.Picture.Items {
		if path, ok := item.(*canvas.Path); ok {
			ink = append(ink, path)
		}
	}
	b := (&canvas.Picture{Items: ink}).Bounds()
	scale := min((previewWidth-2*previewPad)/b.Width(), (previewHeight-2*previewPad)/b.Height())
	c := b.Center()
	return canvas.Picture{Items: scaled(ink, scale, canvas.Pt(previewWidth/2-c.X*scale, previewHeight/2-c.Y*scale))}
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

const cardName = 26 // height of the line with the name

func (cardLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Resize(size)
	high := size.Height - cardName
	wide := high * previewWidth / previewHeight
	objects[1].Move(fyne.NewPos(float32(int((size.Width-wide)/2)), 0))
	objects[1].Resize(fyne.NewSize(wide, high))
	m := objects[2].MinSize()
	objects[2].Resize(m)
	objects[2].Move(fyne.NewPos(float32(int((size.Width-m.Width)/2)), float32(int(high+(cardName-m.Height)/2-3))))
}

func (cardLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.Size{} }

// greetingLayout puts the words above the cards, in the middle of the sheet.
type greetingLayout struct{}

func (greetingLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	if len(objects) < 2 {
		return
	}
	const margin = 20
	words, cards := objects[0], objects[1].(*fyne.Container)
	width, m := size.Width-2*margin, ceil(words.MinSize().Height)
	grid := gridOf(len(cards.Objects), width, size.Height-m-greetingGap-2*margin)
	y := float32(int((size.Height - m - greetingGap - grid.height()) * 0.42))
	words.Move(fyne.NewPos(margin, y))
	words.Resize(fyne.NewSize(width, m))
	cards.Layout = grid
	cards.Move(fyne.NewPos(margin, y+m+greetingGap))
	cards.Resize(fyne.NewSize(width, grid.height()))
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
	n, perRow int
	width     float32 // of a card
}

// gridOf makes n cards as large as they may be in the room, but no larger than
// they are to be.
func gridOf(n int, width, height float32) cardGrid {
	const widest, least, step = 166, 72, 4
	for w := float32(widest); ; w -= step {
		most := max(1, min(n, int((width+greetingGap)/(w+greetingGap))))
		rows := max(1, (n+most-1)/most)
		g := cardGrid{n, max(1, (n+rows-1)/rows), w} // rows as equal as they can be
		if g.height() <= height || w <= least {
			return g
		}
	}
}

// cardHeight is how high a card of the grid is.
func (g cardGrid) cardHeight() float32 {
	return float32(int(g.width*previewHeight/previewWidth)) + cardName
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
		row, column := i/g.perRow, i%g.perRow
		inRow := float32(min(g.perRow, len(objects)-row*g.perRow))
		left := (size.Width - inRow*(g.width+greetingGap) + greetingGap) / 2
		o.Resize(fyne.NewSize(g.width, g.cardHeight()))
		o.Move(fyne.NewPos(float32(int(left+float32(column)*(g.width+greetingGap))), float32(row)*(g.cardHeight()+greetingGap)))
	}
}

// MinSize is nothing: a grid takes what room there is.
func (cardGrid) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.Size{} }
