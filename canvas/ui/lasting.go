package ui

import (
	"context"
	"fmt"
	"math"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"copperglass/analysis/drain"
	"copperglass/analysis/whatif"
	"copperglass/canvas"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Parts of a drawing from which on its discharges are followed roughly, which
// nobody sees in what the cards say; in the shown mode alone; and only when
// somebody asks. A run takes some hundred operating points, about 1 s with 2000 parts.
const roughFrom, aloneFrom, askedFrom = 100, 1000, 5000

// lasting is the run of a mode's battery down from the drawing's charge, nil
// while it is not known or where nobody can know. What is only tried is followed
// once it rests, and so is a large drawing.
func (in *inspector) lasting(mode string) *drain.Discharge {
	d := in.doc.Shown()
	o := drain.Options{Rough: len(d.Parts) > roughFrom}
	switch {
	case in.moving(), len(d.Parts) > askedFrom:
		return nil
	case len(d.Parts) <= aloneFrom:
	case mode != in.doc.Mode(), !in.rest.rests(d):
		return nil
	default:
		o.Mode = mode
	}
	all, _, _ := studied(in, "lasting", o.Mode, func(ctx context.Context, d *model.Diagram) (map[string]*drain.Discharge, error) {
		return drain.OfModes(ctx, d, o)
	})
	if run := all[mode]; run != nil && len(run.Points) > 0 && in.drawsAsBefore(mode) {
		return run
	}
	return nil
}

// drawsAsBefore reports whether the battery gives what it gave before the gesture
// under way: a run that was followed then holds as long as it does.
func (in *inspector) drawsAsBefore(mode string) bool {
	const same = 1e-6 // relative: solutions from other beginnings differ in the last digits
	now := in.doc.supplyCurrent(mode)
	if !in.doc.underWay() {
		in.drawn[mode] = now
	}
	return !(math.Abs(now-in.drawn[mode]) > same*math.Abs(now))
}

// supplyCurrent is the current that the supplies give in a mode, NaN where that
// is not known.
func (doc *Document) supplyCurrent(mode string) float64 {
	for _, m := range doc.Answer().Modes {
		if m.Name == mode {
			return m.SupplyCurrent
		}
	}
	return math.NaN()
}

// lasts says how long a battery lasts: "about 9 h".
func lasts(run *drain.Discharge) string {
	if run == nil {
		return ""
	}
	hours, end := run.Lasts()
	switch {
	case hours == 0 && end == drain.ChipStops:
		return "chip does not run"
	case hours == 0 && end == drain.HardlyFlows: // it is being charged
		return ""
	case hours == 0:
		return "used up"
	}
	return after(run, hours)
}

// after says when something comes in a run: in days where the run is about
// days. What never comes is nothing.
func after(run *drain.Discharge, hours float64) string {
	const day = 24
	if len(run.Day) > 0 && hours > day && hours < 10*day {
		return fmt.Sprintf("about %.2g days", hours/day)
	}
	return strings.TrimPrefix(runTime(hours), "runs ")
}

// halfLight says when the light is down to half, or that it ends with the chip.
func halfLight(run *drain.Discharge) string {
	switch e := run.Ends; {
	case e.WithChip:
		return "with the chip"
	case e.HalfLight > 0:
		return after(run, e.HalfLight)
	}
	return ""
}

// charge says from which charge a battery begins: "70 %", "new cells".
func charge(left float64) string {
	if left == 1 {
		return "new cells"
	}
	return quantity.Short(math.Round(100*left), quantity.Percent)
}

// cardLasts is what a card says of it, in full and in few letters.
func cardLasts(run *drain.Discharge) (full, brief string) {
	long := lasts(run)
	switch {
	case long == "":
		return "", ""
	case strings.HasPrefix(long, "about "), strings.HasPrefix(long, "for "):
		full = long + " from " + charge(run.ChargeLeft)
		return full, strings.TrimPrefix(full, "about ")
	}
	return long, long
}

// lastingWords is the whole of it in a sentence or two.
func lastingWords(run *drain.Discharge, now float64) string {
	long := lasts(run)
	if long == "" {
		return ""
	}
	hours, end := run.Lasts()
	switch {
	case hours == 0 && end == drain.ChipStops:
		return fmt.Sprintf("From %s the chip does not run.", chargeOf(run.ChargeLeft))
	case hours == 0:
		return fmt.Sprintf("With %s %s is used up.", chargeOf(run.ChargeLeft), run.Battery)
	}
	where := ""
	if len(run.Day) > 0 {
		where = " in " + run.Mode
	}
	apart := run.Apart()
	text := fmt.Sprintf("From %s %s lasts %s, %s.", chargeOf(run.ChargeLeft), run.Battery, long, endWords(end))
	if inMode, ok := run.InMode(hours); ok && end != drain.TenYears && inMode > 0 {
		text += fmt.Sprintf(" %s of it are in %s.", sentenceStart(strings.TrimPrefix(runTime(inMode), "runs ")), run.Mode)
	}
	for _, l := range apart {
		text += fmt.Sprintf(" %s lasts %s, %s.", l.Battery, apartLasts(run, l), endWords(l.Until))
	}
	hangs := ""
	if on := run.LightOn(); len(on) > 0 && run.LitByOthers() {
		hangs = " hangs on " + strings.Join(on, " and ") + " and"
	}
	switch half := run.Ends.HalfLight; {
	case run.Ends.WithChip:
		text += fmt.Sprintf(" The light%s ends with the chip.", where)
	case half > 0:
		text += fmt.Sprintf(" The light%s%s is down to half after %s.", where, hangs, after(run, half))
	}
	if steady := strings.TrimPrefix(runTime(now), "runs "); steady != "" && steady != long && len(run.Day) == 0 && len(apart) == 0 {
		text += fmt.Sprintf(" At the present current it would be %s.", steady)
	}
	return text
}

// apartLasts says how long a battery lasts that gives another current than the one
// that is followed: "about 48 h from 70 %".
func apartLasts(run *drain.Discharge, l drain.Lasting) string {
	text := after(run, l.Hours)
	if l.Hours == 0 {
		text = "no time"
	}
	if l.ChargeLeft != run.ChargeLeft {
		text += " from " + charge(l.ChargeLeft)
	}
	return text
}

// chargeOf is the charge in a sentence: "70 % of its charge".
func chargeOf(left float64) string {
	if left == 1 {
		return charge(left)
	}
	return charge(left) + " of its charge"
}

// endWords says what ends the use of a battery.
func endWords(end drain.End) string {
	switch end {
	case drain.ChipStops:
		return "until a chip's supply falls below what it needs"
	case drain.AtEndPoint:
		return "until the cells reach their end point"
	case drain.HardlyFlows:
		return "until hardly any current flows"
	case drain.TenYears:
		return "by which cells have leaked away what they hold"
	}
	return "until the cells are empty"
}

// drawnCharge is the charge that the drawing says is left in its batteries: the
// least where there are several, new where nothing is said.
func drawnCharge(d *model.Diagram) float64 {
	least := 1.0
	for _, p := range d.Parts {
		if p.Kind != "battery" {
			continue
		}
		v, _ := d.Resolve(p, nil)
		if left := v.Num("charge_left"); left < least {
			least = left
		}
	}
	return least
}

// lastingRows are the rows of a table about it.
func lastingRows(run *drain.Discharge) []row {
	if run == nil {
		return nil
	}
	_, end := run.Lasts()
	apart, name, light := run.Apart(), "Lasts, from "+charge(run.ChargeLeft), "Half the light"
	if len(apart) > 0 {
		name = run.Battery + " lasts, from " + charge(run.ChargeLeft)
	}
	if len(apart) > 0 {
		light = halfOf(light, run)
	}
	rows := []row{{name: name, figure: lasts(run), of: run.Battery + whatif.LastsSuffix,
		help: "Followed while the current falls as the cells run down, " + endWords(end) + "."}}
	for _, l := range apart {
		rows = append(rows, row{name: l.Battery + " lasts, from " + charge(l.ChargeLeft), figure: after(run, l.Hours), of: l.Battery + whatif.LastsSuffix,
			help: "Followed while the current falls as the cells run down, " + endWords(l.Until) + "."})
	}
	if half := halfLight(run); half != "" {
		rows = append(rows, row{name: light, figure: half,
			help: "When the LEDs take half of the current that they take now."})
	}
	return rows
}

// halfOf adds to the name of a row about the light on what this hangs.
func halfOf(name string, run *drain.Discharge) string {
	if on := run.LightOn(); len(on) > 0 {
		return name + ", on " + strings.Join(on, " and ")
	}
	return name
}

// lastingOffers ask of each battery that has a life of its own what sets it.
func (in *inspector) lastingOffers(d *model.Diagram) []offer {
	if ref := onlySource(d); ref != "" {
		if d.Part(ref).Kind != "battery" {
			return nil
		}
		return []offer{in.lastingOffer(ref)}
	}
	run := in.lasting(in.doc.Mode())
	if run == nil {
		return nil
	}
	var list []offer
	for _, ref := range append([]string{run.Battery}, refsApart(run)...) {
		o := in.lastingOffer(ref)
		o.title = fmt.Sprintf("What sets how long %s lasts?", ref)
		list = append(list, o)
	}
	return list[:min(len(list), mostOffers)]
}

// mostOffers bounds the questions of one sort on a page.
const mostOffers = 4

// refsApart are the batteries that last for their own time.
func refsApart(run *drain.Discharge) []string {
	var refs []string
	for _, l := range run.Apart() {
		refs = append(refs, l.Battery)
	}
	return refs
}

// lasting is how long the battery lasts in a mode, once that is known.
func (w *Window) lasting(mode string) *drain.Discharge {
	if w.inspector == nil {
		return nil
	}
	return w.inspector.lasting(mode)
}

// redrawn shows what has been found out about the drawing.
func (w *Window) redrawn() {
	w.surface.redraw()
	w.strip.refresh()
}

// cellWords is how many cells a battery has, their size and their chemistry.
func cellWords(d *model.Diagram, ref string, set model.Setting) string {
	p := d.Part(ref)
	if p == nil {
		return ""
	}
	v, _ := d.Resolve(p, set)
	return fmt.Sprintf("%v × %s, %s", v.Num("cells"), v.Text("size"), v.Text("chemistry"))
}

// cells is the state of the cells that the findings hold for, "" for new ones.
func (in *inspector) cells() string {
	if r, _ := in.latestReview(); r != nil && r.Cells != "" {
		return "with " + r.Cells
	}
	return ""
}

// findingsHead is the head of the list of findings, with the state of the cells.
func findingsHead(look canvas.Theme, cells string) fyne.CanvasObject {
	return container.New(heads{gap: 10}, styledText("Findings", headingSize, true, look.Ink), styledText(cells, smallSize, false, look.Quiet))
}
