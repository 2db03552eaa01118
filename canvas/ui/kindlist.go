package ui

import (
	"slices"

	"copperglass/model"
)

// otherKinds are the kinds that what is selected may become, those with pins of
// the same names first, then those with as many.
func (w *Window) otherKinds() []*model.Kind {
	var now []*model.Kind
	for _, ref := range w.doc.selectedRefs() {
		if k := w.doc.Shown().Part(ref).LookupKind(); k != nil && !k.Sign && !slices.Contains(now, k) {
			now = append(now, k)
		}
	}
	var list []*model.Kind
	for _, k := range model.Kinds() {
		if !k.Sign && !(len(now) == 1 && now[0].Name == k.Name) {
			list = append(list, k)
		}
	}
	if len(now) > 0 {
		slices.SortStableFunc(list, func(a, b *model.Kind) int { return unlike(now[0], a) - unlike(now[0], b) })
	}
	return list
}

// unlike is how little the pins of two kinds have in common.
func unlike(a, b *model.Kind) int {
	x, y := pinNames(a), pinNames(b)
	switch {
	case slices.Equal(x, y):
		return 0
	case len(x) == len(y):
		return 1
	}
	return 2
}

// pinNames are the names of a kind's pins in their order, or none for a kind whose
// parts each have pins of their own.
func pinNames(k *model.Kind) []string {
	if k.Pins == nil {
		return nil
	}
	var names []string
	for _, p := range k.Pins(&model.Part{Kind: k.Name}) {
		names = append(names, p.Name)
	}
	return slices.Sorted(slices.Values(names))
}
