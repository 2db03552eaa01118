// Package scene composes the picture of a drawing: wires, symbols, ribbons,
// labels that stand clear of everything, flags and the selection. What it
// makes is one canvas.Picture, which the screen, PNG and SVG files share.
package scene

import (
	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/net"
	"slices"
)

// Margin is the empty border around everything drawn, in sheet units.
const Margin = 1.5 * canvas.Grid

// Show says which results are drawn.
type Show struct {
	Voltages bool // pills with the nets' voltages
	Currents bool // currents in words, with a chevron for the direction
	Ribbons  bool // bands under the wires
	Findings bool // numbered flags at faults
}

// Everything shows all there is.
func Everything() Show { return Show{true, true, true, true} }

// Options say how a drawing is to be seen. The zero value draws parts and
// wires alone, and needs a Theme to be visible.
type Options struct {
	Theme    canvas.Theme
	Standard symbol.Standard
	Show     Show

	Mode string        // whose states the symbols show; empty for the result's, or else none
	Set  model.Setting // put over the mode's states

	Selected      map[string]bool       // parts, by reference designator
	SelectedWires map[model.WireID]bool // wires
	Hover         string                // name of the net to bring out, or empty

	Caption string // a line at the top left, its part after the last " · " quieter; for exports

	Dots   *canvas.Rect // where to draw the grid's dots; nil for none
	Legend bool         // whether the scale of currents stands at the bottom right
}

// Scene is a drawing as it is seen, with what the window needs to know of it.
type Scene struct {
	Picture canvas.Picture
	Bounds  canvas.Rect // everything drawn, Margin included
	Labels  []Label     // those that found a place, in the order they are drawn
	Dropped []Label     // those that did not, the most important first
	Flags   []Flag      // one for each of the result's faults, in its order

	legend legend
	ink    *obstacles
}

// Covers reports whether anything of the drawing stands in r: ink, or a label.
func (s *Scene) Covers(r canvas.Rect) bool {
	return s.ink.hit(r) || slices.ContainsFunc(s.Labels, func(l Label) bool { return l.Box.Overlaps(r) })
}

// Build draws d. The result r must be of d as it is, or nil; where it is nil
// or not solved the scene holds no number that needs a solution.
func Build(d *model.Diagram, r *analysis.Result, o Options) *Scene {
	b := newBuilder(d, r, o)
	b.readParts()
	b.readFlow()
	b.drawPaper()
	b.drawRibbons()
	b.drawWires()
	b.drawJoints()
	b.drawParts()
	b.placeLabels()
	b.drawChevrons()
	b.drawLabels()
	b.drawSelection()
	return b.finish()
}

// builder gathers a scene from the lowest layer up. Labels are placed when all
// ink but theirs is known.
type builder struct {
	d *model.Diagram
	r *analysis.Result // nil where nothing is solved
	o Options
	t canvas.Theme
	s *Scene

	nets   *net.Netlist
	pieces []net.Piece
	joints []net.Joint
	parts  []placed
	flow   flow
	humps  []hump

	outside obstacles    // what no label may touch
	shy     obstacles    // what a label had better not touch, in any mode
	inside  obstacles    // what a label within a chip's outline may not touch
	chips   bool         // whether there are any
	control map[int]bool // nets of the control pins of transistors
	faults  []analysis.Fault
	labels  []*request
	seeker  seeker
}

func newBuilder(d *model.Diagram, r *analysis.Result, o Options) *builder {
	b := &builder{d: d, o: o, t: o.Theme, s: &Scene{}, control: map[int]bool{}}
	b.s.Picture.Title = d.Title
	b.s.Picture.Paper = o.Theme.Paper
	if r != nil {
		b.faults, b.nets = r.Faults, r.Nets
	}
	if r != nil && r.Solved {
		b.r = r
	}
	if o.Mode == "" && r != nil {
		b.o.Mode = r.Mode
	}
	if b.nets == nil {
		b.nets = net.Build(d)
	}
	b.pieces, b.joints = b.nets.Pieces(d)
	b.outside.init()
	b.inside.init()
	b.shy.init()
	return b
}

func (b *builder) add(items ...canvas.Item) { b.s.Picture.Add(items...) }

// drawPaper marks the grid where that is asked.
func (b *builder) drawPaper() {
	if b.o.Dots == nil {
		return
	}
	b.add(dots(*b.o.Dots, b.t))
}

// finish measures the picture without the grid's dots, and puts the legend
// beneath it and the caption above.
func (b *builder) finish() *Scene {
	s := b.s
	from := 0
	if b.o.Dots != nil {
		from = 1
	}
	s.Bounds = canvas.EmptyRect()
	for _, it := range s.Picture.Items[from:] {
		s.Bounds = s.Bounds.Union(it.Bounds())
	}
	if s.Bounds.Empty() {
		s.Bounds = canvas.Rect{Max: canvas.Pt(8*canvas.Grid, 6*canvas.Grid)}
	}
	s.ink = &b.outside
	s.legend = b.newLegend()
	if b.o.Legend {
		b.standLegend()
	}
	b.writeCaption()
	s.Bounds = s.Bounds.Inset(-Margin)
	s.Picture.About = b.about()
	return s
}
