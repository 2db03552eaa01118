package ui

import (
	"cmp"
	"context"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// modesTopic compares the modes in a table.
func (in *inspector) modesTopic() topic {
	return topic{key: "modes", title: "The modes compared", build: func(p *page) {
		key := func() string {
			key := fmt.Sprintf("modes%p %s", first(in.doc.Answer().Modes), in.doc.Mode())
			for _, m := range in.doc.Answer().Modes {
				key += fmt.Sprintf(" %p %v", in.lasting(m.Name), in.strain(m.Name))
			}
			return key
		}
		p.dynamic(key, func() []fyne.CanvasObject {
			modes := in.doc.Answer().Modes
			if len(modes) == 0 {
				return []fyne.CanvasObject{p.waiting()}
			}
			var lines []fyne.CanvasObject
			for group := range slices.Chunk(modes, mostColumns) {
				lines = append(append(lines, p.modeTable(group)...), gap(14))
			}
			return append(lines, p.modeNotes()...)
		})
	}}
}

func first(modes []analysis.ModeSummary) *analysis.Result {
	if len(modes) == 0 {
		return nil
	}
	return modes[0].Result
}

// mostColumns is how many modes stand side by side.
const mostColumns = 3

// modeTable has a column for each mode, under its name, which chooses it.
func (p *page) modeTable(modes []analysis.ModeSummary) []fyne.CanvasObject {
	in := p.in
	heads := []fyne.CanvasObject{gap(1)}
	for _, m := range modes {
		heads = append(heads, newTapArea(p.modeCell(cmp.Or(m.Name, "As drawn"), in.look.Accent), func() { in.doc.SetMode(m.Name) }))
	}
	lines := []fyne.CanvasObject{p.modeLine(heads), gap(6)}
	for _, r := range modeRows(modes, in.lasting, in.strain) {
		cells := []fyne.CanvasObject{styledText(elide(r.name, grown(modeNames), smallSize, false), smallSize, false, in.look.Quiet)}
		for _, figure := range r.figures {
			cells = append(cells, p.modeCell(figure, in.look.Ink))
		}
		line := p.modeLine(cells)
		if r.help != "" {
			line = newHinted(in.tips, r.help, line)
		}
		lines = append(lines, line, gap(5))
	}
	return lines
}

// modeNames is the width of what stands before the columns, and modeGap that
// between them.
const modeNames, modeGap = 62, 6

func (p *page) modeColumn() float32 { return (p.in.width-grown(modeNames))/mostColumns - modeGap }

// modeCell is a text that ends where those below it do.
func (p *page) modeCell(s string, ink color.Color) fyne.CanvasObject {
	text := styledText(elide(s, p.modeColumn(), smallSize, true), smallSize, true, ink)
	text.Alignment = fyne.TextAlignTrailing
	return text
}

func (p *page) modeLine(cells []fyne.CanvasObject) fyne.CanvasObject {
	widths := []float32{grown(modeNames)}
	for range cells[1:] {
		widths = append(widths, p.modeColumn())
	}
	return container.New(columns{widths: widths, gap: modeGap}, cells...)
}

// modeRow is a figure of each mode.
type modeRow struct {
	name, help string
	figures    []string
}

// modeRows are the rows of the table that have a figure in any mode.
func modeRows(modes []analysis.ModeSummary, lasting func(mode string) *drain.Discharge, strain func(mode string) review.Strain) []modeRow {
	of := func(name, help string, figure func(analysis.ModeSummary) string) modeRow {
		r := modeRow{name: name, help: help}
		for _, m := range modes {
			r.figures = append(r.figures, cmp.Or(figure(m), "–"))
		}
		return r
	}
	rows := []modeRow{
		of("Supply", "What the batteries and supplies give together.", func(m analysis.ModeSummary) string { return amps(m.SupplyCurrent) }),
		of("in power", "", func(m analysis.ModeSummary) string { return watts(m.SupplyPower) }),
		of("Lasts", "How long the battery is of use in this mode all the time, while the current falls.", func(m analysis.ModeSummary) string {
			return strings.TrimPrefix(lasts(lasting(m.Name)), "about ")
		}),
		of("Half light", "When the LEDs take half of the current that they take now.", func(m analysis.ModeSummary) string {
			if run := lasting(m.Name); run != nil {
				return strings.TrimPrefix(halfLight(run), "about ")
			}
			return ""
		}),
	}
	for _, ref := range loadsOf(modes) {
		rows = append(rows,
			of(ref, "What "+ref+" takes, of a stack the whole.", func(m analysis.ModeSummary) string { return loadFigure(m.Loads[ref].Current, quantity.Ampere) }),
			of("in power", "", func(m analysis.ModeSummary) string { return loadFigure(m.Loads[ref].Power, quantity.Watt) }))
	}
	rows = append(rows,
		of("Most heat", "The part that turns the most power into heat, of a stack each one.", hottest),
		of("which is", "", func(m analysis.ModeSummary) string { return loadFigure(m.HottestPower, quantity.Watt) }),
		of("Strained", "The part whose current, power or voltage stands highest against its rating: above 100 % it is overdriven.", func(m analysis.ModeSummary) string {
			return strain(m.Name).Part
		}),
		of("to", "", func(m analysis.ModeSummary) string { return strainFigure(strain(m.Name)) }))
	return slices.DeleteFunc(rows, func(r modeRow) bool {
		return !slices.ContainsFunc(r.figures, func(f string) bool { return f != "–" })
	})
}

// hottest is the part that gives off the most heat, or each one of a stack.
func hottest(m analysis.ModeSummary) string {
	switch {
	case loadFigure(m.HottestPower, quantity.Watt) == "":
		return ""
	case m.Result.Parts[m.Hottest].Count > 1:
		return m.Hottest + ", each"
	}
	return m.Hottest
}

// strainFigure is a share of a rating, or "" where nothing is strained.
func strainFigure(s review.Strain) string {
	const least = 0.01
	if s.Share < least {
		return ""
	}
	return quantity.Short(math.Round(100*s.Share), quantity.Percent)
}

// strain is what stands highest against its rating in a mode, once that is known.
func (in *inspector) strain(mode string) review.Strain {
	if in.moving() {
		return review.Strain{}
	}
	modes := in.doc.Answer().Modes
	all, _, _ := studied(in, "strains", fmt.Sprintf("%p", first(modes)), func(ctx context.Context, d *model.Diagram) (map[string]review.Strain, error) {
		all := map[string]review.Strain{}
		for _, m := range modes {
			all[m.Name] = review.MostStrained(ctx, d, m.Result)
		}
		return all, ctx.Err()
	})
	return all[mode]
}

// loadFigure is what a load takes, or "" where that is next to nothing.
func loadFigure(x float64, u quantity.Unit) string {
	const nothing = 1e-9 // A, W
	if !(x > nothing || x < -nothing) {
		return ""
	}
	return quantity.Solved(x, u)
}

// loadsOf are the loads of all modes in natural order.
func loadsOf(modes []analysis.ModeSummary) []string {
	var refs []string
	for _, m := range modes {
		for ref := range m.Loads {
			if !slices.Contains(refs, ref) {
				refs = append(refs, ref)
			}
		}
	}
	slices.SortFunc(refs, model.NaturalCompare)
	return refs
}

// modeNotes says what the times hold for.
func (p *page) modeNotes() []fyne.CanvasObject {
	in := p.in
	run := in.lasting(in.doc.Mode())
	if run == nil {
		return nil
	}
	from := charge(run.ChargeLeft)
	if run.ChargeLeft < 1 {
		from += " of " + run.Battery + "’s charge"
	}
	text := fmt.Sprintf("Times from %s, in one mode all the time.", from)
	return []fyne.CanvasObject{paragraph(text, in.width, smallSize, in.look.Quiet), gap(6),
		p.action("How long do the cells last?", "The current and the light until the cells are empty, on other cells, and by the hours of a day.", func() { in.ask(in.drainTopic()) })}
}
