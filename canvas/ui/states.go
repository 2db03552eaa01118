package ui

import (
	"context"
	"fmt"
	"slices"

	"fyne.io/fyne/v2"

	"copperglass/analysis"
	"copperglass/model"
)

// ChooseState puts the circuit into another of its stable states, where it
// stays while the drawing changes, for as long as there is that state.
func (doc *Document) ChooseState(number int) {
	r := doc.Result()
	if r == nil {
		return
	}
	for _, other := range r.Others {
		if other.Number == number {
			doc.sides[doc.mode] = other
			doc.follow(StateChanged)
		}
	}
}

// keepSide remembers where the circuit is of the stable states among which one
// was chosen. While it cannot be solved the choice stands.
func (doc *Document) keepSide(r *analysis.Result) {
	switch {
	case r == nil || !r.Solved || doc.sides[r.Mode] == nil:
	case r.Number == 0:
		delete(doc.sides, r.Mode)
	default:
		doc.sides[r.Mode] = r
	}
}

// shownState is the number of the stable state on the sheet, 0 where no others
// are known.
func (doc *Document) shownState() int {
	if r := doc.Result(); r != nil {
		return r.Number
	}
	return 0
}

// stay returns the operating point of d on the side of an earlier one.
func stay(ctx context.Context, d *model.Diagram, mode string, side *analysis.Result) (*analysis.Result, error) {
	return analysis.Solve(ctx, d, analysis.Options{Mode: mode, Start: side, Survey: true})
}

// stableStates tells of a circuit with several stable states which there are,
// and lets one be chosen.
func (p *page) stableStates() {
	in := p.in
	p.dynamic(func() string { return fmt.Sprint("states", in.stateLines()) }, func() []fyne.CanvasObject {
		lines := in.stateLines()
		if len(lines) == 0 {
			return nil
		}
		return p.collect(func() { p.stateChoice(lines) })
	})
}

func (in *inspector) stateLines() []analysis.StateLine {
	if r := in.doc.Result(); r != nil {
		return r.StateLines()
	}
	return nil
}

// stateChoice lists the states and offers them side by side.
func (p *page) stateChoice(lines []analysis.StateLine) {
	in := p.in
	p.add(gap(8), paragraph(howManyStates(in.doc.Result()), in.width, textSize, in.look.Quiet), gap(4))
	names := make([]string, len(lines))
	for i, one := range lines {
		names[i] = fmt.Sprint(one.Number)
		if len(lines) <= 4 {
			names[i] = "State " + names[i]
		}
		p.add(paragraph(fmt.Sprint(one.Number, ": ", one.Words), in.width, textSize, in.look.Quiet), gap(2))
	}
	s := newSegment(in.look, names, func(name string) {
		in.doc.ChooseState(lines[slices.Index(names, name)].Number)
	})
	update := func() {
		r := in.doc.Result()
		for i, one := range lines {
			if r != nil && one.Number == r.Number {
				s.set(names[i])
			}
		}
	}
	update()
	p.onRefresh(update)
	p.add(gap(6), newHinted(in.tips, "Choose the state to look at. Power it up on one side, or touch a base, and a real one does the same.", s), gap(4))
}

// howManyStates tells how many stable states the circuit has, or how many were
// found before the search was stopped.
func howManyStates(r *analysis.Result) string {
	if r.MayBeMore {
		return sentenceStart(r.StateCount()) + ", where the search stops; the circuit stays in the one it was last in."
	}
	return counted(len(r.Others)+1) + " stable states; the circuit stays in the one it was last in."
}

// counted writes a small number as a word that begins a sentence.
func counted(n int) string {
	words := []string{"No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}
