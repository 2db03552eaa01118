package scene

import (
	"cmp"
	"image/color"
	"math"

	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/quantity"
)

// legend is what the scale of currents has to say. A current of 0 is left out.
type legend struct {
	theme      canvas.Theme
	thin, wide float64 // A
	thinWidth  float64 // of their ribbons, sheet units
	wideWidth  float64
	guessed    bool
	control    bool    // whether control paths are drawn
	scale      float64 // of its letters
}

// Measures of the legend, in sheet units.
const (
	legendText   = 12.0
	legendHigh   = 36.0
	legendRoom   = 14.0 // to its sides
	legendSample = 40.0 // length of a piece of ribbon
	legendGap    = 7.0  // between a sample and its text
	legendSpace  = 18.0 // between two samples
)

// newLegend takes the scale from the currents of the sheet: round numbers, at
// the widths that they have there.
func (b *builder) newLegend() legend {
	l := legend{theme: b.t, control: b.driven.shown, scale: cmp.Or(b.o.TextScale, 1)}
	for _, p := range b.d.Parts {
		l.guessed = l.guessed || p.Placed && p.Doubt == model.Guessed
	}
	for _, w := range b.d.Wires {
		l.guessed = l.guessed || w.Doubt == model.Guessed
	}
	f := &b.flow
	if b.r == nil || !b.o.Show.Ribbons || f.ribbonWidth(f.largest) == 0 {
		return l
	}
	l.wide = roundDown(f.largest)
	l.thin = roundUp(f.reference() * ribbonShare)
	if f.ribbonWidth(l.wide) == 0 {
		l.wide = f.largest
	}
	l.wideWidth, l.thinWidth = f.ribbonWidth(l.wide), f.ribbonWidth(l.thin)
	if l.thin >= l.wide {
		l.thin = 0
	}
	return l
}

// roundDown returns the largest number of one digit that is not above x > 0.
func roundDown(x float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(x)))
	return math.Floor(x/unit+1e-9) * unit
}

// roundUp returns the least number of one digit that is not below x > 0.
func roundUp(x float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(x)))
	return math.Ceil(x/unit-1e-9) * unit
}

// Legend returns the scale of currents as a picture of its own, its top left
// corner at the origin, for who shows the scene in a window. It has no items
// where there is nothing to explain.
func (s *Scene) Legend() canvas.Picture {
	items, box := s.legend.items()
	p := canvas.Picture{Title: "Scale of currents"}
	if !box.Empty() {
		p.Add(items...)
	}
	return p
}

// items draws the legend with its top left corner at the origin.
func (l *legend) items() ([]canvas.Item, canvas.Rect) {
	w := legendWriter{l: l, x: legendRoom}
	if l.wide > 0 {
		w.text("current", l.theme.Quiet)
		w.x += legendGap
		if l.thin > 0 {
			w.ribbon(l.thinWidth, l.thin)
		}
		w.ribbon(l.wideWidth, l.wide)
	}
	if l.control {
		w.tied()
		w.entry("control path")
	}
	if l.guessed {
		w.sample(canvas.Style{Stroke: l.theme.Ink, Width: wireWidth, Dash: []float64{4, 3}}, 25)
		w.entry("guessed")
	}
	if len(w.items) == 0 {
		return nil, canvas.EmptyRect()
	}
	box := canvas.Rect{Max: canvas.Pt(math.Ceil(w.x-legendSpace+legendRoom), math.Ceil(legendHigh*l.scale))}
	card := &canvas.Path{Style: canvas.Style{Fill: l.theme.Card, Stroke: l.theme.Edge, Width: 1}}
	return append([]canvas.Item{card.RoundRect(box.Inset(0.5), 6)}, w.items...), box
}

// legendWriter sets the legend from left to right.
type legendWriter struct {
	l     *legend
	x     float64
	items []canvas.Item
}

func (w *legendWriter) text(s string, c color.NRGBA) {
	size := legendText * w.l.scale
	y := legendHigh*w.l.scale/2 + canvas.CapHeight(size)/2
	w.items = append(w.items, &canvas.Text{At: canvas.Pt(w.x, y), String: s, Size: size, Colour: c})
	w.x += canvas.TextWidth(s, size, false)
}

// entry writes what the sample before it means.
func (w *legendWriter) entry(s string) {
	w.text(s, w.l.theme.Ink)
	w.x += legendSpace
}

// sample draws a line; one with round ends begins and ends half its width
// inside of the length.
func (w *legendWriter) sample(style canvas.Style, length float64) {
	end, y := 0.0, legendHigh*w.l.scale/2
	if style.Round {
		end = style.Width / 2
	}
	line := &canvas.Path{Style: style}
	w.items = append(w.items, line.MoveTo(w.x+end, y).LineTo(w.x+length-end, y))
	w.x += length + legendGap
}

// tied draws a wire of a control path.
func (w *legendWriter) tied() {
	at := canvas.Pt(w.x, legendHigh*w.l.scale/2)
	across := &canvas.Path{Style: canvas.Style{Stroke: w.l.theme.Current, Width: tieWidth}}
	ties(across, at, at.Add(canvas.Pt(legendSample, 0)))
	w.items = append(w.items, across)
	w.sample(canvas.Style{Stroke: w.l.theme.Ink, Width: wireWidth}, legendSample)
}

func (w *legendWriter) ribbon(width, amps float64) {
	w.sample(canvas.Style{Stroke: w.l.theme.Ribbon, Width: width, Round: true}, legendSample)
	w.entry(quantity.Short(amps, quantity.Ampere))
}

// standLegend puts the legend below the drawing, at its right.
func (b *builder) standLegend() {
	items, box := b.s.legend.items()
	if box.Empty() {
		return
	}
	r := b.s.Bounds
	d := canvas.Pt(math.Round(math.Max(r.Min.X, r.Max.X-box.Width())), math.Round(r.Max.Y+canvas.Grid))
	for _, it := range items {
		move(it, d)
	}
	b.add(items...)
	b.s.Bounds = r.Union(canvas.Rect{Min: box.Min.Add(d), Max: box.Max.Add(d)})
}

// move shifts an item that nobody else holds.
func move(it canvas.Item, d canvas.Point) {
	switch it := it.(type) {
	case *canvas.Text:
		it.At = it.At.Add(d)
	case *canvas.Path:
		for i := range it.Segs {
			s := &it.Segs[i]
			s.P, s.C1, s.C2 = s.P.Add(d), s.C1.Add(d), s.C2.Add(d)
		}
	}
}
