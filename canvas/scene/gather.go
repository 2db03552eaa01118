package scene

import (
	"fmt"

	"copperglass/canvas"
	"copperglass/model/quantity"
)

// placeLabels gathers all labels and finds their places.
func (b *builder) placeLabels() {
	b.flagFaults()
	for i := range b.parts {
		b.nameParts(&b.parts[i])
	}
	if b.r != nil {
		if b.o.Show.Currents {
			b.tellCurrents()
		}
		if b.o.Show.Voltages {
			b.tellVoltages()
		}
	}
	choose(b.labels)
	b.noteFlags()
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
		text += ", largest current " + quantity.Format(b.flow.largest, quantity.Ampere)
	}
	return text + "."
}
