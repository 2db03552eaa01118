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
	FindingLabel                  // the numbers of the findings on a part
	TagLabel                      // the net name that a pin or a wire carries
	WireLabel                     // what a fault calls a wire
	PowerLabel                    // what a part absorbs or gives
)

// Label is a piece of text that the scene found a place for, or found none.
type Label struct {
	Kind LabelKind
	Ref  string // the part it belongs to, or empty
	Net  int    // the net it belongs to, or −1
	Of   string // a part through which flows the current that it tells, the load where there is one; or empty
	Text string
	Box  canvas.Rect // where it stands; zero for one that was dropped
}

// Flag is the number of a fault or a finding.
type Flag struct {
	Number  int         // from 1, in the order of the result's faults and then of the findings
	Fault   int         // place among the result's faults, or −1
	Finding int         // place among the findings, or −1
	Shown   bool        // whether it has a place on the sheet, and is to be shown
	Box     canvas.Rect // where it stands, if it is shown, with others of its part
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
	flagRoom  = 7.0  // beside a flag's number, at least
	quietSize = 17.0 // of a flag at what does not stop the analysis
	smallText = 11.5 // on such flags, and on tags
	labelGap  = 6.0  // least distance between labels one above the other

	// What each of two labels side by side adds to the distance between them: bare
	// texts on one line would read as one.
	sideOfText   = 6.0
	sideOfGround = 3.0 // of one that stands on a ground of its own
)

// What it costs to leave a label out, which is also the order in which labels
// choose their places.
const (
	flagLoss    = 1000.0
	tagLoss     = 400.0 // without it nobody sees what is joined
	nameLoss    = 300.0
	totalLoss   = 260.0 // of what a source gives in all
	badgeLoss   = 250.0
	loadLoss    = 150.0
	voltageLoss = 80.0
	valueLoss   = 60.0 // part of a name's
	detailLoss  = 22.0 // of the second line of a value
	smallLoss   = 25.0
	powerLoss   = 20.0
)

// request is a label that looks for a place.
type request struct {
	Label
	loss  float64 // the cost of leaving it out
	forms []form  // ways to write it, the fullest first
	own   []form  // those that are not kept elsewhere
	spots []spot  // places that are free of ink
	at    int     // place among spots, or nowhere
	reach canvas.Rect
	turn  int        // its place in the order in which labels choose
	near  []*request // those that may ever be in its way
	arrow bool       // whether a chevron goes with it, at its mark
	found []int      // the findings whose flag it is
	quiet bool       // whether it is a flag at what does not stop the analysis

	of      int      // place of its part, its stream or its group of nets
	each    bool     // whether it tells the current of each of a stack
	total   bool     // whether it tells what a source gives in all
	instead *request // what it would stand for
	told    bool     // whether another stands for it, or for what it leaves out
}

// nowhere is the place of a label that is left out.
const nowhere = -1

// spot is a place for a label.
type spot struct {
	box   canvas.Rect
	form  int
	align canvas.Align
	cost  float64
	side  float64 // what it keeps free left and right
	mark  mark    // where beside a wire it stands
	led   bool    // whether a line leads to it
	gap   float64 // from the wire to where that line begins
	tied  bool    // whether it is a tag's, to which a line leads from its mark
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
	size          float64 // of its letters
	sign          bool    // whether it is drawn as the sign of ground
	amps          float64 // that it tells, of a current
}

// run is a piece of text in one weight and colour.
type run struct {
	text   string
	bold   bool
	colour color.NRGBA
	past   bool // whether it is what was: smaller, and struck through
}

func newForm(size float64, lines ...[]run) form {
	f := form{lines: lines, size: size}
	for _, l := range lines {
		for i := range l {
			l[i].text = brief(l[i].text, longestRun)
		}
	}
	f.measure()
	return f
}

// measure sets the size of the form from its lines.
func (f *form) measure() {
	scale := f.size / textSize
	f.width, f.height = 0, scale*(lineAbove+lineBelow+float64(len(f.lines)-1)*linePitch)
	for _, l := range f.lines {
		f.width = max(f.width, f.lineWidth(l))
	}
}

// single adds a form of one run to the label's own.
func (q *request) single(text string, bold bool, c color.NRGBA, size float64) *form {
	q.own = another(q.own)
	q.forms = q.own
	f := &q.own[len(q.own)-1]
	lines := another(f.lines[:0])
	lines[0] = append(lines[0][:0], run{text: brief(text, longestRun), bold: bold, colour: c})
	*f = form{lines: lines, size: size}
	f.measure()
	return f
}

// longestRun is how many runes of a text a label shows, so that no text makes a
// drawing without end.
const longestRun = 60

// brief returns a text of at most n runes, the last of which stands for the
// rest where there is more.
func brief(s string, n int) string {
	cut, runes := 0, 0
	for i := range s {
		if runes++; runes == n {
			cut = i
		}
		if runes > n {
			return s[:cut] + "…"
		}
	}
	return s
}

func (f *form) lineWidth(l []run) float64 {
	w := wordSpace * f.size / textSize * float64(len(l)-1)
	for _, r := range l {
		w += canvas.TextWidth(r.text, f.sizeOf(&r), r.bold)
	}
	return w
}

// writeLines writes the form into a box of its size.
func (b *builder) writeLines(f *form, box canvas.Rect, align canvas.Align) {
	scale := f.size / textSize
	for i, l := range f.lines {
		x := box.Min.X
		switch slack := box.Width() - f.lineWidth(l); align {
		case canvas.Middle:
			x += slack / 2
		case canvas.End:
			x += slack
		}
		y := box.Min.Y + scale*(lineAbove+float64(i)*linePitch)
		b.writeRuns(f, l, canvas.Pt(x, y))
	}
}

// writeRuns writes the runs of a line, the first of which begins at a place.
func (b *builder) writeRuns(f *form, l []run, at canvas.Point) {
	for i := range l {
		r := &l[i]
		size := f.sizeOf(r)
		if r.past {
			b.strike(r, at, size)
		}
		b.text(canvas.Text{At: at, String: r.text, Size: size, Bold: r.bold, Colour: r.colour})
		at.X += canvas.TextWidth(r.text, size, r.bold) + f.size/textSize*wordSpace
	}
}

// sizeOf is the size of a run's letters.
func (f *form) sizeOf(r *run) float64 {
	if r.past {
		return f.size * pastScale
	}
	return f.size
}

// drawLabels draws what found a place and notes what did not.
func (b *builder) drawLabels() {
	for _, q := range b.labels {
		if q.at == nowhere {
			if !q.told {
				b.s.Dropped = append(b.s.Dropped, q.Label)
			}
			continue
		}
		s := &q.spots[q.at]
		q.Box = s.box
		if q.Kind == CurrentLabel {
			q.Text = q.forms[s.form].lines[0][0].text // which depends on the place
		}
		b.s.Labels = append(b.s.Labels, q.Label)
		b.back = b.labelBack(q)
		b.ground(q, s)
		b.write(q, s)
		b.back = false
		if f := q.forms[s.form]; f.omits != "" && !q.told {
			b.s.Dropped = append(b.s.Dropped, Label{Kind: ValueLabel, Ref: q.Ref, Net: q.Net, Text: f.omits})
		}
	}
}

// write sets the text of a label; that of a pill, badge or flag in the middle
// of its ground.
func (b *builder) write(q *request, s *spot) {
	f := &q.forms[s.form]
	switch q.Kind {
	case VoltageLabel, BadgeLabel, FlagLabel:
		b.centred(f, s.box.Center())
	case FindingLabel: // with its ground
	case TagLabel:
		if !f.sign {
			b.centred(f, s.tagBody().Center())
		}
	default:
		b.writeLines(f, s.box, s.align)
	}
}

// centred writes the form's one line with its middle at c.
func (b *builder) centred(f *form, c canvas.Point) {
	r, at := f.lines[0][0], c.Add(canvas.Pt(0, canvas.CapHeight(f.size)/2))
	if len(f.lines[0]) > 1 {
		b.writeRuns(f, f.lines[0], at.Sub(canvas.Pt(f.lineWidth(f.lines[0])/2, 0)))
		return
	}
	b.text(canvas.Text{At: at, String: r.text, Size: f.size, Bold: r.bold, Colour: r.colour, Align: canvas.Middle})
}

// ground draws what lies beneath the text of a label.
func (b *builder) ground(q *request, s *spot) {
	switch q.Kind {
	case VoltageLabel:
		b.drawLead(s, b.t.Volts)
		pill := b.path(canvas.Style{Fill: b.t.Pill, Stroke: b.t.PillEdge, Width: 1})
		b.add(pill.RoundRect(s.box.Inset(0.5), s.box.Height()/2))
	case BadgeLabel:
		badge := b.path(canvas.Style{})
		badge.Fill = b.toneBadge()
		b.add(badge.RoundRect(s.box, 4))
	case FindingLabel:
		b.drawFinding(q.found, s.box)
	case FlagLabel:
		b.flagGround(s.box, q.quiet)
	case TagLabel:
		b.tagGround(s, q.forms[s.form].sign)
	case CurrentLabel:
		b.drawLead(s, b.t.Current)
	}
}
