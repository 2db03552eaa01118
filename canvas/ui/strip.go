package ui

import (
	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
)

const (
	cardWidth   = 220 // where there is room
	leastCard   = 168
	cardHeight  = 92
	cardGap     = 14
	cardPad     = 14
	stripPad    = 20
	stripHeight = 152

	// the lines of a card
	nameTop = 11
	noteTop = 38
	runTop  = 62
)

// stripActions is what the strip of modes asks of the window.
type stripActions struct {
	choose func(mode string)
	add    func()
	help   string // on adding one
	menu   func(mode string, at fyne.Position)
}

// strip is the tray below the sheet: a card for each mode.
type strip struct {
	stripActions
	doc    *Document
	look   canvas.Theme
	tips   *tips
	object fyne.CanvasObject

	cards  []*card
	row    *fyne.Container
	scroll *container.Scroll
	hint   *prim.Text
}

func newStrip(doc *Document, look canvas.Theme, t *tips, actions stripActions) *strip {
	s := &strip{stripActions: actions, doc: doc, look: look, tips: t}
	s.row = container.New(cardRow{})
	s.hint = styledText("", smallSize, false, look.Quiet)
	head := container.New(heads{gap: 12}, styledText("Modes", headingSize, true, look.Ink), s.hint)
	s.scroll = container.NewHScroll(s.row)
	s.object = container.New(stripLayout{s.row}, head, s.scroll, s.addLink())
	s.refresh()
	return s
}

// refresh follows the document.
func (s *strip) refresh() {
	faces := modeFaces(s.doc)
	if len(faces) != len(s.cards) || len(s.row.Objects) == 0 {
		s.build(len(faces))
	}
	for i, f := range faces {
		s.cards[i].show(f)
	}
	s.hint.Text = "click one to see the circuit in it"
	if ref := s.doc.stepper(); ref != "" {
		s.hint.Text = "double-click " + ref + " to step through"
	}
	if len(faces) == 0 {
		s.hint.Text = "a mode says what the pins of a chip and the switches do"
	}
	s.hint.Refresh()
}

func (s *strip) build(n int) {
	s.cards = nil
	var row []fyne.CanvasObject
	for range n {
		c := newCard(s)
		s.cards = append(s.cards, c)
		row = append(row, c)
	}
	refill(s.row, append(row, newAddCard(s))...)
	s.object.Refresh()
}

// addWords are what makes a mode.
const addWords = "+ add a mode"

// addLink stands in for the last card where that is out of view.
func (s *strip) addLink() fyne.CanvasObject {
	return newTapArea(container.New(leading{}, styledText(addWords, textSize, false, s.look.Accent)), s.add)
}

// reveal brings the chosen card into view.
func (s *strip) reveal() {
	for _, c := range s.cards {
		if !c.face.chosen {
			continue
		}
		left, right := c.Position().X, c.Position().X+c.Size().Width
		x := max(min(s.scroll.Offset.X, left), right-s.scroll.Size().Width)
		if x != s.scroll.Offset.X {
			s.scroll.ScrollToOffset(fyne.NewPos(x, 0))
		}
	}
}

// face is what a card says.
type face struct {
	name, note, current, run string
	chosen, fresh            bool
}

// modeFaces are the cards' faces for a document. Figures that are being worked
// out are not fresh and leave their place empty.
func modeFaces(doc *Document) []face {
	var faces []face
	a := doc.Answer()
	for i, m := range doc.Shown().Modes {
		f := face{name: m.Name, note: m.Note, chosen: m.Name == doc.Mode()}
		if i < len(a.Modes) && a.Modes[i].Name == m.Name {
			f.fresh = true
			f.run = runTime(a.Modes[i].RunTime)
			f.current = "not solved"
			if r := a.Modes[i].Result; r != nil && r.Solved {
				f.current = amps(a.Modes[i].SupplyCurrent)
			}
		}
		faces = append(faces, f)
	}
	return faces
}

// card is one mode.
type card struct {
	widget.BaseWidget
	hint
	strip   *strip
	face    face
	ground  *prim.Rectangle
	name    *prim.Text
	current *prim.Text
	note    *prim.Text
	run     *prim.Text
}

func newCard(s *strip) *card {
	k := s.look
	c := &card{hint: hint{tips: s.tips}, strip: s}
	c.ground = rounded(k.Card, k.Edge, 1, 8)
	c.name = styledText("", headingSize, true, k.Ink)
	c.current = styledText("", headingSize, true, k.Current)
	c.note = styledText("", textSize, false, k.Quiet)
	c.run = styledText("", textSize, false, k.Quiet)
	c.ExtendBaseWidget(c)
	return c
}

func (c *card) show(f face) {
	if c.face == f {
		return
	}
	c.face = f
	c.hint.text = "Click to see the circuit in this mode; the right button has more."
	if f.note != "" {
		c.hint.text = sentence(f.note) + " " + c.hint.text
	}
	c.Refresh()
}

// Tapped chooses the mode.
func (c *card) Tapped(*fyne.PointEvent) {
	c.tips.hide()
	c.strip.choose(c.face.name)
}

// TappedSecondary opens the mode's menu.
func (c *card) TappedSecondary(e *fyne.PointEvent) {
	c.tips.hide()
	c.strip.menu(c.face.name, e.AbsolutePosition)
}

// Cursor says that it can be clicked.
func (c *card) Cursor() desktop.Cursor { return desktop.PointerCursor }

func (c *card) CreateRenderer() fyne.WidgetRenderer { return &cardRenderer{c} }

type cardRenderer struct{ c *card }

func (r *cardRenderer) MinSize() fyne.Size { return fyne.NewSize(leastCard, cardHeight) }

func (r *cardRenderer) Layout(size fyne.Size) {
	c, f := r.c, r.c.face
	c.ground.Resize(size)
	inner := size.Width - 2*cardPad
	c.current.Text = f.current
	beside := inner - c.current.MinSize().Width - 10
	currentTop, nameRoom, runRoom := float32(nameTop), beside, inner
	if textWidth(f.name, headingSize, true) > beside { // a long name has the line for itself
		currentTop, nameRoom, runRoom = runTop-1, inner, beside
	}
	c.name.Text = elide(f.name, nameRoom, headingSize, true)
	c.note.Text = elide(f.note, inner, textSize, false)
	c.run.Text = elide(f.run, runRoom, textSize, false)
	place := func(t *prim.Text, x, y float32) {
		t.Resize(t.MinSize())
		t.Move(fyne.NewPos(float32(int(x)), y))
		t.Refresh()
	}
	place(c.name, cardPad, nameTop)
	place(c.current, size.Width-cardPad-c.current.MinSize().Width, currentTop)
	place(c.note, cardPad, noteTop)
	place(c.run, cardPad, runTop)
}

func (r *cardRenderer) Refresh() {
	g, k := r.c.ground, r.c.strip.look
	g.FillColor, g.StrokeColor, g.StrokeWidth = k.Card, k.Edge, 1
	if r.c.face.chosen {
		g.FillColor, g.StrokeColor, g.StrokeWidth = k.Paper, k.Accent, 2
	}
	g.Refresh()
	r.Layout(r.c.Size())
}

func (r *cardRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.c.ground, r.c.name, r.c.current, r.c.note, r.c.run}
}

func (r *cardRenderer) Destroy() {}

// newAddCard is the last card: it makes a mode.
func newAddCard(s *strip) fyne.CanvasObject {
	k := s.look
	edge := newSketch(fyne.NewSize(leastCard, cardHeight), func(size fyne.Size) canvas.Picture {
		r := canvas.Rect{Max: canvas.Pt(float64(size.Width), cardHeight)}.Inset(0.5)
		dashed := canvas.Style{Stroke: k.Edge, Width: 1.2, Dash: []float64{5, 4}}
		word := &canvas.Text{At: canvas.Pt(r.Center().X, cardHeight/2+canvas.CapHeight(textSize)/2), String: addWords,
			Size: textSize, Colour: k.Quiet, Align: canvas.Middle}
		return canvas.Picture{Items: []canvas.Item{(&canvas.Path{Style: dashed}).RoundRect(r, 8), word}}
	})
	return newHinted(s.tips, s.help, newTapArea(edge, func() {
		s.tips.hide()
		s.add()
	}))
}

// cardRow lays cards side by side, narrower where there are many.
type cardRow struct{}

func (cardRow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	n := float32(len(objects))
	w := float32(int(max(leastCard, min(cardWidth, (size.Width-(n-1)*cardGap)/n))))
	for i, o := range objects {
		o.Resize(fyne.NewSize(w, cardHeight))
		o.Move(fyne.NewPos(float32(i)*(w+cardGap), 0))
	}
}

func (cardRow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	n := float32(len(objects))
	return fyne.NewSize(n*leastCard+(n-1)*cardGap, cardHeight)
}

// stripLayout puts the heading above the cards.
type stripLayout struct{ row *fyne.Container }

func (l stripLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Move(fyne.NewPos(stripPad, 10))
	objects[0].Resize(fyne.NewSize(size.Width-2*stripPad, 24))
	objects[1].Move(fyne.NewPos(stripPad, 42))
	objects[1].Resize(fyne.NewSize(max(size.Width-2*stripPad, 0), size.Height-46))
	link := objects[2]
	link.Resize(link.MinSize())
	link.Move(fyne.NewPos(float32(int(size.Width-stripPad-link.MinSize().Width)), 10))
	if l.row.MinSize().Width > size.Width-2*stripPad {
		link.Show()
	} else {
		link.Hide()
	}
}

func (stripLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, stripHeight) }

// heads puts a quiet remark behind a heading, on its baseline.
type heads struct{ gap float32 }

func (l heads) Layout(objects []fyne.CanvasObject, _ fyne.Size) {
	m := objects[0].MinSize()
	objects[0].Resize(m)
	objects[0].Move(fyne.NewPos(0, 0))
	n := objects[1].MinSize()
	objects[1].Resize(n)
	objects[1].Move(fyne.NewPos(ceil(m.Width)+l.gap, ceil((m.Height-n.Height)*0.72)))
}

func (l heads) MinSize(objects []fyne.CanvasObject) fyne.Size {
	m, n := objects[0].MinSize(), objects[1].MinSize()
	return fyne.NewSize(ceil(m.Width)+l.gap+n.Width, m.Height)
}
