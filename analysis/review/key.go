package review

import (
	"slices"

	"copperglass/model"
)

// Key reports whether a finding is a fact about what sets the current of a load,
// which is what people ask a drawing first.
func (f Finding) Key() bool {
	return slices.Contains([]string{"link-for-resistor", "led-without-resistor", "cells-set-current"}, f.Rule)
}

// Flagged returns the parts of a finding, first the one at which its flag is to
// stand: of a key finding what sets the current, rather than the load.
func (f Finding) Flagged(d *model.Diagram) []string {
	if !f.Key() {
		return f.Parts
	}
	isLoad := func(ref string) bool {
		p := d.Part(ref)
		return p != nil && p.LookupKind() != nil && p.LookupKind().Load
	}
	parts := slices.Clone(f.Parts)
	slices.SortStableFunc(parts, func(a, b string) int {
		switch {
		case isLoad(a) == isLoad(b):
			return 0
		case isLoad(b):
			return -1
		}
		return 1
	})
	return parts
}
