package tool

import (
	"copperglass/model"
	"copperglass/model/net"
)

// memory is what gestures keep from one frame to the next, so that a frame
// hardly allocates. Nothing in it holds once it is used again.
type memory struct {
	spots   spots
	nets    net.Builder
	origins origins
	later   later
	mending mending
	terrain terrain
	finder  finder
	anew    []*model.Wire
}

// spotsOf returns the spots of a diagram that was made from the sheet's, until
// the next are asked for.
func (s *sheet) spotsOf(d *model.Diagram) *spots {
	m := &s.memory.spots
	m.find(d, s.pinsOf(d))
	return m
}

// netsOf does the same for its nets.
func (s *sheet) netsOf(d *model.Diagram) *net.Netlist {
	return s.memory.nets.Build(d, s.pinsOf(d))
}

// survey returns the terrain of a diagram that was made from the sheet's,
// without the wires for which skip is true, until the next is asked for.
func (s *sheet) survey(d *model.Diagram, skip func(model.WireID) bool) *terrain {
	t := &s.memory.terrain
	t.finder = &s.memory.finder
	t.begin()
	t.read(d, func(i int) outline { return s.outlineOf(d, i) }, skip)
	return t
}

// grown returns the list with that length and nothing in it.
func grown[T any](list []T, n int) []T {
	if cap(list) < n {
		return make([]T, n, n+n/4)
	}
	list = list[:n]
	clear(list)
	return list
}
