package tool_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"

	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
	"copperglass/model/net"
)

// unplaced adds parts that tags alone join to what a random hand has drawn.
func unplaced(h *hand, r *rand.Rand, n int) *model.Draft {
	f := model.NewDraft(h.history.Diagram())
	kinds := model.Kinds()
	for range n {
		k := kinds[r.IntN(len(kinds))]
		p := k.NewPart(h.Diagram().Parts[0].At)
		p.Ref, p.Placed = f.Diagram().NextRef(k.Prefix), false
		p.Tags = map[string]string{}
		for _, pin := range k.Pins(p) {
			p.Tags[pin.Name] = fmt.Sprint("net ", r.IntN(4))
		}
		f.AddPart(p)
	}
	return f
}

// What is set out stands clear of all else and joins nothing; one undo takes it
// back.
func TestSetOut(t *testing.T) {
	t.Parallel()
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 11))
		h := randomDrawing(t, r, r.IntN(8)+1)
		n := 1 + r.IntN(30)
		if err := h.Do(unplaced(h, r, n).Edit("add")); err != nil {
			t.Fatal(err)
		}
		parts, wires := copyOf(h.history.Diagram())
		before := net.Build(h.history.Diagram())
		h.SetOut()
		after := h.history.Diagram()
		if !reflect.DeepEqual(net.Build(after).Nets, before.Nets) {
			t.Errorf("seed %d: the nets have changed", seed)
		}
		if got := len(h.Selection().Parts); got != n {
			t.Errorf("seed %d: %d parts are selected, want %d", seed, got, n)
		}
		for i, p := range after.Parts {
			for _, q := range after.Parts[:i] {
				if !p.Placed || h.Selection().Parts[p.Ref] && symbol.Extent(p).Overlaps(symbol.Extent(q)) {
					t.Errorf("seed %d: %s and %s", seed, p.Ref, q.Ref)
				}
			}
		}
		if label, _ := h.Undo(); label != "set out" {
			t.Errorf("seed %d: undone is %q", seed, label)
		}
		same(t, fmt.Sprint("seed ", seed), h.history.Diagram(), parts, wires)
	}
}

// With everything on the sheet there is nothing to set out, and nothing to
// undo.
func TestSetOutNothing(t *testing.T) {
	t.Parallel()
	h := draw(t, pair...)
	before := h.history.Revision()
	h.SetOut()
	h.wants(pair...)
	if h.history.Revision() != before {
		t.Error("setting out nothing is an edit")
	}
}

// Of two parts by one name, which a file may hold, none is lost.
func TestSetOutSameName(t *testing.T) {
	t.Parallel()
	f := model.NewDraft(&model.Diagram{})
	f.AddPart(&model.Part{Ref: "R1", Kind: "resistor", Value: "1k", Placed: true})
	f.AddPart(&model.Part{Ref: "R1", Kind: "resistor", Value: "2k"})
	h := model.NewHistory(f.Diagram())
	tool.NewEditor(h).SetOut()
	if p := h.Diagram().Parts; p[0].Value != "1k" || p[1].Value != "2k" {
		t.Errorf("the parts are %s and %s, want 1k and 2k", p[0].Value, p[1].Value)
	}
}
