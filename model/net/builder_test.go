package net_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/model"
	"copperglass/model/net"
)

// What is kept between drawings changes no net, no piece and no joint of the
// next.
func TestKeptMemory(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(9, 6))
	var kept net.Builder
	var tracer net.Tracer
	for range 300 {
		d := sheet(r)
		pins := func(i int) []model.Pin { return d.Parts[i].PlacedPins() }
		got, want := kept.Build(d, pins), net.Build(d)
		if !slices.EqualFunc(got.Nets, want.Nets, sameNet) || got.Ground != want.Ground || !slices.Equal(got.Loose(), want.Loose()) {
			t.Fatalf("the nets are %v, want %v", got.Nets, want.Nets)
		}
		for _, p := range d.Parts {
			for _, pin := range p.PlacedPins() {
				if got.Pin(p.Ref, pin.Name) != want.Pin(p.Ref, pin.Name) || got.Alone(p.Ref, pin.Name) != want.Alone(p.Ref, pin.Name) {
					t.Fatalf("%s.%s is elsewhere than in a new netlist", p.Ref, pin.Name)
				}
			}
		}
		tracer.Read(d, pins)
		pieces, joints := tracer.Pieces(got, d)
		if p, j := want.Pieces(d); !slices.Equal(pieces, p) || !slices.Equal(joints, j) {
			t.Fatalf("the pieces are %v, want %v", pieces, p)
		}
	}
}

func sameNet(a, b net.Net) bool {
	return a.Name == b.Name && a.Ground == b.Ground && slices.Equal(a.Pins, b.Pins) && slices.Equal(a.Wires, b.Wires) && slices.Equal(a.Tags, b.Tags)
}
