package ui

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/model"
	"copperglass/model/quantity"
)

// reviewOf is what the rules say of the drawing in all its modes.
func (in *inspector) reviewOf() (*review.Review, bool) {
	r, done, err := studied(in, "review", "", func(ctx context.Context, d *model.Diagram) (*review.Review, error) {
		return review.Run(ctx, d, review.Options{})
	})
	return r, done && err == nil
}

// wordsOf tells what a part does, or is "" while that is not known.
func (in *inspector) wordsOf(ref string) string {
	r := in.doc.Result()
	if r == nil || !r.Solved {
		return ""
	}
	words, _, _ := studied(in, "words", fmt.Sprintf("%p", r), func(ctx context.Context, d *model.Diagram) (map[string]string, error) {
		return review.Words(ctx, d, r), nil
	})
	return words[ref]
}

// reviewed adds the findings of the rules that are wanted. A click on one
// selects the parts it is about and chooses the mode it shows in.
func (p *page) reviewed(wanted func(review.Finding) bool) {
	list := func() []review.Finding {
		r, ok := p.in.reviewOf()
		if !ok {
			return nil
		}
		return slices.DeleteFunc(slices.Clone(r.Findings), func(f review.Finding) bool { return !wanted(f) })
	}
	key := func() string {
		key := fmt.Sprint("reviewed", p.in.doc.countFaults())
		for _, f := range list() {
			key += fmt.Sprint("\x00", p.in.numberOf(f), f.Text, f.Muted)
		}
		return key
	}
	p.dynamic(key, func() []fyne.CanvasObject { return p.reviewLines(list()) })
}

func (p *page) reviewLines(list []review.Finding) []fyne.CanvasObject {
	if len(list) == 0 {
		return nil
	}
	in := p.in
	lines := []fyne.CanvasObject{gap(10), rule(in.look.Edge), gap(12), styledText("Findings", headingSize, true, in.look.Ink), gap(8)}
	var muted []fyne.CanvasObject
	for _, f := range list {
		if f.Muted != "" {
			muted = append(muted, p.reviewLine(f), gap(8))
			continue
		}
		lines = append(lines, p.reviewLine(f), gap(8))
	}
	if muted != nil {
		lines = append(lines, gap(4), styledText("Muted", smallSize, true, in.look.Quiet), gap(6))
		lines = append(lines, muted...)
	}
	return lines
}

// reviewLine is a finding with its severity, its mode and what can be done.
func (p *page) reviewLine(f review.Finding) fyne.CanvasObject {
	in := p.in
	const mark = 36
	width := in.width - mark - 10
	number := in.numberOf(f)
	head := strings.ToUpper(string(f.Severity[:1])) + string(f.Severity[1:])
	if f.Mode != "" {
		head += " in " + f.Mode
	}
	if f.Muted != "" {
		head += ", muted: " + f.Muted
	}
	const room = 90 // of the action at the right
	text := container.New(column{gap: 2},
		container.New(ends{}, styledText(elide(head, width-room, smallSize, false), smallSize, false, in.look.Quiet), p.muteAction(f)),
		paragraph(sentence(f.Text), width, textSize, in.look.Ink))
	sign := newSketch(fyne.NewSize(mark, 18), func(fyne.Size) canvas.Picture { return findingPicture(in.look, f.Severity, number) })
	line := container.New(columns{widths: []float32{mark, 0}, gap: 10, top: true}, container.New(column{}, gap(2), sign), text)
	return newHinted(in.tips, "By the rule "+f.Rule+": "+f.Source+".", newTapArea(line, func() {
		if f.Mode != "" {
			in.doc.SetMode(f.Mode)
		}
		in.doc.Select(f.Parts...)
	}))
}

// findingPicture is a finding's flag as the sheet has it, or for one without a
// number the sign of its severity alone.
func findingPicture(look canvas.Theme, s review.Severity, number int) canvas.Picture {
	if number == 0 {
		return scene.SeveritySign(look, scene.Severity(s))
	}
	return scene.FindingFlag(look, scene.Severity(s), number)
}

// muteAction hides a finding with a reason, or shows it again.
func (p *page) muteAction(f review.Finding) fyne.CanvasObject {
	in := p.in
	if f.Muted != "" {
		return p.action("Show it again", "It is no longer muted.", func() { p.try(in.doc.unmute(f)) })
	}
	return p.action("Mute…", "Hide this finding, with a reason that is kept in the drawing.", func() { in.ask(in.muteTopic(f)) })
}

// muteTopic asks for the reason.
func (in *inspector) muteTopic(f review.Finding) topic {
	return topic{key: "mute " + f.Text, title: "Mute a finding", build: func(p *page) {
		reason := ""
		p.add(paragraph(sentence(f.Text), in.width, textSize, in.look.Ink), gap(10))
		p.field(fieldSpec{
			label: "Reason", help: "Why it need not be looked at again; it is kept in the drawing.",
			text:  func() string { return reason },
			apply: func(text string) error { reason = text; return nil },
		})
		p.add(gap(4), p.action("Mute it", "It moves to the end of the list.", func() {
			p.try(in.doc.mute(f, reason))
			in.leaveTopic()
			in.refresh()
		}))
	}}
}

// unmute shows a muted finding again.
func (doc *Document) unmute(f review.Finding) error {
	return doc.Edit("unmute", "", func(d *model.Draft) {
		for i, m := range slices.Backward(d.Diagram().Muted) {
			if m.Of(f.Rule, f.Parts) {
				d.RemoveMute(i)
			}
		}
	})
}

// mute hides a finding.
func (doc *Document) mute(f review.Finding, reason string) error {
	return doc.Edit("mute", "", func(d *model.Draft) {
		d.AddMute(&model.Mute{Rule: f.Rule, Parts: f.Parts, Reason: strings.TrimSpace(reason)})
	})
}

// modesTopic compares the modes in a table.
func (in *inspector) modesTopic() topic {
	return topic{key: "modes", title: "The modes compared", build: func(p *page) {
		p.dynamic(func() string { return fmt.Sprintf("modes%p", first(in.doc.Answer().Modes)) }, func() []fyne.CanvasObject {
			var lines []fyne.CanvasObject
			for _, m := range in.doc.Answer().Modes {
				lines = append(lines, p.modeLines(m)...)
			}
			if lines == nil {
				return []fyne.CanvasObject{p.waiting()}
			}
			return lines
		})
	}}
}

func first(modes []analysis.ModeSummary) *analysis.Result {
	if len(modes) == 0 {
		return nil
	}
	return modes[0].Result
}

// modeLines is one mode: what it takes, how long that lasts, what each load
// gets, and the part that gets hottest.
func (p *page) modeLines(m analysis.ModeSummary) []fyne.CanvasObject {
	in := p.in
	name := styledText(elide(cmp.Or(m.Name, "As drawn"), in.width, headingSize, true), headingSize, true, in.look.Accent)
	lines := []fyne.CanvasObject{newTapArea(name, func() { in.doc.SetMode(m.Name) }), gap(4)}
	rows := []row{{name: "Supply current", figure: quantity.Solved(m.SupplyCurrent, quantity.Ampere)}, {name: "Lasts", figure: strings.TrimPrefix(runTime(m.RunTime), "runs ")}}
	for _, ref := range sortedLoads(m) {
		rows = append(rows, row{name: ref, figure: quantity.Solved(m.Loads[ref].Current, quantity.Ampere) + ", " + quantity.Solved(m.Loads[ref].Power, quantity.Watt)})
	}
	if m.Hottest != "" {
		rows = append(rows, row{name: "Hottest part", figure: m.Hottest + ", " + quantity.Solved(m.HottestPower, quantity.Watt), help: "The part that turns the most power into heat, of a stack each one."})
	}
	for _, r := range rows {
		lines = append(lines, in.tableLine(r), gap(4))
	}
	return append(lines, gap(10))
}

func sortedLoads(m analysis.ModeSummary) []string {
	var refs []string
	for ref := range m.Loads {
		refs = append(refs, ref)
	}
	slices.SortFunc(refs, model.NaturalCompare)
	return refs
}
