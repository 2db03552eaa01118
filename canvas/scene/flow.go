package scene

import (
	"cmp"
	"math"
	"slices"

	"copperglass/model/geom"
	"copperglass/model/net"
)

// What of a current is shown depends on the largest in the sheet. Where that
// is below referenceFloor, ribbons are measured by the floor, so that a
// circuit at rest does not shout.
const (
	referenceFloor = 250e-6     // A
	ribbonShare    = 1.0 / 200  // of the reference: least current with a ribbon
	loadShare      = 1.0 / 10   // of the largest: least current that counts as a load's
	labelShare     = 1.0 / 1000 // of the largest: least current in words
	labelFloor     = 1e-9       // A: least current in words
	branchShare    = 1.0 / 20   // of a stream: most that may leave it at a joint
)

// flow is where the currents go: nothing at all where nothing is solved.
type flow struct {
	amps    []float64 // by piece, from A to B
	past    []float64 // the same of the result that is compared with, if any
	largest float64   // of any piece or pin
	power   float64   // the largest of any part, W
	streams []stream

	pinAmps  func(net.PinID) float64
	carriers []carrier
	byRoot   []int // stream by the root of its group, or none
}

// stream is a way that one current takes through wires and parts in series. A
// small branch may leave it: a transistor's base current its collector's.
type stream struct {
	pieces []int   // in order
	parts  []int   // places in the diagram's list that it passes through
	least  float64 // of the sizes of its pieces' currents, A
	most   float64
}

// readFlow works the currents in the wires out and gathers the streams.
func (b *builder) readFlow() {
	f := &b.flow
	f.amps, f.largest, f.streams = nil, 0, f.streams[:0]
	if b.r == nil {
		return
	}
	b.readPast()
	f.amps = b.tracer.Flow(b.nets, b.d, b.pieces, f.pinAmps)
	for _, a := range f.amps {
		f.largest = math.Max(f.largest, math.Abs(a))
	}
	for i := range b.parts {
		for _, c := range b.parts[i].amps {
			f.largest = math.Max(f.largest, math.Abs(c))
		}
	}
	b.gatherStreams()
}

func (b *builder) pinAmps(id net.PinID) float64 { return ampsOf(b.r, id) }

// visible is the least current that is worth a word.
func (f *flow) visible() float64 { return math.Max(labelFloor, f.largest*labelShare) }

// reference is the current of the widest ribbon.
func (f *flow) reference() float64 { return math.Max(referenceFloor, f.largest) }

// carrier is what brings current to a joint: a piece of wire, or a part.
type carrier struct {
	joint net.Joint // where, without its counts
	node  int       // in the forest: pieces first, then parts; or elsewhere
	amps  float64
}

// elsewhere stands for a pin whose current does not come out again as one.
const elsewhere = -1

// gatherStreams joins, wherever two carriers bring almost all of the current
// to a place, those two.
func (b *builder) gatherStreams() {
	b.findCarriers()
	b.separate(len(b.pieces) + len(b.parts))
	for c := b.flow.carriers; len(c) > 0; {
		n := 1
		for n < len(c) && c[n].joint == c[0].joint {
			n++
		}
		if inSeries(c[:n]) {
			b.groups.Join(c[0].node, c[1].node)
		}
		c = c[n:]
	}
	b.collect()
}

// findCarriers lists what brings a visible current to the joints, sorted by
// joint.
func (b *builder) findCarriers() {
	f := &b.flow
	f.carriers = f.carriers[:0]
	seen := f.visible()
	meet := func(p geom.Point, of, node int, amps float64) {
		if a := math.Abs(amps); a >= seen {
			f.carriers = append(f.carriers, carrier{net.Joint{At: p, Net: of}, node, a})
		}
	}
	for i, s := range b.pieces {
		meet(s.A, s.Net, i, f.amps[i])
		meet(s.B, s.Net, i, f.amps[i])
	}
	for i := range b.parts {
		p := &b.parts[i]
		in, out, ok := p.main()
		for j := range p.amps {
			node := elsewhere
			if ok && (j == in || j == out) {
				node = len(b.pieces) + i
			}
			if p.Placed {
				meet(p.pins[j].At, b.nets.Pin(p.Ref, p.pins[j].Name), node, p.amps[j])
			}
		}
	}
	slices.SortStableFunc(f.carriers, func(x, y carrier) int { return net.CompareJoints(x.joint, y.joint) })
}

// inSeries reports whether the two largest currents at a place are one stream,
// and puts them first.
func inSeries(c []carrier) bool {
	if len(c) < 2 {
		return false
	}
	slices.SortStableFunc(c, func(x, y carrier) int { return cmp.Compare(y.amps, x.amps) })
	rest := 0.0
	for _, x := range c[2:] {
		rest += x.amps
	}
	return rest <= branchShare*c[0].amps && c[0].node != elsewhere && c[1].node != elsewhere
}

// collect makes a stream of each group that carries a visible current.
func (b *builder) collect() {
	f := &b.flow
	f.byRoot = zeros(f.byRoot, len(b.groups))
	for i := range f.byRoot {
		f.byRoot[i] = none
	}
	seen := f.visible()
	for i := range b.pieces {
		if a := math.Abs(f.amps[i]); a >= seen {
			s := f.stream(b.groups.Find(i))
			s.pieces = append(s.pieces, i)
			s.widen(a)
		}
	}
	for i := range b.parts {
		if a := b.parts[i].through(); a >= seen {
			s := f.stream(b.groups.Find(len(b.pieces) + i))
			s.parts = append(s.parts, i)
			s.widen(a)
		}
	}
}

// stream returns the stream of a root, a new one where it has none.
func (f *flow) stream(root int) *stream {
	if f.byRoot[root] == none {
		f.byRoot[root] = len(f.streams)
		f.streams = another(f.streams)
		s := &f.streams[len(f.streams)-1]
		*s = stream{pieces: s.pieces[:0], parts: s.parts[:0], least: math.Inf(1)}
	}
	return &f.streams[f.byRoot[root]]
}

func (s *stream) widen(amps float64) {
	s.least = math.Min(s.least, amps)
	s.most = math.Max(s.most, amps)
}
