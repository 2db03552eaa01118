package ui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/analysis/review"
	"copperglass/canvas"
	"copperglass/canvas/symbol"
	"copperglass/canvas/tool"
	"copperglass/model"
)

// nextDoubt is what one key takes a doubt to: from one to the next, and round.
func nextDoubt(d model.Doubt) model.Doubt {
	switch d {
	case model.Measured:
		return model.Read
	case model.Read:
		return model.Guessed
	}
	return model.Measured
}

// stepDoubt gives all that is selected the next doubt after what it has in
// common.
func stepDoubt(w *Window) {
	next := nextDoubt(commonDoubt(w.doc))
	if err := w.doc.setDoubts(next); err != nil {
		w.fail("Not done", err)
		return
	}
	w.bar.report(selectionWords(w.doc) + ": " + doubtWord(next))
}

// selectionWords names what is selected in few words.
func selectionWords(doc *Document) string {
	s := doc.Selected()
	if len(s.Parts) == 1 && len(s.Wires) == 0 {
		return doc.selectedRefs()[0]
	}
	return countWords(len(s.Parts), "part", "parts", len(s.Wires), "wire", "wires")
}

// commonDoubt is the doubt that all that is selected shares, or a word that is
// none.
func commonDoubt(doc *Document) model.Doubt {
	var all []model.Doubt
	for _, ref := range doc.selectedRefs() {
		all = append(all, doc.Shown().Part(ref).Doubt)
	}
	for id := range doc.Selected().Wires {
		all = append(all, wireOf(doc, id).Doubt)
	}
	all = slices.Compact(all)
	if len(all) == 1 {
		return all[0]
	}
	return "mixed"
}

// setDoubts gives all that is selected a doubt. Presses of the key in a row are
// undone together.
func (doc *Document) setDoubts(doubt model.Doubt) error {
	s := doc.Selected()
	return doc.Edit("doubt of "+selectionWords(doc), fmt.Sprint("doubt ", s), func(f *model.Draft) {
		for ref := range s.Parts {
			p := f.Diagram().Part(ref).Clone()
			p.Doubt = doubt
			f.SetPart(ref, p)
		}
		for id := range s.Wires {
			w := f.Diagram().Wire(id).Clone()
			w.Doubt = doubt
			f.SetWire(w)
		}
	})
}

// openPoint is something on the board that nobody is sure of yet.
type openPoint struct {
	ref  string
	wire model.WireID // where there is no ref
}

// anyOpen reports whether there is an open point.
func anyOpen(w *Window) bool {
	d := w.doc.Shown()
	guessed := func(wire *model.Wire) bool { return wire.Doubt == model.Guessed }
	return slices.ContainsFunc(d.Parts, isOpen) || slices.ContainsFunc(d.Wires, guessed)
}

// isOpen reports whether nobody is sure of a part yet.
func isOpen(p *model.Part) bool {
	k := p.LookupKind()
	return (k == nil || !k.Sign) && (p.Doubt == model.Guessed || p.Doubt == "")
}

// openPoints are the parts that are guessed, then those of which nobody has
// said how sure it is, and the wires that are guessed.
func openPoints(d *model.Diagram) []openPoint {
	var guessed, unsaid []openPoint
	for _, p := range d.Parts {
		switch {
		case !isOpen(p):
		case p.Doubt == model.Guessed:
			guessed = append(guessed, openPoint{ref: p.Ref})
		default:
			unsaid = append(unsaid, openPoint{ref: p.Ref})
		}
	}
	natural := func(a, b openPoint) int { return model.NaturalCompare(a.ref, b.ref) }
	slices.SortFunc(guessed, natural)
	slices.SortFunc(unsaid, natural)
	for _, w := range d.Wires {
		if w.Doubt == model.Guessed {
			guessed = append(guessed, openPoint{wire: w.ID})
		}
	}
	return append(guessed, unsaid...)
}

// listDoubts shows what is still open; choosing goes there.
func (w *Window) listDoubts() {
	d := w.doc.Shown()
	var all []found
	open := openPoints(d)
	ranked := w.inspector.rankedGuesses()
	slices.SortStableFunc(open, func(a, b openPoint) int { return cmp.Compare(rankOf(ranked, a), rankOf(ranked, b)) })
	for _, o := range open {
		all = append(all, w.foundOpen(d, o))
	}
	w.find("Open points: guessed, or nothing said yet", "part, value, kind, …", "Go there", all)
}

// rankOf is the place of an open point among the guesses, behind them all where
// it is none.
func rankOf(ranked []review.Guess, o openPoint) int {
	for i, g := range ranked {
		if g.Part == o.ref {
			return i
		}
	}
	return len(ranked)
}

func (w *Window) foundOpen(d *model.Diagram, o openPoint) found {
	f := found{choose: func() { w.visit(o) }}
	if o.ref == "" {
		f.title, f.detail, f.end = "Wire", wireSentence(w.doc, o.wire), doubtWord(model.Guessed)
		return f
	}
	p := d.Part(o.ref)
	f.title = strings.TrimSpace(o.ref + "  " + shortValue(d, p))
	f.detail, f.end = kindTitle(p.Kind), doubtWord(p.Doubt)
	for i, g := range w.inspector.rankedGuesses() {
		if words := guessWords(g); g.Part == o.ref && words != "" {
			f.detail += " · " + strings.TrimSuffix(strings.ToLower(words[:1])+words[1:], ".")
			if i == 0 {
				f.end = "measure first"
			}
		}
	}
	if p.Note != "" {
		f.detail += " · " + p.Note
	}
	return f
}

// visit selects something and brings it into view, with the cursor on it.
func (w *Window) visit(o openPoint) {
	w.toSheet()
	w.surface.edit(func(e *tool.Editor) {
		if o.ref != "" {
			e.Select(o.ref)
			return
		}
		e.SelectWires(o.wire)
	})
	at := tool.Anchor(w.doc.Shown(), w.doc.Selected())
	if p := w.doc.Shown().Part(o.ref); p != nil {
		if !p.Placed {
			return
		}
		at = tool.Snap(symbol.Extent(p).Center())
	}
	w.surface.follow(canvas.OnGrid(at))
	w.surface.cursor = cursor{at: at, used: true}
	w.surface.raster.Refresh()
}

// openLine leads from the page of the circuit to the list of what is open.
func (p *page) openLine() {
	in := p.in
	n := func() int { return len(openPoints(in.doc.Shown())) }
	p.dynamic(func() string { return fmt.Sprint("open", n()) }, func() []fyne.CanvasObject {
		if n() == 0 {
			return nil
		}
		a := in.table.named("doubts")
		title := plural(n(), "open point", "open points") + "…"
		return []fyne.CanvasObject{gap(4), p.action(title, a.explains(), func() { in.run(a.name) })}
	})
}
