package main

import (
	"context"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// modes prints what the circuit does in each of its modes.
func (p *program) modes(args []string) error {
	fs := p.flags("modes")
	var out output
	out.flags(fs, "tables for people")
	d, _, err := p.open(fs, args, 1)
	if err != nil {
		return err
	}
	modes, err := analysis.Modes(context.Background(), d)
	if err != nil {
		return err
	}
	runs, err := drain.OfModes(context.Background(), d, drain.Options{})
	if err != nil {
		return err
	}
	strains := map[string]review.Strain{}
	for _, m := range modes {
		strains[m.Name] = review.MostStrained(context.Background(), d, m.Result)
	}
	return p.publish(out, faultyOrNot(p.nameModeFaults(modes)), func(w io.Writer) error {
		if out.inJSON {
			return writeJSON(w, modesJSON(modes, runs, strains))
		}
		return writeModes(w, d, modes, runs, strains)
	})
}

// nameModeFaults names the faults of all modes, each once, and reports whether
// every mode is solved.
func (p *program) nameModeFaults(modes []analysis.ModeSummary) (solved bool) {
	said := map[string]bool{}
	solved = true
	for _, m := range modes {
		r := *m.Result
		r.Faults = slices.DeleteFunc(slices.Clone(r.Faults), func(f analysis.Fault) bool { return said[f.Text] })
		for _, f := range r.Faults {
			said[f.Text] = true
		}
		p.nameFaults(&r)
		solved = solved && r.Solved
	}
	return solved
}

// modesJSON has both times that a battery lasts: run_time_hours at the current
// that flows now, whose influences can be asked for by that name, and lasts with
// the current falling as the cells run down, as drain follows it.
func modesJSON(modes []analysis.ModeSummary, runs map[string]*drain.Discharge, strains map[string]review.Strain) object {
	list := []object{}
	for _, m := range modes {
		list = append(list, object{
			{"name", orNull(m.Name)},
			{"supply_current", number(m.SupplyCurrent)},
			{"supply_power", number(m.SupplyPower)},
			{"run_time_hours", number(m.RunTime)},
			{"lasts", lastsJSON(runs[m.Name])},
			{"batteries", batteriesJSON(runs[m.Name])},
			{"loads", loadsJSON(m.Loads)},
			{"hottest", hottestJSON(m)},
			{"most_strained", strainJSON(strains[m.Name])},
			{"faults", faultsJSON(m.Result)},
		})
	}
	return object{{"modes", list}}
}

// hottestJSON is the part that turns the most power into heat, of a stack one.
func hottestJSON(m analysis.ModeSummary) any {
	if m.Hottest == "" {
		return nil
	}
	return object{{"part", m.Hottest}, {"power", number(m.HottestPower)}}
}

// strainJSON is the figure that stands highest against its part's rating, as a
// fraction of that.
func strainJSON(s review.Strain) any {
	if s.Part == "" {
		return nil
	}
	return object{{"part", s.Part}, {"rated", s.Of}, {"share", number(s.Share)}}
}

func loadsJSON(loads map[string]analysis.Load) object {
	o := object{}
	for _, ref := range slices.SortedFunc(maps.Keys(loads), model.NaturalCompare) {
		o.put(ref, object{{"current", number(loads[ref].Current)}, {"power", number(loads[ref].Power)}})
	}
	return o
}

// writeModes writes the modes as a table for people, the loads in columns, and
// below from which charge the times are.
func writeModes(w io.Writer, d *model.Diagram, modes []analysis.ModeSummary, runs map[string]*drain.Discharge, strains map[string]review.Strain) error {
	var b strings.Builder
	writeHeading(&b, d.Title, "")
	refs, lit := loadRefs(modes), anyHalf(runs)
	heading := []string{"mode", "supply", "power", "lasts"}
	if lit {
		heading = append(heading, "half its light")
	}
	heading = append(append(heading, refs...), "most heat", "nearest its limit")
	t := &table{right: map[int]bool{}}
	for i := 1; i < len(heading); i++ {
		t.right[i] = true
	}
	t.row(heading...)
	for _, m := range modes {
		t.row(modeRow(d, m, runs[m.Name], strains[m.Name], refs, lit)...)
	}
	b.WriteString(t.String())
	gap := "\n"
	for _, m := range modes {
		if words := batteriesInWords(runs[m.Name]); words != "" {
			fmt.Fprintf(&b, "%s%s.\n", gap, strings.TrimPrefix(m.Name+": "+words, ": "))
			gap = ""
		}
	}
	for _, m := range modes {
		if run := runs[m.Name]; run != nil && len(run.Points) > 0 {
			fmt.Fprintf(&b, "\nFrom %s, until a chip stops or the cells are at their end point or empty, as drain follows it.\n", chargeInWords(run.ChargeLeft))
			break
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// anyHalf reports whether the light of any run comes down to half.
func anyHalf(runs map[string]*drain.Discharge) bool {
	for _, run := range runs {
		if !math.IsNaN(run.Ends.HalfLight) {
			return true
		}
	}
	return false
}

func modeRow(d *model.Diagram, m analysis.ModeSummary, run *drain.Discharge, strain review.Strain, refs []string, lit bool) []string {
	name := m.Name
	if name == "" {
		name = "–"
	}
	cells := []string{name, quantity.Solved(m.SupplyCurrent, quantity.Ampere), quantity.Solved(m.SupplyPower, quantity.Watt), lasts(run)}
	if lit {
		half := "–"
		if run != nil {
			half = halfLight(run.Ends)
		}
		cells = append(cells, half)
	}
	for _, ref := range refs {
		cells = append(cells, loadCell(m, ref))
	}
	return append(cells, hottestInWords(d, m), strainInWords(strain))
}

// hottestInWords names the part that turns the most power into heat, of a stack
// each one.
func hottestInWords(d *model.Diagram, m analysis.ModeSummary) string {
	if m.HottestPower < leastPower {
		return "–"
	}
	each := ""
	if d.Part(m.Hottest).Multiple() > 1 {
		each = " each"
	}
	return m.Hottest + " " + quantity.Solved(m.HottestPower, quantity.Watt) + each
}

func strainInWords(s review.Strain) string {
	const least = 0.01 // worth a word
	if s.Share < least {
		return "–"
	}
	return fmt.Sprintf("%s %.0f %% of its %s", s.Part, 100*s.Share, s.Of)
}

// lasts is how long the battery is of use, or a dash where nobody knows.
func lasts(run *drain.Discharge) string {
	if run == nil || len(run.Points) == 0 {
		return "–"
	}
	hours, end := run.Lasts()
	switch {
	case end == drain.TenYears:
		return "over 10 years"
	case hours == 0 && end == drain.ChipStops:
		return "chip has stopped"
	}
	return duration(hours)
}

// loadCell is what a load takes: its current, where that is more than a leak,
// and its power where that is worth a word.
func loadCell(m analysis.ModeSummary, ref string) string {
	const leak = 1e-9 // A
	load, ok := m.Loads[ref]
	switch {
	case !ok || !(math.Abs(load.Current) > leak):
		return "–"
	case load.Power < leastPower:
		return quantity.Solved(load.Current, quantity.Ampere)
	}
	return quantity.Solved(load.Current, quantity.Ampere) + " " + quantity.Solved(load.Power, quantity.Watt)
}

// leastPower in watts is worth a word in the table.
const leastPower = 1e-6

// duration writes hours as people do, and no more exactly than it matters: in
// hours and minutes, in days and in years where there are many.
func duration(hours float64) string {
	const day, year = 24, 8766
	switch {
	case hours >= 2*year:
		return quantity.Short(hours/year, quantity.None) + " years"
	case hours > 4*day:
		return quantity.Format(hours/day, quantity.None) + " days"
	case hours >= 10 || hours == 0 || math.IsNaN(hours):
		return quantity.Format(hours, quantity.Hour)
	case hours < 1:
		return fmt.Sprintf("%.2g min", 60*hours)
	}
	minutes := int(math.Round(60 * hours))
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}

// loadRefs are the loads of all modes, in natural order.
func loadRefs(modes []analysis.ModeSummary) []string {
	all := map[string]bool{}
	for _, m := range modes {
		for ref := range m.Loads {
			all[ref] = true
		}
	}
	return slices.SortedFunc(maps.Keys(all), model.NaturalCompare)
}
