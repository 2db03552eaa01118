package scene

import (
	"math"

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
	k.beside(p.extent, q.forms, p.otherSide())
	b.ask(q)
}
