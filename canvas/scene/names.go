package scene

import (
	"image/color"
	"slices"
	"strconv"
	"strings"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
)

// nameParts asks for a place for a part's name with its value, and for a
// stack's badge.
func (b *builder) nameParts(p *placed) {
	switch {
	case p.extent.Empty(), p.LookupKind() != nil && p.LookupKind().Sign:
		return
	}
	b.askName(p)
	if n := p.Multiple(); n > 1 {
		b.askBadge(p, n)
	}
}

// enoughForNames is how many free places a name looks for: more than others
// do, since many of them may be as near to another part.
const enoughForNames = 24

func (b *builder) askName(p *placed) {
	b.readName(p)
	q := b.newRequest(Label{Kind: NameLabel, Ref: p.Ref, Net: -1, Text: p.name}, nameLoss)
	q.forms, q.of = p.forms, p.index
	k := b.seek()
	if p.Kind == "chip" {
		k.free = func(r canvas.Rect) bool { return b.freeInside(r, p) }
		k.within(chipBox(p), q.forms)
		b.offPins(p, k.spots)
		k.free = k.outside
	}
	if !slices.ContainsFunc(k.spots, func(s spot) bool { return q.forms[s.form].omits == "" }) {
		within := len(k.spots)
		k.enough = enoughForNames
		k.besidePart(p, q.forms, p.sideCosts())
		b.shyOf(k.spots[within:])
		b.tellApart(p, NameLabel, k.spots[within:])
	}
	b.ask(q)
}

// offPins makes places for a chip's name dearer that nearly touch the text at a
// pin, left or right.
func (b *builder) offPins(p *placed, spots []spot) {
	const room, cost = 6.0, 5.0
	for i := range spots {
		wide := spots[i].box
		wide.Min.X, wide.Max.X = wide.Min.X-room, wide.Max.X+room
		if !b.freeInside(wide, p) {
			spots[i].cost += cost
		}
	}
}

// readName works out how the part's name may be written, unless that is as it
// was.
func (b *builder) readName(p *placed) {
	outcome := b.outcome(p)
	drawn := b.drawnPart(p)
	if p.named && p.outcome == outcome && p.drawn == drawn {
		return
	}
	words := b.words(p, outcome)
	p.name = strings.Join(append([]string{p.Ref}, words...), "\n")
	p.named, p.outcome, p.drawn = true, outcome, drawn
	p.forms = b.nameForms(p, words)
	b.leaveRoom(p)
	if drawn != nil {
		b.wasWords(p, words)
	}
}

// leaveRoom makes the forms of a transistor's name as wide as in its widest
// state, so that the name stays where it is when the state is another.
func (b *builder) leaveRoom(p *placed) {
	if p.outcome == "" || p.Kind == "meter" {
		return
	}
	for _, s := range [...]analysis.State{analysis.CutOff, analysis.Active, analysis.Saturated, analysis.Reverse} {
		for i, f := range b.nameForms(p, b.words(p, string(s))) {
			p.forms[i].width = max(p.forms[i].width, f.width)
		}
	}
}

// chipBox returns the outline of a chip where it stands.
func chipBox(p *placed) canvas.Rect {
	box := model.ChipBox(p.Part)
	at := canvas.OnGrid(p.At)
	a := canvas.OnGrid(p.Orient.Apply(box.Min)).Add(at)
	return canvas.EmptyRect().Include(a).Include(canvas.OnGrid(p.Orient.Apply(box.Max)).Add(at))
}

// freeInside reports whether a box within chip p is clear of what else there
// is.
func (b *builder) freeInside(r canvas.Rect, p *placed) bool {
	if b.inside.hit(r) {
		return false
	}
	for i := range b.parts {
		if o := &b.parts[i]; o != p && o.extent.Overlaps(r) {
			return false
		}
	}
	return true
}

// nameForms returns the ways to write a part's name: above its value, or in
// one line with it, and then with less and less of the value.
func (b *builder) nameForms(p *placed, words []string) []form {
	ref := run{text: p.Ref, bold: true, colour: b.t.Ink}
	block := [][]run{{ref}}
	for i, w := range words {
		block = append(block, []run{{text: w, colour: b.wordColour(i)}})
	}
	var forms []form
	for n := len(words); n >= 0; n-- {
		f := newForm(b.scaled(textSize), block[:n+1]...)
		f.omit(words[n:], n)
		forms = append(forms, f)
		if n == 1 && len(words) == 1 {
			forms = append(forms, newForm(b.scaled(textSize), []run{ref, {text: words[0], colour: b.t.Ink}}))
			if p.drawn == nil {
				forms = append(forms, b.narrow(p.Kind, ref, words[0])...)
			}
		}
	}
	return forms
}

// narrow returns the name above a value of two halves, one above the other, such
// as what a transistor is and what it does.
func (b *builder) narrow(kind string, ref run, words string) []form {
	first, rest, ok := strings.Cut(words, ", ")
	if kind == "led" { // "warm white"
		first, rest, ok = strings.Cut(words, " ")
	}
	if !ok || rest == "?" {
		return nil
	}
	f := newForm(b.scaled(textSize), []run{ref}, []run{{text: first, colour: b.t.Ink}}, []run{{text: rest, colour: b.t.Ink}})
	f.cost = narrowCost
	return []form{f}
}

// wordColour makes the second line of a value quieter than the first.
func (b *builder) wordColour(line int) color.NRGBA {
	if line == 0 {
		return b.t.Ink
	}
	return b.t.Quiet
}

// omit notes what of a value is left out after its first n lines.
func (f *form) omit(rest []string, n int) {
	if len(rest) == 0 {
		return
	}
	f.omits = strings.Join(rest, "\n")
	f.cost = detailLoss
	if n == 0 {
		f.cost = valueLoss
	}
}

func (b *builder) askBadge(p *placed, n int) {
	text := "×" + strconv.Itoa(n)
	q := b.newRequest(Label{Kind: BadgeLabel, Ref: p.Ref, Net: -1, Text: text}, badgeLoss)
	f := q.single(text, true, b.t.OnBadge, b.scaled(textSize))
	f.width, f.height = f.width+2*badgeRoom, b.scaled(badgeHigh)
	b.seek().besidePart(p, q.forms, p.otherSide())
	b.shyOf(b.seeker.spots)
	b.tellApart(p, BadgeLabel, b.seeker.spots)
	b.ask(q)
}

// otherSide is sideCosts for what goes with a part but is not its name.
func (p *placed) otherSide() [4]float64 {
	costs := p.plainCosts()
	costs[left], costs[right] = costs[right], costs[left]
	return p.withLeads(costs)
}
