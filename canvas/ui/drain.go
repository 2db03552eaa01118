package ui

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/canvas/chart"
	"copperglass/model"
	"copperglass/model/quantity"
)

// wear is what is asked of the cells.
type wear struct {
	renewed bool // from new cells, not from the drawing's charge
	daily   bool // by the day's schedule, not in the chosen mode all the time
}

// drainTopic follows the circuit while the battery runs down, on its own cells
// and on the others of their size.
func (in *inspector) drainTopic() topic {
	return topic{key: "drain", title: "How long do the cells last?", build: func(p *page) {
		ask := &wear{}
		if day, err := in.doc.Shown().Day(); err == nil && len(day) > 0 {
			ask.daily = true
		}
		p.chargeChoice(ask)
		p.dayChoice(ask)
		key := func() string {
			all, done, err := in.discharges(*ask)
			return fmt.Sprintf("drain%p %v %v %s %v", ownRun(all), done, err, in.doc.Mode(), *ask)
		}
		p.dynamic(key, func() []fyne.CanvasObject {
			all, done, err := in.discharges(*ask)
			switch {
			case !done:
				return []fyne.CanvasObject{p.waiting()}
			case err != nil:
				return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
			case len(all) == 0:
				return []fyne.CanvasObject{paragraph("Say how long of each day the circuit is in each mode, as in 2 h or 15 min, and rest for what is left of the day.", in.width, textSize, in.look.Quiet)}
			}
			return p.drainLines(all)
		})
	}}
}

func ownRun(all []drain.Course) *drain.Discharge {
	if len(all) == 0 {
		return nil
	}
	return all[0].Discharge
}

// chargeChoice asks from which charge the cells begin.
func (p *page) chargeChoice(ask *wear) {
	in := p.in
	drawn := func() float64 { return drawnCharge(in.doc.Shown()) }
	p.dynamic(func() string { return fmt.Sprint("charge", drawn(), ask.renewed) }, func() []fyne.CanvasObject {
		if drawn() == 1 {
			return []fyne.CanvasObject{styledText("From new cells, as drawn", textSize, false, in.look.Quiet), gap(8)}
		}
		return []fyne.CanvasObject{in.either("As drawn, "+charge(drawn())+" left", "From new cells", &ask.renewed), gap(8)}
	})
}

// either is a choice between two ways, of which the second sets what on points
// to.
func (in *inspector) either(first, second string, on *bool) fyne.CanvasObject {
	s := newSegment(in.look, []string{first, second}, func(word string) {
		*on = word == second
		in.refresh()
	})
	s.set(first)
	if *on {
		s.set(second)
	}
	return s
}

// dayChoice asks whether the circuit is in one mode or goes through a day, and
// for the hours of it.
func (p *page) dayChoice(ask *wear) {
	in := p.in
	names := func() []string {
		var names []string
		for _, m := range in.doc.Shown().Modes {
			names = append(names, m.Name)
		}
		return names
	}
	p.dynamic(func() string { return fmt.Sprint("day", ask.daily, in.doc.Mode(), names()) }, func() []fyne.CanvasObject {
		if len(names()) == 0 {
			return nil
		}
		lines := []fyne.CanvasObject{in.either("In "+in.doc.Mode()+" all the time", "By the day", &ask.daily), gap(10)}
		if !ask.daily {
			return lines
		}
		return append(lines, p.collect(func() {
			for _, name := range names() {
				p.dailyField(name)
			}
			p.add(gap(6))
		})...)
	})
}

func (p *page) dailyField(name string) {
	doc := p.in.doc
	check := func(text string) error {
		if strings.TrimSpace(text) == "" {
			return nil
		}
		_, err := model.ReadDaily(text)
		return err
	}
	p.field(fieldSpec{
		label: name, help: "How long of each day the circuit is in this mode, as in 2 h, 15 min or rest; empty for not at all. It is kept in the drawing.",
		text: func() string {
			if m := doc.Shown().Mode(name); m != nil {
				return m.EachDay
			}
			return ""
		},
		placeholder: func() string { return "not in a day" },
		check:       check,
		apply: func(text string) error {
			if err := check(text); err != nil {
				return err
			}
			return doc.editMode(name, "hours", func(m *model.Mode) { m.EachDay = strings.TrimSpace(text) })
		},
	})
}

// discharges is what is known of the runs that are asked for.
func (in *inspector) discharges(ask wear) ([]drain.Course, bool, error) {
	mode := in.doc.Mode()
	return studied(in, "drain", fmt.Sprint(mode, ask), func(ctx context.Context, d *model.Diagram) ([]drain.Course, error) {
		o := drain.Options{Mode: mode, New: ask.renewed, Rough: len(d.Parts) > roughFrom}
		if ask.daily {
			day, err := d.Day()
			if err != nil {
				return nil, err
			}
			if len(day) == 0 {
				return nil, nil
			}
			o.Day = day
		}
		all, err := drain.Compare(ctx, d, o, func(_ string, v model.Values) ([]model.Params, error) { return model.OtherCells(v), nil })
		if err != nil {
			return nil, err
		}
		return all, judgeRuns(ctx, d, all)
	})
}

// judgeRuns notes what is over its rating at the beginning of each run.
func judgeRuns(ctx context.Context, d *model.Diagram, all []drain.Course) (err error) {
	for i := range all {
		if run := &all[i]; len(run.Points) > 0 && err == nil {
			run.Over, err = review.Overdriven(ctx, d, run.Mode, run.Set)
		}
	}
	return err
}

func (p *page) drainLines(all []drain.Course) []fyne.CanvasObject {
	in := p.in
	own := all[0]
	if len(own.Faults) > 0 {
		return []fyne.CanvasObject{paragraph(sentence(own.Faults[0].Text), in.width, textSize, in.look.Flag)}
	}
	lines := []fyne.CanvasObject{paragraph(curly(lastingWords(own.Discharge, in.steady(own))), in.width, textSize, in.look.Ink), gap(8), newPlot(chart.Discharges(all, func(run drain.Course) string { return run.Chemistry }, false, in.look), in.width, 190), gap(10)}
	for _, words := range brightness(all) {
		lines = append(lines, paragraph(words, in.width, textSize, in.look.Ink), gap(6))
	}
	lines = append(lines, gap(6))
	for _, run := range all {
		lines = append(lines, styledText(elide(sentenceStart(run.Cells), in.width, headingSize, true), headingSize, true, in.look.Ink), gap(4))
		for _, r := range drainRows(run, own) {
			lines = append(lines, in.tableLine(r), gap(4))
		}
		for _, over := range run.Over {
			lines = append(lines, paragraph(over+", at first.", in.width, smallSize, in.look.Flag), gap(4))
		}
		lines = append(lines, gap(8))
	}
	for _, note := range runNotes(all) {
		lines = append(lines, paragraph(sentence(note), in.width, smallSize, in.look.Quiet), gap(4))
	}
	return append(lines, paragraph("The cells’ curves and resistances are the catalogue’s, see the battery’s quantities for their sources. Light is the current of all LEDs over that at first on the cells as drawn. Half the light counts from the light at first: fuller cells begin brighter, so that it may come sooner with them, though they last longer.", in.width, smallSize, in.look.Quiet))
}

// steady is how many hours the battery would last at the current that flows
// now, NaN where the run begins otherwise.
func (in *inspector) steady(run drain.Course) float64 {
	for _, m := range in.doc.Answer().Modes {
		if m.Name == run.Mode && run.ChargeLeft == drawnCharge(in.doc.Shown()) {
			return m.RunTime
		}
	}
	return math.NaN()
}

// runNotes are the notes of all runs, each once.
func runNotes(all []drain.Course) []string {
	var notes []string
	for _, run := range all {
		for _, note := range run.Notes {
			if !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	}
	return notes
}

// brightness says how bright the first cells are beside each of the others.
func brightness(all []drain.Course) []string {
	span := func(hours float64) string { return after(all[0].Discharge, hours) }
	var words []string
	for _, run := range all[1:] {
		if text := drain.Brightness(all[0], run, span); text != "" {
			words = append(words, text)
		}
	}
	return words
}

// drainRows are a run's figures, its first light beside another's.
func drainRows(run, beside drain.Course) []row {
	e := run.Ends
	atFirst := quantity.Solved(run.Points[0].Amps, quantity.Ampere)
	if light := run.LightBeside(run.Points[0], beside.Discharge); run.Discharge != beside.Discharge && !math.IsNaN(light) && !run.LitByOthers() {
		atFirst += fmt.Sprintf(", %.0f %% of that light", 100*light)
	}
	half := "Half its light"
	if run.LitByOthers() {
		half = halfOf("Half the light", run.Discharge)
	}
	rows := []row{
		{name: strings.TrimSuffix("At first, in "+run.Mode, ", in "), figure: atFirst},
		{name: half, figure: halfLight(run.Discharge), help: "When the LEDs take half the current they took at first on these cells."},
		{name: "Chip stops", figure: after(run.Discharge, e.BrownOut), help: "When a chip's supply falls below its brown-out voltage."},
		{name: "End point", figure: after(run.Discharge, e.EndPoint), help: "When the battery's voltage under load falls to where such cells count as empty."},
	}
	last := run.Points[len(run.Points)-1].Hours
	switch run.Stop {
	case drain.Empty:
		rows = append(rows, row{name: "Cells empty", figure: after(run.Discharge, last)})
	case drain.Horizon:
		rows = append(rows, row{name: "Lasts", figure: after(run.Discharge, last), help: "More than ten years: cells leak away their charge by then."})
	}
	return slices.DeleteFunc(rows, func(r row) bool { return r.figure == "" })
}
