package scene

import (
	"image/color"
	"strconv"
	"strings"

	"copperglass/canvas"
	"copperglass/model"
)

// nameParts asks for a place for a part's name with its value, and for a
// stack's badge.
func (b *builder) nameParts(p *placed) {
	switch {
	case p.extent.Empty(), p.Kind == "ground", p.Kind == "tag", p.Kind == "note":
		return
	}
	b.request(b.name(p))
	if n := p.Multiple(); n > 1 {
		b.request(b.badge(p, n))
	}
}

func (b *builder) name(p *placed) *request {
	words := b.words(p)
	q := &request{loss: nameLoss, forms: b.nameForms(p, words)}
	q.Label = Label{Kind: NameLabel, Ref: p.Ref, Net: -1, Text: strings.Join(append([]string{p.Ref}, words...), "\n")}
	if p.Kind == "chip" {
		b.seek(func(r canvas.Rect) bool { return b.freeInside(r, p) }).within(chipBox(p), q.forms)
		q.spots = b.seeker.found()
	}
	if len(q.spots) == 0 {
		b.seek(b.free).beside(p.extent, q.forms, p.sideCosts())
		q.spots = b.lastingSpots()
	}
	return q
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
	ref := run{p.Ref, true, b.t.Ink}
	block := [][]run{{ref}}
	for i, w := range words {
		block = append(block, []run{{w, false, b.wordColour(i)}})
	}
	var forms []form
	for n := len(words); n >= 0; n-- {
		f := newForm(block[:n+1]...)
		f.omit(words[n:], n)
		forms = append(forms, f)
		if n == 1 && len(words) == 1 {
			forms = append(forms, newForm([]run{ref, {words[0], false, b.t.Ink}}))
		}
	}
	return forms
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

func (b *builder) badge(p *placed, n int) *request {
	text := "×" + strconv.Itoa(n)
	f := newForm([]run{{text, true, b.t.OnBadge}})
	f.width, f.height = f.width+2*badgeRoom, badgeHigh
	q := &request{loss: badgeLoss, forms: []form{f}}
	q.Label = Label{Kind: BadgeLabel, Ref: p.Ref, Net: -1, Text: text}
	b.seek(b.free).beside(p.extent, q.forms, p.otherSide())
	q.spots = b.lastingSpots()
	return q
}

// otherSide is sideCosts for what goes with a part but is not its name.
func (p *placed) otherSide() [4]float64 {
	costs := p.sideCosts()
	costs[left], costs[right] = costs[right], costs[left]
	return costs
}
