package model

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// A draft becomes any other drawing, and its edit can be taken back.
func TestBecome(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 5))
	parts := make([]*Part, 6)
	for i := range parts {
		parts[i] = &Part{Ref: fmt.Sprint("R", i)}
	}
	some := func() (list []*Part) {
		for _, p := range parts {
			if r.IntN(2) == 0 {
				list = append(list, p)
			}
		}
		return list
	}
	for range 200 {
		from := &Diagram{Parts: some(), Wires: []*Wire{{ID: 1}}}
		to := &Diagram{Parts: some(), Wires: []*Wire{{ID: 7}}}
		f := NewDraft(from)
		f.Become(to)
		if !slices.Equal(f.Diagram().Parts, to.Parts) || !slices.Equal(f.Diagram().Wires, to.Wires) {
			t.Fatalf("%v became %v, want %v", from.Parts, f.Diagram().Parts, to.Parts)
		}
		if id := f.AddWire(&Wire{}); id != 8 {
			t.Fatalf("the next wire is number %d, want 8", id)
		}
		d := from.Snapshot()
		back, err := d.Apply(f.Edit("become"))
		if err != nil {
			t.Fatal(err)
		}
		if _, err = d.Apply(back); err != nil || !slices.Equal(d.Parts, from.Parts) || !slices.Equal(d.Wires, from.Wires) {
			t.Fatalf("taken back it is %v, want %v (%v)", d.Parts, from.Parts, err)
		}
	}
	same := &Diagram{Parts: some()}
	f := NewDraft(same)
	if f.Become(same); !f.Edit("").Empty() {
		t.Error("becoming the same is an edit")
	}
}
