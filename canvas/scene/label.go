package scene

import (
	"image/color"

	"copperglass/canvas"
)

// LabelKind says what a label tells.
type LabelKind uint8

// The kinds of labels, in no order of rank.
const (
	NameLabel    LabelKind = iota // a part's reference designator, with its value where that fits
	ValueLabel                    // what had to be left out of a NameLabel
	BadgeLabel                    // a stack's ×N
	VoltageLabel                  // a net's voltage
	CurrentLabel                  // the current of a wire or of each part in a stack
	FlagLabel                     // the number of a fault
)

// Label is a piece of text that the scene found a place for, or found none.
type Label struct {
	Kind LabelKind
	Ref  string // the part it belongs to, or empty
	Net  int    // the net it belongs to, or −1
	Text string
	Box  canvas.Rect // where it stands; zero for one that was dropped
}

// Flag is the number of a fault.
type Flag struct {
	Number int         // from 1, in the order of the result's faults
	Fault  int         // place among the result's faults
	Shown  bool        // whether the fault has a place on the sheet, and findings are shown
	Box    canvas.Rect // where it stands, if it is shown
}

// Sizes of text, in sheet units. A line's box leaves out the room that the
// font keeps for accents on capitals.
const (
	textSize  = 13.0
	lineAbove = 10.5 // from the baseline to the top of a line's box
	lineBelow = 3.5
	linePitch = 16.5
	wordSpace = 5.0
	pillRoom  = 9.0 // from a voltage's text to the ends of its pill
	pillHigh  = 21.0
	badgeRoom = 6.0
	badgeHigh = 18.0
	flagSize  = 20.0
	labelGap  = 6.0 // least distance between labels
)

// What it costs to leave a label out, which is also the order in which labels
// choose their places.
const (
	flagLoss    = 1000.0
	nameLoss    = 300.0
	badgeLoss   = 250.0
	loadLoss    = 150.0
	voltageLoss = 80.0
	valueLoss   = 40.0 // part of a name's
	detailLoss  = 22.0 // of the second line of a value
	smallLoss   = 25.0
)

// request is a label that looks for a place.
type request struct {
	Label
	loss  float64    // the cost of leaving it out
	forms []form     // ways to write it, the fullest first
	spots []spot     // places that are free of ink
	at    int        // place among spots, or nowhere
	near  []*request // those that may ever be in its way
	arrow bool       // whether a chevron goes with it, at its mark
}

// nowhere is the place of a label that is left out.
const nowhere = -1

// spot is a place for a label.
type spot struct {
	box   canvas.Rect
	form  int
	align canvas.Align
	cost  float64
	mark  mark // where beside a wire it stands
}

// mark is a place on a piece of wire.
type mark struct {
	at    canvas.Point
	piece int
}

// form is a way to write a label.
type form struct {
	lines         [][]run
	width, height float64
	cost          float64 // of what it leaves out
	omits         string  // what it leaves out
}

// run is a piece of text in one weight and colour.
type run struct {
	text   string
	bold   bool
	colour color.NRGBA
}

func (r run) width() float64 { return canvas.TextWidth(r.text, textSize, r.bold) }

func newForm(lines ...[]run) form {
	f := form{lines: lines, height: lineAbove + lineBelow + float64(len(lines)-1)*linePitch}
	for _, l := range lines {
		f.width = max(f.width, lineWidth(l))
	}
	return f
}

func lineWidth(l []run) float64 {
	w := wordSpace * float64(len(l)-1)
	for _, r := range l {
		w += r.width()
	}
	return w
}

// items writes the form into a box of its size.
func (f *form) items(box canvas.Rect, align canvas.Align) []canvas.Item {
	var items []canvas.Item
	for i, l := range f.lines {
		x := box.Min.X
		switch slack := box.Width() - lineWidth(l); align {
		case canvas.Middle:
			x += slack / 2
		case canvas.End:
			x += slack
		}
		y := box.Min.Y + lineAbove + float64(i)*linePitch
		for _, r := range l {
			items = append(items, &canvas.Text{At: canvas.Pt(x, y), String: r.text, Size: textSize, Bold: r.bold, Colour: r.colour})
			x += r.width() + wordSpace
		}
	}
	return items
}

// drawLabels draws what found a place and notes what did not.
func (b *builder) drawLabels() {
	for _, q := range b.labels {
		if q.at == nowhere {
			b.s.Dropped = append(b.s.Dropped, q.Label)
			continue
		}
		s := q.spots[q.at]
		q.Box = s.box
		if q.Kind == CurrentLabel {
			q.Text = q.forms[s.form].lines[0][0].text // which depends on the place
		}
		b.s.Labels = append(b.s.Labels, q.Label)
		b.add(b.ground(q.Kind, s.box)...)
		b.add(q.write(s)...)
		if f := q.forms[s.form]; f.omits != "" {
			b.s.Dropped = append(b.s.Dropped, Label{Kind: ValueLabel, Ref: q.Ref, Net: q.Net, Text: f.omits})
		}
	}
}

// write sets the text of a label; that of a pill, badge or flag in the middle
// of its ground.
func (q *request) write(s spot) []canvas.Item {
	f := &q.forms[s.form]
	switch q.Kind {
	case VoltageLabel, BadgeLabel, FlagLabel:
		c := s.box.Center()
		r := f.lines[0][0]
		at := canvas.Pt(c.X, c.Y+canvas.CapHeight(textSize)/2)
		return []canvas.Item{&canvas.Text{At: at, String: r.text, Size: textSize, Bold: r.bold, Colour: r.colour, Align: canvas.Middle}}
	}
	return f.items(s.box, s.align)
}

// ground draws what lies beneath the text of a label.
func (b *builder) ground(kind LabelKind, box canvas.Rect) []canvas.Item {
	p := &canvas.Path{}
	switch kind {
	case VoltageLabel:
		p.Style = canvas.Style{Fill: b.t.Pill, Stroke: b.t.PillEdge, Width: 1}
		p.RoundRect(box.Inset(0.5), pillHigh/2)
	case BadgeLabel:
		p.Style = canvas.Style{Fill: b.t.Badge}
		p.RoundRect(box, 4)
	case FlagLabel:
		p.Style = canvas.Style{Fill: b.t.Flag}
		p.Circle(box.Center(), flagSize/2)
	default:
		return nil
	}
	return []canvas.Item{p}
}
