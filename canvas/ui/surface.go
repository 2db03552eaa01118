package ui

import (
	"image"
	"math"
	"slices"
	"time"

	"fyne.io/fyne/v2"
	prim "fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

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
	legend   *legendBox

	view  canvas.View // sheet units to units of the toolkit
	fit   bool        // whether the whole drawing is to be brought into view
	scene *scene.Scene
	stale bool        // whether the scene has to be built anew
	dots  canvas.Rect // where the scene has the dots of the grid
	hover string      // net under the pointer

	hand hand
}

// hand is what the mouse is doing.
type hand struct {
	at      fyne.Position // of the pointer, on the surface
	inside  bool
	pressed bool // whether the editor has been told of a press
	panning bool
	space   bool // whether the space bar is held
	click   time.Time
	clickAt fyne.Position
}

func newSurface(doc *Document, actions surfaceActions) *surface {
	s := &surface{surfaceActions: actions, doc: doc, fit: true, stale: true}
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
		s.fit = true // another drawing
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
	if s.fit {
		s.fitNow()
	}
	s.build()
	s.legend.settle(s.freeOfLegend)
	p := s.scene.Picture
	p.Items = append(p.Items[:len(p.Items):len(p.Items)], s.overlay()...)
	device := float64(w) / float64(size.Width)
	return s.renderer.Draw(&p, canvas.View{Scale: s.view.Scale * device, Origin: s.view.Origin}, w, h)
}

// leastDots is the zoom below which the grid's dots would be a grey veil.
const leastDots = 0.55

// build makes the scene, unless it is as it should be.
func (s *surface) build() {
	seen := s.visible()
	dotted := s.view.Scale >= leastDots
	held := s.dots.Contains(seen.Min) && s.dots.Contains(seen.Max)
	if s.scene != nil && !s.stale && held == dotted {
		return
	}
	o := scene.Options{
		Theme: s.look, Standard: s.standard, Show: s.show, Mode: s.doc.Mode(), Hover: s.hover,
		Selected: s.doc.Selected().Parts, SelectedWires: s.doc.Selected().Wires,
	}
	s.dots = canvas.EmptyRect()
	if dotted {
		s.dots = seen.Inset(-10 * canvas.Grid)
		o.Dots = &s.dots
	}
	s.scene = scene.Build(s.doc.Shown(), s.doc.Result(), o)
	s.stale = false
	s.legend.show(s.scene.Legend())
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
	for _, p := range o.Joins {
		items = append(items, (&canvas.Path{Style: line}).Circle(canvas.OnGrid(p), 6))
	}
	items = append(items, s.hanging()...)
	return append(items, s.emptyWords()...)
}

// hangingRoom is between the ink of a part that hangs on the pointer and the
// dashes around it, in sheet units.
const hangingRoom = 5

// hanging draws the part that hangs on the pointer, unless the scene has it, and
// dashes around it: it is not placed yet.
func (s *surface) hanging() []canvas.Item {
	p := s.doc.hanging()
	if p == nil {
		return nil
	}
	values, _ := s.doc.Shown().Resolve(p, nil)
	items := symbol.Draw(p, values, symbol.Look{Standard: s.standard, Theme: s.look})
	ink := (&canvas.Picture{Items: items}).Bounds()
	if s.doc.Shown().Part(p.Ref) != nil {
		items = nil
	}
	halo := canvas.Style{Fill: withAlpha(s.look.Accent, 30), Stroke: s.look.Accent, Width: 1.2, Dash: []float64{4, 3}}
	return append(items, (&canvas.Path{Style: halo}).RoundRect(ink.Inset(-hangingRoom), 6))
}

// emptyWords says in the middle of a sheet without anything on it why there is
// nothing, where the drawing has parts.
func (s *surface) emptyWords() []canvas.Item {
	words := unplacedWords(s.doc.Shown())
	if words == "" || !s.empty() {
		return nil
	}
	at, step := s.visible().Center(), 20/s.view.Scale
	text := func(line float64, size float64, text string) canvas.Item {
		return &canvas.Text{At: canvas.Pt(at.X, at.Y+line*step), String: text, Size: size / s.view.Scale, Colour: s.look.Quiet, Align: canvas.Middle}
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

func (s *surface) fitNow() {
	s.fit = false
	if s.empty() {
		s.view = canvas.View{Scale: 1, Origin: canvas.Pt(-emptyMargin, -emptyMargin)}
		return
	}
	s.scene = scene.Build(s.doc.Shown(), s.doc.Result(), scene.Options{Theme: s.look, Standard: s.standard, Show: s.show})
	s.stale = true
	b := s.scene.Bounds
	w, h := float64(s.Size().Width), float64(s.Size().Height)
	z := math.Min(w/b.Width(), (h-legendRoom)/b.Height())
	s.view.Scale = wholeSteps(math.Max(leastZoom, math.Min(z, fitZoom)))
	z = s.view.Scale
	s.view.Origin = canvas.Pt(begin(b.Min.X, b.Max.X, w, z), begin(b.Min.Y, b.Max.Y, h-legendRoom, z))
	s.state()
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
	p := s.toSheet(at)
	s.view.Scale = math.Max(leastZoom, math.Min(s.view.Scale*factor, mostZoom))
	q := s.toSheet(at)
	s.view.Origin = s.view.Origin.Add(p.Sub(q))
	s.raster.Refresh()
	s.state()
}

func (s *surface) pan(by fyne.Delta) {
	d := canvas.Pt(float64(by.DX)/s.view.Scale, float64(by.DY)/s.view.Scale)
	s.view.Origin = s.view.Origin.Sub(d)
	s.raster.Refresh()
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

// pasteAt returns where what is pasted has its middle: under the pointer, or
// in the middle of the sheet.
func (s *surface) pasteAt() geom.Point {
	if s.hand.inside {
		return tool.Snap(s.toSheet(s.hand.at))
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
const legendRoom = 48

// legendBox is the scale of the currents in a corner of the sheet.
type legendBox struct {
	raster  *prim.Raster
	picture canvas.Picture
	room    fyne.Size // of the surface
	corner  int       // where it stands, −1 where there is room in none
}

// noCorner is the legend's corner where every one is taken by the drawing.
const noCorner = -1

func newLegendBox() *legendBox {
	l := &legendBox{}
	l.raster = newSketch(fyne.Size{}, func(fyne.Size) canvas.Picture { return l.picture })
	return l
}

// show is called while a frame is being painted, so what it changes is put off
// until after it.
func (l *legendBox) show(p canvas.Picture) {
	l.picture = p
	fyne.Do(func() {
		l.moveTo(l.room)
		l.raster.Refresh()
	})
}

// settle takes the first corner where the legend hides nothing, or none. It is
// called while a frame is being painted.
func (l *legendBox) settle(free func(fyne.Position, fyne.Size) bool) {
	if l.picture.Bounds().Empty() {
		return
	}
	corner := noCorner
	for i, at := range l.corners() {
		if free(at, l.size()) {
			corner = i
			break
		}
	}
	if corner != l.corner {
		l.corner = corner
		fyne.Do(func() { l.moveTo(l.room) })
	}
}

func (l *legendBox) size() fyne.Size {
	b := l.picture.Bounds()
	return fyne.NewSize(ceil(float32(b.Max.X)), ceil(float32(b.Max.Y)))
}

// corners are the places for the legend, the usual one first.
func (l *legendBox) corners() [4]fyne.Position {
	size := l.size()
	right, bottom := float32(int(l.room.Width-size.Width-16)), float32(int(l.room.Height-size.Height-14))
	return [4]fyne.Position{{X: right, Y: bottom}, {X: 16, Y: bottom}, {X: right, Y: 14}, {X: 16, Y: 14}}
}

func (l *legendBox) moveTo(room fyne.Size) {
	l.room = room
	if l.picture.Bounds().Empty() || l.corner == noCorner {
		l.raster.Hide()
		return
	}
	l.raster.Resize(l.size())
	l.raster.Move(l.corners()[l.corner])
	l.raster.Show()
}
