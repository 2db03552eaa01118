package model

import "slices"

// Become makes the draft's parts and wires those of d, where those are not the
// same already. What else the draft has stays.
func (f *Draft) Become(d *Diagram) {
	become(f, partList, d.Parts)
	become(f, wireList, d.Wires)
	for _, w := range d.Wires {
		f.lastWire = max(f.lastWire, w.ID)
	}
}

// become replaces only what lies between the items that both lists begin and
// end with: histories keep what was replaced.
func become[T comparable](f *Draft, list func(*Diagram) *[]T, to []T) {
	from := *list(&f.d)
	least := min(len(from), len(to))
	head := 0
	for head < least && from[head] == to[head] {
		head++
	}
	tail := 0
	for tail < least-head && from[len(from)-1-tail] == to[len(to)-1-tail] {
		tail++
	}
	if head+tail < max(len(from), len(to)) {
		f.do(splice[T]{list, head, len(from) - head - tail, slices.Clone(to[head : len(to)-tail])})
	}
}
