package model

import (
	"reflect"
	"testing"
)

// TestReplace takes another drawing over and gives the first back, with what was
// done before and after.
func TestReplace(t *testing.T) {
	t.Parallel()
	first := &Diagram{Title: "First", Parts: []*Part{{Ref: "R1", Kind: "resistor"}}, Extra: []Extra{{Key: "a", Raw: "1"}}}
	other := &Diagram{Title: "Other", Wires: []*Wire{{ID: 7}}, Modes: []*Mode{{Name: "On"}}, Block: TitleBlock{Who: "Eva"}}
	h := NewHistory(first.Snapshot())
	change := func(label string, do func(*Draft)) {
		t.Helper()
		f := NewDraft(h.Diagram())
		do(f)
		if err := h.Do(f.Edit(label)); err != nil {
			t.Fatal(err)
		}
	}
	change("add", func(f *Draft) { f.AddPart(&Part{Ref: "R2", Kind: "resistor"}) })
	change("replace", func(f *Draft) { f.Replace(other) })
	if !reflect.DeepEqual(h.Diagram(), other) {
		t.Errorf("replaced it is %+v", h.Diagram())
	}
	var id WireID
	change("draw", func(f *Draft) { id = f.AddWire(&Wire{}) })
	if id <= 7 || len(other.Wires) != 1 {
		t.Errorf("the new wire is %d, the other drawing has %d", id, len(other.Wires))
	}
	for range 3 {
		h.Undo()
	}
	if !reflect.DeepEqual(h.Diagram(), first) {
		t.Errorf("taken back it is %+v", h.Diagram())
	}
	h.Redo()
	h.Redo()
	if !reflect.DeepEqual(h.Diagram(), other) {
		t.Errorf("done again it is %+v", h.Diagram())
	}
}
