package ui

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/quantity"
)

// circuit adds what there is to say of the whole drawing.
func (p *page) circuit() {
	in := p.in
	p.add(styledText("The circuit", refSize, true, in.look.Ink), gap(2))
	p.line(textSize, false, in.look.Quiet, func() string { return traced(in.doc.Diagram()) })
	p.unplaced()
	p.add(gap(10))
	p.table(func() []row { return circuitRows(in) })
	p.stableStates()
	p.asks(in.circuitAsks)
	p.whatIfs()
	p.findings("Faults", func(analysis.Fault) bool { return len(in.doc.Shown().Parts) > 0 })
	p.reviewed(func(review.Finding) bool { return true })
	p.modeForm()
	p.supplyForm()
	p.guesses()
	p.openLine()
}

// unplaced offers to set out the parts that a file has without saying where
// they stand.
func (p *page) unplaced() {
	in := p.in
	text := func() string { return unplacedWords(in.doc.Shown()) }
	p.dynamic(func() string { return "unplaced" + text() }, func() []fyne.CanvasObject {
		if text() == "" {
			return nil
		}
		help := "Put them on the sheet in rows, to be moved where they belong."
		return []fyne.CanvasObject{gap(10), paragraph(sentence(text()), in.width, textSize, in.look.Ink), gap(4),
			p.action("Set them out", help, func() { in.run("set out") }), gap(6)}
	})
}

// unplacedWords says how many parts have no place on the sheet, or is "".
func unplacedWords(d *model.Diagram) string {
	n := 0
	for _, p := range d.Parts {
		if !p.Placed {
			n++
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return "1 part has no place on the sheet"
	}
	return fmt.Sprint(n, " parts have no place on the sheet")
}

// traced counts the parts of a drawing and those that are still guessed.
func traced(d *model.Diagram) string {
	n, guessed := 0, 0
	for _, p := range d.Parts {
		if k := p.LookupKind(); k != nil && k.Sign {
			continue
		}
		n++
		if p.Doubt == model.Guessed {
			guessed++
		}
	}
	switch {
	case n == 0:
		return "no parts yet"
	case guessed == 0:
		return "traced " + plural(n, "part", "parts")
	}
	return fmt.Sprintf("traced %s, %d still guessed", plural(n, "part", "parts"), guessed)
}

// onlySource is the battery or voltage supply of a drawing that has one, else
// "".
func onlySource(d *model.Diagram) string {
	only := ""
	for _, p := range d.Parts {
		if p.Kind == "battery" || p.Kind == "supply" || p.Kind == "current_source" {
			if only != "" {
				return ""
			}
			only = p.Ref
		}
	}
	return only
}

func circuitRows(in *inspector) []row {
	doc := in.doc
	supply := supplyRow(doc.Answer(), doc.Mode())
	if ref := onlySource(doc.Shown()); ref != "" && len(supply) == 2 {
		supply[0].of, supply[1].of = ref+".+.amps", ref+".watts"
	}
	rows := append(supply, lastingRows(in.lasting(doc.Mode()))...)
	if r := doc.Result(); r != nil && r.Nets != nil && len(doc.Shown().Parts) > 0 {
		rows = append(rows, row{name: "Nets", figure: fmt.Sprint(len(r.Nets.Nets))})
	}
	return slices.DeleteFunc(rows, func(r row) bool { return r.figure == "" || r.figure == "–" })
}

// findingsOf adds the findings about the part of the page.
func (p *page) findingsOf() {
	p.findings("Faults", func(f analysis.Fault) bool { return slices.Contains(f.Parts, p.in.ref) })
	p.reviewed(func(f review.Finding) bool { return slices.Contains(f.Parts, p.in.ref) })
}

// findings adds the faults that are wanted, numbered as their flags on the
// sheet are. A click on one selects the parts it is about.
func (p *page) findings(title string, wanted func(analysis.Fault) bool) {
	list := func() []numbered {
		r := p.in.doc.Result()
		if r == nil {
			return nil
		}
		var list []numbered
		for i, f := range r.Faults {
			if wanted(f) {
				list = append(list, numbered{i + 1, f})
			}
		}
		return list
	}
	key := func() string {
		key := "findings"
		for _, f := range list() {
			key += fmt.Sprint("\x00", f.n, f.fault.Text)
		}
		return key
	}
	p.dynamic(key, func() []fyne.CanvasObject {
		unfinished, faults := parted(list(), func(f numbered) bool { return f.fault.Unfinished })
		return append(p.findingLines(title, faults), p.findingLines("Not finished yet", unfinished)...)
	})
}

// parted are those of a list that something holds of, and the others.
func parted(list []numbered, holds func(numbered) bool) (those, others []numbered) {
	for _, f := range list {
		if holds(f) {
			those = append(those, f)
		} else {
			others = append(others, f)
		}
	}
	return those, others
}

type numbered struct {
	n     int
	fault analysis.Fault
}

// mostFindings bounds the list: a drawing with thousands of loose ends has to
// stay usable.
const mostFindings = 20

func (p *page) findingLines(title string, list []numbered) []fyne.CanvasObject {
	if len(list) == 0 {
		return nil
	}
	in := p.in
	lines := []fyne.CanvasObject{gap(10), rule(in.look.Edge), gap(12), styledText(title, headingSize, true, in.look.Ink), gap(8)}
	for _, f := range list[:min(len(list), mostFindings)] {
		lines = append(lines, p.findingLine(f), gap(8))
	}
	if more := len(list) - mostFindings; more > 0 {
		lines = append(lines, styledText(fmt.Sprintf("and %d more", more), smallSize, false, in.look.Quiet), gap(8))
	}
	return lines
}

const badgeSize = 22

func (p *page) findingLine(f numbered) fyne.CanvasObject {
	in := p.in
	text := paragraph(sentence(f.fault.Text), in.width-grown(badgeSize)-10, textSize, in.look.Ink)
	badge := newSign(fyne.NewSize(badgeSize, badgeSize), badgePicture(in.look, f.n, f.fault.Stops))
	line := container.New(columns{widths: []float32{grown(badgeSize), 0}, gap: 10}, badge, text)
	return newHinted(in.tips, "A click shows on the sheet what it is about.", newTapArea(line, func() { in.visit(f.fault) }))
}

// badgePicture is a finding's number as its flag on the sheet has it: on a disc
// where the finding stops the analysis, in a ring where it does not.
func badgePicture(look canvas.Theme, n int, stops bool) canvas.Picture {
	c, r := canvas.Pt(badgeSize/2.0, badgeSize/2.0), badgeSize/2.0-1
	style, ink := canvas.Style{Stroke: look.Flag, Width: 1.5}, look.Flag
	if stops {
		style, ink = canvas.Style{Fill: look.Flag}, look.OnFlag
	}
	size := 12.0
	if n > 99 {
		size = 9
	}
	text := &canvas.Text{At: canvas.Pt(c.X, c.Y+canvas.CapHeight(size)/2), String: fmt.Sprint(n), Size: size, Bold: true,
		Colour: ink, Align: canvas.Middle}
	return canvas.Picture{Items: []canvas.Item{(&canvas.Path{Style: style}).Circle(c, r), text}}
}

// sentence makes a message of a library a sentence for people.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return s
	}
	first, rest := firstWord(s)
	if strings.ToLower(first) == first {
		r := []rune(first)
		first = strings.ToUpper(string(r[0])) + string(r[1:])
	}
	return curly(strings.TrimRight(first+rest, ".") + ".")
}

// curly sets quotation marks and apostrophes as in print.
func curly(s string) string {
	var b strings.Builder
	before := ' '
	for _, r := range s {
		switch {
		case r == '\'':
			b.WriteRune('’')
		case r == '"' && strings.ContainsRune(" (\n", before):
			b.WriteRune('“')
		case r == '"':
			b.WriteRune('”')
		default:
			b.WriteRune(r)
		}
		before = r
	}
	return b.String()
}

func firstWord(s string) (word, rest string) {
	if i := strings.IndexByte(s, ' '); i > 0 {
		return s[:i], s[i:]
	}
	return s, ""
}

// modeForm adds the fields of the chosen mode and what it sets.
func (p *page) modeForm() {
	in := p.in
	p.sets = p.dynamic(func() string { return "form" + in.doc.Mode() + modeKey(in.doc) }, func() []fyne.CanvasObject {
		if in.doc.Mode() == "" {
			return nil
		}
		return p.collect(func() { p.modeFields(in.doc.Mode()) })
	})
}

// modeKey changes whenever the form of the chosen mode has to be made anew,
// but not while its name or note is typed.
func modeKey(doc *Document) string {
	m := doc.Shown().Mode(doc.Mode())
	if m == nil {
		return ""
	}
	key := ""
	for _, t := range targets(doc.Shown()) {
		key += "\x00" + t.title + strings.Join(t.states, ",") + m.Set[t.name]
	}
	return key
}

// modeFields adds the name, the note and the settings of a mode.
func (p *page) modeFields(name string) {
	in := p.in
	p.heading(elide("What “"+name+"” sets", in.width, headingSize, true))
	list := targets(in.doc.Shown())
	if len(list) == 0 {
		p.add(paragraph("A mode says what the pins of a chip and the switches do; there are none on the sheet yet.", in.width, smallSize, in.look.Quiet), gap(8))
	}
	mode := in.doc.Shown().Mode(name)
	for _, t := range list[:min(len(list), mostTargets)] {
		p.add(p.stateLine(mode, t), gap(6))
	}
	p.commands("mode")
}

// mostTargets bounds the settings shown at once.
const mostTargets = 40

// guesses lists the parts that are still guessed, the one to measure first at
// the head, and what each could do.
func (p *page) guesses() {
	in := p.in
	key := func() string {
		key := "guessed"
		for _, g := range in.rankedGuesses() {
			key += fmt.Sprint("\x00", g.Part, guessWords(g))
		}
		return key
	}
	p.dynamic(key, func() []fyne.CanvasObject {
		all := in.rankedGuesses()
		if len(all) == 0 {
			return nil
		}
		lines := []fyne.CanvasObject{gap(10), rule(in.look.Edge), gap(12), styledText("Still guessed", headingSize, true, in.look.Ink), gap(6)}
		for i, g := range all[:min(len(all), mostFindings)] {
			lines = append(lines, p.guessLine(g, i == 0), gap(6))
		}
		return lines
	})
}

// guessLine is one guess. A click selects the part.
func (p *page) guessLine(g review.Guess, first bool) fyne.CanvasObject {
	in := p.in
	q := in.doc.Shown().Part(g.Part)
	if q == nil {
		return gap(0)
	}
	lines := []fyne.CanvasObject{in.tableLine(row{name: kindTitle(q.Kind), figure: strings.TrimSpace(g.Part + " " + shortValue(in.doc.Shown(), q))})}
	if words := guessWords(g); words != "" {
		if first {
			words = "Measure it first: " + strings.ToLower(words[:1]) + words[1:]
		}
		lines = append(lines, paragraph(words, in.width, smallSize, in.look.Quiet))
	}
	return newHinted(in.tips, "A click selects "+g.Part+" on the sheet.", newTapArea(container.New(column{gap: 2}, lines...), func() { in.doc.Select(g.Part) }))
}

// guessWords says what a guess could do, or is "" where no current that matters
// feels it.
func guessWords(g review.Guess) string {
	if g.Moved < 0.001 {
		return ""
	}
	words := sentenceStart(g.Words())
	if g.Mode != "" {
		words += " in " + g.Mode
	}
	return words + "."
}

// rankedGuesses are the parts that are guessed, the one on which the most hangs
// first; in natural order while that is being worked out.
func (in *inspector) rankedGuesses() []review.Guess {
	var ranked []review.Guess
	if !in.moving() {
		ranked, _, _ = studied(in, "guesses", "", review.Guesses)
	}
	d := in.doc.Shown()
	guessed := func(g review.Guess) bool {
		q := d.Part(g.Part)
		return q != nil && q.Doubt == model.Guessed
	}
	ranked = slices.DeleteFunc(slices.Clone(ranked), func(g review.Guess) bool { return !guessed(g) })
	known := len(ranked)
	for _, q := range d.Parts {
		if q.Doubt == model.Guessed && !slices.ContainsFunc(ranked, func(g review.Guess) bool { return g.Part == q.Ref }) {
			ranked = append(ranked, review.Guess{Part: q.Ref})
		}
	}
	slices.SortFunc(ranked[known:], func(a, b review.Guess) int { return model.NaturalCompare(a.Part, b.Part) })
	return ranked
}

// shortValue is a part's value as the sheet has it: the quantity that the part
// cannot do without where it is known, else what is written.
func shortValue(d *model.Diagram, p *model.Part) string {
	k := p.LookupKind()
	if k == nil {
		return p.Value
	}
	values, _ := d.Resolve(p, nil)
	for _, q := range k.Params {
		if x, ok := values[q.Name].Num(); ok && q.Required {
			return quantity.Short(x, q.Unit)
		}
	}
	return p.Value
}

func kindTitle(kind string) string {
	if k := model.LookupKind(kind); k != nil {
		return k.Title
	}
	return kind
}
