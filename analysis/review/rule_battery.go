package review

import (
	"fmt"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/model"
)

// batteryRules look at what is asked of cells, and at what charges them.
func batteryRules() []rule {
	return []rule{
		{"cell-over-current", Caution, "", cellOverCurrent},
		{"coin-cell-sags", Oddity, "the cell's own resistance, see its quantities; that a fifth is much is common practice, no source", coinCellSags},
		{"drained-while-off", Oddity, "cells keep for about ten years at the most: makers' shelf lives (from memory)", drainedWhileOff},
		{"charging-primary", Caution, "primary cells are not to be charged: cell makers' handling notes (confirmed)", chargingPrimary},
		{"charged-too-fast", Caution, "a tenth of the capacity per hour for NiMH, as long as nothing ends the charging, once for the lithium cells: makers' handbooks (from memory)", chargedTooFast},
		{"overcharged", Caution, "4.2 V a cell for Li-ion, 3.65 V for LFP: makers' charging instructions (from memory)", overcharged},
		{"unlike-cells-in-parallel", Caution, "cells of different kind, brand or age are not to be mixed: cell makers' handling notes (confirmed)", unlikeCells},
	}
}

// lastingCurrent is the largest current that a cell gives for long without harm.
type lastingCurrent struct {
	amps   float64 // A; 0 where nothing is known
	source string
}

// lastingCurrentOf is what one cell may give for long, by its size or else its
// chemistry; zero where nothing is known.
func lastingCurrentOf(v model.Values) lastingCurrent {
	bySize := map[string]lastingCurrent{
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
		"14500":  {1.2, "twice its capacity per hour: makers' lists of LFP cells (from memory)"},
	}
	if m, ok := bySize[v.Text("size")]; ok {
		return m
	}
	switch v.Text("chemistry") {
	case "lithium coin":
		return lastingCurrent{3e-3, "as CR2032, 3 mA continuous: encyc.org CR2032 (confirmed)"}
	case "alkaline button":
		return lastingCurrent{5e-3, "a few milliamperes: makers' sheets of LR44 (from memory)"}
	}
	return lastingCurrent{}
}

func cellOverCurrent(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("battery") {
		v := s.values[p.Ref]
		m, given := lastingCurrentOf(v), -s.amps(p, "+")
		const shown = 1.005 // any nearer, current and limit would read the same
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
		lasts, until := s.lasts(p, seconds)
		switch {
		case until == stoppedAlready:
			m.text += ", and " + until
		case known:
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

// stoppedAlready is what happens where a chip has not enough from the beginning.
const stoppedAlready = "the chip has stopped already"

// lasts is how long a battery lasts in this mode in seconds, nothing where the chip
// has stopped already, as it is followed
// while it runs down, and what then happens. Where that is another battery's run,
// or the drawing too large to ask, it is how long the charge would at the present
// current.
func (s *sight) lasts(p *model.Part, steady float64) (seconds float64, until string) {
	if s.mayResolveOften() {
		run, err := drain.Run(s.ctx, s.d, drain.Options{Mode: s.r.Mode, Set: s.set, Rough: true})
		if err == nil && run.Battery == p.Ref {
			switch hours, end := run.Lasts(); {
			case hours == 0 && end == drain.ChipStops:
				return 0, stoppedAlready
			case hours == 0: // it is below its end point
			case end == drain.ChipStops:
				return hours * 3600, "a chip stops"
			case end != drain.TenYears:
				return hours * 3600, "it is empty"
			}
		}
	}
	return steady, "that current would have used its charge up"
}

// span writes a long time in the unit that people would use, to whole ones.
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
	if seconds < 3600 {
		return "less than an hour"
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

// leastCharge is the current in amperes into full lithium cells from which on it
// counts as charging: far below the hundredths of their capacity per hour at which
// chargers stop, makers' instructions (from memory).
const leastCharge = 1e-4

// fullAt is the voltage of a whole battery in volts at which its lithium cells are
// full, with what chargers hold it to; 0 for others.
func fullAt(v model.Values) float64 {
	const rounding = 0.01 // V a cell
	each := fullCell(v)
	if each == 0 {
		return 0
	}
	return (each + rounding) * max(1, v.Num("cells"))
}

// fullCell is the voltage in volts that one lithium cell is not to go above; 0 for
// others.
func fullCell(v model.Values) float64 {
	return map[string]float64{"Li-ion": 4.2, "LFP": 3.65}[v.Text("chemistry")]
}

// overcharged finds lithium cells that are charged to more than they stand, or
// would be in the end.
func overcharged(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("battery") {
		v := s.values[p.Ref]
		most, each := fullCell(v), s.volts(p, "+", "-")/max(1, v.Num("cells"))
		switch {
		case !s.isCharged(p):
		case s.volts(p, "+", "-") > fullAt(v):
			found = append(found, remark{
				parts: []string{p.Ref}, weight: each, figures: []Figure{{"volts_each", each}, {"limit", most}},
				text: fmt.Sprintf("%s is charged to %s a cell, and %s cells are not to go above %s: they may burn.", p.Ref, volts(each), v.Text("chemistry"), volts(most)),
			})
		case !s.chargedByChip(p):
			if into := s.intoFull(p); into > leastCharge {
				found = append(found, s.goesOn(p, into))
			}
		}
	}
	return found
}

// isCharged reports whether a current flows into lithium cells.
func (s *sight) isCharged(p *model.Part) bool {
	return fullCell(s.values[p.Ref]) > 0 && s.amps(p, "+") >= nothing
}

// chargedByChip reports whether most of the current into a battery comes from an
// output of a chip, which may be a charger.
func (s *sight) chargedByChip(p *model.Part) bool {
	const most = 0.5
	return slices.ContainsFunc(s.at[s.net(p, "+")], func(j joint) bool {
		return j.part.Kind == "chip" && s.holds(j) && -s.amps(j.part, j.pin) > most*s.amps(p, "+")
	})
}

// intoFull is the current in amperes into a battery once all lithium cells that are
// charged are full, by the circuit solved again; 0 where it cannot be.
func (s *sight) intoFull(p *model.Part) float64 {
	if !s.mayResolve() {
		return 0
	}
	set := s.r.Set.With(nil)
	for _, q := range s.parts("battery") {
		if v := s.values[q.Ref]; s.isCharged(q) {
			set.Set(q.Ref, "voltage", model.Number(fullAt(v)))
			set.Set(q.Ref, "resistance", v["resistance"])
		}
	}
	r, err := analysis.Solve(s.ctx, s.d, analysis.Options{Mode: s.r.Mode, Set: set, Start: s.r})
	if err != nil || !r.Solved {
		return 0
	}
	return r.Parts[p.Ref].Pin("+").Amps / float64(p.Multiple())
}

// goesOn tells of lithium cells into which a current still flows when they are full.
func (s *sight) goesOn(p *model.Part, then float64) remark {
	v, into := s.values[p.Ref], s.amps(p, "+")
	return remark{
		parts: []string{p.Ref}, weight: then, figures: []Figure{{"current", into}, {"current_when_full", then}, {"limit", fullCell(v)}},
		text: fmt.Sprintf("%s is charged with %s, and nothing that is drawn ends that when it is full: at %s a cell %s would still flow, and above that %s cells may burn; charge them by a circuit made for it, as their maker's sheet says.",
			p.Ref, amps(into), volts(fullCell(v)), amps(then), v.Text("chemistry")),
	}
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
