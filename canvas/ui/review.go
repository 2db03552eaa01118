package ui

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis/review"
	"copperglass/canvas"
	"copperglass/canvas/scene"
	"copperglass/model"
)

// reviewOf is what the rules say of what is shown in all its modes, if it is
// known yet. What is only tried they look at once it rests.
func (in *inspector) reviewOf() (*review.Review, bool) {
	if in.moving() {
		return nil, false
	}
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
// selects the parts it is about and, where it does not hold in the mode that is
// shown, chooses the one in which it shows most.
func (p *page) reviewed(wanted func(review.Finding) bool) {
	list := func() []review.Finding {
		r, _ := p.in.latestReview()
		if r == nil {
			return nil
		}
		return slices.DeleteFunc(slices.Clone(r.Findings), func(f review.Finding) bool { return !wanted(f) })
	}
	key := func() string {
		var key strings.Builder
		fmt.Fprint(&key, "reviewed", p.in.doc.countFaults(), p.in.topic != nil, p.in.doc.Mode())
		r, _ := p.in.latestReview()
		if r == nil {
			return key.String()
		}
		for _, f := range r.Findings {
			if !wanted(f) {
				continue
			}
			said, holds := f.In(p.in.doc.Mode())
			for _, s := range []string{"", strconv.Itoa(p.in.numberOf(f)), f.Mode, f.Text, f.Muted, said, strconv.FormatBool(holds)} {
				key.WriteString(s)
				key.WriteByte(0)
			}
		}
		return key.String()
	}
	p.dynamic(key, func() []fyne.CanvasObject { return p.reviewLines(list()) })
}

func (p *page) reviewLines(list []review.Finding) []fyne.CanvasObject {
	if len(list) == 0 {
		return nil
	}
	in := p.in
	lines := []fyne.CanvasObject{gap(10), rule(in.look.Edge), gap(12), findingsHead(in.look, in.cells()), gap(8)}
	for i, group := range in.groupFindings(list) {
		if len(group.findings) == 0 {
			continue
		}
		if group.head != "" {
			lines = append(lines, gap(4*float32(i)), styledText(elide(group.head, in.width, smallSize, true), smallSize, true, in.look.Quiet), gap(6))
		}
		for _, f := range group.findings {
			lines = append(lines, p.reviewLine(f), gap(8))
		}
	}
	return lines
}

// findingGroup are findings under a heading.
type findingGroup struct {
	head     string
	findings []review.Finding
}

// groupFindings puts first what holds in the mode that is shown, then what
// holds in others only, then what is muted.
func (in *inspector) groupFindings(list []review.Finding) []findingGroup {
	mode := in.doc.Mode()
	here, elsewhere, muted := findingGroup{}, findingGroup{head: "In other modes"}, findingGroup{head: "Muted"}
	if len(in.doc.Shown().Modes) > 1 {
		here.head = "Here, in " + mode
	}
	for _, f := range list {
		to := &elsewhere
		if _, holds := f.In(mode); f.Muted != "" {
			to = &muted
		} else if holds {
			to = &here
		}
		to.findings = append(to.findings, f)
	}
	return []findingGroup{here, elsewhere, muted}
}

// cautions is how many cautions hold in a mode, by what the rules said last.
func (w *Window) cautions(mode string) int {
	if w.inspector == nil {
		return 0
	}
	r, _ := w.inspector.latestReview()
	if r == nil {
		return 0
	}
	count := 0
	for _, f := range r.Findings {
		if _, holds := f.In(mode); holds && f.Severity == review.Caution && f.Muted == "" {
			count++
		}
	}
	return count
}

// reviewLine is a finding with its severity, its mode and what can be done.
func (p *page) reviewLine(f review.Finding) fyne.CanvasObject {
	in := p.in
	const wide, high = 36, 18 // of its sign
	mark := grown(wide)
	width := in.width - mark - 10
	number := in.numberOf(f)
	if f.Muted != "" {
		number = 0
	}
	said, holds := f.In(in.doc.Mode())
	head := sentenceStart(string(f.Severity))
	switch {
	case !holds:
		said = f.Text
		head += " in " + f.Mode
	case f.Mode != in.doc.Mode() && f.Text != said:
		head += ", more so in " + f.Mode
	}
	room := grown(90) // of the action at the right
	title := container.New(ends{}, styledText(elide(head, width-room, smallSize, false), smallSize, false, in.look.Quiet), p.muteAction(f))
	text := container.New(column{gap: 2}, title, paragraph(sentence(said), width, textSize, in.look.Ink))
	if f.Muted != "" {
		text.Add(paragraph("Muted: "+f.Muted, width, smallSize, in.look.Quiet))
	}
	sign := newSign(fyne.NewSize(wide, high), findingPicture(in.look, f.Severity, number))
	line := container.New(columns{widths: []float32{mark, 0}, gap: 10, top: true}, container.New(column{}, gap(2), sign), text)
	return newHinted(in.tips, "By the rule "+f.Rule+": "+f.Source+".", newTapArea(line, func() {
		if !holds {
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
	switch {
	case in.topic != nil: // which the list stands in, and is not to be left
		return gap(0)
	case f.Muted != "":
		return p.action("Show it again", "It is no longer muted.", func() { p.try(in.doc.unmute(f)) })
	}
	return p.action("Mute…", "Hide this finding, with a reason that is kept in the drawing.", func() { in.ask(in.muteTopic(f)) })
}

// muteTopic asks for the reason.
func (in *inspector) muteTopic(f review.Finding) topic {
	return topic{key: "mute " + f.Text, title: "Mute a finding", types: true, build: func(p *page) {
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
