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
	for i := range b.parts {
		b.nameParts(&b.parts[i])
	}
	b.tellTags()
	lasting := b.settle()
	b.flagFaults()
	b.nameWires()
	b.tellResults(lasting)
	b.labels = append(lasting, b.settle()...)
	slices.SortStableFunc(b.labels, byLoss)
	b.noteFlags()
}

// settle finds places for the labels gathered so far, and keeps others off
// them.
func (b *builder) settle() []*request {
	settled := b.labels
	choose(settled)
	for _, q := range settled {
		if q.at != nowhere {
			b.block(q.spots[q.at].box.Inset(-labelGap))
		}
	}
	b.labels = nil
	return settled
}

// tellResults asks for places for the figures.
func (b *builder) tellResults(lasting []*request) {
	if b.r == nil {
		return
	}
	if b.o.Show.Currents {
		for i := range b.parts {
			b.tellEach(&b.parts[i])
		}
		b.tellCurrents()
	}
	if b.o.Show.Voltages {
		b.tellVoltages(lasting)
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

// lastingSpots returns the places found for a lasting label, dearer where it
// would rather not be.
func (b *builder) lastingSpots() []spot {
	spots := b.seeker.found()
	for i := range spots {
		if b.shy.hit(spots[i].box) {
			spots[i].cost += shyCost
		}
	}
	return spots
}

// free reports whether a box is clear of ink.
func (b *builder) free(box canvas.Rect) bool { return !b.outside.hit(box) }

// seek begins to look for places for another label.
func (b *builder) seek(free func(canvas.Rect) bool) *seeker {
	const chunk, most = 4096, 400 // places to a block of memory, and to most labels
	const enough, reach = 8, 40
	if cap(b.seeker.spots)-len(b.seeker.spots) < most {
		b.seeker.spots = make([]spot, 0, chunk)
	}
	b.seeker.free, b.seeker.enough, b.seeker.reach = free, enough, reach
	b.seeker.first = len(b.seeker.spots)
	return &b.seeker
}

func (b *builder) request(q *request) {
	if q != nil {
		q.at = nowhere
		b.labels = append(b.labels, q)
	}
}

// about says what the picture shows to who cannot see it.
func (b *builder) about() string {
	parts := 0
	for _, p := range b.d.Parts {
		if p.Kind != "note" && p.Kind != "tag" && p.Kind != "ground" {
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
