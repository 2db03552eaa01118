package ui

import (
	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"copperglass/analysis/drain"
	"copperglass/canvas"
)

const (
	cardWidth  = 220 // where there is room
	leastCard  = 168
	cardHeight = 92
	cardGap    = 14
	cardPad    = 14
	stripPad   = 20

	// the lines of a card
	nameTop = 11
	noteTop = 38
	runTop  = 62
)

// stripHeight is the height of the tray.
func stripHeight() float32 { return grown(152) }

// stripActions is what the strip of modes asks of the window.
type stripActions struct {
	choose func(mode string)
	add    func()
	help   string // on adding one
	menu   func(mode string, at fyne.Position)
	rename func(mode string) // asks for another name
	later  Later
	lasts  func(mode string) *drain.Discharge // of the battery in it; nil while that is not known
	warns  func(mode string) int              // how many cautions hold in it
	marks  func() bool                        // whether what changed from the mode before is marked
	mark   func()                             // marks it, or no longer
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
	head   *fyne.Container
	marked *prim.Text // whether what changed is marked
	change *tapArea   // around it
}

func newStrip(doc *Document, look canvas.Theme, t *tips, actions stripActions) *strip {
	s := &strip{stripActions: actions, doc: doc, look: look, tips: t}
	s.row = container.New(cardRow{})
	s.hint = styledText("", smallSize, false, look.Quiet)
	s.marked = styledText("", smallSize, false, look.Accent)
	s.change = newTapArea(s.marked, func() {
		s.mark()
		s.refresh()
	})
	s.head = container.New(heads{gap: 12}, styledText("Modes", headingSize, true, look.Ink), s.hint, s.change)
	s.scroll = container.NewHScroll(s.row)
	s.scroll.OnScrolled = func(fyne.Position) { t.hide() }
	s.object = container.New(stripLayout{s.row, s.hint}, s.head, s.scroll, s.addLink())
	s.refresh()
	return s
}

// refresh follows the document.
func (s *strip) refresh() {
	faces := modeFaces(s.doc, s.lasts, s.warns)
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
	s.marked.Text = "mark what changes"
	if s.marks() {
		s.marked.Text = "✓ what changes is marked"
	}
	show(s.change, len(faces) > 1)
	s.head.Refresh()
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
	link := newTapArea(container.New(leading{}, styledText(addWords, textSize, false, s.look.Accent)), s.add)
	return newHinted(s.tips, s.help, link)
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
	name, note, current string
	warning             string // that there are cautions
	run, brief, about   string // how long the battery lasts, in few letters, and in sentences
	chosen, fresh       bool
}

// modeFaces are the cards' faces for a document. Figures that are being worked
// out are not fresh and leave their place empty.
func modeFaces(doc *Document, lasts func(mode string) *drain.Discharge, warns func(mode string) int) []face {
	var faces []face
	a := doc.Answer()
	for i, m := range doc.Shown().Modes {
		f := face{name: m.Name, note: m.Note, chosen: m.Name == doc.Mode()}
		if i < len(a.Modes) && a.Modes[i].Name == m.Name {
			f.fresh = true
			if n := warns(m.Name); n > 0 {
				f.warning = plural(n, "caution", "cautions")
			}
			run := lasts(m.Name)
			f.run, f.brief = cardLasts(run)
			f.about = lastingWords(run, a.Modes[i].RunTime)
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
	warning *prim.Text
	run     *prim.Text
	clicked bool // a moment ago
}

func newCard(s *strip) *card {
	k := s.look
	c := &card{hint: hint{tips: s.tips}, strip: s}
	c.ground = rounded(k.Card, k.Border, 1, 8)
	c.name = styledText("", headingSize, true, k.Ink)
	c.current = styledText("", headingSize, true, k.Current)
	c.note = styledText("", textSize, false, k.Quiet)
	c.warning = styledText("", smallSize, false, k.Quiet)
	c.run = styledText("", textSize, false, k.Quiet)
	c.ExtendBaseWidget(c)
	return c
}

func (c *card) show(f face) {
	if c.face == f {
		return
	}
	c.face = f
	c.hint.text = "Click to see the circuit in this mode; a double click names it, the right button has more."
	if f.about != "" {
		c.hint.text = curly(f.about) + " " + c.hint.text
	}
	if f.note != "" {
		c.hint.text = sentence(f.note) + " " + c.hint.text
	}
	c.Refresh()
}

// Tapped chooses the mode, and asks for its name with a second click. The toolkit's
// own double click would let the first one wait.
func (c *card) Tapped(*fyne.PointEvent) {
	c.tips.hide()
	if c.clicked && c.face.chosen {
		c.strip.rename(c.face.name)
		return
	}
	c.strip.choose(c.face.name)
	c.clicked = true
	c.strip.later(fyne.CurrentApp().Driver().DoubleTapDelay(), func() { c.clicked = false })
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

func (r *cardRenderer) MinSize() fyne.Size { return fyne.NewSize(grown(leastCard), grown(cardHeight)) }

func (r *cardRenderer) Layout(size fyne.Size) {
	c, f := r.c, r.c.face
	c.ground.Resize(size)
	inner := size.Width - 2*cardPad
	c.current.Text = f.current
	beside := inner - c.current.MinSize().Width - 10
	currentTop, nameRoom, runRoom := grown(nameTop), beside, inner
	if textWidth(f.name, headingSize, true) > beside { // a long name has the line for itself
		currentTop, nameRoom, runRoom = grown(runTop)-1, inner, beside
	}
	c.name.Text = elide(f.name, nameRoom, headingSize, true)
	c.warning.Text = f.warning
	noteRoom := inner
	if f.warning != "" {
		noteRoom -= c.warning.MinSize().Width + 10
	}
	c.note.Text = elide(f.note, noteRoom, textSize, false)
	c.run.Text = f.run
	if textWidth(f.run, textSize, false) > runRoom {
		c.run.Text = elide(f.brief, runRoom, textSize, false)
	}
	place := func(t *prim.Text, x, y float32) {
		t.Resize(t.MinSize())
		t.Move(fyne.NewPos(float32(int(x)), y))
		t.Refresh()
	}
	place(c.name, cardPad, grown(nameTop))
	place(c.current, size.Width-cardPad-c.current.MinSize().Width, currentTop)
	place(c.note, cardPad, grown(noteTop))
	warningLeft := float32(cardPad)
	if f.note != "" {
		warningLeft = size.Width - cardPad - c.warning.MinSize().Width
	}
	place(c.warning, warningLeft, grown(noteTop)+1)
	place(c.run, cardPad, grown(runTop))
}

func (r *cardRenderer) Refresh() {
	g, k := r.c.ground, r.c.strip.look
	g.FillColor, g.StrokeColor, g.StrokeWidth = k.Card, k.Border, 1
	if r.c.face.chosen {
		g.FillColor, g.StrokeColor, g.StrokeWidth = k.Paper, k.Accent, 2
	}
	g.Refresh()
	r.Layout(r.c.Size())
}

func (r *cardRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.c.ground, r.c.name, r.c.current, r.c.note, r.c.warning, r.c.run}
}

func (r *cardRenderer) Destroy() {}

// newAddCard is the last card: it makes a mode.
func newAddCard(s *strip) fyne.CanvasObject {
	k := s.look
	edge := newSketch(fyne.NewSize(grown(leastCard), grown(cardHeight)), func(size fyne.Size) canvas.Picture {
		letters := float64(textSize * textScale())
		r := canvas.Rect{Max: canvas.Pt(float64(size.Width), float64(size.Height))}.Inset(0.5)
		dashed := canvas.Style{Stroke: k.Border, Width: 1.2, Dash: []float64{5, 4}}
		word := &canvas.Text{At: canvas.Pt(r.Center().X, r.Center().Y+canvas.CapHeight(letters)/2), String: addWords,
			Size: letters, Colour: k.Quiet, Align: canvas.Middle}
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
	w := float32(int(max(grown(leastCard), min(grown(cardWidth), (size.Width-(n-1)*cardGap)/n))))
	for i, o := range objects {
		o.Resize(fyne.NewSize(w, grown(cardHeight)))
		o.Move(fyne.NewPos(float32(i)*(w+cardGap), 0))
	}
}

func (cardRow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	n := float32(len(objects))
	return fyne.NewSize(n*grown(leastCard)+(n-1)*cardGap, grown(cardHeight))
}

// stripLayout puts the heading above the cards.
type stripLayout struct {
	row  *fyne.Container
	hint *prim.Text
}

func (l stripLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Move(fyne.NewPos(stripPad, 10))
	objects[0].Resize(fyne.NewSize(size.Width-2*stripPad, grown(24)))
	objects[1].Move(fyne.NewPos(stripPad, grown(42)))
	objects[1].Resize(fyne.NewSize(max(size.Width-2*stripPad, 0), size.Height-grown(42)-4))
	link := objects[2]
	link.Resize(link.MinSize())
	link.Move(fyne.NewPos(float32(int(size.Width-stripPad-link.MinSize().Width)), 10))
	if l.row.MinSize().Width > size.Width-2*stripPad {
		link.Show()
	} else {
		link.Hide()
	}
	show(l.hint, stripPad+objects[0].MinSize().Width < link.Position().X-cardGap)
}

func (stripLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, stripHeight()) }

// heads puts quiet remarks behind a heading, on its baseline.
type heads struct{ gap float32 }

func (l heads) Layout(objects []fyne.CanvasObject, _ fyne.Size) {
	m := objects[0].MinSize()
	objects[0].Resize(m)
	objects[0].Move(fyne.NewPos(0, 0))
	x := ceil(m.Width)
	for _, o := range objects[1:] {
		if !o.Visible() {
			continue
		}
		n := o.MinSize()
		o.Resize(n)
		o.Move(fyne.NewPos(x+l.gap, ceil((m.Height-n.Height)*0.72)))
		x += l.gap + ceil(n.Width)
	}
}

func (l heads) MinSize(objects []fyne.CanvasObject) fyne.Size {
	m := objects[0].MinSize()
	m.Width = ceil(m.Width)
	for _, o := range objects[1:] {
		if o.Visible() {
			m.Width += l.gap + ceil(o.MinSize().Width)
		}
	}
	return m
}
