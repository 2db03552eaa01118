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
	row := container.New(flow{gap: greetingGap})
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
	preview := newSketch(fyne.NewSize(previewWidth, previewHeight), func(fyne.Size) canvas.Picture { return picture })
	title := container.New(centred{}, styledText(elide(exampleTitle(name), previewWidth-8, textSize, false), textSize, false, k.Ink))
	body := container.New(column{gap: 3, pad: 5}, preview, title)
	card := container.NewStack(rounded(k.Card, k.Edge, 1, 8), body)
	return newTapArea(card, func() { w.OpenExample(name) })
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

// greetingLayout puts the words above the cards, in the middle of the sheet.
type greetingLayout struct{}

func (greetingLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	if len(objects) < 2 {
		return
	}
	words, cards := objects[0], objects[1]
	width := min(size.Width-40, 5*(previewWidth+greetingGap+10))
	cards.Resize(fyne.NewSize(width, 0))
	m, n := words.MinSize().Height, cards.MinSize().Height
	x, y := float32(int((size.Width-width)/2)), float32(int(max((size.Height-m-n-greetingGap)*0.42, 10)))
	words.Move(fyne.NewPos(x, y))
	words.Resize(fyne.NewSize(width, m))
	cards.Move(fyne.NewPos(x, y+ceil(m)+greetingGap))
	cards.Resize(fyne.NewSize(width, n))
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

// flow lays objects of one size out in centred rows, as many in each as there
// is room for.
type flow struct{ gap float32 }

func (l flow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	if len(objects) == 0 {
		return
	}
	m := objects[0].MinSize()
	perRow := l.perRow(m, size.Width, len(objects))
	for i, o := range objects {
		inRow := min(perRow, len(objects)-i/perRow*perRow)
		left := (size.Width - float32(inRow)*(m.Width+l.gap) + l.gap) / 2
		o.Resize(m)
		o.Move(fyne.NewPos(float32(int(left+float32(i%perRow)*(m.Width+l.gap))), float32(int(float32(i/perRow)*(m.Height+l.gap)))))
	}
}

func (l flow) perRow(each fyne.Size, width float32, n int) int {
	return max(1, min(n, int((width+l.gap)/(each.Width+l.gap))))
}

// MinSize is that of one row: a flow is given its width first.
func (l flow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	if len(objects) == 0 {
		return fyne.Size{}
	}
	return objects[0].MinSize()
}
