package ui

import (
	"fmt"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"copperglass/model"
)

// latch returns two transistors that hold each other down.
func latch() *model.Diagram {
	d := &model.Diagram{}
	add := func(ref, kind, value string, tags map[string]string) {
		d.Parts = append(d.Parts, &model.Part{Ref: ref, Kind: kind, Value: value, Tags: tags})
	}
	add("V1", "supply", "5 V", map[string]string{"+": "v", "-": "GND"})
	for i, other := range []int{2, 1} {
		n := i + 1
		add(fmt.Sprint("R", n), "resistor", "1k", map[string]string{"1": "v", "2": fmt.Sprint("c", n)})
		add(fmt.Sprint("R", n+2), "resistor", "10k", map[string]string{"1": fmt.Sprint("c", n), "2": fmt.Sprint("b", other)})
		add(fmt.Sprint("Q", n), "npn", "", map[string]string{"B": fmt.Sprint("b", n), "C": fmt.Sprint("c", n), "E": "GND"})
	}
	return d
}

func TestAStableStateIsChosenAndStays(t *testing.T) {
	w := newTestWindow(t)
	w.doc.Replace(latch(), "")
	says := func(want ...string) {
		t.Helper()
		got := words(w.inspector.body)
		for _, text := range want {
			if !strings.Contains(got, text) {
				t.Errorf("the page says %q, not %q", got, text)
			}
		}
	}
	says("Two stable states", "1: Q1 saturated, Q2 cut-off", "2: Q1 cut-off, Q2 saturated")
	var choice *segment
	for _, o := range test.LaidOutObjects(w.inspector.body) {
		if s, ok := o.(*segment); ok {
			choice = s
		}
	}
	if choice == nil || choice.chosen != "State 1" {
		t.Fatalf("the choice is %+v", choice)
	}
	state := func() string { return string(w.doc.Result().Parts["Q1"].State) }
	if state() != "saturated" {
		t.Fatalf("Q1 is %s", state())
	}
	size := choice.Size()
	choice.Tapped(&fyne.PointEvent{Position: fyne.NewPos(size.Width*0.9, size.Height/2)})
	if state() != "cut-off" || choice.chosen != "State 2" {
		t.Errorf("Q1 is %s and %s is chosen", state(), choice.chosen)
	}
	for _, value := range []string{"1k2", "1k5", "820"} {
		p := w.doc.Diagram().Part("R1").Clone()
		p.Value = value
		if err := w.doc.Edit("value", "", func(f *model.Draft) { f.SetPart("R1", p) }); err != nil {
			t.Fatal(err)
		}
		if state() != "cut-off" || w.doc.Result().Number != 2 {
			t.Errorf("at %s Q1 is %s, state %d", value, state(), w.doc.Result().Number)
		}
	}
	says("2: Q1 cut-off, Q2 saturated")
	w.doc.Replace(&model.Diagram{Parts: latch().Parts[:3]}, "")
	if got := words(w.inspector.body); strings.Contains(got, "stable states") {
		t.Errorf("half of it: %q", got)
	}
}

// Of many states only a few are offered, the number is said to be a lower bound,
// and what is chosen is what was told of under that number.
func TestManyStatesAreOfferedInPart(t *testing.T) {
	w := newTestWindow(t)
	d := &model.Diagram{}
	for i := range 6 {
		one := latch()
		for _, p := range one.Parts {
			tags := map[string]string{}
			for pin, tag := range p.Tags {
				if tag != "v" && tag != "GND" {
					tag = fmt.Sprint(tag, "of", i)
				}
				tags[pin] = tag
			}
			p.Tags = tags
			if p.Kind != "supply" {
				p.Ref = fmt.Sprint(p.Ref, i)
			}
			if p.Kind != "supply" || i == 0 {
				d.Parts = append(d.Parts, p)
			}
		}
	}
	w.doc.Replace(d, "")
	page := words(w.inspector.body)
	if !strings.Contains(page, "At least ") || !strings.Contains(page, "2: as 1, but") || strings.Contains(page, "9: ") {
		t.Errorf("the page says %q", page)
	}
	for _, o := range test.LaidOutObjects(w.inspector.body) {
		if s, ok := o.(*segment); ok && s.chosen == fmt.Sprint(w.doc.Result().Number) {
			if len(s.options) != 8 || s.options[6] != "7" {
				t.Fatalf("offered are %q", s.options)
			}
			want := w.doc.Result().States()[6]
			size := s.Size()
			s.Tapped(&fyne.PointEvent{Position: fyne.NewPos(size.Width*6.5/8, size.Height/2)})
			for ref, p := range w.doc.Result().Parts {
				if p.State != want.Parts[ref].State {
					t.Errorf("%s is %s, not %s", ref, p.State, want.Parts[ref].State)
				}
			}
			return
		}
	}
	t.Error("no choice is offered")
}
