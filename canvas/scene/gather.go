package scene

import (
	"fmt"
	"slices"

	"copperglass/canvas"
	"copperglass/model/quantity"
)

// placeLabels gathers all labels and finds their places: first those of what
// is drawn, which shall stay where they are from one mode to the next, then
// those of what was found out.
func (b *builder) placeLabels() {
	b.shyFromWires()
	b.strangers.read(b.parts)
	for i := range b.parts {
		b.nameParts(&b.parts[i])
	}
	b.tellTags()
	b.settle(0)
	lasting := len(b.labels)
	b.flagFaults()
	b.flagFindings()
	b.nameWires()
	b.tellResults()
	b.settle(lasting)
	b.keepToLevel()
	slices.SortStableFunc(b.labels, byLoss)
	b.noteFlags()
}

// settle finds places for the labels gathered from one on, and keeps others
// off them.
func (b *builder) settle(from int) {
	chooseIn(b.labels[from:], &b.swept)
	for _, q := range b.labels[from:] {
		if q.at != nowhere {
			s := &q.spots[q.at]
			b.block(s.roomBeside(sideOfGround))
			b.solid.add(s.box.Inset(-leadRoom))
			if s.led || s.tied {
				b.outside.add(s.lead().Inset(-leadRoom))
			}
		}
	}
}

// tellResults asks for places for the figures.
func (b *builder) tellResults() {
	if b.r == nil {
		return
	}
	b.near.read(b.pieces)
	if b.o.Show.Currents {
		for i := range b.parts {
			b.tellEach(&b.parts[i])
		}
		b.tellCurrents()
	}
	if b.o.Show.Voltages {
		b.tellVoltages()
	}
	if b.o.Show.Powers {
		b.tellPowers()
	}
}

// shyFromWires notes where lasting labels are rather not: where a ribbon may
// come in another mode, and where a wire would leave a pin.
func (b *builder) shyFromWires() {
	const out, half = 1.2 * canvas.Grid, 8.0
	for _, s := range b.pieces {
		b.shy.addLine(canvas.OnGrid(s.A), canvas.OnGrid(s.B), wideRibbon/2+clearance)
	}
	for i := range b.parts {
		if p := &b.parts[i]; !p.extent.Empty() {
			for _, pin := range p.pins {
				at := canvas.OnGrid(pin.At)
				b.shy.addLine(at, at.Add(canvas.Pt(out*float64(pin.Out.X), out*float64(pin.Out.Y))), half)
			}
		}
	}
}

// shyOf makes the places found for a lasting label dearer where it would
// rather not be.
func (b *builder) shyOf(spots []spot) {
	for i := range spots {
		if b.shy.hit(spots[i].box) {
			spots[i].cost += shyCost
		}
	}
}

// free reports whether a box is clear of ink.
func (b *builder) free(box canvas.Rect) bool { return !b.outside.hit(box) }

// seek begins to look for places for another label.
func (b *builder) seek() *seeker {
	k := &b.seeker
	k.free, k.enough, k.reach, k.core, k.spots = k.outside, 8, 40, everywhere, k.spots[:0]
	return k
}

// newRequest returns a label that looks for a place, of a part or a net.
func (b *builder) newRequest(l Label, loss float64) *request {
	q := b.requests.lend()
	own, near := q.own[:0], q.near[:0]
	*q = request{Label: l, loss: loss, at: nowhere, own: own, near: near}
	return q
}

// ask enters a label that may stand at the places found.
func (b *builder) ask(q *request) {
	if q.Kind == FindingLabel || q.Kind == FlagLabel {
		if i := b.partIndex(q.Ref); i >= 0 {
			b.tellApart(&b.parts[i], q.Kind, b.seeker.spots)
		}
	}
	side := sideOfText
	switch q.Kind {
	case BadgeLabel, VoltageLabel, FlagLabel, FindingLabel, TagLabel:
		side = sideOfGround
	}
	for i := range b.seeker.spots {
		b.seeker.spots[i].side = side
	}
	beyond := beyondCost
	switch {
	case q.Kind == FlagLabel || q.Kind == FindingLabel:
		beyond = cutCost
	case q.Kind == NameLabel && b.parts[q.of].drawn != nil:
		beyond = pastBeyond
	}
	b.keepToPage(b.seeker.spots, beyond)
	q.spots = b.spots.keep(b.seeker.spots)
	b.labels = append(b.labels, q)
}

// keepToPage makes places dearer that reach beyond the page, where there are
// others.
func (b *builder) keepToPage(spots []spot, cost float64) {
	page := b.o.Page
	if page == nil || !slices.ContainsFunc(spots, func(s spot) bool { return s.on(page) }) {
		return
	}
	for i := range spots {
		if !spots[i].on(page) {
			spots[i].cost += cost
		}
	}
}

// on reports whether the whole place is on the page.
func (s *spot) on(page *canvas.Rect) bool {
	return page.Contains(s.box.Min) && page.Contains(s.box.Max)
}

// scaled is a measure of labels at the size of text that is asked for.
func (b *builder) scaled(x float64) float64 { return x * b.scale }

// about says what the picture shows to who cannot see it.
func (b *builder) about() string {
	parts := 0
	for _, p := range b.d.Parts {
		if k := p.LookupKind(); k == nil || !k.Sign {
			parts += p.Multiple()
		}
	}
	text := fmt.Sprintf("Circuit diagram with %d parts", parts)
	if b.o.Mode != "" {
		text += ", mode " + b.o.Mode
	}
	if b.r != nil && b.flow.largest >= labelFloor {
		text += ", largest current " + quantity.Solved(b.flow.largest, quantity.Ampere)
	}
	return text + "."
}
