package scene

import (
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/net"
	"copperglass/model/quantity"
)

// What has changed since another result is told beside the new figure, in small
// letters that are struck through.
const (
	changeShare = 0.005 // least share of a figure's change that is told
	pastScale   = 0.85  // of the letters
	strikeWidth = 1.2
	strikeAlpha = 0x90
	strikeAt    = 0.28 // of the letters' size, above the baseline
)

// lessThan stands before a figure that is smaller than a solution is good for.
const lessThan = "< "

// readPast works out the currents of the result that is compared with. It is
// left out where it does not fit the nets of this drawing, by Kirchhoff's law.
func (b *builder) readPast() {
	f := &b.flow
	f.past, b.past = f.past[:0], nil
	if b.o.Before == nil || b.r == nil || !b.o.Before.Solved || !b.fits(b.o.Before) {
		return
	}
	b.past = b.o.Before
	f.past = append(f.past, b.tracer.Flow(b.nets, b.d, b.pieces, b.pastAmps)...)
}

// fits reports whether a result is of the same parts, joined in the same way.
func (b *builder) fits(r *analysis.Result) bool {
	const rounding = 1e-6 // of the largest current
	if len(r.Parts) != len(b.r.Parts) {
		return false
	}
	for _, n := range b.nets.Nets {
		sum, largest := 0.0, 0.0
		for _, id := range n.Pins {
			if r.Parts[id.Ref] == nil && b.r.Parts[id.Ref] != nil {
				return false
			}
			a := ampsOf(r, id)
			sum, largest = sum+a, math.Max(largest, math.Abs(a))
		}
		if !(math.Abs(sum) <= rounding*largest+labelFloor) {
			return false
		}
	}
	return true
}

func (b *builder) pastAmps(id net.PinID) float64 { return ampsOf(b.past, id) }

// ampsOf is the current into a pin, 0 where nothing is known of it.
func ampsOf(r *analysis.Result, id net.PinID) float64 {
	p := r.Parts[id.Ref]
	if p == nil {
		return 0
	}
	for _, pin := range p.Pins {
		if pin.Name == id.Pin {
			return pin.Amps
		}
	}
	return 0
}

// pastVolts is what a net had before, NaN where that is not known.
func (b *builder) pastVolts(of int) float64 {
	if b.past != nil {
		for _, id := range b.nets.Nets[of].Pins {
			if n := b.past.Nets.Pin(id.Ref, id.Pin); n >= 0 && n < len(b.past.Volts) {
				return b.past.Volts[n]
			}
		}
	}
	return math.NaN()
}

// pastOfPiece is the current that a piece of wire had before, in the direction
// of the one it has now, NaN where that is not known.
func (b *builder) pastOfPiece(i int) float64 {
	if b.past == nil {
		return math.NaN()
	}
	return math.Copysign(1, b.flow.amps[i]) * b.flow.past[i]
}

// pastThrough is the current that passed a part before, as pastOfPiece.
func (b *builder) pastThrough(p *placed) float64 {
	_, k, ok := p.main()
	if !ok || b.past == nil {
		return math.NaN()
	}
	return math.Copysign(1, p.amps[k]) * b.pastAmps(net.PinID{Ref: p.Ref, Pin: p.pins[k].Name})
}

// differ reports whether a figure has changed by as much as is told; least is
// the size of what is nothing.
func differ(now, before, least float64) bool {
	size := math.Max(math.Abs(now), math.Abs(before))
	return math.Abs(now-before) > math.Max(changeShare*size, least)
}

// wasVolts adds to a voltage what it was before.
func (b *builder) wasVolts(f *form, now, before float64) {
	if differ(now, before, leastVolts) {
		f.was(voltsText(before))
	}
}

// wasAmps adds to a current what it was before.
func (b *builder) wasAmps(f *form, now, before float64) {
	if differ(now, before, b.flow.visible()) {
		f.was(pastAmpsText(before))
	}
}

// pastAmpsText is a current with its sign, unless it is smaller than a solution
// is good for.
func pastAmpsText(x float64) string {
	text := quantity.Solved(math.Abs(x), quantity.Ampere)
	if x < 0 && !strings.HasPrefix(text, lessThan) {
		return "−" + text
	}
	return text
}

// was adds a figure that is struck through, unless it reads the same.
func (f *form) was(text string) {
	now := f.lines[0][0]
	if text == now.text {
		return
	}
	f.lines[0] = append(f.lines[0], run{text: text, colour: now.colour, past: true})
	f.measure()
}

// strike draws the line through a run that begins at a place: softer than its
// letters and beneath them, so that they can be read.
func (b *builder) strike(r *run, at canvas.Point, size float64) {
	y, soft := at.Y-strikeAt*size, r.colour
	soft.A = strikeAlpha
	line, from := b.path(canvas.Style{Stroke: soft, Width: strikeWidth}), at.X-1
	if strings.HasPrefix(r.text, lessThan) {
		from += canvas.TextWidth(lessThan, size, r.bold) // or it would look like an arrow
	}
	b.add(line.MoveTo(from, y).LineTo(at.X+canvas.TextWidth(r.text, size, r.bold)+1, y))
}

// drawnPart is a part as the drawing has it that is compared with, nil where it
// is the same.
func (b *builder) drawnPart(p *placed) *model.Part {
	if b.o.Drawn == nil {
		return nil
	}
	if q := b.o.Drawn.Part(p.Ref); q != nil && q != p.Part && q.Kind == p.Kind {
		return q
	}
	return nil
}

// What each way to tell in a name what its value was before costs.
const (
	wideCost  = 0.05 // beside the new one, for each unit that this takes of width
	apartCost = 3.0  // on a line of its own
	pastLoss  = 20.0 // not at all

	// For reaching beyond the page, which was fitted to the drawing without it:
	// rather less of the value than none that can be read.
	pastBeyond = 60.0
)

// wasWords adds to the lines of a part's value what they were, each where it
// differs: beside it, or where that is too wide below it, or not at all.
func (b *builder) wasWords(p *placed, words []string) {
	values, _ := b.o.Drawn.Resolve(p.drawn, b.d.Mode(b.o.Mode).Setting().With(b.o.Set))
	before := b.words(&placed{Part: p.drawn, values: values}, p.outcome)
	var forms []form
	for _, f := range p.forms {
		beside, apart := f.withPast(words, before)
		if beside.width == f.width {
			forms = append(forms, f) // nothing in it differs
			continue
		}
		beside.cost += wideCost * (beside.width - f.width)
		apart.cost += apartCost
		f.cost += pastLoss
		forms = append(forms, beside, apart, f)
	}
	p.forms = forms
}

// withPast is a form with what its lines were beside them, and one with it
// below them.
func (f form) withPast(words, before []string) (beside, apart form) {
	beside, apart = f, f
	beside.lines, apart.lines = nil, nil
	for _, line := range f.lines {
		last := line[len(line)-1] // of a line, the part's name may stand before it
		at := slices.Index(words, last.text)
		if at < 0 || at >= len(before) || before[at] == last.text {
			beside.lines, apart.lines = append(beside.lines, line), append(apart.lines, line)
			continue
		}
		old := run{text: brief(before[at], longestRun), colour: last.colour, past: true}
		beside.lines = append(beside.lines, append(slices.Clone(line), old))
		apart.lines = append(apart.lines, line, []run{old})
	}
	beside.measure()
	apart.measure()
	return beside, apart
}
