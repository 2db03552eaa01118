package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/canvas"
	"copperglass/canvas/chart"
	"copperglass/model"
	"copperglass/model/quantity"
)

// draining is what the flags of drain say.
type draining struct {
	conditions
	day, with settings
	renewed   bool
	output
}

func (c *draining) flags(fs *flag.FlagSet) {
	c.conditions.flags(fs)
	fs.Lookup("mode").Usage = "`NAME` of the mode to be in all the time; where nothing is said, the day's schedule of the drawing, or else the first mode"
	fs.BoolVar(&c.renewed, "new", false, "begin with new cells instead of the charge that the drawing says is left")
	fs.Var(&c.day, "day", "`MODE=HOURS` of each day in that mode, as in White=2h, Amber=15min or Off=rest, instead of the drawing's schedule; may be repeated, and in what no mode has no current flows")
	fs.Var(&c.with, "with", "`CELLS` to compare with those of the drawing, as in \"3 × R6\", or others for all of the same everyday size; may be repeated")
	c.output.flags(fs, "tables for people")
	fs.Lookup("o").Usage = "`FILE` to write: a chart where it ends in .png or .svg, figures where it ends in .txt or .json"
}

// drain follows the circuit while its batteries run down.
func (p *program) drain(args []string) error {
	var c draining
	fs := p.flags("drain")
	c.flags(fs)
	d, _, err := p.open(fs, args, 1)
	if err != nil {
		return err
	}
	if err := c.checkEnding("drain", ".txt"); err != nil {
		return err
	}
	all, err := c.runs(d)
	if err != nil {
		return err
	}
	solved := true
	for _, run := range all {
		for _, f := range run.Faults {
			p.say("error: %s", f.Text)
		}
		solved = solved && len(run.Points) > 0
	}
	p.noteRuns(all)
	if err := noteRatings(d, all); err != nil {
		return err
	}
	return p.publish(c.output, faultyOrNot(solved), func(w io.Writer) error { return c.write(w, d, all) })
}

// noteRatings notes what is over its rating at the beginning of each run.
func noteRatings(d *model.Diagram, all []drain.Course) (err error) {
	for i := range all {
		if run := &all[i]; len(run.Points) > 0 && err == nil {
			run.Over, err = review.Overdriven(context.Background(), d, run.Mode, run.Set)
		}
	}
	return err
}

// writeOver says what is over its rating on which cells.
func writeOver(b *strings.Builder, all []drain.Course) {
	for _, run := range all {
		if len(run.Over) > 0 {
			fmt.Fprintf(b, "\nAt first, on %s:\n", run.Cells)
		}
		for _, over := range run.Over {
			b.WriteString("  " + over + ".\n")
		}
	}
}

// noteRuns tells each note once, of which runs it is unless of all.
func (p *program) noteRuns(all []drain.Course) {
	said := map[string]bool{}
	for _, run := range all {
		for _, note := range run.Notes {
			if said[note] {
				continue
			}
			said[note] = true
			if cells := notedOf(all, note); len(cells) < len(all) {
				note = strings.Join(cells, ", ") + ": " + note
			}
			p.say("note: %s", note)
		}
	}
}

// notedOf are the cells of the runs that have a note.
func notedOf(all []drain.Course, note string) []string {
	var cells []string
	for _, run := range all {
		if slices.Contains(run.Notes, note) {
			cells = append(cells, run.Cells)
		}
	}
	return cells
}

// runs follows the drawing's own cells and then those to compare with.
func (c *draining) runs(d *model.Diagram) ([]drain.Course, error) {
	o, err := c.options(d)
	if err != nil {
		return nil, err
	}
	all, err := drain.Compare(context.Background(), d, o, func(ref string, v model.Values) ([]model.Params, error) {
		return c.others(d.Part(ref).LookupKind(), v)
	})
	if err != nil && !errors.As(err, &failure{}) {
		err = failure{code: misused, err: err}
	}
	return all, err
}

func (c *draining) options(d *model.Diagram) (drain.Options, error) {
	set, err := c.check(d)
	o := drain.Options{Mode: c.mode, Set: set, New: c.renewed}
	if err != nil {
		return o, err
	}
	switch {
	case len(c.day) > 0:
		o.Day, err = c.schedule(d)
	case c.mode == "":
		if o.Day, err = d.Day(); err != nil {
			err = misuse("the day's schedule of the drawing: %v", err)
		}
	}
	return o, err
}

// schedule reads what --day says.
func (c *draining) schedule(d *model.Diagram) ([]model.Phase, error) {
	var texts [][2]string
	for _, text := range c.day {
		name, hours, ok := strings.Cut(text, "=")
		if !ok || d.Mode(name) == nil {
			return nil, misuse("--day %s: write MODE=HOURS with a mode of the drawing", text)
		}
		texts = append(texts, [2]string{name, hours})
	}
	day, err := model.ReadDay(texts)
	if err != nil {
		return nil, misuse("--day: %v", err)
	}
	return day, nil
}

// others are the cells to compare with, as parameters.
func (c *draining) others(battery *model.Kind, v model.Values) ([]model.Params, error) {
	var all []model.Params
	for _, text := range c.with {
		if text == "others" {
			all = append(all, model.OtherCells(v)...)
			continue
		}
		params, err := battery.FromValue(text)
		if err != nil {
			return nil, misuse("--with %s: %v", text, err)
		}
		all = append(all, params)
	}
	return all, nil
}

func (c *draining) write(w io.Writer, d *model.Diagram, all []drain.Course) error {
	switch ending := c.ending(); {
	case ending == ".png":
		return drainChart(d, all).WritePNG(w)
	case ending == ".svg":
		return drainChart(d, all).WriteSVG(w)
	case c.inJSON:
		o := dischargeJSON(all[0])
		if len(all) > 1 {
			compared := []object{}
			for _, run := range all[1:] {
				compared = append(compared, dischargeJSON(run))
			}
			o.put("compared", compared)
		}
		return writeJSON(w, o)
	}
	var b strings.Builder
	writeHeading(&b, d.Title, all[0].Mode)
	b.WriteString(howItRuns(all[0].Discharge))
	writeEnds(&b, all)
	writeBatteries(&b, all)
	writeInMode(&b, all)
	writeBrightness(&b, all)
	writeOver(&b, all)
	for _, run := range all {
		writeCourse(&b, run, all[0])
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// howItRuns says from which charge and by which day the circuit runs, or is "".
func howItRuns(run *drain.Discharge) string {
	if len(run.Points) == 0 {
		return ""
	}
	words := "  from " + chargeInWords(run.ChargeLeft)
	var phases []string
	for _, p := range run.Day {
		phases = append(phases, p.Mode+" "+duration(p.Hours))
	}
	if phases != nil {
		words += fmt.Sprintf("; each day %s; the figures are those in %s", strings.Join(phases, ", "), run.Mode)
	}
	return words + "\n\n"
}

// writeInMode says of runs by the day how much of their time is in the mode that
// is shown.
func writeInMode(b *strings.Builder, all []drain.Course) {
	gap := "\n"
	for _, run := range all {
		if len(run.Points) == 0 {
			continue
		}
		hours, _ := run.Lasts()
		if inMode, ok := run.InMode(hours); ok {
			fmt.Fprintf(b, "%sOf the %s that %s last by the day, %s are in %s.\n", gap, duration(hours), run.Cells, duration(inMode), run.Mode)
			gap = ""
		}
	}
}

// chargeInWords names the state of the cells at the beginning.
func chargeInWords(left float64) string {
	if left == 1 {
		return "new cells"
	}
	return wholePercent(left) + " of the charge"
}

func dischargeJSON(run drain.Course) object {
	points := []object{}
	for _, p := range run.Points {
		points = append(points, object{{"hours", number(p.Hours)}, {"charge_left", number(p.ChargeLeft)},
			{"volts", number(p.Volts)}, {"amps", number(p.Amps)}, {"light", number(p.Light)}})
	}
	faults := []string{}
	for _, f := range run.Faults {
		faults = append(faults, f.Text)
	}
	day := []object{}
	for _, p := range run.Day {
		day = append(day, object{{"mode", p.Mode}, {"hours", number(p.Hours)}})
	}
	e := run.Ends
	return object{
		{"mode", orNull(run.Mode)}, {"day", day}, {"battery", run.Battery}, {"cells", run.Cells},
		{"points", points},
		{"ends", object{{"half_light", number(e.HalfLight)}, {"brown_out", number(e.BrownOut)}, {"end_point", number(e.EndPoint)}, {"used_up", number(run.UsedUp())}, {"light_ends_with_chip", e.WithChip}}},
		{"lasts", lastsJSON(run.Discharge)}, {"batteries", batteriesJSON(run.Discharge)},
		{"first_light_amps", number(run.FirstLight)},
		{"over_ratings", append([]string{}, run.Over...)},
		{"stop", string(run.Stop)}, {"faults", faults},
	}
}

// lastsJSON is how long the battery is of use, from which charge, and what ends
// that; null where nobody knows.
func lastsJSON(run *drain.Discharge) any {
	if run == nil || len(run.Points) == 0 {
		return nil
	}
	hours, end := run.Lasts()
	o := object{{"hours", number(hours)}, {"until", string(end)}, {"from_charge", number(run.ChargeLeft)}}
	if inMode, ok := run.InMode(hours); ok {
		o.put("hours_in_mode", number(inMode))
	}
	return o
}

// batteriesJSON is how long each of the batteries lasts.
func batteriesJSON(run *drain.Discharge) object {
	o := object{}
	if run == nil {
		return o
	}
	for _, b := range run.Batteries {
		o.put(b.Battery, object{{"hours", number(b.Hours)}, {"until", orNull(string(b.Until))}, {"from_charge", number(b.ChargeLeft)}})
	}
	return o
}

// writeBatteries says how long each of several batteries lasts.
func writeBatteries(b *strings.Builder, all []drain.Course) {
	for _, run := range all {
		words := batteriesInWords(run.Discharge)
		if words != "" && len(all) > 1 {
			words = "With " + run.Cells + ": " + words
		}
		if words != "" {
			b.WriteString("\n" + words + ".\n")
		}
	}
}

// batteriesInWords is "BT1 lasts 31.9 h, BT2 lasts 47.9 h; the light hangs on BT2"; "" where there are
// not several.
func batteriesInWords(run *drain.Discharge) string {
	if run == nil || len(run.Batteries) < 2 {
		return ""
	}
	var each []string
	for _, l := range run.Batteries {
		words := l.Battery + " gives no current"
		switch {
		case l.Until == drain.TenYears:
			words = l.Battery + " lasts over 10 years"
		case l.Until != "":
			words = l.Battery + " lasts " + duration(l.Hours)
		}
		each = append(each, words)
	}
	words := strings.Join(each, ", ")
	if on := run.LightOn(); len(run.Apart()) > 0 && len(on) > 0 {
		words += "; the light hangs on " + strings.Join(on, " and ")
	}
	return words
}

// writeEnds compares when what comes to its end.
func writeEnds(b *strings.Builder, all []drain.Course) {
	t := &table{right: map[int]bool{1: true, 2: true, 3: true, 4: true, 5: true}}
	t.row("cells", "at first", "half its light", "chip stops", "end point", "empty")
	for _, run := range all {
		amps := "–"
		if len(run.Points) > 0 {
			amps = quantity.Format(run.Points[0].Amps, quantity.Ampere)
		}
		e := run.Ends
		t.row(run.Cells, amps, halfLight(e), reached(e.BrownOut), reached(e.EndPoint), reached(run.UsedUp()))
	}
	b.WriteString(t.String())
}

// writeBrightness says how bright the first cells are beside each of the others.
func writeBrightness(b *strings.Builder, all []drain.Course) {
	gap := "\n"
	for _, run := range all[1:] {
		if text := drain.Brightness(all[0], run, duration); text != "" {
			b.WriteString(gap + text + "\n")
			gap = ""
		}
	}
}

// halfLight is when the light is down to half, or that it ends with the chip.
func halfLight(e drain.Ends) string {
	if e.WithChip {
		return "with the chip"
	}
	return reached(e.HalfLight)
}

// reached is when something ends, or a dash where it does not.
func reached(hours float64) string {
	if hours != hours {
		return "–"
	}
	return duration(hours)
}

// writeCourse tabulates a run at every tenth of the charge, its light over the
// first light of another.
func writeCourse(b *strings.Builder, run, beside drain.Course) {
	if len(run.Points) == 0 {
		return
	}
	points, until := run.Course(), stopInWords(run.Stop)
	if len(points) > 0 && points[len(points)-1].Hours == run.Ends.BrownOut {
		until = "a chip stops"
	}
	fmt.Fprintf(b, "\n%s, %s until %s\n", run.Battery, run.Cells, until)
	t := &table{right: map[int]bool{0: true, 1: true, 2: true, 3: true, 4: true}}
	t.row("time", "charge left", "volts", "amps", "light")
	for i, p := range points {
		if i > 0 && i < len(points)-1 && tenth(p) == tenth(points[i-1]) {
			continue
		}
		t.row(duration(p.Hours), wholePercent(p.ChargeLeft), endVolts(p.Volts), quantity.Solved(p.Amps, quantity.Ampere),
			wholePercent(run.LightBeside(p, beside.Discharge)))
	}
	b.WriteString(t.String())
}

// endVolts are a battery's volts, none where rounding left something of them.
func endVolts(x float64) string {
	const rounding = 1e-9
	if math.Abs(x) < rounding {
		x = 0
	}
	return quantity.Format(x, quantity.Volt)
}

// tenth is the tenth of the charge that the point is in, from 10 when new.
func tenth(p drain.Point) int { return int(math.Ceil(10*p.ChargeLeft - 1e-9)) }

func stopInWords(s drain.Stop) string {
	return map[drain.Stop]string{drain.Empty: "they are empty", drain.Faint: "hardly any current flows", drain.Horizon: "ten years have passed"}[s]
}

func wholePercent(x float64) string {
	if x != x {
		return "–"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}

// drainChart shows the runs by their cells.
func drainChart(d *model.Diagram, all []drain.Course) *chart.Chart {
	c := chart.Discharges(all, func(run drain.Course) string { return run.Cells }, true, canvas.LightTheme())
	c.Title = d.Title
	return c
}
