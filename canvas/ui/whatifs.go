package ui

import (
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
// what-if with it.
func (in *inspector) beginWhatIf() {
	d := in.doc.Diagram()
	list := append(in.otherCells(d), settable(d, func(target string, v model.Value) {
		in.addWhatIf(&model.WhatIf{Name: "Another " + targetWords(target), Set: model.Params{target: v}})
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
	sides memo[*whatif.Comparison]
}

// whatIfTopic shows a what-if on the sheet and beside the drawing.
func (in *inspector) whatIfTopic(i int) topic {
	v := &variation{in: in, at: i}
	v.trial = trial{in: in, change: v.put}
	return topic{key: fmt.Sprint("what-if ", i), title: "What if", build: v.build, enter: v.enter, leave: v.leave}
}

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
	if c, done, err := v.compare(); done && err == nil {
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

func (v *variation) put(f *model.Draft) { override(f, v.model().Setting()) }

func (v *variation) build(p *page) {
	p.field(fieldSpec{
		label: "Name", help: "What the what-if is called.",
		text: func() string { return v.model().Name },
		check: func(text string) error {
			if strings.TrimSpace(text) == "" {
				return errors.New("a what-if needs a name")
			}
			return nil
		},
		apply: func(text string) error {
			return v.edit("rename a what-if", func(w *model.WhatIf) { w.Name = strings.TrimSpace(text) })
		},
	})
	p.first = p.fields[0].entry
	v.changes().build(p)
	p.add(pair(
		p.action("Apply", "Make it the drawing; the what-if stays in the list.", func() { p.try(v.apply()) }),
		p.action("Remove", "Take it off the list.", func() { p.try(v.remove()) })))
	p.heading("Side by side")
	p.dynamic(v.key, func() []fyne.CanvasObject { return v.table(p) })
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
		return v.edit("value of a what-if", func(w *model.WhatIf) {
			w.Set = cloned(w.Set)
			change(w.Set)
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
		override(f, model.Setting{ref: {name: params[name]}})
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

// compare is the drawing beside the what-if, if it is known yet.
func (v *variation) compare() (*whatif.Comparison, bool, error) {
	mode, set := v.in.doc.Mode(), v.model().Setting()
	return v.sides.recall(v.in, "what-if", fmt.Sprint(mode, "\x00", v.at, set), func(ctx context.Context, d *model.Diagram) (*whatif.Comparison, error) {
		return whatif.Compare(ctx, d, analysis.Options{Mode: mode}, set)
	})
}

func (v *variation) key() string {
	c, done, err := v.compare()
	return fmt.Sprintf("sides%p %v %v %s", c, done, err, v.in.doc.Mode())
}

// mostDifferences bounds the table; least is the change from which a
// difference stands in it.
const (
	mostDifferences = 40
	leastDifference = 1e-3
)

// telling are the differences that are worth a line.
func telling(c *whatif.Comparison) []whatif.Difference {
	var list []whatif.Difference
	for _, x := range c.Differences {
		const tiny = 1e-9 // A, V and W below which nobody cares
		if !(math.Abs(x.Relative()) < leastDifference) && math.Max(math.Abs(x.Before), math.Abs(x.After)) > tiny {
			list = append(list, x)
		}
	}
	return list
}

func (v *variation) table(p *page) []fyne.CanvasObject {
	in := v.in
	c, done, err := v.compare()
	switch {
	case !done:
		return []fyne.CanvasObject{p.waiting()}
	case err != nil:
		return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
	case !c.Before.Solved || !c.After.Solved:
		return []fyne.CanvasObject{paragraph(whichFails(c), in.width, textSize, in.look.Flag)}
	}
	list := telling(c)
	if len(list) == 0 {
		return []fyne.CanvasObject{paragraph("It changes no voltage, current or power by as much as 0.1 %.", in.width, textSize, in.look.Ink)}
	}
	lines := []fyne.CanvasObject{v.sideLine([4]string{inMode(in.doc.Mode()), "as drawn", "what if", "change"}, true), gap(4)}
	for _, x := range list[:min(len(list), mostDifferences)] {
		lines = append(lines, v.differenceLine(x), gap(3))
	}
	if more := len(list) - mostDifferences; more > 0 {
		lines = append(lines, styledText(fmt.Sprintf("and %d more", more), smallSize, false, in.look.Quiet))
	}
	return append(lines, gap(4), p.action("Copy as text", "The whole table, to be pasted elsewhere.", func() {
		fyne.CurrentApp().Clipboard().SetContent(v.text(list))
	}))
}

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

// differenceWords is what a difference is of, in few letters.
func differenceWords(d *model.Diagram, of string) string {
	if name, ok := strings.CutPrefix(of, "net."); ok {
		return strings.TrimSuffix(name, ".volts")
	}
	ref, what, _ := strings.Cut(of, ".")
	pin, ok := strings.CutSuffix(what, ".amps")
	switch p := d.Part(ref); {
	case !ok:
		return ref + " power"
	case p != nil && mainCurrent(p) == of && !isTransistor(p.Kind):
		return ref + " current"
	}
	return ref + " " + pin + " current"
}

// differenceCells are the figures of a line of the table. Which way a current
// or a power goes stands on the sheet; that it turns round stands here.
func differenceCells(d *model.Diagram, x whatif.Difference) [4]string {
	before, after := x.Before, x.After
	if x.Unit != quantity.Volt && (before*after >= 0 || fromNothing(x)) {
		before, after = math.Abs(before), math.Abs(after)
	}
	change := changeText(x.Relative())
	if fromNothing(x) {
		change = "from 0"
	}
	return [4]string{differenceWords(d, x.Of), solvedText(before, x.Unit), solvedText(after, x.Unit), change}
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
	const figures = 68
	name := in.width - 3*figures
	objects := []fyne.CanvasObject{styledText(elide(cells[0], name, smallSize, false), smallSize, false, in.look.Quiet)}
	for i, cell := range cells[1:] {
		ink, bold := in.look.Ink, i == 1
		if head {
			ink, bold = in.look.Quiet, false
		}
		text := styledText(elide(cell, figures-2, smallSize, bold), smallSize, bold, ink)
		text.Alignment = fyne.TextAlignTrailing
		objects = append(objects, text)
	}
	return container.New(columns{widths: []float32{name, figures, figures, figures}}, objects...)
}

// text is the table for elsewhere.
func (v *variation) text(list []whatif.Difference) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", v.model().Name, changeWords(v.in.doc.Diagram(), v.model().Set))
	fmt.Fprintf(&b, "%s\tas drawn\twhat if\tchange\n", inMode(v.in.doc.Mode()))
	for _, x := range list {
		cells := differenceCells(v.in.doc.Diagram(), x)
		b.WriteString(strings.Join(cells[:], "\t") + "\n")
	}
	return b.String()
}
