package review

import (
	"fmt"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
)

// lightRules look at LEDs and what limits their current.
func lightRules() []rule {
	return []rule{
		{"leds-without-ballast", Oddity, "LED makers' advice to give each its own resistor (confirmed); bins of ±0.1 V (from memory)", withoutBallast},
		{"cells-set-current", Fact, "the influences on the current, by the adjoint of the solved circuit", cellsSetCurrent},
		{"link-for-resistor", Fact, common, linkForResistor},
		{"zener-out-of-regulation", Oddity, "a Zener diode regulates at its test current, not far below: makers' sheets (from memory)", outOfRegulation},
	}
}

// bin is how far the forward voltage of an LED lies from the usual, V.
const bin = 0.1

// withoutBallast finds LEDs that share one voltage: stacks, and several joined
// at both ends.
func withoutBallast(s *sight) []remark {
	groups := map[[2]int][]*model.Part{}
	var order [][2]int
	for _, p := range s.parts("led") {
		ends := [2]int{s.net(p, "A"), s.net(p, "K")}
		if groups[ends] == nil {
			order = append(order, ends)
		}
		groups[ends] = append(groups[ends], p)
	}
	var found []remark
	for _, ends := range order {
		if m, ok := s.shares(groups[ends]); ok {
			found = append(found, m)
		}
	}
	return found
}

func (s *sight) shares(group []*model.Part) (remark, bool) {
	count, sum := 0, 0.0
	var refs []string
	for _, p := range group {
		count += p.Multiple()
		sum += s.r.Parts[p.Ref].Pin("A").Amps
		refs = append(refs, p.Ref)
	}
	if count < 2 || sum < float64(count)*1e-4 {
		return remark{}, false
	}
	first := group[0]
	each := s.amps(first, "A")
	most := s.ledAmps(first, bin)
	return remark{
		parts: refs, weight: sum,
		text: fmt.Sprintf("%s: %d LEDs share %s without a resistor of their own, %s each if they are alike; one whose forward voltage is %s lower could take up to %s.",
			list(refs), count, amps(sum), amps(each), volts(bin), amps(most)),
		figures: []Figure{{"each", each}, {"most", most}, {"count", float64(count)}},
	}, true
}

// ledAmps is the current of an LED at its voltage in the circuit if it were of
// a forward voltage lower by that much: I of V = I R_S + n V_T ln(I/I_S' + 1)
// with I_S' = I_S exp(shift/(n V_T)), found by halving.
func (s *sight) ledAmps(p *model.Part, shift float64) float64 {
	v := s.values[p.Ref]
	scale := v.Num("emission_coefficient") * model.ThermalVoltage(v.Num("temperature"))
	across := s.volts(p, "A", "K")
	// The saturation current at the part's temperature follows from what it
	// carries, so that the law over temperature need not be written twice.
	now, rs := s.amps(p, "A"), v.Num("series_resistance")
	saturation := now / math.Expm1((across-now*rs)/scale) * math.Exp(shift/scale)
	low, high := 0.0, across/max(rs, 1e-6)
	for range 200 {
		middle := (low + high) / 2
		if middle*rs+scale*math.Log1p(middle/saturation) < across {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// loads are the LEDs and lamps that carry a current worth the name.
func (s *sight) loads() []*model.Part {
	var all []*model.Part
	for _, p := range s.parts("led", "lamp", "motor") {
		if math.Abs(s.r.Parts[p.Ref].Pins[0].Amps) >= leastLoad {
			all = append(all, p)
		}
	}
	return all
}

// currentOf names the current into a part's first pin.
func (s *sight) currentOf(p *model.Part) string {
	first, _ := s.ends(p)
	return p.Ref + "." + first + ".amps"
}

// influences on the current of a load.
func (s *sight) influences(p *model.Part) *analysis.Influences {
	all, err := analysis.Influence(s.ctx, s.d, analysis.Options{Mode: s.r.Mode, Set: s.set, Start: s.r}, s.currentOf(p))
	if err != nil {
		return &analysis.Influences{}
	}
	return all
}

// limiting tells how the resistances share in limiting a load's current: the
// part of each kind of part in the sum of their influences.
func (s *sight) limiting(p *model.Part) (byKind map[string]float64, batteries []string) {
	byKind = map[string]float64{}
	sum := 0.0
	for _, i := range s.influences(p).List {
		ref, name, _ := strings.Cut(i.Parameter, ".")
		part := s.d.Part(ref)
		if part == nil || !strings.Contains(name, "resistance") || !finite(i.Relative) {
			continue
		}
		byKind[part.Kind] += math.Abs(i.Relative)
		sum += math.Abs(i.Relative)
		if part.Kind == "battery" {
			batteries = append(batteries, ref)
		}
	}
	for kind := range byKind {
		byKind[kind] /= sum
	}
	return byKind, batteries
}

// cellsSetCurrent finds loads whose current is set mostly by the cells' own
// resistance.
func cellsSetCurrent(s *sight) []remark {
	const mostly = 0.5
	var found []remark
	for _, p := range s.loads() {
		share, batteries := s.limiting(p)
		if !(share["battery"] > mostly) {
			continue
		}
		total := math.Abs(s.r.Parts[p.Ref].Pins[0].Amps)
		found = append(found, remark{
			parts: append([]string{p.Ref}, batteries...), weight: total,
			text:    fmt.Sprintf("The %s of %s are set by %s, and so fall as the cells run down.", amps(total), p.Ref, leftToLimit(share, batteries)),
			figures: []Figure{{"cells", share["battery"]}, {"leds", share["led"]}, {"resistors", share["resistor"]}},
		})
	}
	return found
}

// linkForResistor finds links in the way of a load's current where nothing else
// limits it.
func linkForResistor(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("resistor") {
		v := s.values[p.Ref]
		first, _ := s.ends(p)
		through := math.Abs(s.r.Parts[p.Ref].Pin(first).Amps)
		if v.Num("resistance") > linkOhms || through < leastLoad {
			continue
		}
		load := s.besides(p)
		if load == nil {
			continue
		}
		share, batteries := s.limiting(load)
		if share["resistor"] > 0.1 {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref, load.Ref}, weight: through,
			text: fmt.Sprintf("%s is a link in the place of a resistor: nothing limits the %s through %s but %s.",
				p.Ref, amps(through), load.Ref, leftToLimit(share, batteries)),
			figures: []Figure{{"current", through}},
		})
	}
	return found
}

// besides returns a load that hangs on one of the link's ends.
func (s *sight) besides(link *model.Part) *model.Part {
	first, _ := s.ends(link)
	for _, j := range s.at[s.net(link, first)] {
		if j.part.Kind == "led" && math.Abs(s.r.Parts[j.part.Ref].Pins[0].Amps) >= leastLoad {
			return j.part
		}
	}
	return nil
}

// leftToLimit names what limits a current besides resistors.
func leftToLimit(share map[string]float64, batteries []string) string {
	names := []struct{ kind, words string }{
		{"battery", "the cells of " + list(batteries)}, {"supply", "the supply"}, {"resistor", "resistors"}, {"led", "the LEDs' own resistance"},
		{"pnp", "the transistor"}, {"npn", "the transistor"}, {"pmos", "the transistor"}, {"nmos", "the transistor"}, {"lamp", "the lamp"}, {"motor", "the motor"},
	}
	var words []string
	for _, n := range names {
		if share[n.kind] > 0.05 {
			words = append(words, fmt.Sprintf("%s (%s)", n.words, percent(share[n.kind])))
		}
	}
	if len(words) == 0 {
		return "the supply's voltage"
	}
	return list(words)
}

// outOfRegulation finds Zener diodes that stand in reverse and carry next to
// nothing, though what feeds them comes from well above.
func outOfRegulation(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("zener") {
		v := s.values[p.Ref]
		reverse, knee := s.volts(p, "K", "A"), v.Num("breakdown_voltage")
		through := -s.amps(p, "A")
		if !(reverse > 0.5*knee) || through > 0.1*v.Num("breakdown_current") {
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
