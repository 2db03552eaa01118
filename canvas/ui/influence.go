package ui

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/quantity"
)

// influenceTopic shows what sets a quantity: bars of what 1 % more of each
// value does to it, grouped by part, the strongest part first.
func (in *inspector) influenceTopic(of string) topic {
	return topic{key: "influence " + of, title: "What sets " + quantityInWords(of) + "?", build: func(p *page) {
		p.dynamic(func() string { all, done, err := in.influencesOn(of); return fmt.Sprintf("%p %v %v", all, done, err) }, func() []fyne.CanvasObject {
			all, done, err := in.influencesOn(of)
			switch {
			case !done:
				return []fyne.CanvasObject{p.waiting()}
			case err != nil:
				return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
			case len(all.List) == 0:
				return []fyne.CanvasObject{paragraph("The circuit cannot be solved; see what stands in its way.", in.width, textSize, in.look.Flag)}
			}
			return p.influenceLines(all)
		})
	}}
}

// influencesOn is what is known of the influences on a quantity in the chosen
// mode.
func (in *inspector) influencesOn(of string) (*analysis.Influences, bool, error) {
	mode := in.doc.Mode()
	return studied(in, "influence", of+"\x00"+mode, func(ctx context.Context, d *model.Diagram) (*analysis.Influences, error) {
		return analysis.Influence(ctx, d, analysis.Options{Mode: mode}, of)
	})
}

// quantityInWords is how people speak of a quantity: "the current of D1".
func quantityInWords(of string) string {
	if name, ok := strings.CutPrefix(of, "net."); ok {
		return "the voltage of " + strings.TrimSuffix(name, ".volts")
	}
	ref, what, _ := strings.Cut(of, ".")
	switch {
	case strings.HasSuffix(what, ".amps"):
		return "the current of " + ref
	case what == "watts":
		return "the power of " + ref
	}
	return "the " + strings.ReplaceAll(what, "_", " ") + " of " + ref
}

// byPart is the influences of one part's values.
type byPart struct {
	ref  string
	list []analysis.Sensitivity
}

// grouped puts the influences together by part, in the order of the part's
// strongest; what does next to nothing is left out.
func grouped(all *analysis.Influences) []byPart {
	const least = 0.005 // % for 1 %
	var groups []byPart
	for _, s := range all.List {
		if !(math.Abs(s.Relative) >= least) {
			continue
		}
		ref, _, _ := strings.Cut(s.Parameter, ".")
		i := slices.IndexFunc(groups, func(g byPart) bool { return g.ref == ref })
		if i < 0 {
			groups, i = append(groups, byPart{ref: ref}), len(groups)
		}
		groups[i].list = append(groups[i].list, s)
	}
	return groups
}

func (p *page) influenceLines(all *analysis.Influences) []fyne.CanvasObject {
	in := p.in
	lines := []fyne.CanvasObject{
		in.tableLine(row{name: sentenceStart(quantityInWords(all.Of)), figure: quantity.Solved(math.Abs(all.Value), all.Unit)}), gap(6),
		paragraph("By how many % it moves when a value grows by 1 %:", in.width, smallSize, in.look.Quiet), gap(8),
	}
	groups := grouped(all)
	if len(groups) == 0 {
		return append(lines, paragraph("No value moves it by as much as 0.005 %.", in.width, textSize, in.look.Ink))
	}
	most := 0.0
	for _, g := range groups {
		for _, s := range g.list {
			most = max(most, math.Abs(s.Relative))
		}
	}
	for _, g := range groups {
		head := newTapArea(styledText(g.ref, textSize, true, in.look.Accent), func() { in.show(g.ref) })
		lines = append(lines, newHinted(in.tips, "Select "+g.ref+" on the sheet.", head), gap(2))
		for _, s := range g.list {
			lines = append(lines, p.influenceLine(s, most), gap(4))
		}
		lines = append(lines, gap(6))
	}
	return lines
}

// sentenceStart begins a line with a capital.
func sentenceStart(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// influenceLine is one value with its bar: to the right where more of it makes
// more of the quantity, to the left where it makes less.
func (p *page) influenceLine(s analysis.Sensitivity, most float64) fyne.CanvasObject {
	in := p.in
	_, name, _ := strings.Cut(s.Parameter, ".")
	label := strings.ReplaceAll(name, "_", " ")
	figure := signed(s.Relative)
	const barHeight = 8
	bar := newSketch(fyne.NewSize(in.width, barHeight), func(size fyne.Size) canvas.Picture {
		return influenceBar(in.look, s.Relative/most, float64(size.Width), barHeight)
	})
	help := fmt.Sprintf("%s is %s.", sentenceStart(label), quantity.Short(s.Value, s.Unit))
	return newHinted(in.tips, help, container.New(column{gap: 2}, in.tableLine(row{name: label, figure: figure}), bar))
}

// signed is a figure with its sign, in %.
func signed(x float64) string {
	return strings.ReplaceAll(fmt.Sprintf("%+.2f %%", x), "-", "−")
}

// influenceBar draws a share from −1 to 1 about the middle.
func influenceBar(look canvas.Theme, share, width, height float64) canvas.Picture {
	middle := width / 2
	tip := middle + share*(middle-1)
	ground := (&canvas.Path{Style: canvas.Style{Fill: look.Edge}}).Rectangle(canvas.Rect{Min: canvas.Pt(0, height/2-0.5), Max: canvas.Pt(width, height/2+0.5)})
	style := canvas.Style{Fill: look.Current}
	if share < 0 {
		style = canvas.Style{Fill: look.Volts}
	}
	bar := (&canvas.Path{Style: style}).Rectangle(canvas.Rect{Min: canvas.Pt(min(middle, tip), 0), Max: canvas.Pt(max(middle, tip), height)})
	return canvas.Picture{Items: []canvas.Item{ground, bar}}
}
