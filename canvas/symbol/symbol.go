// Package symbol draws parts: strokes to the proportions of IEC 60617, or of
// IEEE 315 where that standard differs, in sheet units where the part stands.
// One step of the grid is canvas.Grid = 20 units; every pin lies on the grid.
package symbol

import (
	"image/color"
	"reflect"
	"strings"

	"copperglass/canvas"
	"copperglass/model"
)

// Standard is the book whose symbols are drawn.
type Standard uint8

// The standards there are.
const (
	IEC  Standard = iota // IEC 60617
	IEEE                 // IEEE 315
)

// Look says how a part is to look.
type Look struct {
	Standard Standard
	Theme    canvas.Theme
	Guessed  bool    // dashed: nobody is sure of the part
	Glow     float64 // how brightly an LED or a lamp shines, 0 to 1
	Pale     float64 // fraction of the paper's colour mixed into an LED's light, 0 to 1, for a symbol that is drawn pale

	Letters color.NRGBA // of what is written in ink; zero for the theme's

	TextScale float64 // of the texts at a chip's pins, as far as there is room; 0 is 1
}

// letters is the colour of what is written in ink.
func (l *Look) letters() color.NRGBA {
	if l.Letters.A == 0 {
		return l.Theme.Ink
	}
	return l.Letters
}

// Draw returns the part's symbol with its leads, without its reference and
// value. Where v leaves open how a switch stands, how many cells a battery has
// or what a chip's pin does, the symbol shows the part at rest. A part of an
// unknown kind draws nothing.
func Draw(p *model.Part, v model.Values, look Look) []canvas.Item {
	return NewDrawing(p, v, look).Items
}

// Drawing is a symbol that is kept from one picture to the next.
type Drawing struct {
	Items []canvas.Item

	body, light color.NRGBA    // the inside of what shines, dark and bright
	lit         []*canvas.Path // those whose inside shines
}

// NewDrawing draws as Draw does.
func NewDrawing(p *model.Part, v model.Values, look Look) Drawing {
	s := lookup(p)
	if s == nil {
		return Drawing{}
	}
	pen := newPen(p, v, look)
	s.draw(pen)
	return pen.Drawing
}

// Shine changes the drawing as if it had been drawn with another glow, 0 to 1.
func (d *Drawing) Shine(glow float64) {
	for _, p := range d.lit {
		p.Fill = d.shine(glow)
	}
}

func (d *Drawing) shine(glow float64) color.NRGBA { return mix(d.body, d.light, glow) }

// Extent returns a rectangle that holds the ink Draw leaves in either standard
// and whatever the values. For a part of an unknown kind it is the part's
// place.
func Extent(p *model.Part) canvas.Rect {
	s := lookup(p)
	switch {
	case s == nil:
		at := canvas.OnGrid(p.At)
		return canvas.Rect{Min: at, Max: at}
	case s.fit != nil:
		return s.fit(p).Inset(-margin)
	}
	return frameOf(p).rect(s.box).Inset(-margin)
}

// ExtentIn is Extent for one standard alone.
func ExtentIn(p *model.Part, std Standard) canvas.Rect {
	if s := lookup(p); s != nil && std == IEC && s.bare != (canvas.Rect{}) {
		return frameOf(p).rect(s.bare).Inset(-margin)
	}
	return Extent(p)
}

// margin is the distance from the middle of a stroke to the edge of the extent: what
// canvas.Style.Reach gives for a dashed plate, whose corners are mitred.
const margin = 2.5

// symbol is how one kind of part looks.
type symbol struct {
	draw func(*pen)

	// box holds the middle of every stroke, about the part's origin before it
	// is turned.
	box canvas.Rect

	// bare is the box in IEC 60617, where it is smaller for want of an envelope.
	bare canvas.Rect

	// fit returns the box where the part stands, for a symbol that is as large
	// as its text or its pins make it. Nil where box says it.
	fit func(*model.Part) canvas.Rect
}

// catalogue's exported methods are the symbols there are, one for each kind in
// the model and named after it: CurrentSource draws a "current_source".
type catalogue struct{}

var symbols = collectSymbols()

func collectSymbols() map[string]*symbol {
	v := reflect.ValueOf(catalogue{})
	all := make(map[string]*symbol, v.NumMethod())
	for i := range v.NumMethod() {
		s := v.Method(i).Call(nil)[0].Interface().(symbol)
		all[strings.ToLower(v.Type().Method(i).Name)] = &s
	}
	return all
}

func lookup(p *model.Part) *symbol { return symbols[strings.ReplaceAll(p.Kind, "_", "")] }

// box returns the rectangle from (x0, y0) to (x1, y1).
func box(x0, y0, x1, y1 float64) canvas.Rect {
	return canvas.Rect{Min: canvas.Pt(x0, y0), Max: canvas.Pt(x1, y1)}
}
