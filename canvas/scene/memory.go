package scene

import (
	"slices"

	"copperglass/canvas"
)

// pool lends memory for one scene, which it lends again for the next: what was
// lent stays as it was left.
type pool[T any] struct {
	all  []*T
	lent int
}

func (p *pool[T]) lend() *T {
	if p.lent == len(p.all) {
		block := make([]T, 32)
		for i := range block {
			p.all = append(p.all, &block[i])
		}
	}
	p.lent++
	return p.all[p.lent-1]
}

// slab holds lists of one scene end to end, in blocks.
type slab[T any] struct {
	blocks [][]T
	block  int // that is being filled
}

const slabBlock = 4096

// keep returns a copy of a list.
func (s *slab[T]) keep(list []T) []T {
	for ; ; s.block++ {
		if s.block == len(s.blocks) {
			s.blocks = append(s.blocks, make([]T, 0, max(slabBlock, len(list))))
		}
		if b := &s.blocks[s.block]; cap(*b)-len(*b) >= len(list) {
			from := len(*b)
			*b = append(*b, list...)
			return (*b)[from:len(*b):len(*b)]
		}
	}
}

func (s *slab[T]) reset() {
	for i := range s.blocks {
		s.blocks[i] = s.blocks[i][:0]
	}
	s.block = 0
}

// lists are lists of small integers, called by number.
type lists struct {
	first []int // where each begins; one more for the end
	items []int
}

func (l *lists) at(i int) []int { return l.items[l.first[i]:l.first[i+1]] }

// sortOut puts the integers below n, in their order, each into the list that of
// returns, of as many as there are.
func (l *lists) sortOut(n, lists int, of func(int) int) {
	l.first, l.items = zeros(l.first, lists+1), zeros(l.items, n)
	for i := range n {
		l.first[of(i)+1]++
	}
	for k := range lists {
		l.first[k+1] += l.first[k]
	}
	for i := range n {
		k := of(i)
		l.items[l.first[k]] = i
		l.first[k]++ // for now the end of what is entered
	}
	copy(l.first[1:], l.first)
	l.first[0] = 0
}

// another lengthens a list by one, which is as it was when the list was last
// that long.
func another[T any](list []T) []T {
	if len(list) < cap(list) {
		return list[:len(list)+1]
	}
	var zero T
	return append(list, zero)
}

// path returns an empty path of the scene.
func (b *builder) path(st canvas.Style) *canvas.Path {
	st.Fill, st.Stroke = b.tone(st.Fill), b.tone(st.Stroke)
	p := b.paths.lend()
	p.Style, p.Segs = st, p.Segs[:0]
	return p
}

// text adds a text to the picture.
func (b *builder) text(t canvas.Text) {
	t.Colour = b.toneText(t.Colour)
	p := b.texts.lend()
	*p = t
	b.add(p)
}

// resetMemory takes back all that was lent.
func (b *builder) resetMemory() {
	b.paths.lent, b.texts.lent, b.requests.lent = 0, 0, 0
	b.spots.reset()
	clear(b.control)
	clear(b.places)
	if len(b.ampsTold) > slabBlock {
		clear(b.ampsTold)
	}
	b.outside.reset()
	b.inside.reset()
	b.shy.reset()
	b.solid.reset()
	b.labels = b.labels[:0]
}

// zeros returns n zeros in the list's memory where that is enough.
func zeros[T any](list []T, n int) []T {
	list = slices.Grow(list[:0], n)[:n]
	clear(list)
	return list
}
