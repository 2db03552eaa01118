package net

import (
	"maps"
	"slices"

	"copperglass/model"
)

// Follow is BuildUntil for a drawing that may join the same pins as the one
// before, whose netlist is old. Then the two share what both say, so that hardly
// anything is allocated while parts and wires only move. Both hold for good.
func (k *Builder) Follow(d *model.Diagram, old *Netlist, ended func() bool) *Netlist {
	k.b.ended = ended
	k.b.remember()
	done := k.b.build(d, k.pins.of(d))
	k.b.ended = nil
	switch {
	case !done:
		return nil
	case k.b.n.hasPinsOf(old):
		return k.b.n.sharing(old)
	}
	return k.detach()
}

// remember keeps the names of pins from one drawing to the next, but not for
// ever those of parts that are gone.
func (b *builder) remember() {
	if b.names == nil {
		b.names = map[PinID]string{}
	}
	if len(b.names) > 2*len(b.groups) {
		clear(b.names)
	}
}

// hasPinsOf reports whether two netlists say the same of pins.
func (n *Netlist) hasPinsOf(o *Netlist) bool {
	same := func(a, b Net) bool {
		return a.Name == b.Name && slices.Equal(a.Pins, b.Pins) && slices.Equal(a.Tags, b.Tags)
	}
	return n.Ground == o.Ground && slices.Equal(n.first, o.first) && slices.Equal(n.pins, o.pins) && slices.Equal(n.of, o.of) &&
		slices.Equal(n.before, o.before) && maps.Equal(n.last, o.last) && slices.EqualFunc(n.Nets, o.Nets, same)
}

// sharing returns a copy of n in the memory of o, which says the same of pins,
// and in new memory what it says of wires, where that differs.
func (n *Netlist) sharing(o *Netlist) *Netlist {
	c := *o
	c.alone, c.wire, c.loose = shared(n.alone, o.alone), shared(n.wire, o.wire), shared(n.loose, o.loose)
	c.wires, c.begins = shared(n.wires, o.wires), shared(n.begins, o.begins)
	return &c
}

// shared returns kept where it holds the same, or else a copy of now.
func shared[T comparable](now, kept []T) []T {
	if slices.Equal(now, kept) {
		return kept
	}
	return slices.Clone(now)
}

// pinStock keeps the pins of parts: a part is never written to, so they hold
// for as long as it is drawn.
type pinStock struct {
	parts []*model.Part
	pins  [][]model.Pin
}

// of returns the pins of d's parts by their places.
func (s *pinStock) of(d *model.Diagram) func(i int) []model.Pin {
	more := max(0, len(d.Parts)-len(s.parts))
	s.parts, s.pins = slices.Grow(s.parts, more)[:len(d.Parts)], slices.Grow(s.pins, more)[:len(d.Parts)]
	return func(i int) []model.Pin {
		if p := d.Parts[i]; s.parts[i] != p {
			s.parts[i], s.pins[i] = p, p.PlacedPins()
		}
		return s.pins[i]
	}
}
