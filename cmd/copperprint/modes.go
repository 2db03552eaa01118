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
	"copperglass/model"
	"copperglass/model/quantity"
)

// modes prints what the circuit does in each of its modes.
func (p *program) modes(args []string) error {
	fs := p.flags("modes")
	out := fs.String("o", "", "`FILE` to write instead of standard output")
	inJSON := fs.Bool("json", false, "JSON for programs instead of tables for people")
	operands, err := p.parse(fs, args, 1)
	if err != nil {
		return err
	}
	d, err := p.read(operands[0])
	if err != nil {
		return err
	}
	modes, err := analysis.Modes(context.Background(), d)
	if err != nil {
		return err
	}
	return p.publish(*out, faultyOrNot(p.nameModeFaults(modes)), *inJSON, func(w io.Writer) error {
		if *inJSON {
			return writeJSON(w, modesJSON(modes))
		}
		return writeModes(w, d, modes)
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

func modesJSON(modes []analysis.ModeSummary) object {
	list := []object{}
	for _, m := range modes {
		list = append(list, object{
			{"name", orNull(m.Name)},
			{"supply_current", number(m.SupplyCurrent)},
			{"supply_power", number(m.SupplyPower)},
			{"run_time_hours", number(m.RunTime)},
			{"loads", loadsJSON(m.Loads)},
			{"hottest", hottestJSON(m)},
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

func loadsJSON(loads map[string]analysis.Load) object {
	o := object{}
	for _, ref := range slices.SortedFunc(maps.Keys(loads), model.NaturalCompare) {
		o.put(ref, object{{"current", number(loads[ref].Current)}, {"power", number(loads[ref].Power)}})
	}
	return o
}

// writeModes writes the modes as a table for people, the loads in columns.
func writeModes(w io.Writer, d *model.Diagram, modes []analysis.ModeSummary) error {
	var b strings.Builder
	writeHeading(&b, d.Title, "")
	refs := loadRefs(modes)
	t := &table{right: map[int]bool{}}
	heading := append(append([]string{"mode", "supply", "power", "lasts"}, refs...), "hottest part")
	for i := 1; i < len(heading); i++ {
		t.right[i] = true
	}
	t.row(heading...)
	for _, m := range modes {
		t.row(modeRow(m, refs)...)
	}
	b.WriteString(t.String())
	_, err := io.WriteString(w, b.String())
	return err
}

func modeRow(m analysis.ModeSummary, refs []string) []string {
	name := m.Name
	if name == "" {
		name = "–"
	}
	cells := []string{name, quantity.Solved(m.SupplyCurrent, quantity.Ampere), quantity.Solved(m.SupplyPower, quantity.Watt), duration(m.RunTime)}
	for _, ref := range refs {
		amps := math.NaN()
		if load, ok := m.Loads[ref]; ok {
			amps = load.Current
		}
		cells = append(cells, quantity.Solved(amps, quantity.Ampere))
	}
	if m.Hottest == "" {
		return append(cells, "–")
	}
	return append(cells, m.Hottest+" "+quantity.Solved(m.HottestPower, quantity.Watt))
}

// duration writes hours as people do: in days where there are many, in minutes
// where there is not one, and no more exactly than it matters where cells die of age before they are used up.
func duration(hours float64) string {
	const day, years = 24, 10
	switch {
	case hours > years*365*day:
		return fmt.Sprintf("over %d years", years)
	case hours > 4*day:
		return quantity.Format(hours/day, quantity.None) + " days"
	case hours > 0 && hours < 1:
		return fmt.Sprintf("%.3g min", 60*hours)
	}
	return quantity.Format(hours, quantity.Hour)
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
