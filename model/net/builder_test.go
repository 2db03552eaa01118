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
		if !sameNetlist(d, got, want) {
			t.Fatalf("the nets are %v, want %v", got.Nets, want.Nets)
		}
		tracer.Read(d, pins)
		pieces, joints := tracer.Pieces(got, d)
		if p, j := want.Pieces(d); !slices.Equal(pieces, p) || !slices.Equal(joints, j) {
			t.Fatalf("the pieces are %v, want %v", pieces, p)
		}
	}
}

func sameNet(a, b net.Net) bool {
	return a.Name == b.Name && a.Ground == b.Ground && slices.Equal(a.Pins, b.Pins) && slices.Equal(a.Tags, b.Tags)
}
