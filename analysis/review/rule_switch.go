package review

import (
	"fmt"
	"math"

	"copperglass/analysis"
	"copperglass/model"
)

// switchRules look at transistors that switch.
func switchRules() []rule {
	return []rule{
		{"switch-not-fully-on", Caution, "forced β of 10 to 20 for a switch: makers' saturation points at I_C/I_B = 10 (confirmed); the least gain by the type's range", notFullyOn},
		{"switch-driven-hard", Fact, common, drivenHard},
		{"base-without-resistor", Caution, common, bareBase},
		{"floating-control", Oddity, "pull resistors of 10 to 100 kΩ: common practice, no source; leakage 50 nA at the base junction: Central MMBT3904 sheet (from memory)", floatingControl},
		{"cannot-turn-off", Caution, "the transistor's own law at the voltage its drive leaves across base and emitter, or gate and source", cannotTurnOff},
	}
}

// leastLoad is the current in amperes from which a transistor counts as
// switching a load.
const leastLoad = 1e-3

// weakGain is the part of the type's usual gain that a weak specimen has.
const weakGain = 0.5

// notFullyOn finds bipolar transistors whose base gets too little to keep a
// weak specimen of the type saturated.
func notFullyOn(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("npn", "pnp") {
		q := s.r.Parts[p.Ref]
		load, lost := math.Abs(s.amps(p, "C")), math.Abs(s.volts(p, "C", "E"))
		gain := s.values[p.Ref].Num("forward_beta")
		if load < leastLoad || !s.switches(p) || !(math.Abs(q.ForcedBeta) > weakGain*gain) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: load,
			text: fmt.Sprintf("%s carries %s with %s into its base, a forced β of %s where a weak one of its type has a gain of %s: it may not be fully on and loses %s.",
				p.Ref, amps(load), amps(math.Abs(s.amps(p, "B"))), plain(math.Abs(q.ForcedBeta)), plain(weakGain*gain), volts(lost)),
			figures: []Figure{{"forced_beta", math.Abs(q.ForcedBeta)}, {"least_gain", weakGain * gain}, {"lost_volts", lost}},
		})
	}
	return found
}

// switches reports whether a transistor's emitter or source is held, so that
// its control pin turns it on and off.
func (s *sight) switches(p *model.Part) bool {
	end := "E"
	if p.Kind == "nmos" || p.Kind == "pmos" {
		end = "S"
	}
	for _, j := range s.at[s.net(p, end)] {
		if j.part != p && s.stiff(j) {
			return true
		}
	}
	return false
}

// drivenHard finds bipolar transistors whose base takes more than a fifth of
// what they switch.
func drivenHard(s *sight) []remark {
	const needless = 5
	var found []remark
	for _, p := range s.parts("npn", "pnp") {
		beta := math.Abs(s.r.Parts[p.Ref].ForcedBeta)
		base, load := math.Abs(s.amps(p, "B")), math.Abs(s.amps(p, "C"))
		if s.r.Parts[p.Ref].State != analysis.Saturated || load < leastLoad || !(beta < needless) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: base,
			text: fmt.Sprintf("%s takes %s into its base to switch %s, a forced β of %s; at 10 it would be as fully on with %s.",
				p.Ref, amps(base), amps(load), plain(beta), amps(load/10)),
			figures: []Figure{{"forced_beta", beta}, {"base_current", base}},
		})
	}
	return found
}

// bareBase finds bipolar transistors whose base is joined straight to what
// holds it, so that only the source's own resistance limits its current.
func bareBase(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("npn", "pnp") {
		base := math.Abs(s.amps(p, "B"))
		for _, j := range s.at[s.net(p, "B")] {
			if j.part == p || !s.stiff(j) || base < leastLoad || s.net(p, "B") == s.net(p, "E") {
				continue
			}
			found = append(found, remark{
				parts: []string{p.Ref, j.part.Ref}, weight: base,
				text: fmt.Sprintf("The base of %s has no resistor: %s flows straight from %s, limited by the transistor and %s alone.",
					p.Ref, amps(base), pinInWords(j), j.part.Ref),
				figures: []Figure{{"base_current", base}},
			})
			break
		}
	}
	return found
}

func pinInWords(j joint) string { return fmt.Sprintf("%s.%s", j.part.Ref, j.pin) }

// floatingControl finds transistors whose control pin nothing holds.
func floatingControl(s *sight) []remark {
	const leakage = 50e-9 // A
	var found []remark
	for _, p := range s.parts("npn", "pnp", "nmos", "pmos") {
		if s.anyHolds(s.drivers(p)) || s.net(p, firstOf(control(p))) < 0 {
			continue
		}
		m := remark{parts: []string{p.Ref}, weight: 1}
		if p.Kind == "nmos" || p.Kind == "pmos" {
			m.text = fmt.Sprintf("Nothing holds the gate of %s: it takes any charge that comes by, and the transistor may be on or off.", p.Ref)
		} else {
			most := leakage * (1 + s.values[p.Ref].Num("forward_beta"))
			m.text = fmt.Sprintf("Nothing holds the base of %s: a leak of %s into it would let %s flow.", p.Ref, amps(leakage), amps(most))
			m.figures = []Figure{{"leakage", leakage}, {"collector_current", most}}
		}
		found = append(found, m)
	}
	return found
}

func firstOf(first, _, _ string) string { return first }

func (s *sight) anyHolds(joints []joint) bool {
	for _, j := range joints {
		if s.holds(j) {
			return true
		}
	}
	return false
}

// cannotTurnOff finds transistors that conduct while the chip drives them the
// way that should turn them off.
func cannotTurnOff(s *sight) []remark {
	off := map[string]string{"pnp": "high", "pmos": "high", "npn": "low", "nmos": "low"}
	var found []remark
	for _, p := range s.parts("npn", "pnp", "nmos", "pmos") {
		j, driven := s.chipDrive(p, off[p.Kind])
		_, from, to := control(p)
		load := math.Abs(s.amps(p, from))
		if !driven || s.r.Parts[p.Ref].State == analysis.CutOff || load < 1e-6 {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref, j.part.Ref}, weight: load,
			text: fmt.Sprintf("%s stays on though %s is %s: that pin does not get near enough to the voltage %s stands at, and %s still flows with %s across it.",
				p.Ref, pinInWords(j), off[p.Kind], p.Ref, amps(load), volts(math.Abs(s.volts(p, from, to)))),
			figures: []Figure{{"current", load}},
		})
	}
	return found
}

// chipDrive returns the chip's output in that state that a control pin is led
// to, if nothing else holds it.
func (s *sight) chipDrive(p *model.Part, wanted string) (j joint, ok bool) {
	for _, d := range s.drivers(p) {
		if d.part.Kind != "chip" {
			continue
		}
		if role, state := s.chipPin(d.part, d.pin); role == "output" && state == wanted {
			return d, true
		}
	}
	return joint{}, false
}
