package ui

import (
	"fmt"
	"math"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/model"
)

// dials adds a dial for each number that the step sets, to be turned while one
// explains; the next step puts it back.
func (w *walk) dials(p *page) {
	key := func() string { return fmt.Sprint("dials", w.at, w.step().Set) }
	p.dynamic(key, func() []fyne.CanvasObject {
		w.follow = nil
		var lines []fyne.CanvasObject
		for _, target := range sortedTargets(w.step().Set) {
			if _, number := w.step().Set[target].Num(); number && paramOf(w.in.doc.Diagram(), target) != nil {
				lines = append(lines, w.dial(p, target), gap(8))
			}
		}
		return lines
	})
	p.onRefresh(func() {
		for _, f := range w.follow {
			f()
		}
	})
	p.dynamic(func() string { return fmt.Sprint("turned", len(w.turned), w.turnedWords()) }, func() []fyne.CanvasObject { return w.turnedLines(p) })
}

// now is what a target has on the sheet.
func (w *walk) now(target string) float64 {
	ref, name, _ := strings.Cut(target, ".")
	part := w.in.doc.Shown().Part(ref)
	if part == nil {
		return 0
	}
	values, _ := w.in.doc.Shown().Resolve(part, nil)
	return values.Num(name)
}

// scaleOf reaches over all that the steps and the drawing have of a target, so
// that it is the same from step to step.
func (w *walk) scaleOf(target string, q *model.Param) scale {
	d := w.in.doc.Diagram()
	list := []float64{w.now(target)}
	for _, s := range d.Story {
		if x, ok := s.Set[target].Num(); ok {
			list = append(list, x)
		}
	}
	most := list[0]
	for _, x := range list {
		if math.Abs(x) > math.Abs(most) {
			most = x
		}
	}
	s := scaleFor(q, most)
	for _, x := range list {
		s = s.with(x)
	}
	return s
}

// dial is a target's name with its value, and the slider below.
func (w *walk) dial(p *page, target string) fyne.CanvasObject {
	in, q := w.in, paramOf(w.in.doc.Diagram(), target)
	s := w.scaleOf(target, q)
	value := styledText("", textSize, true, in.look.Ink)
	d, place := newDial(in, func() float64 { return s.place(w.now(target)) },
		func(place float64) { w.turn(target, s.value(place)) },
		func(way int) { w.turn(target, s.step(w.now(target), way)) })
	update := func() {
		place()
		if text := showNumber(q, w.now(target)); value.Text != text {
			value.Text = text
			value.Refresh()
		}
	}
	update()
	w.follow = append(w.follow, update)
	head := container.New(ends{}, styledText(sentenceStart(targetWords(target)), textSize, false, in.look.Quiet), value)
	help := sentenceCase(q.Meaning) + ". Turn it while you explain; the next step puts it back."
	return newHinted(in.tips, help, container.New(column{gap: 4}, head, d))
}

// turn shows the step with another value.
func (w *walk) turn(target string, x float64) {
	w.turned = cloned(w.turned)
	w.turned[target] = model.Number(x)
	w.trial.show()
}

// turnedWords tell what the transistors that the step brings out do now that
// something is turned; "" where nothing is.
func (w *walk) turnedWords() string {
	if len(w.turned) == 0 {
		return ""
	}
	var said []string
	for _, ref := range w.step().Lit {
		if p := w.in.doc.Shown().Part(ref); p != nil && isTransistor(p.Kind) {
			said = append(said, w.in.wordsOf(ref))
		}
	}
	return strings.Join(said, " ")
}

// turnedLines are those words, with the way back.
func (w *walk) turnedLines(p *page) []fyne.CanvasObject {
	in := w.in
	if len(w.turned) == 0 {
		return nil
	}
	const room = 60 // for most sentences
	return []fyne.CanvasObject{
		container.New(atLeast{height: room}, paragraph(w.turnedWords(), in.width, textSize, in.look.Ink)), gap(4),
		p.action("Put it back", "To what the step sets.", func() {
			w.turned = nil
			w.trial.show()
		}), gap(4),
	}
}
