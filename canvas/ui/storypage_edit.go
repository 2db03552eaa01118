package ui

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/model"
)

// writing is the story while somebody writes it. It stays open while parts are
// selected, which a step may bring out.
type writing struct {
	in    *inspector
	at    int
	trial trial
}

// storyEditTopic edits one step.
func (in *inspector) storyEditTopic(i int) topic {
	w := &writing{in: in, at: i}
	w.trial = trial{in: in, change: func(f *model.Draft) { f.Override(w.step().Setting()) }}
	return topic{key: fmt.Sprint("write ", i), title: "Write the story", build: w.build, enter: w.enter, leave: in.doc.DropPreview, stays: true}
}

func (w *writing) step() *model.Step { return stepAt(w.in.doc.Diagram(), w.at) }
func (w *writing) steps() int        { return len(w.in.doc.Diagram().Story) }

// enter shows the step as a walk would.
func (w *writing) enter() {
	if w.at >= w.steps() {
		return
	}
	d := w.in.doc.Diagram()
	w.in.doc.SetMode(stepMode(d, w.step()))
	w.trial.show()
	w.in.show(present(d, w.step().Lit)...)
}

// addStep puts a step at the end of the story and opens it.
func (in *inspector) addStep(s *model.Step) {
	if err := in.doc.Edit("add a step", "", func(f *model.Draft) { f.AddStep(s) }); err != nil {
		in.fail(err)
		return
	}
	t := in.storyEditTopic(len(in.doc.Diagram().Story) - 1)
	t.types = true
	in.ask(t)
}

// next is a new step as the sheet is now: with its mode, its values and what is
// selected.
func (w *writing) next() *model.Step {
	doc := w.in.doc
	return &model.Step{Title: fmt.Sprint("Step ", w.steps()+1), Mode: doc.Mode(), Set: cloned(w.step().Set), Lit: doc.selectedRefs()}
}

func (w *writing) build(p *page) {
	p.dynamic(func() string { return fmt.Sprint("position", w.at, w.steps()) }, func() []fyne.CanvasObject {
		if w.at >= w.steps() {
			return []fyne.CanvasObject{paragraph("There is no step yet. Choose a mode, select the parts that the first step is about, and add it.", w.in.width, textSize, w.in.look.Ink), gap(8)}
		}
		return []fyne.CanvasObject{styledText(fmt.Sprintf("Step %d of %d", w.at+1, w.steps()), smallSize, false, w.in.look.Quiet), gap(6)}
	})
	if w.at < w.steps() {
		w.words(p)
		w.settings(p)
		w.shows(p)
		w.order(p)
	}
	p.add(p.action("Add a step", "After the others, from what is shown now: the mode, the values and what is selected.", func() { w.in.addStep(w.next()) }))
	p.onRefresh(w.trial.follow)
}

// words adds the title and the text.
func (w *writing) words(p *page) {
	p.field(fieldSpec{
		label: "Title", help: "A few words.",
		text: func() string { return w.step().Title }, check: anything,
		apply: func(text string) error {
			return w.edit("title of a step", func(s *model.Step) { s.Title = strings.TrimSpace(text) })
		},
	})
	text := p.field(fieldSpec{
		label: "Text", help: "One sentence. A name in braces, such as {Q1.C.amps}, is a figure that follows the circuit.", lines: 9,
		text: func() string { return w.step().Text }, check: anything,
		apply: func(text string) error {
			return w.edit("text of a step", func(s *model.Step) { s.Text = strings.TrimSpace(text) })
		},
	})
	p.first = text.entry
	p.add(p.indented(p.action("Add a figure…", "Puts a figure that follows the circuit at the end of the text.", func() {
		w.in.seek("Which figure?", func(s sought) {
			p.try(w.edit("text of a step", func(step *model.Step) { step.Text = strings.TrimSpace(step.Text + " {" + s.of + "}") }))
		})
	})), gap(6))
}

func anything(string) error { return nil }

// edit changes the step.
func (w *writing) edit(label string, change func(*model.Step)) error {
	if w.at >= w.steps() {
		return nil
	}
	s := *w.step()
	s.Set = cloned(s.Set)
	change(&s)
	return w.in.doc.Edit(label, "", func(f *model.Draft) { f.SetStep(w.at, &s) })
}

// settings adds the values that the step sets.
func (w *writing) settings(p *page) {
	c := &changes{in: w.in, get: func() model.Params { return w.step().Set }, holds: "in this step only"}
	c.edit = func(change func(model.Params)) error {
		return w.edit("value of a step", func(s *model.Step) { change(s.Set) })
	}
	c.build(p)
}

// shows adds what the step brings out and in which mode.
func (w *writing) shows(p *page) {
	in := w.in
	p.table(func() []row {
		rows := []row{{name: "Brings out", figure: orNothing(strings.Join(w.step().Lit, ", "))}}
		if len(in.doc.Shown().Modes) > 0 {
			rows = append(rows, row{name: "Mode", figure: stepMode(in.doc.Diagram(), w.step())})
		}
		return rows
	})
	p.add(p.action("Bring out what is selected", "Select parts on the sheet first.", func() {
		p.try(w.edit("what a step brings out", func(s *model.Step) { s.Lit = in.doc.selectedRefs() }))
	}))
	p.dynamic(func() string { return "mode" + in.doc.Mode() + w.step().Mode }, func() []fyne.CanvasObject {
		if mode := in.doc.Mode(); mode != stepMode(in.doc.Diagram(), w.step()) {
			return []fyne.CanvasObject{p.action("Show it in mode "+mode, "The mode that is chosen now.", func() {
				p.try(w.edit("mode of a step", func(s *model.Step) { s.Mode = mode }))
			})}
		}
		return nil
	})
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

// order adds what moves and removes the step.
func (w *writing) order(p *page) {
	p.add(gap(8), rule(w.in.look.Edge), gap(6),
		pair(p.action("Move it earlier", "Before the step that it follows.", func() { p.try(w.move(-1)) }),
			p.action("Move it later", "After the step that follows it.", func() { p.try(w.move(1)) })),
		pair(p.action("Walk through it", "As the readers of the drawing do.", func() { w.in.ask(w.in.storyFrom(w.at)) }),
			p.action("Remove the step", "Take it out of the story.", func() { p.try(w.remove()) })))
}

// move changes places with a neighbour and stays with the step.
func (w *writing) move(by int) error {
	other := w.at + by
	if other < 0 || other >= w.steps() {
		return nil
	}
	list := slices.Clone(w.in.doc.Diagram().Story)
	err := w.in.doc.Edit("move a step", "", func(f *model.Draft) {
		f.SetStep(w.at, list[other])
		f.SetStep(other, list[w.at])
	})
	w.in.ask(w.in.storyEditTopic(other))
	return err
}

// remove takes the step out and goes to the one that takes its place.
func (w *writing) remove() error {
	at := w.at
	err := w.in.doc.Edit("remove a step", "", func(f *model.Draft) { f.RemoveStep(at) })
	w.in.ask(w.in.storyEditTopic(max(0, min(at, w.steps()-1))))
	return err
}
