package ui

import (
	"context"
	"fmt"
	"math"
	"strings"

	"fyne.io/fyne/v2"

	"copperglass/analysis/drain"
	"copperglass/canvas/chart"
	"copperglass/model"
	"copperglass/model/quantity"
)

// discharge is one run of a mode on some cells.
type discharge struct {
	cells string
	*drain.Discharge
}

// drainTopic follows the chosen mode while the battery runs down, on its own
// cells and on the others of their size.
func (in *inspector) drainTopic() topic {
	return topic{key: "drain", title: "How long do the cells last?", build: func(p *page) {
		p.line(textSize, false, in.look.Quiet, func() string {
			if in.doc.Mode() == "" {
				return "As drawn, from new cells."
			}
			return "In mode " + in.doc.Mode() + ", from new cells."
		})
		p.add(gap(10))
		key := func() string {
			all, done, err := in.discharges()
			return fmt.Sprintf("drain%p %v %v %s", first0(all), done, err, in.doc.Mode())
		}
		p.dynamic(key, func() []fyne.CanvasObject {
			all, done, err := in.discharges()
			switch {
			case !done:
				return []fyne.CanvasObject{p.waiting()}
			case err != nil:
				return []fyne.CanvasObject{paragraph(sentence(err.Error()), in.width, textSize, in.look.Flag)}
			}
			return p.drainLines(all)
		})
	}}
}

func first0(all []discharge) *drain.Discharge {
	if len(all) == 0 {
		return nil
	}
	return all[0].Discharge
}

// discharges is what is known of the runs in the chosen mode.
func (in *inspector) discharges() ([]discharge, bool, error) {
	mode := in.doc.Mode()
	return studied(in, "drain", mode, func(ctx context.Context, d *model.Diagram) ([]discharge, error) {
		return runDown(ctx, d, mode)
	})
}

// runDown follows the drawing's own cells, new, and then the others of their
// size.
func runDown(ctx context.Context, d *model.Diagram, mode string) ([]discharge, error) {
	set := model.Setting{}
	for _, p := range d.Parts {
		if p.Kind == "battery" {
			set.Set(p.Ref, "charge_left", model.Number(1))
		}
	}
	own, err := drain.Run(ctx, d, drain.Options{Mode: mode, Set: set})
	if err != nil {
		return nil, err
	}
	all := []discharge{{cellWords(d, own.Battery, set), own}}
	if len(own.Points) == 0 {
		return all, nil
	}
	values, _ := d.Resolve(d.Part(own.Battery), set)
	for _, other := range model.OtherCells(values) {
		with := set.With(model.Setting{own.Battery: other})
		run, err := drain.Run(ctx, d, drain.Options{Mode: mode, Set: with})
		if err != nil {
			return nil, err
		}
		all = append(all, discharge{cellWords(d, own.Battery, with), run})
	}
	return all, nil
}

// cellWords is the chemistry of a battery's cells and how many there are.
func cellWords(d *model.Diagram, ref string, set model.Setting) string {
	p := d.Part(ref)
	if p == nil {
		return ""
	}
	v, _ := d.Resolve(p, set)
	return fmt.Sprintf("%v × %s, %s", v.Num("cells"), v.Text("size"), v.Text("chemistry"))
}

func (p *page) drainLines(all []discharge) []fyne.CanvasObject {
	in := p.in
	if len(all[0].Faults) > 0 {
		return []fyne.CanvasObject{paragraph(sentence(all[0].Faults[0].Text), in.width, textSize, in.look.Flag)}
	}
	var lines []fyne.CanvasObject
	for _, run := range all {
		lines = append(lines, styledText(elide(sentenceStart(run.cells), in.width, headingSize, true), headingSize, true, in.look.Ink), gap(4))
		for _, r := range drainRows(run) {
			lines = append(lines, in.tableLine(r), gap(4))
		}
		for _, note := range run.Notes {
			lines = append(lines, paragraph(sentence(note), in.width, smallSize, in.look.Quiet), gap(4))
		}
		lines = append(lines, gap(8))
	}
	return append(lines, newPlot(in.drainChart(all), in.width, 190), gap(6),
		paragraph("The cells’ curves and resistances are the catalogue’s, steady light without rests; see the battery’s quantities for their sources. “Runs” on the circuit’s page and the modes’ cards reckons with the current as it is now; as the cells run down it falls, and they last longer than that.", in.width, smallSize, in.look.Quiet))
}

func drainRows(run discharge) []row {
	until := func(hours float64) string {
		if math.IsNaN(hours) {
			return "–"
		}
		return strings.TrimPrefix(runTime(hours), "runs ")
	}
	e := run.Ends
	rows := []row{
		{name: "At first", figure: quantity.Solved(run.Points[0].Amps, quantity.Ampere)},
		{name: "Half the light", figure: until(e.HalfLight), help: "When the LEDs take half the current they took at first."},
		{name: "Chip stops", figure: until(e.BrownOut), help: "When a chip's supply falls below its brown-out voltage."},
		{name: "End point", figure: until(e.EndPoint), help: "When the battery's voltage under load falls to where such cells count as empty."},
	}
	if run.Stop == drain.Empty {
		rows = append(rows, row{name: "Cells empty", figure: until(run.Points[len(run.Points)-1].Hours)})
	}
	kept := rows[:0]
	for _, r := range rows {
		if r.figure != "–" {
			kept = append(kept, r)
		}
	}
	return kept
}

// drainChart has the current and the light of all runs.
func (in *inspector) drainChart(all []discharge) *chart.Chart {
	c := &chart.Chart{Axis: "time", Unit: quantity.Hour, Theme: in.look}
	for _, of := range []struct {
		unit quantity.Unit
		read func(drain.Point) float64
	}{
		{quantity.Ampere, func(p drain.Point) float64 { return p.Amps }},
		{quantity.None, func(p drain.Point) float64 { return p.Light }},
	} {
		for _, run := range all {
			_, chemistry, _ := strings.Cut(run.cells, ", ")
			curve := chart.Curve{Name: chemistry, Unit: of.unit}
			if of.unit == quantity.None {
				curve.Name = "light, " + chemistry
			}
			for _, q := range run.Points {
				curve.X, curve.Y = append(curve.X, q.Hours), append(curve.Y, of.read(q))
			}
			c.Curves = append(c.Curves, curve)
		}
	}
	return c
}
