package net

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

// Whichever question is the last, building ends there; and questions are not
// far apart.
func TestBuildUntil(t *testing.T) {
	t.Parallel()
	parts, wires := &model.Diagram{}, &model.Diagram{}
	for i := range 3000 {
		parts.Parts = append(parts.Parts, &model.Part{
			Ref: fmt.Sprint("R", i), Kind: "resistor", Placed: true, At: geom.Point{X: i * 10, Y: 0},
			Tags: map[string]string{"1": fmt.Sprint("a", i)},
		})
		wires.Wires = append(wires.Wires, &model.Wire{Points: []geom.Point{{X: i * 10, Y: 0}, {X: i*10 + i%9 + 2, Y: 0}}})
	}
	// Steps that a question is due in, for each askEvery: pins, places and their
	// order, nets and theirs, and all lists.
	for name, c := range map[string]struct {
		d     *model.Diagram
		steps int
	}{"parts": {parts, 30}, "wires": {wires, 30}} {
		checkUntil(t, name, c.d, c.steps*3000/askEvery)
	}
}

func checkUntil(t *testing.T, name string, d *model.Diagram, least int) {
	t.Helper()
	asked, last := 0, 0
	ended := func() bool { asked++; return asked == last }
	if n := BuildUntil(d, ended); n == nil || len(n.Nets) != len(Build(d).Nets) {
		t.Fatalf("%s: not the nets that Build makes", name)
	}
	whole := asked
	if whole < least {
		t.Errorf("%s: asked %d times, want %d", name, whole, least)
	}
	for last = 1; last <= whole; last++ {
		asked = 0
		if n := BuildUntil(d, ended); n != nil || asked != last {
			t.Errorf("%s: asked %d times when %d was the last: %v", name, asked, last, n != nil)
		}
	}
}

// Large lists are sorted in batches like small ones at once, and whichever
// question is the last, sorting ends there.
func TestSortUntil(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 5))
	for _, n := range []int{0, 1, batch, batch + 1, 3 * batch, 5*batch + 77} {
		list := make([]int, n)
		for i := range list {
			list[i] = r.IntN(n)
		}
		want := slices.Sorted(slices.Values(list))
		asked, last, kept := 0, 0, []int(nil)
		ended := func() bool { asked++; return asked == last }
		got := slices.Clone(list)
		if !sortUntil(got, cmp.Compare[int], ended, &kept) || !slices.Equal(got, want) {
			t.Errorf("%d are not sorted", n)
		}
		whole := asked
		for last = 1; last <= whole; last++ {
			asked = 0
			if sortUntil(slices.Clone(list), cmp.Compare[int], ended, &kept) || asked != last {
				t.Errorf("of %d: asked %d times when %d was the last", n, asked, last)
			}
		}
	}
}
