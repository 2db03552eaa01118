package file_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"copperglass/model"
	"copperglass/model/file"
	"copperglass/model/geom"
)

// editor makes random edits, sound ones only, through every method of Draft.
type editor struct {
	*rand.Rand
	names int
}

func (e *editor) point() geom.Point { return geom.Pt(e.IntN(41)-20, e.IntN(41)-20) }

func (e *editor) name(prefix string) string {
	e.names++
	return fmt.Sprint(prefix, e.names)
}

func (e *editor) kind() *model.Kind {
	kinds := model.Kinds()
	return kinds[e.IntN(len(kinds))]
}

func (e *editor) part(ref string) *model.Part {
	p := e.kind().NewPart(e.point())
	p.Ref = ref
	p.Orient = geom.Orientation{Turn: 90 * e.IntN(4), Mirror: e.IntN(2) == 0}
	p.Placed = e.IntN(5) > 0
	p.Count = e.IntN(4)
	p.Note = e.name("note ")
	p.Params = model.Params{"temperature": model.Number(250 + 100*e.Float64()), "made_up": model.Flag(e.IntN(2) == 0)}
	p.Doubt = []model.Doubt{"", model.Measured, model.Read, model.Guessed}[e.IntN(4)]
	return p
}

func (e *editor) wire() *model.Wire {
	w := &model.Wire{Points: []geom.Point{e.point(), e.point()}}
	for range e.IntN(3) {
		w.Points = append(w.Points, e.point())
	}
	if e.IntN(3) == 0 {
		w.Tag = e.name("net")
	}
	return w
}

func (e *editor) mode() *model.Mode {
	return &model.Mode{Name: e.name("mode "), Note: e.name("note ")}
}

// step makes one change to the draft.
func (e *editor) step(f *model.Draft) {
	d := f.Diagram()
	switch e.IntN(13) {
	case 0, 1:
		f.AddPart(e.part(e.name("X")))
	case 2:
		if len(d.Parts) > 0 {
			ref := d.Parts[e.IntN(len(d.Parts))].Ref
			f.SetPart(ref, e.part(ref))
		}
	case 3:
		if len(d.Parts) > 0 {
			f.RemovePart(d.Parts[e.IntN(len(d.Parts))].Ref)
		}
	case 4, 5:
		f.AddWire(e.wire())
	case 6:
		if len(d.Wires) > 0 {
			w := e.wire()
			w.ID = d.Wires[e.IntN(len(d.Wires))].ID
			f.SetWire(w)
		}
	case 7:
		if len(d.Wires) > 0 {
			f.RemoveWire(d.Wires[e.IntN(len(d.Wires))].ID)
		}
	case 8:
		f.SetTitle(e.name("title "))
		f.SetBlock(model.TitleBlock{Who: e.name("who "), Revision: e.name("revision ")})
	case 9:
		f.SetParam("temperature", []model.Value{{}, model.Number(250 + 100*e.Float64())}[e.IntN(2)])
	case 10:
		e.modeStep(f)
	case 11:
		e.whatIfStep(f)
	case 12:
		e.storyStep(f)
	}
}

func (e *editor) whatIfStep(f *model.Draft) {
	w := &model.WhatIf{Name: e.name("what if "), Set: model.Params{"R1.resistance": model.Number(e.Float64()), "S1.state": model.Word("closed")}}
	switch n := len(f.Diagram().WhatIfs); {
	case n == 0 || e.IntN(2) == 0:
		f.AddWhatIf(w)
	case e.IntN(2) == 0:
		f.SetWhatIf(e.IntN(n), w)
	default:
		f.RemoveWhatIf(e.IntN(n))
	}
}

func (e *editor) storyStep(f *model.Draft) {
	s := &model.Step{Title: e.name("step "), Mode: "On", Lit: []string{"Q1", "R1"}, Text: "at {Q1.C.amps}", Set: model.Params{"V1.voltage": model.Number(e.Float64())}}
	steps, mutes := len(f.Diagram().Story), len(f.Diagram().Muted)
	switch {
	case steps == 0 || e.IntN(3) == 0:
		f.AddStep(s)
	case e.IntN(2) == 0:
		f.SetStep(e.IntN(steps), s)
	case mutes == 0 || e.IntN(2) == 0:
		f.RemoveStep(e.IntN(steps))
		f.AddMute(&model.Mute{Rule: "a-rule", Parts: []string{"D1"}, Reason: e.name("because ")})
	default:
		f.RemoveMute(e.IntN(mutes))
	}
}

func (e *editor) modeStep(f *model.Draft) {
	n := len(f.Diagram().Modes)
	switch {
	case n == 0 || e.IntN(2) == 0:
		f.AddMode(e.mode())
	case e.IntN(2) == 0:
		f.SetMode(e.IntN(n), e.mode())
	default:
		f.RemoveMode(e.IntN(n))
	}
}

// edit makes an edit of one to four steps; every third may merge with the next.
func (e *editor) edit(d *model.Diagram) model.Edit {
	f := model.NewDraft(d)
	for range 1 + e.IntN(4) {
		e.step(f)
	}
	edit := f.Edit(e.name("edit "))
	if e.IntN(3) == 0 {
		edit.Merge = "drag"
	}
	return edit
}

// Undoing everything leads back to the very bytes there were, step by step
// through the states between, and redoing everything forth again.
func TestUndoAllAndRedoAll(t *testing.T) {
	t.Parallel()
	start, err := file.Load("testdata/full.cglass")
	if err != nil {
		t.Fatal(err)
	}
	for seed := range uint64(20) {
		e := &editor{Rand: rand.New(rand.NewPCG(seed, 0))}
		h := model.NewHistory(start)
		states := states{t, h, []string{encode(t, start)}}
		for range 40 {
			states.do(e.edit(h.Diagram()))
			if e.IntN(4) == 0 {
				states.backAndForth(e.IntN(6))
			}
			if e.IntN(10) == 0 {
				h.MarkSaved()
			}
		}
		states.undoAll()
		states.redoAll()
		states.undoAll()
	}
}

// states are the drawing as bytes after each entry of the history.
type states struct {
	t    *testing.T
	h    *model.History
	text []string
}

func (s *states) do(e model.Edit) {
	s.t.Helper()
	undoable := s.undos()
	if err := s.h.Do(e); err != nil {
		s.t.Fatal(err)
	}
	if e.Empty() {
		return
	}
	if after := s.undos(); after == undoable {
		s.text = s.text[:len(s.text)-1] // merged
	}
	s.text = append(s.text, encode(s.t, s.h.Diagram()))
}

// undos counts what can be undone, by doing so, on a copy.
func (s *states) undos() int {
	h, n := *s.h, 0
	for {
		if _, ok := h.Undo(); !ok {
			return n
		}
		n++
	}
}

// backAndForth undoes up to n edits and redoes them.
func (s *states) backAndForth(n int) {
	s.t.Helper()
	n = min(n, len(s.text)-1)
	last := len(s.text) - 1
	for i := range n {
		s.h.Undo()
		s.expect(last - i - 1)
	}
	for i := range n {
		s.h.Redo()
		s.expect(last - n + i + 1)
	}
}

func (s *states) undoAll() {
	s.t.Helper()
	for i := len(s.text) - 1; i > 0; i-- {
		if _, ok := s.h.Undo(); !ok {
			s.t.Fatalf("there was nothing to undo with %d edits left", i)
		}
		s.expect(i - 1)
	}
	if s.h.CanUndo() != "" {
		s.t.Fatalf("%q is left to undo", s.h.CanUndo())
	}
}

func (s *states) redoAll() {
	s.t.Helper()
	for i := range len(s.text) - 1 {
		s.h.Redo()
		s.expect(i + 1)
	}
	if s.h.CanRedo() != "" {
		s.t.Fatalf("%q is left to redo", s.h.CanRedo())
	}
}

func (s *states) expect(i int) {
	s.t.Helper()
	if got := encode(s.t, s.h.Diagram()); got != s.text[i] {
		s.t.Fatalf("state %d is\n%s\nand was\n%s", i, got, s.text[i])
	}
}
