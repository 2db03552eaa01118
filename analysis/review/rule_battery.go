package review

import (
	"fmt"
	"math"
	"slices"

	"copperglass/model"
)

// batteryRules look at cells.
func batteryRules() []rule {
	return []rule{
		{"cell-over-current", Caution, "", cellOverCurrent},
		{"drained-while-off", Oddity, "cells keep for about ten years at the most: makers' shelf lives (from memory)", drainedWhileOff},
		{"charging-primary", Caution, "primary cells are not to be charged: cell makers' handling notes (confirmed)", chargingPrimary},
		{"short-through-switch", Caution, common, shortThroughSwitch},
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
		"CR2032": {3e-3, "3 mA continuous: encyc.org CR2032 (confirmed)"},
		"18650":  {3, "3 A continuous in a maker's list (confirmed)"},
	}
	if m, ok := bySize[v.Text("size")]; ok {
		return m
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
		if m.amps == 0 || given <= m.amps {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: given / m.amps, source: m.source,
			text: fmt.Sprintf("%s gives %s; such cells (%s) are good for %s for long, and their own resistance of %s takes %s of their voltage here.",
				p.Ref, amps(given), v.Text("size"), amps(m.amps), ohms(v.Num("resistance")), volts(given*v.Num("resistance"))),
			figures: []Figure{{"current", given}, {"limit", m.amps}},
		})
	}
	return found
}

// drainedWhileOff finds a battery that gives a current while no load takes one,
// if that empties it before it would leak its charge away by itself anyway.
func drainedWhileOff(s *sight) []remark {
	const least, shelf, year = 1e-6, 10, 8766 * 3600
	if len(s.loads()) > 0 || len(s.parts("led", "lamp", "motor")) == 0 {
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
			text: fmt.Sprintf("%s gives %s while nothing is lit", p.Ref, amps(given))}
		if known {
			m.text += fmt.Sprintf(", which would empty it in %s of standing", span(seconds))
			m.figures = append(m.figures, Figure{"years", seconds / year})
		}
		m.text += "."
		found = append(found, m)
	}
	return found
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

// shortThroughSwitch finds batteries whose voltage breaks down over a closed
// switch that takes most of their current.
func shortThroughSwitch(s *sight) []remark {
	var found []remark
	for _, b := range s.parts("battery") {
		open := s.r.Parts[b.Ref].Figure("open_circuit_voltage")
		under := s.volts(b, "+", "-")
		given := -s.r.Parts[b.Ref].Pin("+").Amps
		if !(math.Abs(under) < 0.2*math.Abs(open)) || given < leastLoad {
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
				text: fmt.Sprintf("%s shorts %s when it is closed: %s flows through it and leaves %s of %s.", p.Ref, b.Ref, amps(through), volts(under), volts(open)),
			})
		}
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
			between := min(math.Abs(s.amps(a, "+")), math.Abs(s.amps(b, "+")))
			found = append(found, remark{
				parts: []string{a.Ref, b.Ref}, weight: apart, figures: []Figure{{"volts_apart", apart}, {"current", between}},
				text: fmt.Sprintf("%s and %s lie side by side though they are not alike (%s apart without load): the stronger feeds the weaker.", b.Ref, a.Ref, volts(apart)),
			})
		}
	}
	return found
}
