package review

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/model"
)

// lightRules look at LEDs and what limits their current.
func lightRules() []rule {
	return []rule{
		{"leds-without-ballast", Oddity, "LED makers' advice to give each its own resistor (confirmed); bins of ±0.1 V (from memory), and the circuit solved with one of them so", withoutBallast},
		{"cells-set-current", Fact, "how the current falls as the resistance of each part grows: the slopes of the solved circuit, by its adjoint", cellsSetCurrent},
		{"link-for-resistor", Fact, common, linkForResistor},
		{"led-without-resistor", Fact, common, withoutResistor},
		{"zener-reversed", Oddity, common, zenerReversed},
		{"zener-out-of-regulation", Oddity, "a Zener diode regulates at its test current, not far below: makers' sheets (from memory)", outOfRegulation},
	}
}

// loads are the LEDs, lamps and motors that carry a current worth the name, in
// the drawing's order.
func (s *sight) loads() []*model.Part {
	var all []*model.Part
	for _, p := range s.parts("led", "lamp", "motor") {
		if s.through(p) >= leastLoad {
			all = append(all, p)
		}
	}
	return all
}

// asked bounds the work of telling what limits currents: parts of the drawing
// times loads that are asked about, some seconds of it.
const asked = 1_000_000

// mainLoads are the loads whose limits may be asked for: of very many the
// strongest.
func (s *sight) mainLoads() []*model.Part {
	all, most := s.loads(), asked/max(1, len(s.d.Parts))
	if len(all) > most {
		slices.SortStableFunc(all, func(p, q *model.Part) int { return cmp.Compare(s.through(q), s.through(p)) })
		all = all[:most]
	}
	return all
}

// influences on the currents of loads, by load.
func (s *sight) influences(loads []*model.Part, wanted func(parameter string) bool) []*analysis.Influences {
	names := make([]string, len(loads))
	for i, p := range loads {
		first, _ := s.ends(p)
		names[i] = p.Ref + "." + first + ".amps"
	}
	// Of a load that nothing determines the list is empty, which says as much.
	all, _ := analysis.InfluenceAll(s.ctx, s.d, analysis.Options{Mode: s.r.Mode, Set: s.set, Start: s.r}, names, wanted)
	return all
}

// cellsSetCurrent finds loads whose current is set mostly by the cells' own
// resistance.
func cellsSetCurrent(s *sight) []remark {
	const mostly = 0.5
	var found []remark
	for _, p := range s.mainLoads() {
		by := s.limiting(p)
		if !(by["battery"].share > mostly) {
			continue
		}
		total := math.Abs(s.r.Parts[p.Ref].Pins[0].Amps)
		found = append(found, remark{
			parts: append([]string{p.Ref}, by["battery"].refs...), weight: total,
			text:    fmt.Sprintf("The %s of %s are limited by %s, and fall as the cells run down.", amps(total), p.Ref, s.limitsInWords(by)),
			figures: []Figure{{"cells", by["battery"].share}, {"leds", by["led"].share}, {"resistors", by["resistor"].share}},
		})
	}
	return found
}

// zenerReversed finds Zener diodes that conduct as a plain diode does, where no
// other stands against them as in a clamp for both polarities.
func zenerReversed(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("zener") {
		through, across := s.amps(p, "A"), s.volts(p, "A", "K")
		if !(through > 0.1*s.values[p.Ref].Num("breakdown_current")) || s.clamps(p) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: through, figures: []Figure{{"current", through}, {"volts", across}},
			text: fmt.Sprintf("%s is likely the wrong way round: it carries %s as a plain diode and holds %s, not its %s.",
				p.Ref, amps(through), volts(across), volts(s.values[p.Ref].Num("breakdown_voltage"))),
		})
	}
	return found
}

// clamps reports whether another Zener diode stands the other way in the same
// line.
func (s *sight) clamps(p *model.Part) bool {
	for _, q := range s.parts("zener") {
		if q != p && (s.net(q, "A") == s.net(p, "A") || s.net(q, "K") == s.net(p, "K")) && s.alike(s.through(q), s.through(p)) {
			return true
		}
	}
	return false
}

// outOfRegulation finds Zener diodes that stand in reverse behind a resistor and
// carry next to nothing.
func outOfRegulation(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("zener") {
		v := s.values[p.Ref]
		reverse, knee := s.volts(p, "K", "A"), v.Num("breakdown_voltage")
		through := -s.amps(p, "A")
		if !(reverse > 0.5*knee) || through > 0.1*v.Num("breakdown_current") || !s.fedByResistor(p) || s.protects(p) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: 1 - reverse/knee,
			text: fmt.Sprintf("%s does not regulate: it stands at %s, below its %s, and carries %s only.",
				p.Ref, volts(reverse), volts(knee), amps(math.Abs(through))),
			figures: []Figure{{"volts", reverse}, {"breakdown_voltage", knee}},
		})
	}
	return found
}

// fedByResistor reports whether a resistor that does not lie beside a Zener diode
// leads to it. Where none does, something else sets its voltage, and it is a clamp.
func (s *sight) fedByResistor(p *model.Part) bool {
	a, k := s.net(p, "A"), s.net(p, "K")
	if s.isSourced(a) && s.isSourced(k) {
		return false
	}
	leads := func(n, other int) bool {
		return !s.isSourced(n) && slices.ContainsFunc(s.at[n], func(j joint) bool {
			if j.part.Kind != "resistor" || s.isLink(j.part) {
				return false
			}
			first, second := s.ends(j.part)
			return s.net(j.part, first)+s.net(j.part, second)-n != other
		})
	}
	return leads(a, k) || leads(k, a)
}

// isSourced reports whether a source holds a net; a chip that is fed there is none.
func (s *sight) isSourced(n int) bool {
	return slices.ContainsFunc(s.held[n], func(j joint) bool {
		role, _ := s.chipPin(j.part, j.pin)
		return role != "supply"
	})
}

// protects reports whether a Zener diode lies across what its voltage is not for:
// the gate and source of a transistor, its switched path, or a pin of a chip that
// does not feed it.
func (s *sight) protects(p *model.Part) bool {
	a, k := s.net(p, "A"), s.net(p, "K")
	across := func(q *model.Part, from, to string) bool {
		m, n := s.net(q, from), s.net(q, to)
		return m == a && n == k || m == k && n == a
	}
	for _, j := range slices.Concat(s.at[a], s.at[k]) {
		switch j.part.Kind {
		case "npn", "pnp":
			if across(j.part, "C", "E") {
				return true
			}
		case "nmos", "pmos":
			if across(j.part, "D", "S") || across(j.part, "G", "S") {
				return true
			}
		case "chip":
			if role, _ := s.chipPin(j.part, j.pin); role != "supply" && role != "ground" {
				return true
			}
		}
	}
	return false
}
