package ui

import (
	"image"
	"math"
	"slices"
	"time"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/raster"
	"copperglass/canvas/scene"
	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/geom"
)

// surfaceActions is what the sheet asks of the window.
type surfaceActions struct {
	open  func()                 // show the fields of what is selected and go there
	menu  func(at fyne.Position) // the right button's menu, at a place on the window
	state func()                 // something but the document has changed: the tool, the zoom
	keys  func(fyne.Focusable)   // gives the keyboard to the sheet
	later Later

	findings func() []scene.Finding  // those that have flags
	found    func(i int) string      // what the finding at that place among them says
	before   func() *analysis.Result // what the figures are compared with, or nil

	tell   func(news string)   // what has become of a gesture
	ask    func(of string)     // what sets a quantity
	struck func(stroke)        // a key or a sign is typed on the sheet
	value  func(...rune) bool  // opens the value of what is selected beside it and begins it anew with signs, if it has one
	panned func()              // the sheet has been moved under the window
	goes   func(fyne.Position) // the pointer comes to a place
	goOn   func()              // what was typed for a value is keys of the sheet, if it can be
}

// surface is the sheet: the whole drawing as one picture in pixels of the
// device, and the gestures on it.
type surface struct {
	widget.BaseWidget
	surfaceActions
	doc      *Document
	tips     *tips
	look     canvas.Theme
	standard symbol.Standard
	show     scene.Show

	raster   *prim.Raster
	renderer raster.Renderer
	builder  scene.Builder
	large    largeSheet
	legend   *legendBox

	view   canvas.View // sheet units to units of the toolkit
	fit    bool        // whether the whole drawing is to be brought into view
	home   home
	scene  *scene.Scene
	stale  bool        // whether the scene has to be built anew
	dots   canvas.Rect // where the scene has the dots of the grid
	level  scene.Level // of the scene
	growth float64     // of its texts
	dense  float64     // pixels of the device to a unit of the toolkit
	hover  string      // net under the pointer

	hand   hand
	cursor cursor
	calm   calm
}

// home is the view that the last fitting gave.
type home struct {
	page    canvas.Rect    // that was seen; labels keep to it
	left    bool           // whether the person has gone elsewhere since
	size    fyne.Size      // of the surface
	drawing *model.Diagram // that was fitted
	solved  bool           // whether its figures were known
}

// hand is what the mouse is doing.
type hand struct {
	at      fyne.Position // of the pointer, on the surface
	inside  bool
	pressed bool // whether the editor has been told of a press
	panning bool
	space   bool   // whether the space bar is held
	typed   string // of the count of a stack, or "": its letter, then its figures
	asks    string // the quantity whose figure the right button was pressed on last, or ""
	click   time.Time
	clickAt fyne.Position
}

func newSurface(doc *Document, actions surfaceActions) *surface {
	s := &surface{surfaceActions: actions, doc: doc, fit: true, stale: true, dense: 1}
	s.view.Scale = 1
	s.raster = prim.NewRaster(s.paint)
	s.legend = newLegendBox()
	s.ExtendBaseWidget(s)
	return s
}

// dress gives the sheet its looks.
func (s *surface) dress(look canvas.Theme, standard symbol.Standard, show scene.Show, t *tips) {
	s.look, s.standard, s.show, s.tips = look, standard, show, t
	s.redraw()
}

// redraw builds the scene anew with the next frame.
func (s *surface) redraw() {
	s.stale = true
	s.raster.Refresh()
}

// changed follows the document.
func (s *surface) changed(c Change) {
	if c&FileChanged != 0 && c&ModeChanged != 0 && c&SelectionChanged != 0 {
		s.fit, s.scene = true, nil // another drawing
		s.cursor = cursor{}
		s.settleCalm()
	} else if c&DrawingChanged != 0 {
		s.stir()
	}
	s.fit = s.fit || s.outgrown()
	if c&(DrawingChanged|AnswerChanged) != 0 {
		s.tips.hide() // what it tells holds no more
	}
	if c != FileChanged {
		s.redraw()
	}
}

// paint draws what is visible on w × h pixels of the device.
func (s *surface) paint(w, h int) image.Image {
	size := s.Size()
	if w < 2 || h < 2 || size.Width < 1 {
		return image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	}
	s.dense = float64(w) / float64(size.Width)
	if s.fit || !s.home.left && s.home.size != size {
		s.fitNow()
	}
	s.build()
	s.legend.settle(s.freeOfLegend)
	s.renderer.Draw(&s.scene.Picture, canvas.View{Scale: s.view.Scale * s.dense, Origin: s.view.Origin}, w, h)
	return s.renderer.Over(s.overlay())
}

// leastDots is the zoom below which the grid's dots would be a grey veil.
const leastDots = 0.55

// build makes the scene, unless it is as it should be.
func (s *surface) build() {
	seen := s.visible()
	dotted := s.view.Scale >= leastDots
	held := s.dots.Contains(seen.Min) && s.dots.Contains(seen.Max)
	level, growth := s.detail()
	if s.scene != nil && (!s.stale && held == dotted && level == s.level && growth == s.growth || s.large.busy) {
		return
	}
	o := s.options(level, growth)
	if !s.home.page.Empty() {
		o.Page = &s.home.page
	}
	s.dots = canvas.EmptyRect()
	if dotted {
		s.dots = seen.Inset(-10 * canvas.Grid)
		o.Dots = &s.dots
	}
	s.stale, s.level, s.growth = false, level, growth
	if s.isLarge() {
		s.buildBeside(o)
		return
	}
	s.scene = s.builder.Build(s.doc.Shown(), s.doc.Result(), o)
	s.legend.show(s.scene.Legend())
}

// options say how the drawing is seen, but for the view.
func (s *surface) options(level scene.Level, growth float64) scene.Options {
	return scene.Options{
		Theme: s.look, Standard: s.standard, Show: s.show, Mode: s.doc.Mode(), Hover: s.hover,
		Selected: s.doc.Selected().Parts, SelectedWires: s.doc.Selected().Wires, Level: level,
		Calm: s.calm.on, Findings: s.calmFindings(), Lit: s.doc.lit(), Before: s.before(), Drawn: s.doc.beside(), TextScale: float64(textScale()), Growth: growth,
	}
}

// detail says how much is shown at the zoom there is, and how much larger than
// at its own size. Letters are small by how they look, of which finer pixels make
// up for a part.
func (s *surface) detail() (scene.Level, float64) {
	seen := s.view.Scale * float64(textScale())
	level := scene.LevelAt(seen * s.dense)
	if far := scene.LevelAt(seen * math.Sqrt(s.dense)); far < scene.Normal {
		level = far
	}
	return level, max(scene.GrowthAt(seen), enlarged(s.view.Scale))
}

// enlarged is how much labels grow on a sheet that leaves large text no more room
// than usual text has, so that they look as large as they were asked to be.
func enlarged(zoom float64) float64 {
	const (
		usual = 0.95 // the zoom at which a drawing of some ten parts fills the sheet
		most  = 2.0
		steps = 20 // labels move with every step
	)
	if textScale() <= 1 {
		return 1
	}
	return max(1, min(most, math.Round(steps*usual/zoom)/steps))
}

// freeOfLegend reports whether the legend may stand in that part of the
// widget: where it hides nothing of the drawing.
func (s *surface) freeOfLegend(at fyne.Position, size fyne.Size) bool {
	least := canvas.Pt(float64(at.X), float64(at.Y))
	most := least.Add(canvas.Pt(float64(size.Width), float64(size.Height)))
	return !s.scene.Covers(canvas.Rect{Min: s.view.ToSheet(least), Max: s.view.ToSheet(most)})
}

// visible returns the part of the sheet that is seen.
func (s *surface) visible() canvas.Rect {
	return canvas.Rect{Min: s.view.Origin, Max: s.view.ToSheet(canvas.Pt(float64(s.Size().Width), float64(s.Size().Height)))}
}

// overlay draws what a gesture shows on top of the drawing.
func (s *surface) overlay() []canvas.Item {
	o := s.doc.editor.Overlay()
	line := canvas.Style{Stroke: s.look.Accent, Width: 1.5 / s.view.Scale}
	var items []canvas.Item
	if o.Box != nil {
		style := line
		style.Fill = withAlpha(s.look.Accent, 30)
		items = append(items, (&canvas.Path{Style: style}).Rectangle(*o.Box))
	}
	items = append(items, s.covered(o.Cover)...)
	items = append(items, s.hanging()...)
	items = append(items, s.handles()...)
	items = append(items, s.foretold(o)...)
	items = append(items, s.cursorMark()...)
	return append(items, s.emptyWords()...)
}

// handleSize is the radius of what an arrow is taken by, in units of the toolkit.
const handleSize = 4.5

// handles marks the ends of a selected arrow, which can be dragged.
func (s *surface) handles() []canvas.Item {
	z := math.Max(s.view.Scale, leastDots)
	var items []canvas.Item
	for _, p := range s.doc.editor.Handles() {
		style := canvas.Style{Fill: s.look.Paper, Stroke: s.look.Accent, Width: 2 / z}
		items = append(items, (&canvas.Path{Style: style}).Circle(p, handleSize/z))
	}
	return items
}

// foretold marks what letting go would join, by rings, and what it would part,
// by two strokes with a gap between them.
func (s *surface) foretold(o tool.Overlay) []canvas.Item {
	z := math.Max(s.view.Scale, leastDots) // marks stay in sight where the sheet is small
	ring := canvas.Style{Fill: withAlpha(s.look.Accent, 60), Stroke: s.look.Accent, Width: 2 / z}
	ground := canvas.Style{Stroke: s.look.Paper, Width: 7 / z}
	stroke := canvas.Style{Stroke: s.look.Flag, Width: 2.5 / z}
	var items []canvas.Item
	if o.Cover.Refuses() {
		return nil // letting go does nothing
	}
	for _, p := range o.Joins {
		items = append(items, (&canvas.Path{Style: ring}).Circle(canvas.OnGrid(p), joinRing/z))
	}
	for _, p := range o.Breaks {
		items = append(items, breakMark(ground, canvas.OnGrid(p), z), breakMark(stroke, canvas.OnGrid(p), z))
	}
	return items
}

// The sizes of the marks of a gesture, in units of the toolkit.
const (
	joinRing    = 7
	breakHeight = 11 // of a stroke, from its middle
	breakSlant  = 4
	breakGap    = 3.5 // from the middle of the mark to a stroke
)

// breakMark is two slanted strokes, as a broken line is drawn.
func breakMark(style canvas.Style, at canvas.Point, zoom float64) canvas.Item {
	mark := &canvas.Path{Style: style}
	for _, side := range [2]float64{-breakGap, breakGap} {
		x := at.X + side/zoom
		mark.MoveTo(x-breakSlant/zoom, at.Y+breakHeight/zoom).LineTo(x+breakSlant/zoom, at.Y-breakHeight/zoom)
	}
	return mark
}

// Of what hangs on the pointer, in sheet units.
const (
	hangingRoom = 5   // between its ink and the dashes around it
	hangingWire = 1.7 // as wide as wires are
)

// hanging draws what hangs on the pointer, unless the scene has it, and dashes
// around it: it is not placed yet.
func (s *surface) hanging() []canvas.Item {
	hangs := s.doc.inHand()
	if hangs.Empty() {
		return nil
	}
	d := s.doc.editor.Diagram()
	look := symbol.Look{Standard: s.standard, Theme: s.look}
	var items []canvas.Item
	inScene := false
	for _, p := range s.doc.hanging() {
		values, _ := d.Resolve(p, nil)
		items = append(items, symbol.Draw(p, values, look)...)
		inScene = inScene || s.doc.Shown().Part(p.Ref) != nil
	}
	for _, w := range d.Wires {
		if hangs.Wires[w.ID] {
			items = append(items, s.hangingWire(w))
			inScene = inScene || s.doc.Shown().Wire(w.ID) != nil
		}
	}
	ink := (&canvas.Picture{Items: items}).Bounds()
	if inScene && !s.doc.editor.Refused() {
		items = nil
	}
	halo := canvas.Style{Fill: withAlpha(s.look.Accent, 30), Stroke: s.look.Accent, Width: 1.2, Dash: []float64{4, 3}}
	return append(items, (&canvas.Path{Style: halo}).RoundRect(ink.Inset(-hangingRoom), 6))
}

func (s *surface) hangingWire(w *model.Wire) canvas.Item {
	line := &canvas.Path{Style: canvas.Style{Stroke: s.look.Ink, Width: hangingWire}}
	for i, p := range w.Points {
		if at := canvas.OnGrid(p); i == 0 {
			line.MoveTo(at.X, at.Y)
		} else {
			line.LineTo(at.X, at.Y)
		}
	}
	return line
}

// emptyWords says in the middle of a sheet without anything on it why there is
// nothing, where the drawing has parts.
func (s *surface) emptyWords() []canvas.Item {
	words := unplacedWords(s.doc.Shown())
	if words == "" || !s.empty() {
		return nil
	}
	at, step := s.visible().Center(), 20*float64(textScale())/s.view.Scale
	text := func(line float64, size float64, text string) canvas.Item {
		return &canvas.Text{At: canvas.Pt(at.X, at.Y+line*step), String: text, Size: size * float64(textScale()) / s.view.Scale, Colour: s.look.Quiet, Align: canvas.Middle}
	}
	return []canvas.Item{
		text(0, headingSize, words),
		text(1.2, textSize, "“Set them out” in the panel at the right puts them here in rows."),
	}
}

// empty reports whether nothing stands on the sheet.
func (s *surface) empty() bool {
	d := s.doc.Shown()
	return len(d.Wires) == 0 && !slices.ContainsFunc(d.Parts, func(p *model.Part) bool { return p.Placed })
}

// The limits of the zoom, in units of the toolkit to the sheet unit.
const (
	leastZoom = 0.1
	mostZoom  = 8
	fitZoom   = 1.25 // the most that fitting enlarges
)

// emptyMargin is how far the grid's origin is from the corner of an empty
// sheet.
const emptyMargin = 2 * canvas.Grid

// FitAll brings the whole drawing into view.
func (s *surface) FitAll() {
	s.fit = true
	s.redraw()
}

// settleView fits the drawing where the next frame would: places on the sheet
// are then where they will be seen.
func (s *surface) settleView() {
	if s.fit && s.Size().Width > 1 {
		s.fitNow()
	}
}

func (s *surface) fitNow() {
	r, d := s.doc.Result(), s.doc.Shown()
	s.fit, s.stale = false, true
	s.home = home{solved: r != nil && r.Solved, size: s.Size(), drawing: d}
	s.legend.corner, s.legend.covered = 0, false
	if s.empty() {
		s.view = canvas.View{Scale: 1, Origin: canvas.Pt(-emptyMargin, -emptyMargin)}
		s.home.page = s.visible()
		return
	}
	if s.isLarge() {
		s.fitTo(extent(d, 1))
		_, growth := s.detail()
		s.fitTo(extent(d, growth))
		s.home.page = s.visible()
		s.state()
		return
	}
	level, growth := scene.Normal, 1.0
	for range 2 { // at another zoom other labels are shown
		s.scene = s.builder.Build(d, r, s.options(level, growth))
		s.fitTo(s.scene.Bounds)
		level, growth = s.detail()
	}
	s.home.page = s.visible()
	s.state()
}

// fitTo brings a part of the sheet into view, with room for the legend below.
func (s *surface) fitTo(b canvas.Rect) {
	w, h := float64(s.Size().Width), float64(s.Size().Height-legendRoom())
	z := math.Min(w/b.Width(), h/b.Height())
	z = wholeSteps(math.Max(leastZoom, math.Min(z, fitZoom)))
	s.view = canvas.View{Scale: z, Origin: canvas.Pt(begin(b.Min.X, b.Max.X, w, z), begin(b.Min.Y, b.Max.Y, h, z))}
}

// outgrown reports whether the drawing is to be fitted again, as it was fitted
// before its figures or its title block were known and the person has not gone
// elsewhere since.
func (s *surface) outgrown() bool {
	was, r, d := s.home.drawing, s.doc.Result(), s.doc.Shown()
	if s.home.left || was == nil || len(was.Parts)+len(was.Wires) == 0 || s.hand.pressed {
		return false
	}
	known := !s.home.solved && d == was && r != nil && r.Solved
	return known || d.Block != was.Block || d.Title != was.Title && d.Block != (model.TitleBlock{})
}

// begin returns where the view begins so that what lies from one place to
// another is in the middle of the room.
func begin(from, to, room, zoom float64) float64 {
	return math.Round((from+to)*zoom/2-room/2) / zoom
}

// wholeSteps rounds a zoom down so that a step of the grid is a whole number
// of units: straight lines are then sharp.
func wholeSteps(z float64) float64 {
	if z < 0.4 {
		return z
	}
	return math.Floor(z*canvas.Grid) / canvas.Grid
}

// Zoom enlarges by a factor about the middle of the sheet.
func (s *surface) Zoom(factor float64) {
	s.zoomAbout(factor, fyne.NewPos(s.Size().Width/2, s.Size().Height/2))
}

// zoomAbout leaves what is under a place where it is.
func (s *surface) zoomAbout(factor float64, at fyne.Position) {
	s.home.left = true
	p := s.toSheet(at)
	s.view.Scale = math.Max(leastZoom, math.Min(s.view.Scale*factor, mostZoom))
	q := s.toSheet(at)
	s.view.Origin = s.view.Origin.Add(p.Sub(q))
	s.raster.Refresh()
	s.state()
}

func (s *surface) pan(by fyne.Delta) {
	d := canvas.Pt(float64(by.DX)/s.view.Scale, float64(by.DY)/s.view.Scale)
	s.view.Origin, s.home.left = s.view.Origin.Sub(d), true
	s.raster.Refresh()
	s.panned()
}

func (s *surface) toSheet(at fyne.Position) canvas.Point {
	return s.view.ToSheet(canvas.Pt(float64(at.X), float64(at.Y)))
}

// fromWindow turns a place on the window into one on the surface, and tells
// whether it is on it.
func (s *surface) fromWindow(at fyne.Position) (fyne.Position, bool) {
	p := at.Subtract(fyne.CurrentApp().Driver().AbsolutePositionForObject(s))
	return p, p.X >= 0 && p.Y >= 0 && p.X < s.Size().Width && p.Y < s.Size().Height
}

// pasteAt returns where what is new on the sheet has its middle: at the cursor of
// the keys, under the pointer, or in the middle of the sheet.
func (s *surface) pasteAt() geom.Point {
	if s.cursor.shown && s.within(s.cursor.at) {
		return s.cursor.at
	}
	return s.pointed()
}

// pointed returns what the pointer is at, or else the middle of the sheet.
func (s *surface) pointed() geom.Point {
	if p := tool.Snap(s.toSheet(s.hand.at)); s.hand.inside && s.within(p) {
		return p
	}
	return tool.Snap(s.visible().Center())
}

// edit lets f work with the editor and shows what came of it.
func (s *surface) edit(f func(*tool.Editor)) {
	s.doc.Hand(f)
	s.raster.Refresh()
	s.state()
}

func (s *surface) CreateRenderer() fyne.WidgetRenderer { return &surfaceRenderer{s} }

type surfaceRenderer struct{ s *surface }

func (r *surfaceRenderer) Layout(size fyne.Size) {
	r.s.raster.Resize(size)
	r.s.legend.moveTo(size)
}

func (r *surfaceRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 150) }

func (r *surfaceRenderer) Refresh() { r.s.raster.Refresh() }

func (r *surfaceRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.s.raster, r.s.legend.raster}
}

func (r *surfaceRenderer) Destroy() {}

// legendRoom is what the legend takes of the height of the sheet.
func legendRoom() float32 { return grown(34) + legendAbove }

// The room between the legend and the edges of the sheet.
const (
	legendAbove  = 14
	legendBeside = 16
)

// legendBox is the scale of the currents in a corner of the sheet.
type legendBox struct {
	raster  *prim.Raster
	whole   canvas.Picture // of the usual size
	picture canvas.Picture // that fits the surface
	room    fyne.Size      // of the surface
	corner  int            // where it stands
	covered bool           // whether there is room in no corner
}

func newLegendBox() *legendBox {
	l := &legendBox{}
	l.raster = newSketch(fyne.Size{}, func(fyne.Size) canvas.Picture { return l.picture })
	return l
}

// show is called while a frame is being painted, so what it changes is put off
// until after it.
func (l *legendBox) show(p canvas.Picture) {
	l.whole = p
	l.picture = l.fitting()
	fyne.Do(func() {
		l.moveTo(l.room)
		l.raster.Refresh()
	})
}

// fitting is the legend no wider than the surface, as far as its letters are then
// not smaller than usual text; else it is left out.
func (l *legendBox) fitting() canvas.Picture {
	wide, room := l.whole.Bounds().Max.X, float64(l.room.Width-2*legendBeside)
	switch share := room / wide; {
	case wide <= room || l.room.Width == 0:
		return l.whole
	case share*float64(textScale()) < 1:
		return canvas.Picture{}
	default:
		return canvas.Picture{Items: scaled(l.whole.Items, share, canvas.Point{})}
	}
}

// settle keeps the legend in its corner as long as it hides nothing there, or
// else finds it another. It is called while a frame is being painted.
func (l *legendBox) settle(free func(fyne.Position, fyne.Size) bool) {
	if l.picture.Bounds().Empty() {
		return
	}
	corner, covered := l.corner, l.covered
	l.corner, l.covered = l.settled(free)
	if corner != l.corner || covered != l.covered {
		fyne.Do(func() { l.moveTo(l.room) })
	}
}

// settled returns the corner where the legend is to stand, and whether it hides
// something there. A corner that it comes to needs more room than one where it
// is, so that it does not come and go.
func (l *legendBox) settled(free func(fyne.Position, fyne.Size) bool) (corner int, covered bool) {
	const more = 12
	at, size := l.corners(), l.size()
	if !l.covered && free(at[l.corner], size) {
		return l.corner, false
	}
	for i := range at {
		i = (l.corner + i) % len(at)
		if free(at[i].SubtractXY(more, more), size.AddWidthHeight(2*more, 2*more)) {
			return i, false
		}
	}
	return l.corner, true
}

func (l *legendBox) size() fyne.Size {
	b := l.picture.Bounds()
	return fyne.NewSize(ceil(float32(b.Max.X)), ceil(float32(b.Max.Y)))
}

// corners are the places for the legend, the usual one first.
func (l *legendBox) corners() [4]fyne.Position {
	size := l.size()
	right, bottom := float32(int(l.room.Width-size.Width-legendBeside)), float32(int(l.room.Height-size.Height-legendAbove))
	return [4]fyne.Position{{X: right, Y: bottom}, {X: legendBeside, Y: bottom}, {X: right, Y: legendAbove}, {X: legendBeside, Y: legendAbove}}
}

func (l *legendBox) moveTo(room fyne.Size) {
	if l.room != room {
		l.room = room
		l.picture = l.fitting()
	}
	if l.picture.Bounds().Empty() || l.covered {
		l.raster.Hide()
		return
	}
	l.raster.Resize(l.size())
	l.raster.Move(l.corners()[l.corner])
	l.raster.Show()
}
