package review

import (
	"fmt"
	"math"
	"slices"

	"copperglass/analysis/drain"
	"copperglass/model"
)

// batteryRules look at cells.
func batteryRules() []rule {
	return []rule{
		{"cell-over-current", Caution, "", cellOverCurrent},
		{"coin-cell-sags", Oddity, "the cell's own resistance, see its quantities; that a fifth is much is common practice, no source", coinCellSags},
		{"drained-while-off", Oddity, "cells keep for about ten years at the most: makers' shelf lives (from memory)", drainedWhileOff},
		{"charging-primary", Caution, "primary cells are not to be charged: cell makers' handling notes (confirmed)", chargingPrimary},
		{"charged-too-fast", Caution, "a tenth of the capacity per hour for NiMH, as long as nothing ends the charging, once for the lithium cells: makers' handbooks (from memory)", chargedTooFast},
		{"overcharged", Caution, "4.2 V a cell for Li-ion, 3.65 V for LFP: makers' charging instructions (from memory)", overcharged},
		{"short-through-switch", Caution, common, shortThroughSwitch},
		{"short-through-transistors", Caution, common, shortThroughTransistors},
		{"unlike-cells-in-parallel", Caution, "cells of different kind, brand or age are not to be mixed: cell makers' handling notes (confirmed)", unlikeCells},
	}
}

// most is the current in amperes that cells give for long without harm.
type most struct {
	amps   float64
	source string
}

// mostAmps is what one cell may give for long, by its size or chemistry; zero
// where nothing is known.
func mostAmps(v model.Values) most {
	bySize := map[string]most{
		"LR6":    {0.7, "0.7 A without marked heating: a maker's rule for AA alkaline cells (confirmed)"},
		"LR03":   {0.35, "half of what LR6 stands, by its size (estimate)"},
		"R6":     {0.3, "one brand of AA gives at 0.5 A 36 % of the charge it gives at 0.1 A (confirmed), where to draw the line is our judgement"},
		"R03":    {0.15, "half of what R6 stands, by its size (estimate)"},
		"FR6":    {2.5, "Energizer L91 datasheet, most for long (from memory)"},
		"FR03":   {1.5, "Energizer L92 datasheet, most for long (from memory)"},
		"LR14":   {1.3, "by its size beside LR6, as their handbook capacities at 0.1 A (estimate)"},
		"LR20":   {2, "by its size beside LR6, with more heat kept inside (estimate)"},
		"6LR61":  {0.1, "a tenth of an ampere keeps most of its charge: makers' sheets of 6LR61 (from memory), where to draw the line is our judgement"},
		"R14":    {0.5, "by its size beside R6 (estimate)"},
		"R20":    {0.8, "by its size beside R6 (estimate)"},
		"6F22":   {0.03, "a few tens of milliamperes: makers' sheets of 6F22 (from memory), where to draw the line is our judgement"},
		"HR6":    {4, "twice its capacity per hour: makers' handbooks of NiMH cells (from memory)"},
		"HR03":   {1.6, "twice its capacity per hour: makers' handbooks of NiMH cells (from memory)"},
		"CR2032": {3e-3, "3 mA continuous: encyc.org CR2032 (confirmed)"},
		"18650":  {3, "3 A continuous in a maker's list (confirmed)"},
	}
	if m, ok := bySize[v.Text("size")]; ok {
		return m
	}
	if v.Text("size") == "14500" {
		return most{1.2, "twice its capacity per hour: makers' lists of LFP cells (from memory)"}
	}
	switch v.Text("chemistry") {
	case "lithium coin":
		return most{3e-3, "as CR2032, 3 mA continuous: encyc.org CR2032 (confirmed)"}
	case "alkaline button":
		return most{5e-3, "a few milliamperes: makers' sheets of LR44 (from memory)"}
	}
	return most{}
}

func cellOverCurrent(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("battery") {
		v := s.values[p.Ref]
		m, given := mostAmps(v), -s.amps(p, "+")
		const shown = 1.005 // nearer the two read the same
		if m.amps == 0 || given <= shown*m.amps {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: given / m.amps, source: m.source,
			text: fmt.Sprintf("%s gives %s%s; such cells (%s) are good for %s for long, and their own resistance of %s takes %s of their voltage here.",
				p.Ref, amps(given), eachOf(p), v.Text("size"), amps(m.amps), ohms(v.Num("resistance")), volts(given*v.Num("resistance"))),
			figures: []Figure{{"current", given}, {"limit", m.amps}},
		})
	}
	return found
}

// coinCellSags finds coin and button cells whose own resistance takes much of
// their voltage.
func coinCellSags(s *sight) []remark {
	const much = 0.2 // of the voltage at rest
	var found []remark
	for _, p := range s.parts("battery") {
		v := s.values[p.Ref]
		if !slices.Contains([]string{"lithium coin", "alkaline button"}, v.Text("chemistry")) {
			continue
		}
		given, own, open := -s.amps(p, "+"), v.Num("resistance"), v.Num("voltage")
		lost := given * own
		if !(lost > much*open) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: lost / open,
			text: fmt.Sprintf("%s sags under %s: its own %s take %s of its %s, and even shorted it would give no more than %s.",
				s.withCharge([]string{p.Ref}), amps(given), ohms(own), volts(lost), volts(open), amps(open/own)),
			figures: []Figure{{"current", given}, {"lost_volts", lost}, {"most_current", open / own}},
		})
	}
	return found
}

// drainedWhileOff finds a battery that gives a current while no load takes one,
// if that empties it before it would leak its charge away by itself anyway.
func drainedWhileOff(s *sight) []remark {
	const least, shelf, year = 1e-6, 10, 8766 * 3600
	if s.anyLit() || len(s.parts("led", "lamp", "motor")) == 0 {
		return nil
	}
	var found []remark
	for _, p := range s.parts("battery") {
		given := -s.amps(p, "+")
		if given < least {
			continue
		}
		seconds, known := model.RunTime(s.values[p.Ref], given)
		if known && seconds > shelf*year {
			continue
		}
		m := remark{parts: []string{p.Ref}, weight: given, figures: []Figure{{"current", given}},
			text: fmt.Sprintf("%s gives %s%s while nothing is lit", p.Ref, amps(given), eachOf(p))}
		if known {
			lasts, until := s.lasts(p, seconds)
			m.text += fmt.Sprintf(": %s of standing, and %s", span(lasts), until)
			m.figures = append(m.figures, Figure{"years", lasts / year})
		}
		m.text += "."
		found = append(found, m)
	}
	return found
}

// anyLit reports whether an LED gives light, or a lamp or motor takes a current.
func (s *sight) anyLit() bool {
	for _, p := range s.parts("led") {
		if s.amps(p, "A") >= leastLight {
			return true
		}
	}
	for _, p := range s.parts("lamp", "motor") {
		if s.through(p) >= leastLoad {
			return true
		}
	}
	return false
}

// lasts is how long a battery lasts in this mode in seconds, as it is followed
// while it runs down, and what then happens. Where that is another battery's run,
// or the drawing too large to ask, it is how long the charge would at the present
// current.
func (s *sight) lasts(p *model.Part, steady float64) (seconds float64, until string) {
	if s.mayResolveOften() {
		run, err := drain.Run(s.ctx, s.d, drain.Options{Mode: s.r.Mode, Set: s.set, Rough: true})
		if err == nil && run.Battery == p.Ref {
			switch hours, end := run.Lasts(); {
			case hours < 1: // a chip has stopped already
			case end == drain.ChipStops:
				return hours * 3600, "a chip stops"
			case end != drain.TenYears:
				return hours * 3600, "it is empty"
			}
		}
	}
	return steady, "that current would have used its charge up"
}

// span is a long time as people say it.
func span(seconds float64) string {
	const day, year = 24 * 3600, 8766 * 3600
	switch {
	case seconds >= 2*year:
		return fmt.Sprintf("%.0f years", seconds/year)
	case seconds >= 90*day:
		return fmt.Sprintf("%.0f months", seconds/year*12)
	case seconds >= 3*day:
		return fmt.Sprintf("%.0f days", seconds/day)
	}
	return fmt.Sprintf("%.0f hours", seconds/3600)
}

// rechargeable are the chemistries that take a charge.
var rechargeable = []string{"NiMH", "Li-ion", "LFP"}

// capacity is the charge in coulombs that a new cell gives at a light current.
func capacity(v model.Values) (coulombs float64, known bool) {
	const light = 1e-3 // A
	c, known := model.CellsOf(v)
	if !known {
		return 0, false
	}
	return c.Coulombs(light), true
}

// chargedTooFast finds rechargeable cells that are given more than they stand
// for long.
func chargedTooFast(s *sight) []remark {
	perHour := map[string]float64{"NiMH": 0.1, "Li-ion": 1, "LFP": 1}
	var found []remark
	for _, p := range s.parts("battery") {
		v := s.values[p.Ref]
		coulombs, known := capacity(v)
		into, most := s.amps(p, "+"), perHour[v.Text("chemistry")]*coulombs/3600
		if !known || most == 0 || into <= most {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: into / most, figures: []Figure{{"current", into}, {"limit", most}},
			text: fmt.Sprintf("%s is charged with %s, and such cells (%s) stand %s for long: they get hot, and may vent.", p.Ref, amps(into), v.Text("size"), amps(most)),
		})
	}
	return found
}

// overcharged finds lithium cells that are charged to more than they stand.
func overcharged(s *sight) []remark {
	const rounding = 0.01 // V, of what chargers hold
	full := map[string]float64{"Li-ion": 4.2, "LFP": 3.65}
	var found []remark
	for _, p := range s.parts("battery") {
		v := s.values[p.Ref]
		most, each := full[v.Text("chemistry")], s.volts(p, "+", "-")/max(1, v.Num("cells"))
		if most == 0 || s.amps(p, "+") < nothing || each <= most+rounding {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: each, figures: []Figure{{"volts_each", each}, {"limit", most}},
			text: fmt.Sprintf("%s is charged to %s a cell, and %s cells are not to go above %s: they may burn.", p.Ref, volts(each), v.Text("chemistry"), volts(most)),
		})
	}
	return found
}

func chargingPrimary(s *sight) []remark {
	const least = 10e-6
	var found []remark
	for _, p := range s.parts("battery") {
		v := s.values[p.Ref]
		into := s.amps(p, "+")
		chemistry := v.Text("chemistry")
		if into < least || chemistry == "" || slices.Contains(rechargeable, chemistry) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: into, figures: []Figure{{"current", into}},
			text: fmt.Sprintf("%s is charged with %s, and %s cells are not made for it: they may leak or burst.", p.Ref, amps(into), chemistry),
		})
	}
	return found
}

// shortThroughSwitch finds batteries and supplies whose poles are joined, or
// whose voltage breaks down, over a closed switch that takes most of their
// current.
func shortThroughSwitch(s *sight) []remark {
	var found []remark
	for _, b := range s.parts("battery", "supply") {
		open := s.r.Parts[b.Ref].Figure("open_circuit_voltage")
		under := s.volts(b, "+", "-")
		given := -s.r.Parts[b.Ref].Pin("+").Amps
		// An ideal supply keeps its voltage over the contacts' resistance.
		shorted := s.net(b, "+") == s.net(b, "-") || math.Abs(under) < 0.2*math.Abs(open)
		if !shorted || given < leastLoad {
			continue
		}
		for _, p := range s.parts("switch", "button") {
			first, _ := s.ends(p)
			through := math.Abs(s.r.Parts[p.Ref].Pin(first).Amps)
			if s.values[p.Ref].Text("state") != "closed" || through < given/2 {
				continue
			}
			found = append(found, remark{
				parts: []string{b.Ref, p.Ref}, weight: through, figures: []Figure{{"current", through}, {"volts", under}},
				text: fmt.Sprintf("%s shorts %s when it is closed: %s flow through it%s.", p.Ref, b.Ref, amps(through), leaving(under, open)),
			})
		}
	}
	return found
}

// shortThroughTransistors finds batteries and supplies whose current has a way
// from pole to pole through transistors that are on and nothing that limits it.
func shortThroughTransistors(s *sight) []remark {
	var found []remark
	for _, b := range s.parts("battery", "supply") {
		path := s.wayThrough(b)
		refs, coils := namesOf(path, "npn", "pnp", "nmos", "pmos"), namesOf(path, "inductor")
		if refs == nil {
			continue
		}
		least := math.Inf(1)
		for _, p := range path {
			least = min(least, s.mainAmps(p))
		}
		m := remark{parts: append(slices.Concat(refs, coils), b.Ref), weight: least, figures: []Figure{{"current", least}}}
		m.text = fmt.Sprintf("%s short%s %s: %s flow from pole to pole through %s alone; more drive makes it worse.",
			list(refs), agree(refs, "s", ""), b.Ref, amps(least), agree(refs, "it", "them"))
		if coils != nil {
			m.text = fmt.Sprintf("%s short%s %s as long as %s on: at rest %s holds nothing back, and %s flow.",
				list(refs), agree(refs, "s", ""), b.Ref, agree(refs, "it stays", "they stay"), list(coils), amps(least))
		}
		found = append(found, m)
	}
	return found
}

// namesOf are the references of the parts of those kinds.
func namesOf(parts []*model.Part, kinds ...string) []string {
	var refs []string
	for _, p := range parts {
		if slices.Contains(kinds, p.Kind) {
			refs = append(refs, p.Ref)
		}
	}
	slices.SortFunc(refs, model.NaturalCompare)
	return refs
}

// shorting are the transistors that short a battery or a supply.
func (s *sight) shorting() map[string]bool {
	all := map[string]bool{}
	for _, b := range s.parts("battery", "supply") {
		for _, p := range s.wayThrough(b) {
			all[p.Ref] = true
		}
	}
	return all
}

// mainAmps is the size of the current through a part of two pins or the switched
// path of a transistor.
func (s *sight) mainAmps(p *model.Part) float64 {
	if isTransistor(p) {
		_, from, _ := control(p)
		return math.Abs(s.r.Parts[p.Ref].Pin(from).Amps)
	}
	return s.through(p)
}

func isTransistor(p *model.Part) bool {
	return slices.Contains([]string{"npn", "pnp", "nmos", "pmos"}, p.Kind)
}

// wayThrough returns the transistors and coils on a way from pole to pole of a
// battery or supply on which nothing else stands, links aside, and on which each
// carries a good part of what it gives; nil where there is none.
func (s *sight) wayThrough(b *model.Part) []*model.Part {
	const some = 0.1 // of what the source gives
	least := max(leastLoad, some*math.Abs(s.r.Parts[b.Ref].Pin("+").Amps))
	plus, minus := s.net(b, "+"), s.net(b, "-")
	by := map[int]*model.Part{plus: nil} // the part over which a net was reached
	for todo := []int{plus}; len(todo) > 0; todo = todo[1:] {
		n := todo[0]
		for _, j := range s.at[n] {
			p := j.part
			if p.Kind != "inductor" && !isTransistor(p) || s.mainAmps(p) < least {
				continue
			}
			far, on := s.across(p, n)
			if _, seen := by[far]; on && !seen {
				by[far] = p
				todo = append(todo, far)
			}
		}
	}
	var path []*model.Part
	for n := minus; by[n] != nil; {
		path = append(path, by[n])
		n, _ = s.across(by[n], n)
	}
	return path
}

// across returns the net at the other end of a coil or of a transistor's switched
// path; false where the path does not end at n.
func (s *sight) across(p *model.Part, n int) (far int, on bool) {
	var from, to string
	if isTransistor(p) {
		_, from, to = control(p)
	} else {
		from, to = s.ends(p)
	}
	switch a, b := s.net(p, from), s.net(p, to); n {
	case a:
		return b, true
	case b:
		return a, true
	}
	return n, false
}

// leaving says what a short leaves of a voltage, where that breaks down.
func leaving(under, open float64) string {
	if math.Abs(under) > 0.9*math.Abs(open) {
		return ""
	}
	return fmt.Sprintf(" and leave %s of %s", volts(under), volts(open))
}

// unlikeCells finds batteries side by side that are not of one kind and state.
func unlikeCells(s *sight) []remark {
	var found []remark
	all := s.parts("battery")
	for i, a := range all {
		for _, b := range all[:i] {
			if s.net(a, "+") != s.net(b, "+") || s.net(a, "-") != s.net(b, "-") {
				continue
			}
			v, w := s.values[a.Ref], s.values[b.Ref]
			apart := math.Abs(v.Num("voltage") - w.Num("voltage"))
			if v.Text("chemistry") == w.Text("chemistry") && v.Text("size") == w.Text("size") && apart < 0.05 {
				continue
			}
			into := max(s.amps(a, "+"), s.amps(b, "+"), 0)
			m := remark{
				parts: []string{a.Ref, b.Ref}, weight: apart, figures: []Figure{{"volts_apart", apart}, {"current", into}},
				text: fmt.Sprintf("%s and %s lie side by side though they are not alike, %s apart without load: ", b.Ref, a.Ref, volts(apart)),
			}
			if into > 1e-6 {
				m.text += fmt.Sprintf("the stronger drives %s into the weaker.", amps(into))
			} else {
				m.text += "the stronger gives more of the current, and feeds the weaker when nothing else takes any."
			}
			found = append(found, m)
		}
	}
	return found
}
