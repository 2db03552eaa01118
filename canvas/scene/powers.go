package scene

import (
	"math"

	"copperglass/canvas"
	"copperglass/model/quantity"
)

// What of a power is worth a word: the least, and the least share of the
// largest.
const (
	powerFloor = 1e-9 // W
	powerShare = 1.0 / 1000
)

// powerReach is how far off its part a power may stand.
const powerReach = 16.0

// tellPowers asks for a place for the power of each part.
func (b *builder) tellPowers() {
	b.flow.power = 0
	for _, p := range b.r.Parts {
		b.flow.power = math.Max(b.flow.power, math.Abs(p.Power))
	}
	b.titles = zeros(b.titles, len(b.parts))
	for _, q := range b.labels {
		if q.Kind == NameLabel && q.at != nowhere {
			b.titles[q.of] = &q.spots[q.at]
		}
	}
	for i := range b.parts {
		b.askPower(&b.parts[i])
	}
}

// askPower asks for a place for what a part absorbs, or gives.
func (b *builder) askPower(p *placed) {
	r := b.result(p)
	if r == nil || p.extent.Empty() || !(math.Abs(r.Power) >= math.Max(powerFloor, powerShare*b.flow.power)) {
		return
	}
	text := quantity.Solved(math.Abs(r.Power), quantity.Watt)
	if r.Power < 0 {
		text = "gives " + text
	}
	q := b.newRequest(Label{Kind: PowerLabel, Ref: p.Ref, Net: -1, Text: text}, powerLoss+math.Sqrt(math.Abs(r.Power)/b.flow.power))
	q.of = p.index
	q.single(text, false, b.t.Quiet, b.scaled(textSize))
	k := b.seek()
	k.reach = powerReach // or it could be taken for another part's
	if name := b.titles[p.index]; name != nil && !(p.Kind == "chip" && p.extent.Overlaps(name.box)) {
		k.beneath(name, &q.forms[0])
	}
	if len(k.spots) == 0 {
		k.besidePart(p, q.forms, p.otherSide())
		b.tellApart(p, PowerLabel, k.spots)
	}
	b.ask(q)
}

// beneath looks for a place below another label, in line with it.
func (k *seeker) beneath(s *spot, f *form) {
	at := canvas.Pt(s.box.Min.X, s.box.Max.Y+labelGap)
	switch s.align {
	case canvas.Middle:
		at.X = s.box.Center().X - f.width/2
	case canvas.End:
		at.X = s.box.Max.X - f.width
	}
	k.try(spot{box: boxAt(at.X, at.Y, f), align: s.align})
}
