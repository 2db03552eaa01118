package scene

import (
	"image/color"
	"slices"
	"strconv"
	"strings"

	"copperglass/canvas"
)

// Severity says how much a finding matters.
type Severity string

// The severities, the gravest first.
const (
	Caution Severity = "caution" // something may break, or hurt somebody
	Oddity  Severity = "oddity"  // it works otherwise than one would expect
	Fact    Severity = "fact"    // good to know
)

// Finding is what a flag needs to know of something worth knowing.
type Finding struct {
	Severity  Severity
	Parts     []string // that it is about; the flag stands at the first on the sheet
	Key       bool     // whether it tells what sets a load's current: it has its flag though it is a fact
	Muted     bool     // whether it has its number and no flag
	Elsewhere bool     // whether it holds in other modes than the shown one only, and has no flag in this
	Stale     bool     // whether it is of the circuit before a change, and not looked at anew yet: its flag is grey
}

// Measures of the flags of findings, in sheet units.
const (
	findingHigh = 17.0
	findingRoom = 5.0 // to the ends of the flag
	signSize    = 9.0 // of the sign of a severity
	signGap     = 3.0 // from the sign to its number
	cellGap     = 7.0 // between findings on one flag
	findingEdge = 1.0
)

// severityColour is that of a severity's sign and number.
func severityColour(t *canvas.Theme, s Severity) color.NRGBA {
	switch s {
	case Caution:
		return t.Flag
	case Oddity:
		return t.Current
	}
	return t.Quiet
}

// colourOf is that of a finding's sign and number.
func (b *builder) colourOf(f *Finding) color.NRGBA {
	if f.Stale {
		return b.t.Quiet
	}
	return severityColour(&b.t, f.Severity)
}

// oddityWidth is the stroke of the ring.
const oddityWidth = 1.8

// signStyle is how the sign of a severity is drawn.
func signStyle(s Severity, c color.NRGBA) canvas.Style {
	if s == Oddity {
		return canvas.Style{Stroke: c, Width: oddityWidth}
	}
	return canvas.Style{Fill: c}
}

// signOf adds the sign of a severity to a path, around c: a filled triangle, a
// ring, a dot. They are told apart without their colour.
func signOf(p *canvas.Path, s Severity, c canvas.Point, size float64) *canvas.Path {
	r := size / 2
	switch s {
	case Caution:
		return p.MoveTo(c.X, c.Y-r).LineTo(c.X+r*1.1, c.Y+r*0.9).LineTo(c.X-r*1.1, c.Y+r*0.9).Close()
	case Oddity:
		return p.Circle(c, r-oddityWidth/2)
	}
	return p.Circle(c, r*0.55)
}

// FindingFlag is the flag of one finding as the sheet has it, its top left
// corner at the origin, for who lists it.
func FindingFlag(t canvas.Theme, s Severity, number int) canvas.Picture {
	text := strconv.Itoa(number)
	box := canvas.Rect{Max: canvas.Pt(findingWidth(text, 1), findingHigh)}
	colour := severityColour(&t, s)
	ground := &canvas.Path{Style: findingGround(&t, colour)}
	p := canvas.Picture{Items: []canvas.Item{ground.RoundRect(box.Inset(findingEdge/2), box.Height()/2)}}
	middle, x := box.Center(), findingRoom+signSize/2
	figure := &canvas.Text{At: canvas.Pt(x+signSize/2+signGap, middle.Y+canvas.CapHeight(smallText)/2), String: text, Size: smallText, Bold: true, Colour: colour}
	p.Add(signOf(&canvas.Path{Style: signStyle(s, colour)}, s, canvas.Pt(x, middle.Y), signSize), figure)
	return p
}

// SeveritySign is the sign of a severity without a number, where a flag has it.
func SeveritySign(t canvas.Theme, s Severity) canvas.Picture {
	return canvas.Picture{Items: []canvas.Item{signOf(&canvas.Path{Style: signStyle(s, severityColour(&t, s))}, s, canvas.Pt(findingRoom+signSize/2, findingHigh/2), signSize)}}
}

func findingGround(t *canvas.Theme, c color.NRGBA) canvas.Style {
	return canvas.Style{Fill: t.Paper, Stroke: c, Width: findingEdge}
}

// findingWidth is that of a flag with these numbers, one space apart.
func findingWidth(numbers string, scale float64) float64 {
	list := strings.Fields(numbers)
	w := scale * (2*findingRoom + cellGap*float64(len(list)-1))
	for _, n := range list {
		w += scale*(signSize+signGap) + canvas.TextWidth(n, scale*smallText, true)
	}
	return w
}

// flagged reports whether a finding is to have a flag.
func (b *builder) flagged(f *Finding) bool {
	return b.o.Show.Findings && !f.Muted && !f.Elsewhere && (f.Severity != Fact || f.Key || b.o.Show.Facts)
}

// flagFindings asks for one flag at each part that is the first on the sheet of
// some findings. They are numbered on after the faults.
func (b *builder) flagFindings() {
	first := len(b.faults)
	for i := range b.o.Findings {
		b.s.Flags = append(b.s.Flags, Flag{Number: first + i + 1, Fault: none, Finding: i})
	}
	if !b.o.Show.Findings || len(b.o.Findings) == 0 {
		return
	}
	for i := range b.parts {
		if p := &b.parts[i]; !p.extent.Empty() {
			b.flagPart(p)
		}
	}
}

// flagPart asks for a flag for all findings of which the part is the first on
// the sheet.
func (b *builder) flagPart(p *placed) {
	var numbers []string
	var found []int
	for i := range b.o.Findings {
		if f := &b.o.Findings[i]; b.flagged(f) && b.firstOf(f.Parts) == p.index {
			numbers, found = append(numbers, strconv.Itoa(len(b.faults)+i+1)), append(found, i)
		}
	}
	if found == nil {
		return
	}
	q := b.newRequest(Label{Kind: FindingLabel, Ref: p.Ref, Net: -1, Text: strings.Join(numbers, " ")}, flagLoss)
	q.found = found
	f := q.single(q.Text, true, b.t.Ink, b.scaled(smallText))
	f.width, f.height = findingWidth(q.Text, b.scale), b.scaled(findingHigh)
	k := b.seek()
	k.enough, k.reach = 100, 400 // a flag must not be lost
	k.besidePart(p, q.forms, flagSides)
	b.ask(q)
}

// firstOf returns the place of the first of the parts that stands on the sheet,
// or none.
func (b *builder) firstOf(refs []string) int {
	for _, ref := range refs {
		if i := b.partIndex(ref); i >= 0 && !b.parts[i].extent.Empty() {
			return i
		}
	}
	return none
}

// drawFinding draws a flag of findings: the sign and the number of each, in the
// colour of the gravest around them.
func (b *builder) drawFinding(found []int, box canvas.Rect) {
	gravest := slices.MinFunc(found, func(i, j int) int {
		return b.o.Findings[i].Severity.rank() - b.o.Findings[j].Severity.rank()
	})
	b.add(b.path(findingGround(&b.t, b.colourOf(&b.o.Findings[gravest]))).RoundRect(box.Inset(findingEdge/2), box.Height()/2))
	x, y, size := box.Min.X+b.scaled(findingRoom), box.Center().Y, b.scaled(smallText)
	for _, i := range found {
		s, colour := b.o.Findings[i].Severity, b.colourOf(&b.o.Findings[i])
		b.add(signOf(b.path(signStyle(s, colour)), s, canvas.Pt(x+b.scaled(signSize)/2, y), b.scaled(signSize)))
		x += b.scaled(signSize + signGap)
		number := strconv.Itoa(len(b.faults) + i + 1)
		b.text(canvas.Text{At: canvas.Pt(x, y+canvas.CapHeight(size)/2), String: number, Size: size, Bold: true, Colour: colour})
		x += canvas.TextWidth(number, size, true) + b.scaled(cellGap)
	}
}

func (s Severity) rank() int { return slices.Index([]Severity{Caution, Oddity, Fact}, s) }
