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
	largest float64   // of any piece or pin
	streams []stream
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
	b.humps = findHumps(b.pieces)
	if b.r == nil {
		return
	}
	b.flow.amps = b.nets.Flow(b.d, b.pieces, b.pinAmps)
	for _, a := range b.flow.amps {
		b.flow.largest = math.Max(b.flow.largest, math.Abs(a))
	}
	for _, p := range b.parts {
		for _, c := range p.amps {
			b.flow.largest = math.Max(b.flow.largest, math.Abs(c))
		}
	}
	b.gatherStreams()
}

func (b *builder) pinAmps(id net.PinID) float64 {
	p := b.r.Parts[id.Ref]
	if p == nil {
		return 0
	}
	for _, pin := range p.Pins {
		if pin.Name == id.Pin {
			return pin.Amps
		}
	}
	return 0
}

// visible is the least current that is worth a word.
func (f *flow) visible() float64 { return math.Max(labelFloor, f.largest*labelShare) }

// reference is the current of the widest ribbon.
func (f *flow) reference() float64 { return math.Max(referenceFloor, f.largest) }

// carrier is what brings current to a joint: a piece of wire, or a part.
type carrier struct {
	node int // in the forest: pieces first, then parts; or elsewhere
	amps float64
}

// elsewhere stands for a pin whose current does not come out again as one.
const elsewhere = -1

// gatherStreams joins, wherever two carriers bring almost all of the current
// to a place, those two.
func (b *builder) gatherStreams() {
	at := map[geom.Point][]carrier{}
	seen := b.flow.visible()
	meet := func(p geom.Point, node int, amps float64) {
		if a := math.Abs(amps); a >= seen {
			at[p] = append(at[p], carrier{node, a})
		}
	}
	for i, s := range b.pieces {
		meet(s.A, i, b.flow.amps[i])
		meet(s.B, i, b.flow.amps[i])
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
				meet(p.pins[j].At, node, p.amps[j])
			}
		}
	}
	f := net.NewGroups(len(b.pieces) + len(b.parts))
	for _, j := range b.joints {
		if c := at[j.At]; inSeries(c) {
			f.Join(c[0].node, c[1].node)
		}
	}
	b.collect(f)
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

func (b *builder) collect(f net.Groups) {
	byRoot := map[int]int{}
	stream := func(node int) *stream {
		r := f.Find(node)
		i, ok := byRoot[r]
		if !ok {
			i = len(b.flow.streams)
			byRoot[r] = i
			b.flow.streams = append(b.flow.streams, newStream())
		}
		return &b.flow.streams[i]
	}
	seen := b.flow.visible()
	for i := range b.pieces {
		if a := math.Abs(b.flow.amps[i]); a >= seen {
			s := stream(i)
			s.pieces = append(s.pieces, i)
			s.widen(a)
		}
	}
	for i := range b.parts {
		if a := b.parts[i].through(); a >= seen {
			s := stream(len(b.pieces) + i)
			s.parts = append(s.parts, i)
			s.widen(a)
		}
	}
}

func newStream() stream { return stream{least: math.Inf(1)} }

func (s *stream) widen(amps float64) {
	s.least = math.Min(s.least, amps)
	s.most = math.Max(s.most, amps)
}
