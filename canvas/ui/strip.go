package ui

import (
	"slices"
	"strings"

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
	widestCard = 330 // for long notes
	leastCard  = 168
	cardHeight = 92
	cardGap    = 14
	cardPad    = 14
	beside     = 10 // between two texts on a line
	stripPad   = 20
)

// cardLines are where the lines of all cards begin.
type cardLines struct {
	name, note, more, run float32
	notes                 int // lines of a note
}

// linesOfCards leave room for a second line of the notes where one needs it.
func linesOfCards(wrapped bool) cardLines {
	if wrapped {
		return cardLines{name: grown(7), note: grown(29), more: grown(46), run: grown(67), notes: 2}
	}
	return cardLines{name: grown(11), note: grown(38), run: grown(62), notes: 1}
}

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
	since  func() string                      // the mode that the marks tell from, "" for none
}

// strip is the tray below the sheet: a card for each mode.
type strip struct {
	stripActions
	doc    *Document
	look   canvas.Theme
	tips   *tips
	object fyne.CanvasObject

	cards    []*card
	row      *fyne.Container
	cells    *cardRow // how the row is laid out
	lines    cardLines
	headRoom float32 // for what stands above the cards
	scroll   *container.Scroll
	hint     *prim.Text
	head     *fyne.Container
	marked   *prim.Text // whether what changed is marked
	change   *tapArea   // around it
}

func newStrip(doc *Document, look canvas.Theme, t *tips, actions stripActions) *strip {
	s := &strip{stripActions: actions, doc: doc, look: look, tips: t}
	s.cells, s.lines = &cardRow{settle: s.settle}, linesOfCards(false)
	s.row = container.New(s.cells)
	s.hint = styledText("", smallSize, false, look.Quiet)
	s.marked = styledText("", smallSize, false, look.Accent)
	s.change = newTapArea(s.marked, func() {
		s.mark()
		s.refresh()
	})
	s.head = container.New(heads{gap: 12}, styledText("Modes", headingSize, true, look.Ink), s.hint, s.change)
	s.scroll = container.NewHScroll(s.row)
	s.scroll.OnScrolled = func(fyne.Position) { t.hide() }
	s.object = container.New(stripLayout{s}, s.head, newThemed(s.scroll, shadeless{newFyneTheme(look, textScale())}), s.addLink())
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
	s.fit(faces)
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
		if from := s.since(); from != "" {
			s.marked.Text = "✓ what was otherwise in " + elide(from, grown(leastCard), smallSize, false) + " is marked"
		}
	}
	s.fitHead()
	s.head.Refresh()
}

// fit makes room for the longest note.
func (s *strip) fit(faces []face) {
	wanted := float32(0)
	for _, f := range faces {
		wanted = max(wanted, min(f.width(), grown(widestCard)))
	}
	if wanted != s.cells.wanted {
		s.cells.wanted = wanted
		s.object.Refresh()
		s.row.Refresh()
	}
	s.settle()
}

// settle puts the lines of all cards where the notes leave them.
func (s *strip) settle() {
	lines := linesOfCards(slices.ContainsFunc(s.cards, (*card).wraps))
	if lines == s.lines {
		return
	}
	s.lines = lines
	for _, c := range s.cards {
		c.Refresh()
	}
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

// addLink stands in for the last card where there is no room for that.
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

// width is what a card takes to say the name and the note whole. It leaves room
// for any current, so that it does not change with the figures.
func (f face) width() float32 {
	note := textWidth(f.note, textSize, false)
	if f.warning != "" {
		note += beside + textWidth(f.warning, smallSize, false)
	}
	return max(f.nameWidth(), ceil(note)+2*cardPad+1)
}

// nameWidth is what a card takes to say the name whole, beside any current or
// that there is none.
func (f face) nameWidth() float32 {
	return ceil(textWidth(f.name, headingSize, true)+beside+textWidth(notSolved, headingSize, true)) + 2*cardPad + 1
}

// notSolved stands in a card for the current.
const notSolved = "not solved"

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
			f.current = notSolved
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
	more    *prim.Text // of the note
	warning *prim.Text
	run     *prim.Text
	clicked bool // a moment ago
	wrapped bool // whether the note takes more than a line, of
	noted   cardNote
}

// cardNote is what the lines of a note depend on.
type cardNote struct {
	note, warning string
	width         float32
}

// wraps reports whether the note takes more than a line.
func (c *card) wraps() bool {
	if now := (cardNote{c.face.note, c.face.warning, c.Size().Width}); now != c.noted {
		c.noted = now
		c.wrapped = now.width > 0 && textWidth(now.note, textSize, false) > c.noteRoom()
	}
	return c.wrapped
}

// noteRoom is the width of the note's lines.
func (c *card) noteRoom() float32 {
	room := c.Size().Width - 2*cardPad
	if c.face.warning != "" {
		room -= textWidth(c.face.warning, smallSize, false) + beside
	}
	return room
}

// noteLines is the note in as many lines as there may be.
func (c *card) noteLines() (first, second string) {
	lines := wrap(c.face.note, c.noteRoom(), textSize, false)
	if len(lines) == 1 || c.strip.lines.notes == 1 {
		return elide(c.face.note, c.noteRoom(), textSize, false), ""
	}
	return lines[0], elide(strings.Join(lines[1:], " "), c.Size().Width-2*cardPad, textSize, false)
}

func newCard(s *strip) *card {
	k := s.look
	c := &card{hint: hint{tips: s.tips}, strip: s}
	c.ground = rounded(k.Card, k.Border, 1, 8)
	c.name = styledText("", headingSize, true, k.Ink)
	c.current = styledText("", headingSize, true, k.Current)
	c.note = styledText("", textSize, false, k.Quiet)
	c.more = styledText("", textSize, false, k.Quiet)
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
	if f.nameWidth() > grown(leastCard) { // it may not be whole on the card
		c.hint.text = sentence(f.name) + " " + c.hint.text
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
	c.name.Text = elide(f.name, inner-c.current.MinSize().Width-beside, headingSize, true)
	c.warning.Text = f.warning
	c.note.Text, c.more.Text = c.noteLines()
	c.run.Text = f.run
	if textWidth(f.run, textSize, false) > inner {
		c.run.Text = elide(f.brief, inner, textSize, false)
	}
	place := func(t *prim.Text, x, y float32) {
		t.Resize(t.MinSize())
		t.Move(fyne.NewPos(float32(int(x)), y))
		t.Refresh()
	}
	at := c.strip.lines
	place(c.name, cardPad, at.name)
	place(c.current, size.Width-cardPad-c.current.MinSize().Width, at.name)
	place(c.note, cardPad, at.note)
	place(c.more, cardPad, at.more)
	warningLeft := float32(cardPad)
	if f.note != "" {
		warningLeft = size.Width - cardPad - c.warning.MinSize().Width
	}
	place(c.warning, warningLeft, at.note+1)
	place(c.run, cardPad, at.run)
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
	return []fyne.CanvasObject{r.c.ground, r.c.name, r.c.current, r.c.note, r.c.more, r.c.warning, r.c.run}
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

// cardRow lays cards side by side, narrower where there are many. The last one,
// which has nothing to say, leaves its room to long notes, and is left out where
// they do not all fit. Where even so they do not, as many as do stand whole in
// what is seen of the row.
type cardRow struct {
	wanted float32 // width of a card that says all
	seen   float32 // width of the view
	settle func()  // is told when the cards have other widths
}

// fits reports whether n cards can be seen at once.
func (r *cardRow) fits(n int) bool { return n == 1 || r.most() >= n }

// most is how many cards can be seen at once.
func (r *cardRow) most() int { return max(1, int((r.seen+cardGap)/(grown(leastCard)+cardGap))) }

// share is the width of each of n cards that take up all that is seen.
func (r *cardRow) share(n int) float32 {
	return float32(int(max(grown(leastCard), (r.seen+cardGap)/float32(n)-cardGap)))
}

// widths are those of each of n cards, and of the last one where it fits.
func (r *cardRow) widths(n int) (each, last float32) {
	switch usual := max(r.wanted, grown(cardWidth)); {
	case n == 1:
		return r.share(1), r.share(1)
	case !r.fits(n) && r.fits(n-1):
		return min(usual, r.share(n-1)), 0
	case !r.fits(n):
		return r.share(r.most()), 0
	}
	w := min(r.share(n), grown(cardWidth))
	spare := float32(int((r.seen-grown(leastCard))/float32(n-1))) - cardGap
	each = max(w, min(r.wanted, spare))
	return each, min(each, r.seen-float32(n-1)*(each+cardGap))
}

func (r *cardRow) Layout(objects []fyne.CanvasObject, _ fyne.Size) {
	each, last := r.widths(len(objects))
	for i, o := range objects {
		w := each
		if i == len(objects)-1 {
			w = last
			show(o, w > 0)
		}
		o.Resize(fyne.NewSize(w, grown(cardHeight)))
		o.Move(fyne.NewPos(float32(i)*(each+cardGap), 0))
	}
	r.settle()
}

func (r *cardRow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	n := len(objects)
	each, last := r.widths(n)
	wide := float32(n-1)*(each+cardGap) + last
	if last == 0 {
		wide -= cardGap
	}
	return fyne.NewSize(wide, grown(cardHeight))
}

// stripLayout puts the heading above the cards.
type stripLayout struct{ *strip }

func (l stripLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	seen := max(size.Width-2*stripPad, 0)
	moved := seen != l.cells.seen
	l.cells.seen = seen
	objects[0].Move(fyne.NewPos(stripPad, 10))
	objects[0].Resize(fyne.NewSize(size.Width-2*stripPad, grown(24)))
	objects[1].Move(fyne.NewPos(stripPad, grown(42)))
	objects[1].Resize(fyne.NewSize(seen, size.Height-grown(42)-4))
	objects[1].Refresh() // the cards' width may be another in the same room
	if moved {
		l.reveal()
	}
	link := objects[2]
	link.Resize(link.MinSize())
	link.Move(fyne.NewPos(float32(int(size.Width-stripPad-link.MinSize().Width)), 10))
	show(link, !l.cells.fits(len(l.row.Objects)))
	l.headRoom = size.Width - 2*stripPad
	if link.Visible() {
		l.headRoom = link.Position().X - cardGap - stripPad
	}
	l.fitHead()
}

// fitHead leaves out of the heading what has no room there: the menus have it too.
func (s *strip) fitHead() {
	for _, shown := range []struct{ hint, change bool }{{true, true}, {false, true}, {false, false}} {
		show(s.hint, shown.hint)
		show(s.change, shown.change && len(s.cards) > 1)
		if s.head.MinSize().Width <= s.headRoom {
			return
		}
	}
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
