package net_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
	"copperglass/model/net"
)

// relaid returns the drawing as a gesture may leave it: elsewhere, with its wires
// in another order, split in two, or with one less.
func relaid(d *model.Diagram, r *rand.Rand) *model.Diagram {
	e := &model.Diagram{Parts: slices.Clone(d.Parts), Wires: slices.Clone(d.Wires)}
	by := geom.Pt(r.IntN(3), r.IntN(3))
	for i, p := range e.Parts {
		e.Parts[i] = p.Clone()
		e.Parts[i].At = p.At.Add(by)
	}
	for i, w := range e.Wires {
		e.Wires[i] = w.Clone()
		for j, p := range w.Points {
			e.Wires[i].Points[j] = p.Add(by)
		}
	}
	if n := len(e.Wires); n > 0 && r.IntN(2) == 0 {
		r.Shuffle(n, func(i, j int) { e.Wires[i], e.Wires[j] = e.Wires[j], e.Wires[i] })
		e.Wires = e.Wires[r.IntN(2):]
	}
	return e
}

// A netlist that follows another one is that of its drawing, whether the two
// share anything or not, and leaves the other one as it was.
func TestFollow(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(4, 4))
	var k net.Builder
	for range 300 {
		d := sheet(r)
		old, before := k.BuildUntil(d, nil), net.Build(d)
		for range 4 {
			d = relaid(d, r)
			now, want := k.Follow(d, old, nil), net.Build(d)
			if !sameNetlist(d, now, want) {
				t.Fatalf("the nets are %+v, want %+v", now, want)
			}
			if !slices.EqualFunc(old.Nets, before.Nets, sameNet) {
				t.Fatalf("the former nets became %v from %v", old.Nets, before.Nets)
			}
			old, before = now, want
		}
	}
}

func sameNetlist(d *model.Diagram, a, b *net.Netlist) bool {
	for i, p := range d.Parts {
		if !slices.Equal(a.Part(i), b.Part(i)) {
			return false
		}
		for _, pin := range p.PlacedPins() {
			if a.Pin(p.Ref, pin.Name) != b.Pin(p.Ref, pin.Name) || a.Alone(p.Ref, pin.Name) != b.Alone(p.Ref, pin.Name) {
				return false
			}
		}
	}
	for i := range d.Wires {
		if a.Wire(i) != b.Wire(i) {
			return false
		}
	}
	for i := range a.Nets {
		if i >= len(b.Nets) || !slices.Equal(a.Wires(i), b.Wires(i)) {
			return false
		}
	}
	return slices.EqualFunc(a.Nets, b.Nets, sameNet) && slices.Equal(a.Loose(), b.Loose()) && a.Ground == b.Ground
}

// While a drawing only moves, its netlists share the memory that says what is
// joined.
func TestFollowShares(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{Parts: []*model.Part{resistor("R1", 0, 0), resistor("R2", 4, 0)}, Wires: []*model.Wire{wire(0, -2, 4, -2)}}
	var k net.Builder
	old := k.BuildUntil(d, nil)
	moved := &model.Diagram{Parts: []*model.Part{resistor("R1", 0, 5), resistor("R2", 4, 5)}, Wires: []*model.Wire{wire(0, 3, 0, 1, 4, 1, 4, 3)}}
	if now := k.Follow(moved, old, nil); &now.Nets[0] != &old.Nets[0] {
		t.Error("what is joined alike is told in new memory")
	}
	parted := &model.Diagram{Parts: moved.Parts}
	if now := k.Follow(parted, old, nil); len(now.Nets) != 4 || len(old.Nets) != 3 {
		t.Errorf("%d nets without the wire, %d with it; want 4 and 3", len(now.Nets), len(old.Nets))
	}
}
