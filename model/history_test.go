package model_test

import (
	"fmt"
	"runtime"
	"testing"

	"copperglass/model"
	"copperglass/model/geom"
)

func addPart(d *model.Diagram, ref string) model.Edit {
	f := model.NewDraft(d)
	f.AddPart(&model.Part{Ref: ref})
	return f.Edit("add " + ref)
}

// move is an edit that merges with others of its kind, as a drag makes them.
func move(d *model.Diagram, ref string, to geom.Point) model.Edit {
	f := model.NewDraft(d)
	p := d.Part(ref).Clone()
	p.At = to
	f.SetPart(ref, p)
	e := f.Edit("move " + ref)
	e.Merge = "drag"
	return e
}

func do(t *testing.T, h *model.History, e model.Edit) {
	t.Helper()
	if err := h.Do(e); err != nil {
		t.Fatal(err)
	}
}

func TestUndoAndRedo(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	do(t, &h, addPart(h.Diagram(), "R2"))
	if label, ok := h.Undo(); !ok || label != "add R2" || h.Diagram().Part("R2") != nil {
		t.Errorf("undo: %q, %t, parts %v", label, ok, h.Diagram().Parts)
	}
	if h.CanUndo() != "add R1" || h.CanRedo() != "add R2" {
		t.Errorf("can undo %q and redo %q", h.CanUndo(), h.CanRedo())
	}
	if label, ok := h.Redo(); !ok || label != "add R2" || h.Diagram().Part("R2") == nil {
		t.Errorf("redo: %q, %t", label, ok)
	}
	if _, ok := h.Redo(); ok {
		t.Error("there was something to redo after all was redone")
	}
}

func TestAnEditAfterUndoDropsWhatWasUndone(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	h.Undo()
	do(t, &h, addPart(h.Diagram(), "C1"))
	if h.CanRedo() != "" {
		t.Errorf("can redo %q", h.CanRedo())
	}
}

func TestAnEmptyEditDoesNothing(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	h.Undo()
	before := h.Revision()
	do(t, &h, model.NewDraft(h.Diagram()).Edit("nothing"))
	if h.Revision() != before || h.CanUndo() != "" || h.CanRedo() != "add R1" {
		t.Error("an empty edit left a mark")
	}
}

func TestADragIsOneEdit(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	for x := 1; x <= 5; x++ {
		do(t, &h, move(h.Diagram(), "R1", geom.Pt(x, 0)))
	}
	if h.Undo(); h.Diagram().Part("R1").At != geom.Pt(0, 0) {
		t.Errorf("after undo R1 is at %v", h.Diagram().Part("R1").At)
	}
	if h.Redo(); h.Diagram().Part("R1").At != geom.Pt(5, 0) {
		t.Errorf("after redo R1 is at %v", h.Diagram().Part("R1").At)
	}
	h.Undo()
	if label, _ := h.Undo(); label != "add R1" {
		t.Errorf("the edit before the drag is %q", label)
	}
}

// A drag after an undo is a new one, even though the edit now on top of the
// history was a drag too.
func TestADragDoesNotMergeAcrossAnUndo(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	do(t, &h, move(h.Diagram(), "R1", geom.Pt(1, 0)))
	do(t, &h, addPart(h.Diagram(), "R2"))
	h.Undo()
	do(t, &h, move(h.Diagram(), "R1", geom.Pt(2, 0)))
	if h.Undo(); h.Diagram().Part("R1").At != geom.Pt(1, 0) {
		t.Errorf("one undo took R1 to %v", h.Diagram().Part("R1").At)
	}
}

func TestChangedSinceSaved(t *testing.T) {
	t.Parallel()
	var h model.History
	expect := func(when string, changed bool) {
		t.Helper()
		if h.Changed() != changed {
			t.Errorf("%s: Changed is %t", when, h.Changed())
		}
	}
	expect("new", false)
	do(t, &h, addPart(h.Diagram(), "R1"))
	expect("edited", true)
	h.MarkSaved()
	expect("saved", false)
	h.Undo()
	expect("undone", true)
	h.Redo()
	expect("redone", false)
	h.Undo()
	do(t, &h, addPart(h.Diagram(), "R1"))
	expect("another way to as many edits", true)
	h.Undo()
	expect("the saved state is out of reach", true)
}

// Saving cuts the history nowhere: all can be undone after it, and done again.
func TestTheHistoryOutlivesSaving(t *testing.T) {
	t.Parallel()
	var h model.History
	for _, ref := range []string{"R1", "R2", "R3"} {
		do(t, &h, addPart(h.Diagram(), ref))
		h.MarkSaved()
	}
	for range 3 {
		h.Undo()
	}
	if n := len(h.Diagram().Parts); n != 0 || h.CanUndo() != "" {
		t.Errorf("%d parts are left, %q can be undone", n, h.CanUndo())
	}
	for range 3 {
		h.Redo()
	}
	if h.Changed() || len(h.Diagram().Parts) != 3 {
		t.Error("redo does not lead back to what is saved")
	}
}

func TestMarkUnsaved(t *testing.T) {
	t.Parallel()
	h := model.NewHistory(&model.Diagram{Title: "found"})
	h.MarkUnsaved()
	do(t, h, addPart(h.Diagram(), "R1"))
	if h.Undo(); !h.Changed() {
		t.Error("a state that was never saved looks saved")
	}
	if h.MarkSaved(); h.Changed() {
		t.Error("what is saved looks changed")
	}
}

// BenchmarkHistory makes 5,000 edits of one part each among 500 parts, and says
// how much memory they hold on to.
func BenchmarkHistory(b *testing.B) {
	for name, merge := range map[string]string{"apart": "", "merged": "drag"} {
		b.Run(name, func(b *testing.B) {
			const steps = 5000
			for b.Loop() {
				h := model.NewHistory(rowOfParts(500))
				before := heap()
				for n := range steps {
					ref := fmt.Sprint("R", n%500)
					if merge != "" {
						ref = "R7"
					}
					e := move(h.Diagram(), ref, geom.Pt(n, 1))
					e.Merge = merge
					if err := h.Do(e); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(heap()-before)/steps, "held-B/step")
				runtime.KeepAlive(h)
			}
		})
	}
}

func rowOfParts(n int) *model.Diagram {
	d := &model.Diagram{}
	for i := range n {
		d.Parts = append(d.Parts, &model.Part{Ref: fmt.Sprint("R", i), Kind: "resistor", Placed: true, At: geom.Pt(i, 0), Value: "1k"})
	}
	return d
}

// heap is how many bytes are in use.
func heap() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// A drag that began before a save and goes on after it is two edits, so that
// undo reaches what is in the file.
func TestADragDoesNotMergeIntoWhatIsSaved(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	do(t, &h, move(h.Diagram(), "R1", geom.Pt(1, 0)))
	h.MarkSaved()
	do(t, &h, move(h.Diagram(), "R1", geom.Pt(2, 0)))
	if h.Undo(); h.Changed() {
		t.Error("undo did not lead back to what was saved")
	}
}

func TestAStaleEditIsRefused(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	f := model.NewDraft(h.Diagram())
	f.AddWire(&model.Wire{Points: []geom.Point{{X: 0, Y: 0}, {X: 1, Y: 0}}})
	f.RemovePart("R1")
	e := f.Edit("stale")
	h.Undo()
	if err := h.Do(e); err == nil || err.Error() != "stale: the edit does not fit the drawing any more" {
		t.Errorf("the error is %v", err)
	}
	if d := h.Diagram(); len(d.Wires) != 0 || h.CanRedo() != "add R1" {
		t.Error("the refused edit left a mark")
	}
}

// What another goroutine holds must not change under it.
func TestASnapshotStays(t *testing.T) {
	t.Parallel()
	var h model.History
	do(t, &h, addPart(h.Diagram(), "R1"))
	before := h.Diagram()
	f := model.NewDraft(before)
	f.SetTitle("another")
	f.SetParam("temperature", model.Number(300))
	f.RemovePart("R1")
	f.AddMode(&model.Mode{Name: "on"})
	if before.Part("R1") == nil || before.Title != "" || f.Diagram().Part("R1") != nil {
		t.Error("a draft changed the diagram it started from")
	}
	do(t, &h, f.Edit("all of it"))
	if before.Part("R1") == nil || before.Title != "" || len(before.Modes) != 0 || len(before.Params) != 0 {
		t.Error("an edit changed a snapshot")
	}
}

func TestCloneSharesNothing(t *testing.T) {
	t.Parallel()
	p := &model.Part{
		Params: model.Params{"resistance": model.Number(1)},
		Tags:   map[string]string{"1": "a"},
		Pins:   []model.ChipPin{{Number: "1"}},
	}
	c := p.Clone()
	c.Params["resistance"] = model.Number(2)
	c.Tags["1"] = "b"
	c.Pins[0].Number = "2"
	if !p.Params["resistance"].Same(model.Number(1)) || p.Tags["1"] != "a" || p.Pins[0].Number != "1" {
		t.Errorf("changing the clone changed the part: %+v", p)
	}
	w := &model.Wire{Points: []geom.Point{{X: 0, Y: 0}, {X: 1, Y: 0}}}
	w.Clone().Points[0] = geom.Pt(9, 9)
	if w.Points[0] != geom.Pt(0, 0) {
		t.Error("changing the clone changed the wire")
	}
}

func TestNextRef(t *testing.T) {
	t.Parallel()
	d := &model.Diagram{Parts: []*model.Part{{Ref: "R1"}, {Ref: "r2"}, {Ref: "R4"}}}
	for prefix, want := range map[string]string{"R": "R3", "RV": "RV1", "C": "C1"} {
		if got := d.NextRef(prefix); got != want {
			t.Errorf("next %s is %s, want %s", prefix, got, want)
		}
	}
}
