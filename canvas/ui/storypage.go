package ui

import (
	"context"
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis/story"
	"copperglass/model"
)

// walk is the story while somebody goes through it.
type walk struct {
	in    *inspector
	at    int
	trial trial
	home  string // the mode that was chosen before
	pages memo[[]story.Page]

	turned model.Params // what the hand has put over the step's own values
	follow []func()     // bring the dials of the step up to date
}

// storyTopic walks through the steps of the story.
func (in *inspector) storyTopic() topic { return in.storyFrom(0) }

func (in *inspector) storyFrom(i int) topic {
	w := &walk{in: in, at: i, home: in.doc.Mode()}
	w.trial = trial{in: in, change: func(f *model.Draft) {
		f.Override(w.step().Setting())
		f.Override((&model.WhatIf{Set: w.turned}).Setting())
	}}
	return topic{key: "story", title: "The story", build: w.build, enter: func() { w.goTo(w.at) }, leave: w.leave, keys: w.key,
		tried: w.tried, says: w.says}
}

// step is the one that is shown, an empty one where there is none.
func (w *walk) step() *model.Step { return stepAt(w.in.doc.Diagram(), w.at) }

func stepAt(d *model.Diagram, i int) *model.Step {
	if i >= 0 && i < len(d.Story) {
		return d.Story[i]
	}
	return &model.Step{}
}

func (w *walk) steps() int { return len(w.in.doc.Diagram().Story) }

// goTo shows a step: its values, its mode and its parts.
func (w *walk) goTo(i int) {
	if i < 0 || i >= w.steps() {
		return
	}
	w.at, w.turned = i, nil
	w.in.doc.SetMode(stepMode(w.in.doc.Diagram(), w.step()))
	w.trial.show()
	w.in.doc.Light(present(w.in.doc.Diagram(), w.step().Lit)...)
}

// stepMode is the mode that a step shows: the first where it says none.
func stepMode(d *model.Diagram, s *model.Step) string {
	if s.Mode == "" && len(d.Modes) > 0 {
		return d.Modes[0].Name
	}
	return s.Mode
}

// present are those of the parts that the drawing has.
func present(d *model.Diagram, refs []string) []string {
	return slices.DeleteFunc(slices.Clone(refs), func(ref string) bool { return d.Part(ref) == nil })
}

// leave puts back what the walk changed.
func (w *walk) leave() {
	doc := w.in.doc
	doc.DropPreview()
	doc.SetMode(w.home)
	doc.Light()
}

// key takes the arrow keys.
func (w *walk) key(k stroke) bool {
	switch k {
	case key(fyne.KeyRight), key(fyne.KeyPageDown):
		w.goTo(w.at + 1)
	case key(fyne.KeyLeft), key(fyne.KeyPageUp):
		w.goTo(w.at - 1)
	default:
		return false
	}
	return true
}

// told are the steps with their figures, if they are known yet.
func (w *walk) told() ([]story.Page, bool, error) {
	return w.pages.recall(w.in, "story", "", func(ctx context.Context, d *model.Diagram) ([]story.Page, error) { return story.Tell(ctx, d) })
}

func (w *walk) build(p *page) {
	key := func() string {
		pages, done, err := w.told()
		return fmt.Sprintf("walk %d %d %v %v %v %s", w.at, w.steps(), done, err, len(w.turned), pageText(pages, w.at))
	}
	p.dynamic(key, func() []fyne.CanvasObject { return w.lines(p) })
	w.dials(p)
	p.add(pair(w.editing(p), w.in.exporting(p)))
	p.onRefresh(w.trial.follow)
}

func pageText(pages []story.Page, i int) string {
	if i < len(pages) {
		return pages[i].Title + "\x00" + pages[i].Text
	}
	return ""
}

// tried names the step that is shown, with what the hand has turned.
func (w *walk) tried() string {
	text := fmt.Sprintf("step %d: %s", w.at+1, w.step().Title)
	if len(w.turned) > 0 {
		text += ", with " + changeWords(w.in.doc.Diagram(), w.turned)
	}
	return text
}

// says is the sentence of the step that is shown, with its figures; of what the
// hand has turned, what the step is about does then.
func (w *walk) says() string {
	if len(w.turned) > 0 {
		return w.turnedWords()
	}
	if pages, done, err := w.told(); done && err == nil && w.at < len(pages) {
		return curly(pages[w.at].Text)
	}
	return ""
}

// storyTextSize is that of the sentence of a step: it is read from a distance.
const storyTextSize = 15

func (w *walk) lines(p *page) []fyne.CanvasObject {
	in := w.in
	pages, done, err := w.told()
	switch {
	case !done:
		return []fyne.CanvasObject{p.waiting()}
	case err != nil:
		return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
	case w.at >= len(pages):
		return []fyne.CanvasObject{paragraph("The story has no step any more.", in.width, textSize, in.look.Ink)}
	}
	page := pages[w.at]
	const room = 150 // for most sentences, so that what is below stays where it is
	ink := in.look.Ink
	if len(w.turned) > 0 {
		ink = in.look.Quiet // it is about the step's own values
	}
	text := container.New(column{}, in.headline(page.Title), gap(6), paragraph(curly(page.Text), in.width, storyTextSize, ink))
	return []fyne.CanvasObject{
		styledText(fmt.Sprintf("Step %d of %d", w.at+1, len(pages)), smallSize, false, in.look.Quiet), gap(4),
		container.New(atLeast{height: room}, text), gap(8),
		pair(w.way(p, "‹ Previous", -1), w.way(p, "Next ›", 1)), gap(6),
		paragraph("The arrow keys ← and → go from step to step.", in.width, smallSize, in.look.Quiet), gap(10),
	}
}

// exporting offers a picture of what is shown.
func (in *inspector) exporting(p *page) fyne.CanvasObject {
	return p.action("Export a picture…", "Of the sheet as it is shown now, with what is tried in its title.", func() { in.run("export") })
}

// headline is the title of a step, on as many lines as it takes.
func (in *inspector) headline(title string) fyne.CanvasObject {
	box := container.New(column{gap: 1})
	for _, line := range wrap(title, in.width, storyTextSize, true) {
		box.Add(styledText(line, storyTextSize, true, in.look.Ink))
	}
	return box
}

// way goes to a neighbouring step; at the ends there is nothing to click.
func (w *walk) way(p *page, title string, by int) fyne.CanvasObject {
	if i := w.at + by; i < 0 || i >= w.steps() {
		return container.New(leading{}, styledText(title, textSize, false, w.in.look.Quiet))
	}
	return p.action(title, "Show this step of the story.", func() { w.goTo(w.at + by) })
}

func (w *walk) editing(p *page) fyne.CanvasObject {
	return p.action("Edit this step…", "Change its words, its values and what it brings out; add, move or remove steps.", func() { w.in.ask(w.in.storyEditTopic(w.at)) })
}

// storyOffers are the ways into the story.
func (in *inspector) storyOffers(d *model.Diagram) []offer {
	switch {
	case len(d.Story) > 0:
		return []offer{{"Walk through the story", "Step by step, each with its sentence, its values and what it is about.", in.storyTopic}}
	case len(d.Parts) > 0:
		return []offer{{"Write an explanation in steps…", "A lesson of your own: a title, a sentence and a view of the sheet for each step, to be walked through by whoever opens the drawing.", func() topic { return in.storyEditTopic(0) }}}
	}
	return nil
}
