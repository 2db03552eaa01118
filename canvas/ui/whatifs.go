package ui

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/analysis/whatif"
	"copperglass/model"
	"copperglass/model/quantity"
)

// trial is a change that a topic shows on the sheet and does not make. After an
// edit, which ends what is shown, it is shown again over the new drawing.
type trial struct {
	in     *inspector
	change func(*model.Draft)
	at     int // revision of the drawing under it
}

// show shows it.
func (t *trial) show() {
	t.at = t.in.doc.history.Revision()
	t.in.doc.Preview(t.change)
}

// follow shows it again where there has been an edit.
func (t *trial) follow() {
	if t.at != t.in.doc.history.Revision() {
		t.show()
	}
}

// whatIfs lists the variations that are kept beside the drawing.
func (p *page) whatIfs() {
	in := p.in
	key := func() string {
		key := fmt.Sprint("what-ifs", len(in.doc.Shown().Parts) > 0)
		for _, w := range in.doc.Shown().WhatIfs {
			key += "\x00" + w.Name + changeWords(in.doc.Shown(), w.Set)
		}
		return key
	}
	p.dynamic(key, func() []fyne.CanvasObject { return p.whatIfLines(in.doc.Shown()) })
}

func (p *page) whatIfLines(d *model.Diagram) []fyne.CanvasObject {
	if len(d.Parts) == 0 {
		return nil
	}
	in := p.in
	lines := []fyne.CanvasObject{gap(10), rule(in.look.Edge), gap(12), styledText("What-ifs", headingSize, true, in.look.Ink), gap(6)}
	for i, w := range d.WhatIfs {
		changes := styledText(elide(changeWords(d, w.Set), in.width, smallSize, false), smallSize, false, in.look.Quiet)
		title := p.action(elide(w.Name, in.width, textSize, false), "Show it on the sheet, side by side with the drawing.", func() { in.ask(in.whatIfTopic(i)) })
		lines = append(lines, title, changes, gap(6))
	}
	return append(lines, p.action("Add a what-if…", "Keep another value beside the drawing, which stays as it is.", in.beginWhatIf))
}

// beginWhatIf lets a value be chosen that is to be another one, and opens a
// what-if with it, to be typed over. Until somebody gives it a name it is called
// by what it changes.
func (in *inspector) beginWhatIf() {
	d := in.doc.Diagram()
	list := append(in.otherCells(d), settable(d, func(target string, v model.Value) {
		set := model.Params{target: v}
		in.addWhatIf(&model.WhatIf{Name: changeWords(d, set), Set: set})
		in.fields()
	})...)
	in.find("What is to be different?", "a part’s name, resistance, cells, …", "Take it", list)
}

// otherCells are the what-ifs of a battery with other cells of its size.
func (in *inspector) otherCells(d *model.Diagram) []found {
	var list []found
	for _, p := range d.Parts {
		if p.Kind != "battery" {
			continue
		}
		values, _ := d.Resolve(p, nil)
		for _, other := range model.OtherCells(values) {
			name := p.Ref + " with " + cellWords(d, p.Ref, model.Setting{p.Ref: other})
			list = append(list, found{title: name, choose: func() {
				w := &model.WhatIf{Name: name, Set: model.Params{}}
				for what, v := range other {
					w.Set[p.Ref+"."+what] = v
				}
				in.addWhatIf(w)
			}})
		}
	}
	return list
}

// addWhatIf puts a what-if at the end of the list and opens it.
func (in *inspector) addWhatIf(w *model.WhatIf) {
	if err := in.doc.Edit("add a what-if", "", func(f *model.Draft) { f.AddWhatIf(w) }); err != nil {
		in.fail(err)
		return
	}
	in.ask(in.whatIfTopic(len(in.doc.Diagram().WhatIfs) - 1))
}

// changeWords tells changes in a row: "R4 resistance 12 Ω".
func changeWords(d *model.Diagram, set model.Params) string {
	var words []string
	for _, target := range sortedTargets(set) {
		words = append(words, targetWords(target)+" "+settingText(d, target, set[target]))
	}
	return strings.Join(words, ", ")
}

func sortedTargets(set model.Params) []string {
	return slices.SortedFunc(maps.Keys(set), model.NaturalCompare)
}

// targetWords is REF.NAME as people read it.
func targetWords(target string) string {
	return strings.ReplaceAll(strings.Replace(target, ".", " ", 1), "_", " ")
}

// settingText writes the value of REF.NAME with its unit.
func settingText(d *model.Diagram, target string, v model.Value) string {
	if q := paramOf(d, target); q != nil {
		return showParam(q, v)
	}
	return v.String()
}

// paramOf describes REF.NAME, nil where there is no such thing.
func paramOf(d *model.Diagram, target string) *model.Param {
	ref, name, _ := strings.Cut(target, ".")
	if p := d.Part(ref); p != nil && p.LookupKind() != nil {
		return p.LookupKind().Param(name)
	}
	return nil
}

// variation is the topic of one what-if.
type variation struct {
	in    *inspector
	at    int // in the list
	trial trial
	sides memo[[]*whatif.Comparison]        // mode by mode
	lasts memo[map[string]*drain.Discharge] // of the drawing as it is
}

// whatIfTopic shows a what-if on the sheet and beside the drawing.
func (in *inspector) whatIfTopic(i int) topic {
	v := &variation{in: in, at: i}
	v.trial = trial{in: in, change: v.put}
	return topic{key: fmt.Sprint("what-if ", i), title: "What if", build: v.build, enter: v.enter, leave: v.leave,
		tried: func() string { return whatIfWords(v.model().Name) }}
}

// whatIfWords tells of a picture that it is of a what-if.
func whatIfWords(name string) string { return "what if: " + name }

// enter shows it on the sheet, with what differs from the drawing.
func (v *variation) enter() {
	v.in.doc.Compare(v.original)
	v.trial.show()
}

func (v *variation) leave() {
	v.in.doc.Compare(nil)
	v.in.doc.DropPreview()
}

// original is what the drawing itself does, nil while that is not known.
func (v *variation) original() *analysis.Result {
	if c := v.here(); c != nil {
		return c.Before
	}
	return nil
}

// model is the what-if, an empty one where it is gone.
func (v *variation) model() *model.WhatIf {
	if list := v.in.doc.Diagram().WhatIfs; v.at < len(list) {
		return list[v.at]
	}
	return &model.WhatIf{}
}

func (v *variation) put(f *model.Draft) { f.Override(v.model().Setting()) }

func (v *variation) build(p *page) {
	p.field(fieldSpec{
		label: "Name", help: "What the what-if is called.", lines: 2,
		text: func() string { return v.model().Name },
		check: func(text string) error {
			if strings.TrimSpace(text) == "" {
				return errors.New("a what-if needs a name")
			}
			return nil
		},
		apply: func(text string) error {
			return v.edit("rename a what-if", func(w *model.WhatIf) { w.Name = strings.Join(strings.Fields(text), " ") })
		},
	})
	v.changes().build(p)
	p.add(pair(
		p.action("Apply", "Make it the drawing; the what-if stays in the list.", func() { p.try(v.apply()) }),
		p.action("Remove", "Take it off the list.", func() { p.try(v.remove()) })))
	p.dynamic(v.key, func() []fyne.CanvasObject { return v.tables(p) })
	p.reviewed(func(review.Finding) bool { return true })
	p.onRefresh(v.trial.follow)
}

// edit changes the what-if.
func (v *variation) edit(label string, change func(*model.WhatIf)) error {
	w := v.model().Clone()
	change(w)
	return v.in.doc.Edit(label, "", func(f *model.Draft) { f.SetWhatIf(v.at, w) })
}

// changes are the values of the what-if.
func (v *variation) changes() *changes {
	c := &changes{in: v.in, get: func() model.Params { return v.model().Set }, holds: "in this what-if only"}
	c.edit = func(change func(model.Params)) error {
		d := v.in.doc.Diagram()
		return v.edit("value of a what-if", func(w *model.WhatIf) {
			unnamed := w.Name == changeWords(d, w.Set)
			w.Set = cloned(w.Set)
			change(w.Set)
			if unnamed && len(w.Set) > 0 {
				w.Name = changeWords(d, w.Set)
			}
		})
	}
	return c
}

// apply makes the what-if the drawing.
func (v *variation) apply() error {
	in, w := v.in, v.model()
	f := model.NewDraft(in.doc.Diagram())
	for ref, params := range w.Setting() {
		if err := applied(f, ref, params); err != nil {
			return err
		}
	}
	if err := in.doc.Do(f.Edit("apply “" + w.Name + "”")); err != nil {
		return err
	}
	in.leaveTopic()
	in.refresh()
	return nil
}

// applied puts values into a part of a draft, each where the part has it.
func applied(f *model.Draft, ref string, params model.Params) error {
	for _, name := range sortedTargets(params) {
		p := f.Diagram().Part(ref)
		if p == nil {
			return fmt.Errorf("there is no %s any more", ref)
		}
		if x, ok := params[name].Num(); ok {
			if q := p.LookupKind().Param(name); q != nil {
				c, err := turned(f.Diagram(), ref, q, x)
				if err != nil {
					return err
				}
				f.SetPart(ref, c)
				continue
			}
		}
		f.Override(model.Setting{ref: {name: params[name]}})
	}
	return nil
}

// remove takes the what-if off the list.
func (v *variation) remove() error {
	v.in.leaveTopic()
	defer v.in.refresh()
	if v.at >= len(v.in.doc.Diagram().WhatIfs) {
		return nil
	}
	return v.in.doc.Edit("remove a what-if", "", func(f *model.Draft) { f.RemoveWhatIf(v.at) })
}

// compare is the drawing beside the what-if mode by mode, if it is known yet.
func (v *variation) compare() ([]*whatif.Comparison, bool, error) {
	set := v.model().Setting()
	return v.sides.recall(v.in, "what-if", fmt.Sprint(v.at, set), func(ctx context.Context, d *model.Diagram) ([]*whatif.Comparison, error) {
		return whatif.InModes(ctx, d, nil, set)
	})
}

// here is the comparison in the chosen mode, nil while it is not known.
func (v *variation) here() *whatif.Comparison {
	all, done, err := v.compare()
	if !done || err != nil {
		return nil
	}
	for _, c := range all {
		if c.Before.Mode == v.in.doc.Mode() {
			return c
		}
	}
	return all[0]
}

func (v *variation) key() string {
	all, done, err := v.compare()
	key := fmt.Sprintf("sides%p %v %v %s", v.here(), done, err, v.in.doc.Mode())
	for _, c := range all {
		cells, _ := v.lastsCells(c.Before.Mode)
		key += fmt.Sprint(cells)
	}
	return key
}

// mostDifferences bounds the table.
const mostDifferences = 40

// tables are what the what-if does: to the modes, to what is over its rating, and
// to each part and net in the chosen mode.
func (v *variation) tables(p *page) []fyne.CanvasObject {
	in := v.in
	all, done, err := v.compare()
	switch {
	case !done:
		return []fyne.CanvasObject{p.waiting()}
	case err != nil:
		return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
	}
	return p.collect(func() {
		if len(all) > 1 {
			p.heading("In each mode")
			p.add(v.modes(all)...)
		}
		v.overloads(p, all)
		p.heading(strings.TrimSpace("Side by side " + inMode(in.doc.Mode())))
		p.add(v.table(p)...)
	})
}

// modes tell of each mode what the circuit takes and how long that lasts.
func (v *variation) modes(all []*whatif.Comparison) []fyne.CanvasObject {
	in := v.in
	lines := []fyne.CanvasObject{v.sideLine([4]string{"supply", "as drawn", "what if", "change"}, true), gap(4)}
	for _, c := range all {
		line := newTapArea(v.sideLine(supplyCells(c), false), func() { in.doc.SetMode(c.Before.Mode) })
		lines = append(lines, newHinted(in.tips, "A click shows "+c.Before.Mode+" on the sheet.", line), gap(3))
		if cells, ok := v.lastsCells(c.Before.Mode); ok {
			lines = append(lines, v.sideLine(cells, false), gap(3))
		}
	}
	return lines
}

// supplyCells are the line of a mode.
func supplyCells(c *whatif.Comparison) [4]string {
	if !c.Solved() {
		return [4]string{c.Before.Mode, "–", "–", "not solved"}
	}
	change := "none"
	if len(c.Telling()) > 0 {
		change = changeText(c.Supply[1]/c.Supply[0] - 1)
	}
	return [4]string{c.Before.Mode, amps(c.Supply[0]), amps(c.Supply[1]), change}
}

// lastsCells are how long the battery lasts in a mode, where that becomes another
// time. It is known later than the rest.
func (v *variation) lastsCells(mode string) (cells [4]string, ok bool) {
	if len(v.in.doc.Diagram().Parts) > aloneFrom {
		return cells, false
	}
	before, done, err := v.lasts.recall(v.in, "what-if lasting", "", func(ctx context.Context, d *model.Diagram) (map[string]*drain.Discharge, error) {
		return drain.OfModes(ctx, d, drain.Options{Rough: len(d.Parts) > roughFrom})
	})
	if !done || err != nil {
		return cells, false
	}
	was, is := briefly(before[mode]), cmp.Or(briefly(v.in.lasting(mode)), "…")
	return [4]string{"    lasts", was, is, ""}, was != is && was != ""
}

// briefly is how long a battery lasts in few letters.
func briefly(run *drain.Discharge) string {
	return strings.TrimPrefix(strings.TrimPrefix(lasts(run), "about "), "for ")
}

// overloads tell what is over its rating, or was.
func (v *variation) overloads(p *page, all []*whatif.Comparison) {
	in := v.in
	var lines []fyne.CanvasObject
	asBefore := ""
	for _, c := range all {
		var same []string
		for _, o := range c.Overloads {
			if o.Same() {
				same = append(same, o.After.Part)
				continue
			}
			text, ink := o.Words(), in.look.Quiet
			if len(all) > 1 {
				text = sentenceStart(inMode(c.Before.Mode)) + ", " + text
			}
			if o.After.Over() {
				ink = in.look.Flag
			}
			line := newTapArea(paragraph(text, in.width, textSize, ink), func() { in.show(o.After.Part) })
			lines = append(lines, newHinted(in.tips, "A click selects "+o.After.Part+" on the sheet.", line), gap(5))
		}
		if len(same) > 0 {
			asBefore += "; " + strings.Join(same, ", ") + inThisMode(c.Before.Mode)
		}
	}
	if asBefore != "" {
		lines = append(lines, paragraph("As before: "+strings.TrimPrefix(asBefore, "; ")+".", in.width, textSize, in.look.Quiet))
	}
	if len(lines) > 0 {
		p.heading("Over their ratings")
		p.add(lines...)
	}
}

// table tells what differs in the chosen mode.
func (v *variation) table(p *page) []fyne.CanvasObject {
	in, c := v.in, v.here()
	if !c.Solved() {
		return []fyne.CanvasObject{paragraph(whichFails(c), in.width, textSize, in.look.Flag)}
	}
	list := c.Telling()
	if len(list) == 0 {
		return []fyne.CanvasObject{paragraph("It changes no voltage, current or power by as much as 0.1 %"+inThisMode(in.doc.Mode())+".", in.width, textSize, in.look.Ink)}
	}
	lines := []fyne.CanvasObject{v.sideLine([4]string{"", "as drawn", "what if", "change"}, true), gap(4)}
	for _, x := range list[:min(len(list), mostDifferences)] {
		lines = append(lines, v.differenceLine(x), gap(3))
	}
	if more := len(list) - mostDifferences; more > 0 {
		lines = append(lines, styledText(fmt.Sprintf("and %d more", more), smallSize, false, in.look.Quiet))
	}
	return append(lines, gap(4),
		pair(p.action("Copy as text", "The whole table, to be pasted elsewhere.", func() { fyne.CurrentApp().Clipboard().SetContent(v.text()) }),
			p.action("Save the table…", "In a file, with tabs between its columns, as calculating programs read it.", func() {
				in.save("Save the table", withMode(v.model().Name, in.doc.Mode()), ".tsv", v.text())
			})),
		in.exporting(p))
}

// withMode is a name with the mode behind it, if there is one.
func withMode(name, mode string) string { return strings.TrimSuffix(name+", "+mode, ", ") }

func inMode(mode string) string {
	if mode == "" {
		return ""
	}
	return "in " + mode
}

// whichFails says which side cannot be solved, and what stands in its way.
func whichFails(c *whatif.Comparison) string {
	side, r := "The what-if", c.After
	if !c.Before.Solved {
		side, r = "The drawing", c.Before
	}
	if len(r.Faults) == 0 {
		return side + " cannot be solved."
	}
	return side + " cannot be solved: " + strings.TrimRight(r.Faults[0].Text, ".") + "."
}

// netInFewWords is a net's tag, or "at Q1’s B" where it is called by a pin.
func netInFewWords(d *model.Diagram, name string) string {
	if ref, pin, ok := strings.Cut(name, "."); ok && d.Part(ref) != nil {
		return "at " + ref + "’s " + strings.Replace(pin, "-", "−", 1)
	}
	return name
}

// differenceWords is what a difference is of, in few letters.
func differenceWords(d *model.Diagram, x whatif.Difference) string {
	if name, ok := strings.CutPrefix(x.Of, "net."); ok {
		return netInFewWords(d, strings.TrimSuffix(name, ".volts"))
	}
	ref, what, _ := strings.Cut(x.Of, ".")
	each := ""
	if x.Count > 1 {
		each = ", each"
	}
	pin, ok := strings.CutSuffix(what, ".amps")
	switch p := d.Part(ref); {
	case !ok:
		return ref + " power" + each
	case p != nil && mainCurrent(p) == x.Of && !isTransistor(p.Kind):
		if each != "" {
			return ref + each // beside a power the unit tells it
		}
		return ref + " current"
	}
	return ref + " " + pin + " current" + each
}

// differenceCells are the figures of a line of the table, of a stack each one's. Which way a current
// or a power goes stands on the sheet; that it turns round stands here.
func differenceCells(d *model.Diagram, x whatif.Difference) [4]string {
	before, after := x.Before/float64(x.Count), x.After/float64(x.Count)
	if x.Unit != quantity.Volt && (before*after >= 0 || fromNothing(x)) {
		before, after = math.Abs(before), math.Abs(after)
	}
	change := changeText(x.Relative())
	if fromNothing(x) {
		change = "from 0"
	}
	return [4]string{differenceWords(d, x), solvedText(before, x.Unit), solvedText(after, x.Unit), change}
}

// fromNothing reports whether what was there before is too little to be
// compared with.
func fromNothing(x whatif.Difference) bool {
	const little = 1e-6
	return math.Abs(x.Before) < little*math.Abs(x.After)
}

// solvedText writes a figure; a voltage smaller than a solution is good for is
// none.
func solvedText(x float64, u quantity.Unit) string {
	const little = 1e-12 // V
	if u == quantity.Volt && math.Abs(x) < little {
		x = 0
	}
	return quantity.Solved(x, u)
}

// changeText is a change in %, or as a multiple where it is large.
func changeText(x float64) string {
	const many = 10
	if math.Abs(x) > many {
		return fmt.Sprintf("× %.3g", 1+x)
	}
	return strings.ReplaceAll(fmt.Sprintf("%+.1f %%", 100*x), "-", "−")
}

func (v *variation) differenceLine(x whatif.Difference) fyne.CanvasObject {
	line := v.sideLine(differenceCells(v.in.doc.Diagram(), x), false)
	ref, _, _ := strings.Cut(x.Of, ".")
	if ref == "net" {
		return line
	}
	return newHinted(v.in.tips, sentenceStart(quantityInWords(x.Of))+". A click selects "+ref+" on the sheet.", newTapArea(line, func() { v.in.show(ref) }))
}

// sideLine is a line of the table: a name and three figures that end below one
// another.
func (v *variation) sideLine(cells [4]string, head bool) fyne.CanvasObject {
	in := v.in
	widths := []float32{0, grown(70), grown(78), grown(58)}
	name := in.width - widths[1] - widths[2] - widths[3]
	widths[0] = name
	objects := []fyne.CanvasObject{styledText(elide(cells[0], name, smallSize, false), smallSize, false, in.look.Quiet)}
	for i, cell := range cells[1:] {
		ink, bold := in.look.Ink, i == 1
		if head {
			ink, bold = in.look.Quiet, false
		}
		text := styledText(elide(cell, widths[i+1]-2, smallSize, bold), smallSize, bold, ink)
		text.Alignment = fyne.TextAlignTrailing
		objects = append(objects, text)
	}
	return container.New(columns{widths: widths}, objects...)
}

// text is the table for elsewhere, all modes first.
func (v *variation) text() string {
	var b strings.Builder
	d := v.in.doc.Diagram()
	line := func(cells [4]string) { b.WriteString(strings.Join(cells[:], "\t") + "\n") }
	fmt.Fprintf(&b, "%s: %s\n", v.model().Name, changeWords(d, v.model().Set))
	all, _, _ := v.compare()
	line([4]string{"supply", "as drawn", "what if", "change"})
	for _, c := range all {
		line(supplyCells(c))
		for _, o := range c.Overloads {
			b.WriteString(o.Words() + "\n")
		}
	}
	line([4]string{inMode(v.in.doc.Mode()), "as drawn", "what if", "change"})
	for _, x := range v.here().Telling() {
		line(differenceCells(d, x))
	}
	return b.String()
}
