package ui

import (
	"cmp"
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

// influenceTopic shows what sets a quantity: bars of what a change of each
// value does to it, grouped by part, the strongest part first.
func (in *inspector) influenceTopic(of string) topic {
	return topic{key: "influence " + of, title: "What sets " + quantityInWords(of) + "?", leave: func() { in.doc.Light() }, build: func(p *page) {
		by := growing
		var choice *segment
		choice = newSegment(in.look, []string{growing.word, misread.word}, func(word string) {
			by = growing
			if word == misread.word {
				by = misread
			}
			choice.set(by.word)
			in.refresh()
		})
		choice.set(by.word)
		p.add(choice, gap(10))
		key := func() string {
			all, done, err := in.influencesOn(of)
			return fmt.Sprintf("%p %v %v %s", all, done, err, by.word)
		}
		p.dynamic(key, func() []fyne.CanvasObject {
			all, done, err := in.influencesOn(of)
			switch {
			case !done:
				return []fyne.CanvasObject{p.waiting()}
			case err != nil:
				return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
			case len(all.List) == 0:
				return []fyne.CanvasObject{paragraph("The circuit cannot be solved; see what stands in its way.", in.width, textSize, in.look.Flag)}
			}
			return p.influenceLines(all, by)
		})
	}}
}

// change is how far each value is moved to see what it does.
type change struct {
	word, about string
	// percent is how far the value of a part is moved.
	percent func(p *model.Part, v model.Values, name string) float64
	figure  func(percent float64) string
}

var (
	growing = change{"1 % more", "By how many % it moves when a value grows by 1 %:",
		func(*model.Part, model.Values, string) float64 { return 1 }, signed}
	misread = change{"If misread", "By how many % it may be off: a guess is taken to be half wrong, all else to lie as far off as such parts do.",
		doubtful, func(x float64) string { return fmt.Sprintf("± %.2g %%", math.Abs(x)) }}
)

// doubtful is how many % a value may be off: half of it where it is guessed,
// a hundredth where it is measured, and else what the handbook says of such
// parts, or nothing.
func doubtful(p *model.Part, v model.Values, name string) float64 {
	switch {
	case p == nil:
		return 0
	case p.Doubt == model.Guessed:
		return 50
	case p.Doubt == model.Measured:
		return 1
	}
	for _, s := range p.Spreads(v) {
		if s.Param == name {
			return 100 * max(1-s.Low, s.High-1)
		}
	}
	return 0
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
	case what == "run_time_hours":
		return "how long " + ref + " lasts"
	case what == "watts":
		return "the power of " + ref
	}
	return "the " + strings.ReplaceAll(what, "_", " ") + " of " + ref
}

// moved is how far a value moves the quantity.
type moved struct {
	analysis.Sensitivity
	percent float64
}

// byPart is the influences of one part's values.
type byPart struct {
	ref  string
	list []moved
}

// grouped puts the influences together by part, in the order of the part's
// strongest; what does next to nothing is left out.
func (in *inspector) grouped(all *analysis.Influences, by change) []byPart {
	const least = 0.005 // %
	d := in.doc.Shown()
	var groups []byPart
	for _, s := range all.List {
		ref, name, _ := strings.Cut(s.Parameter, ".")
		if name == "reference_temperature" || name == "temperature" && ref != model.Drawing {
			continue // nobody chooses or misreads these
		}
		p := d.Part(ref)
		var v model.Values
		if p != nil {
			v, _ = d.Resolve(p, all.Result.Set)
		}
		m := moved{s, s.Relative * by.percent(p, v, name)}
		if !(math.Abs(m.percent) >= least) {
			continue
		}
		i := slices.IndexFunc(groups, func(g byPart) bool { return g.ref == ref })
		if i < 0 {
			groups, i = append(groups, byPart{ref: ref}), len(groups)
		}
		groups[i].list = append(groups[i].list, m)
	}
	for _, g := range groups {
		slices.SortStableFunc(g.list, func(a, b moved) int { return cmp.Compare(math.Abs(b.percent), math.Abs(a.percent)) })
	}
	slices.SortStableFunc(groups, func(a, b byPart) int {
		return cmp.Compare(math.Abs(b.list[0].percent), math.Abs(a.list[0].percent))
	})
	return groups
}

func (p *page) influenceLines(all *analysis.Influences, by change) []fyne.CanvasObject {
	in := p.in
	lines := []fyne.CanvasObject{
		in.tableLine(row{name: sentenceStart(quantityInWords(all.Of)), figure: quantity.Solved(math.Abs(all.Value), all.Unit)}), gap(6),
		paragraph(by.about, in.width, smallSize, in.look.Quiet), gap(8),
	}
	groups := in.grouped(all, by)
	if len(groups) == 0 {
		return append(lines, paragraph("No value moves it by as much as 0.005 %.", in.width, textSize, in.look.Ink))
	}
	most := math.Abs(groups[0].list[0].percent)
	for _, g := range groups {
		lines = append(lines, p.influenceHead(g.ref), gap(2))
		for _, m := range g.list {
			lines = append(lines, p.influenceLine(m, most, by), gap(4))
		}
		lines = append(lines, gap(6))
	}
	return lines
}

// influenceHead is the name of a part, which selects it, or of the drawing.
func (p *page) influenceHead(ref string) fyne.CanvasObject {
	in := p.in
	if ref == model.Drawing {
		return styledText("The drawing", textSize, true, in.look.Ink)
	}
	head := newTapArea(styledText(ref, textSize, true, in.look.Accent), func() { in.show(ref) })
	return newGlimpse(in, "Select "+ref+" on the sheet.", ref, head)
}

// sentenceStart begins a line with a capital.
func sentenceStart(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// influenceLine is one value with its bar: to the right where more of it makes
// more of the quantity, to the left where it makes less.
func (p *page) influenceLine(s moved, most float64, by change) fyne.CanvasObject {
	in := p.in
	ref, name, _ := strings.Cut(s.Parameter, ".")
	label := strings.ReplaceAll(name, "_", " ")
	figure := by.figure(s.percent)
	const barHeight = 8
	bar := newSketch(fyne.NewSize(in.width, barHeight), func(size fyne.Size) canvas.Picture {
		return influenceBar(in.look, s.percent/most, float64(size.Width), barHeight)
	})
	help := fmt.Sprintf("%s is %s.", sentenceStart(label), quantity.Short(s.Value, s.Unit))
	return newGlimpse(in, help, ref, container.New(column{gap: 2}, in.tableLine(row{name: label, figure: figure}), bar))
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
