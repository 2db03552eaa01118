package ui

import (
	"math"
	"strings"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/geom"
)

const (
	tileGap    = 6
	symbolTop  = 4
	symbolRoom = 35 // height of the symbol on its tile
	underText  = 2  // of a tile

	captionRoom = 3 // beside a caption
	tileMargin  = 7 // left and right of the tiles
	barInset    = 3 // from the bar that scrolls the tiles to the edge

	leastSheet = 320 // what the palette leaves of the window's width to the sheet
)

// tileSize is the size of a tile. Its symbol is of the same size beside any
// text.
func tileSize() fyne.Size { return fyne.NewSize(grown(84), symbolTop+symbolRoom+grown(18)) }

// tileColumns is in how many columns the tiles lie in a window of a width: in
// one where two would leave the sheet too little. With larger text a drawing is
// wider by its labels, and each of them by its letters.
func tileColumns(window float32) int {
	const fair = 480 // for text of the usual size
	if window-widthOf(2)-inspectorWidth(window) < fair*textScale()*textScale() {
		return 1
	}
	return 2
}

// widthOf is the width of so many columns of tiles.
func widthOf(columns int) float32 {
	n := float32(columns)
	return n*tileSize().Width + (n-1)*tileGap + 2*tileMargin
}

// paletteWidth is the width of the palette in a window of a width.
func paletteWidth(window float32) float32 { return widthOf(tileColumns(window)) }

// paletteActions is what the palette asks of the window. Places are on the
// window.
type paletteActions struct {
	help func(kind string) string            // what a kind is, with its key
	pick func(kind string)                   // a click: the next click on the sheet places one
	drag func(kind string, at fyne.Position) // it is held over a place
	drop func(kind string, at fyne.Position) // it is let go there
}

// palette is the tray at the left: a tile for each kind of part there is.
type palette struct {
	object fyne.CanvasObject
	tiles  []*tile
}

func newPalette(look canvas.Theme, standard symbol.Standard, t *tips, actions paletteActions) *palette {
	p := &palette{}
	grid := &tileGrid{columns: 2}
	tiles := container.New(grid)
	for _, k := range model.Kinds() {
		tile := newTile(k, look, standard, t, actions)
		p.tiles = append(p.tiles, tile)
		tiles.Add(tile)
	}
	scroll := container.NewVScroll(tiles)
	scroll.OnScrolled = func(fyne.Position) { t.hide() }
	p.object = container.New(tray{grid}, scroll)
	return p
}

// tray gives the tiles its width but for some room at the right, and as many
// columns as that takes.
type tray struct{ grid *tileGrid }

func (l tray) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	if columns := max(1, int((size.Width-2*tileMargin+tileGap)/(tileSize().Width+tileGap))); columns != l.grid.columns {
		l.grid.columns = columns
		objects[0].Refresh()
	}
	objects[0].Move(fyne.NewPos(0, 0))
	objects[0].Resize(size.SubtractWidthHeight(barInset, 0))
}

func (tray) MinSize([]fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(widthOf(1), 0)
}

// mark shows which kind is about to be placed; "" for none.
func (p *palette) mark(kind string) {
	for _, t := range p.tiles {
		t.setChosen(t.kind.Name == kind)
	}
}

// tileGrid lays tiles out in columns.
type tileGrid struct{ columns int }

func (g *tileGrid) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	tile := tileSize()
	for i, o := range objects {
		column, row := i%g.columns, i/g.columns
		o.Resize(tile)
		o.Move(fyne.NewPos(tileMargin+float32(column)*(tile.Width+tileGap), tileGap+float32(row)*(tile.Height+tileGap)))
	}
}

func (g *tileGrid) MinSize(objects []fyne.CanvasObject) fyne.Size {
	rows := (len(objects) + g.columns - 1) / g.columns
	return fyne.NewSize(widthOf(g.columns)-barInset, tileGap+float32(rows)*(tileSize().Height+tileGap))
}

// tile is one kind in the palette.
type tile struct {
	widget.BaseWidget
	hint
	paletteActions
	kind    *model.Kind
	look    canvas.Theme
	ground  *prim.Rectangle
	symbol  *prim.Raster
	caption *prim.Text
	chosen  bool
	at      fyne.Position // of the pointer while dragged, on the window
}

func newTile(k *model.Kind, look canvas.Theme, standard symbol.Standard, t *tips, actions paletteActions) *tile {
	s := &tile{hint: hint{t, tileHelp(k, actions)}, paletteActions: actions, kind: k, look: look}
	s.ground = rounded(look.Card, look.Border, 1, 6)
	picture := symbolPicture(k, look, standard)
	s.symbol = newSketch(fyne.NewSize(tileSize().Width, symbolRoom), func(fyne.Size) canvas.Picture { return picture })
	s.caption = styledText(caption(k.Title), captionSize, false, look.Ink)
	s.ExtendBaseWidget(s)
	return s
}

// caption is a kind's title as far as it fits on a tile, by whole words.
func caption(title string) string {
	words := strings.Fields(title)
	for len(words) > 1 && textWidth(strings.Join(words, " "), captionSize, false) > tileSize().Width-2*captionRoom {
		words = words[:len(words)-1]
	}
	return elide(strings.Join(words, " "), tileSize().Width-2*captionRoom, captionSize, false)
}

func tileHelp(k *model.Kind, actions paletteActions) string {
	return k.Title + ". " + actions.help(k.Name) + " Click it and then the sheet, or drag it there."
}

// symbolPicture draws a kind's symbol in the middle of a tile. Small symbols
// are not enlarged, so that lines are of much the same weight on all tiles.
func symbolPicture(k *model.Kind, look canvas.Theme, standard symbol.Standard) canvas.Picture {
	p := samplePart(k)
	values, _ := (&model.Diagram{}).Resolve(p, nil)
	items := symbol.Draw(p, values, symbol.Look{Standard: standard, Theme: look})
	ink := (&canvas.Picture{Items: items}).Bounds()
	if ink.Empty() {
		return canvas.Picture{}
	}
	wide := float64(tileSize().Width)
	scale := math.Min(symbolRoom/ink.Height(), (wide-20)/ink.Width())
	scale = math.Min(scale, 0.66)
	c := ink.Center()
	return canvas.Picture{Items: scaled(items, scale, canvas.Pt(wide/2-c.X*scale, symbolRoom/2.0-c.Y*scale))}
}

// samplePart is a part of the kind as the palette shows it; a chip gets pins,
// for without them it has no shape.
func samplePart(k *model.Kind) *model.Part {
	p := k.NewPart(geom.Point{})
	if k.Name == "chip" && len(p.Pins) == 0 {
		p.Pins = []model.ChipPin{{Number: "1", Role: "input"}, {Number: "2", Role: "output"}}
	}
	return p
}

// scaled returns the items scaled about the origin and then moved, in lines that
// are not too thin.
func scaled(items []canvas.Item, s float64, by canvas.Point) []canvas.Item {
	return drawn(items, s, by, 1.1)
}

// drawn is as scaled, in lines of at least a width.
func drawn(items []canvas.Item, s float64, by canvas.Point, least float64) []canvas.Item {
	move := func(p canvas.Point) canvas.Point { return canvas.Pt(p.X*s+by.X, p.Y*s+by.Y) }
	out := make([]canvas.Item, 0, len(items))
	for _, it := range items {
		switch it := it.(type) {
		case *canvas.Path:
			p := &canvas.Path{Style: it.Style}
			p.Width = math.Max(p.Width*s, least)
			for _, g := range it.Segs {
				p.Segs = append(p.Segs, canvas.Seg{Op: g.Op, P: move(g.P), C1: move(g.C1), C2: move(g.C2)})
			}
			out = append(out, p)
		case *canvas.Text:
			t := *it
			t.At, t.Size = move(t.At), t.Size*s
			out = append(out, &t)
		}
	}
	return out
}

func (s *tile) setChosen(chosen bool) {
	if s.chosen != chosen {
		s.chosen = chosen
		s.Refresh()
	}
}

// Tapped chooses the kind.
func (s *tile) Tapped(*fyne.PointEvent) {
	s.tips.hide()
	s.pick(s.kind.Name)
}

// Dragged carries a part over the sheet.
func (s *tile) Dragged(e *fyne.DragEvent) {
	s.tips.hide()
	s.at = e.AbsolutePosition
	s.drag(s.kind.Name, s.at)
}

// DragEnd lets it go. A drag that ends on its own tile was a click of an
// unsteady hand.
func (s *tile) DragEnd() {
	origin := fyne.CurrentApp().Driver().AbsolutePositionForObject(s)
	at := s.at.Subtract(origin)
	if at.X >= 0 && at.Y >= 0 && at.X <= s.Size().Width && at.Y <= s.Size().Height {
		s.pick(s.kind.Name)
		return
	}
	s.drop(s.kind.Name, s.at)
}

// Cursor says that it can be clicked.
func (s *tile) Cursor() desktop.Cursor { return desktop.PointerCursor }

func (s *tile) CreateRenderer() fyne.WidgetRenderer { return &tileRenderer{s} }

type tileRenderer struct{ s *tile }

func (r *tileRenderer) Layout(size fyne.Size) {
	r.s.ground.Resize(size)
	r.s.symbol.Resize(fyne.NewSize(size.Width, symbolRoom))
	r.s.symbol.Move(fyne.NewPos(0, symbolTop))
	m := r.s.caption.MinSize()
	r.s.caption.Resize(m)
	r.s.caption.Move(fyne.NewPos(float32(int((size.Width-m.Width)/2)), float32(int(size.Height-m.Height-underText))))
}

func (r *tileRenderer) MinSize() fyne.Size { return tileSize() }

func (r *tileRenderer) Refresh() {
	g, k := r.s.ground, r.s.look
	g.FillColor, g.StrokeColor = k.Card, k.Border
	if r.s.chosen {
		g.FillColor, g.StrokeColor = k.Chosen, k.Accent
	}
	g.Refresh()
}

func (r *tileRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.s.ground, r.s.symbol, r.s.caption}
}

func (r *tileRenderer) Destroy() {}
