// Package scene composes the picture of a drawing: wires, symbols, ribbons,
// labels that stand clear of everything, flags and the selection. What it
// makes is one canvas.Picture, which the screen, PNG and SVG files share.
package scene

import (
	"cmp"
	"slices"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/model"
	"copperglass/model/net"
)

// Margin is the empty border around everything drawn, in sheet units.
const Margin = 1.5 * canvas.Grid

// Show says which results are drawn.
type Show struct {
	Voltages bool // pills with the nets' voltages
	Currents bool // currents in words, with a chevron for the direction
	Ribbons  bool // bands under the wires
	Findings bool // numbered flags at faults and findings
	States   bool // what each transistor is doing, in words
	Powers   bool // what each part absorbs or gives
	Control  bool // the way of the currents that switch transistors, told from that of the loads
	Facts    bool // flags at findings that are merely good to know, too
}

// Usual is what is shown unless somebody chooses otherwise.
func Usual() Show {
	return Show{Voltages: true, Currents: true, Ribbons: true, Findings: true, States: true}
}

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

	Lit    map[string]bool  // parts that stand out, with the wires between them, while all else stands back; empty for none
	Before *analysis.Result // to mark what has changed since, small and struck through beside the new figure; nil for none
	Drawn  *model.Diagram   // whose values of parts are told in the same way where they differ; nil for none

	Calm     bool              // whether what is unfinished yet has no flags, while one draws
	Findings []Finding         // numbered on after the faults
	Text     string            // that stands below the drawing; for exports
	Explain  func(Flag) string // what a flag says, to be written below the drawing; nil for no list; for exports

	Caption string // a line at the top left, its part after the last " · " quieter; for exports

	Dots   *canvas.Rect // where to draw the grid's dots; nil for none
	Legend bool         // whether the scale of currents stands at the bottom right

	Level     Level        // of detail
	Page      *canvas.Rect // what labels had better not leave; nil for no bounds
	TextScale float64      // of labels and legend, 1.5 for text half as large again; 0 is 1
	Growth    float64      // of labels alone, beside that, for a sheet seen from far away; 0 is 1
}

// Scene is a drawing as it is seen, with what the window needs to know of it.
type Scene struct {
	Picture canvas.Picture
	Bounds  canvas.Rect // everything drawn, Margin included
	Labels  []Label     // those that found a place, in the order they are drawn
	Dropped []Label     // those that did not or are of a higher level, the most important first
	Flags   []Flag      // one for each of the result's faults, then one for each finding, in their orders

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
	var b builder
	s := *b.build(d, r, o)
	ink := b.outside
	s.ink = &ink // so that the scene does not hold on to the builder
	return &s
}

// Builder builds scenes one after another. The zero value is ready. It keeps
// its memory, and what of a scene is the same in the next, so that a frame
// hardly allocates. It is for one goroutine at a time, and not to be copied.
type Builder struct{ b builder }

// Build is the function Build. The scene is the builder's own and changes with
// the next. Parts and wires must not have been written to since the last: an
// edited one is another.
func (b *Builder) Build(d *model.Diagram, r *analysis.Result, o Options) *Scene {
	return b.b.build(d, r, o)
}

func (b *builder) build(d *model.Diagram, r *analysis.Result, o Options) *Scene {
	b.begin(d, r, o)
	b.readParts()
	b.readNets()
	b.readWires()
	b.readFlow()
	b.findLit()
	b.drawPaper()
	b.drawRibbons()
	b.drawControl()
	b.drawParts(true)
	b.drawWires()
	b.drawJoints()
	b.drawParts(false)
	b.drawUnderlain()
	b.placeLabels()
	b.drawChevrons()
	b.drawLabels()
	b.measure()
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
	s Scene

	nets   *net.Netlist
	own    net.Builder // of nets where there is no result
	tracer net.Tracer
	pieces []net.Piece
	joints []net.Joint
	humps  []hump
	drawn  drawn
	look   look
	scale  float64 // of labels
	parts  []placed
	flow   flow
	driven control
	lit    lit
	back   bool             // whether what is being drawn stands back
	hover  *canvas.Path     // beneath the net that is brought out
	past   *analysis.Result // to compare with, or nil

	outside obstacles    // what no label may touch
	shy     obstacles    // what a label had better not touch, in any mode
	inside  obstacles    // what a label within a chip's outline may not touch
	chips   bool         // whether there are any
	solid   obstacles    // what no lead to a label may cross: symbols, wires and other labels
	control map[int]bool // nets of the control pins of transistors
	faults  []analysis.Fault
	labels  []*request
	seeker  seeker

	paths     pool[canvas.Path]
	texts     pool[canvas.Text]
	requests  pool[request]
	spots     slab[spot]
	grid      paper
	bands     bands
	groups    net.Groups
	near      neighbours
	strangers strangers
	ofNet     lists          // pieces by net
	alike     lists          // nets by the group they are in
	told      []int          // groups of nets whose voltage is told
	echoes    []bool         // those of them, by net, whose voltage is also that of a larger one beyond a resistor
	marked    []canvas.Point // where there are chevrons
	tags      []netTag
	titles    []*spot // where each part's name stands, or nil
	ampsTold  map[float64]string
	places    map[string]int // of the parts in the drawing, once one has been asked for
	swept     []*request
}

// begin makes the builder ready for another scene.
func (b *builder) begin(d *model.Diagram, r *analysis.Result, o Options) {
	b.init()
	b.resetMemory()
	b.d, b.o, b.t, b.scale = d, o, o.Theme, cmp.Or(o.TextScale, 1)*cmp.Or(o.Growth, 1)
	items, labels, dropped := b.s.Picture.Items, b.s.Labels, b.s.Dropped
	clear(items)
	b.s = Scene{Labels: labels[:0], Dropped: dropped[:0], ink: &b.outside}
	b.s.Picture = canvas.Picture{Title: d.Title, Paper: o.Theme.Paper, Items: items[:0]}
	b.r, b.faults, b.nets = nil, nil, nil
	if r != nil {
		b.faults, b.nets = r.Faults, r.Nets
	}
	if r != nil && r.Solved {
		b.r = r
	}
	if o.Mode == "" && r != nil {
		b.o.Mode = r.Mode
	}
}

// init does once what the zero value needs.
func (b *builder) init() {
	if b.control != nil {
		return
	}
	b.control, b.ampsTold, b.places = map[int]bool{}, map[float64]string{}, map[string]int{}
	for _, x := range []*obstacles{&b.outside, &b.inside, &b.shy, &b.solid, &b.near.cells, &b.strangers.cells} {
		x.init()
	}
	b.seeker.outside, b.seeker.solid = b.free, &b.solid
	b.flow.pinAmps = b.pinAmps
}

func (b *builder) add(items ...canvas.Item) { b.s.Picture.Add(items...) }

// drawPaper marks the grid where that is asked.
func (b *builder) drawPaper() {
	if b.o.Dots == nil {
		return
	}
	b.add(b.grid.dots(*b.o.Dots, b.t.Dots))
}

// measure measures the picture without the grid's dots, and without what brings
// a net or a part out: a drawing stays where it is when something is selected.
func (b *builder) measure() {
	s := &b.s
	from := 0
	if b.o.Dots != nil {
		from = 1
	}
	s.Bounds = canvas.EmptyRect()
	for _, it := range s.Picture.Items[from:] {
		if it != canvas.Item(b.hover) {
			s.Bounds = s.Bounds.Union(it.Bounds())
		}
	}
	if s.Bounds.Empty() {
		s.Bounds = canvas.Rect{Max: canvas.Pt(8*canvas.Grid, 6*canvas.Grid)}
	}
}

// finish puts the legend beneath the picture and the caption above.
func (b *builder) finish() *Scene {
	s := &b.s
	s.legend = b.newLegend()
	if b.o.Legend {
		b.standLegend()
	}
	b.writeBelow()
	b.explainFlags()
	b.writeBlock()
	b.writeCaption()
	s.Bounds = s.Bounds.Inset(-Margin)
	s.Picture.About = b.about()
	return s
}
