package review

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
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
		text: fmt.Sprintf("%s: %d LEDs share %s without a resistor of their own, %s each if they are alike; one whose forward voltage is %s lower could take %s.",
			list(refs), count, amps(sum), amps(each), volts(bin), atMost(most, sum)),
		figures: []Figure{{"each", each}, {"most", most}, {"count", float64(count)}},
	}, true
}

// atMost is what one of several could take of what they share.
func atMost(most, sum float64) string {
	if most >= 0.9*sum {
		return "nearly all of it"
	}
	return "up to " + amps(most)
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

// asked bounds the work of influences: parts of the drawing times loads that are
// asked about.
const asked = 2_000

// mayAsk reports whether the influences on a load's current are known or may
// still be asked for.
func (s *sight) mayAsk(p *model.Part) bool {
	return s.felt[p.Ref] != nil || len(s.felt) < asked/max(1, len(s.d.Parts))
}

// mainLoads are the loads whose influences may be asked for: of very many the
// strongest, and none in a drawing too large.
func (s *sight) mainLoads() []*model.Part {
	all, most := s.loads(), asked/max(1, len(s.d.Parts))
	if len(all) > most {
		slices.SortStableFunc(all, func(p, q *model.Part) int { return cmp.Compare(s.through(q), s.through(p)) })
		all = all[:most]
	}
	return all
}

// influences on the current of a load.
func (s *sight) influences(p *model.Part) *analysis.Influences {
	if known := s.felt[p.Ref]; known != nil {
		return known
	}
	first, _ := s.ends(p)
	all, err := analysis.Influence(s.ctx, s.d, analysis.Options{Mode: s.r.Mode, Set: s.set, Start: s.r}, p.Ref+"."+first+".amps")
	if err != nil {
		all = &analysis.Influences{}
	}
	s.felt[p.Ref] = all
	return all
}

// limiter is a kind of part with its share in limiting a load's current.
type limiter struct {
	share float64
	refs  []string // those with a share worth a word
}

// worthAWord is the share in limiting a current from which on a part is named.
const worthAWord = 0.02

// limiting tells how the resistances share in limiting a load's current: the
// part of each kind of part in the sum of their influences.
func (s *sight) limiting(p *model.Part) map[string]limiter {
	byPart := map[string]float64{}
	sum := 0.0
	for _, i := range s.influences(p).List {
		ref, name, _ := strings.Cut(i.Parameter, ".")
		if s.d.Part(ref) == nil || !strings.Contains(name, "resistance") || !finite(i.Relative) {
			continue
		}
		byPart[ref] += math.Abs(i.Relative)
		sum += math.Abs(i.Relative)
	}
	byKind := map[string]limiter{}
	for _, ref := range slices.SortedFunc(maps.Keys(byPart), model.NaturalCompare) {
		kind, share := s.limits(s.d.Part(ref), p), byPart[ref]/sum
		l := byKind[kind]
		if l.share += share; share > worthAWord {
			l.refs = append(l.refs, ref)
		}
		byKind[kind] = l
	}
	return byKind
}

// limits tells as what a part limits a load's current: a resistor that feeds a
// base carries little of it, and yet sets it.
func (s *sight) limits(p, load *model.Part) string {
	if p.Kind != "resistor" || s.through(p) >= s.through(load)/2 {
		return p.Kind
	}
	for _, pin := range s.r.Parts[p.Ref].Pins {
		for _, j := range s.at[s.joined.Find(pin.Net)] {
			if (j.part.Kind == "npn" || j.part.Kind == "pnp") && j.pin == "B" {
				return "base resistor"
			}
		}
	}
	return p.Kind
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

// linkForResistor finds links in the way of a load's current where no resistor
// stands in that way.
func linkForResistor(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("resistor") {
		load := s.inPlaceOfBallast(p)
		if load == nil {
			continue
		}
		through := s.through(p)
		found = append(found, remark{
			parts: []string{p.Ref, load.Ref}, weight: through,
			text:    fmt.Sprintf("%s is a link in the place of a resistor: nothing limits the %s through %s but %s.", p.Ref, amps(through), load.Ref, s.limitsInWords(s.limiting(load))),
			figures: []Figure{{"current", through}},
		})
	}
	return found
}

// inPlaceOfBallast returns the LED to which a resistor of next to nothing leads
// a current that no other resistor limits, or nil.
func (s *sight) inPlaceOfBallast(link *model.Part) *model.Part {
	if !s.isLink(link) || s.through(link) < leastLoad {
		return nil
	}
	load := s.besides(link)
	if load == nil || !s.mayAsk(load) || s.ballasted(load) {
		return nil
	}
	return load
}

// ballasted reports whether a resistor stands in the way of an LED's current.
// Whether it counts depends on what flows through it, not on how much the cells
// drop at the moment: it has to carry half of the LED's current at least, and
// have some part in limiting it.
func (s *sight) ballasted(led *model.Part) bool {
	const some = 0.05
	share, sum := 0.0, 0.0
	for _, i := range s.influences(led).List {
		ref, name, _ := strings.Cut(i.Parameter, ".")
		p := s.d.Part(ref)
		if p == nil || !strings.Contains(name, "resistance") || !finite(i.Relative) {
			continue
		}
		sum += math.Abs(i.Relative)
		if p.Kind == "resistor" && !s.isLink(p) && s.through(p) >= s.through(led)/2 {
			share += math.Abs(i.Relative)
		}
	}
	return share > some*sum
}

// through is the size of the current through a part of two pins, of a stack the
// whole.
func (s *sight) through(p *model.Part) float64 { return math.Abs(s.r.Parts[p.Ref].Pins[0].Amps) }

// besides returns an LED with a current that hangs on one of the link's ends.
func (s *sight) besides(link *model.Part) *model.Part {
	first, _ := s.ends(link)
	for _, j := range s.at[s.net(link, first)] {
		if j.part.Kind == "led" && s.through(j.part) >= leastLoad {
			return j.part
		}
	}
	return nil
}

// limitsInWords names what limits a current, with the shares, and how much is
// left to all others.
func (s *sight) limitsInWords(by map[string]limiter) string {
	var words []string
	rest := 100
	kinds := []string{"battery", "supply", "resistor", "led", "base resistor", "pnp", "npn", "pmos", "nmos", "diode", "chip", "fuse", "switch", "lamp", "motor"}
	slices.SortStableFunc(kinds, func(a, b string) int { return cmp.Compare(by[b].share, by[a].share) })
	for _, kind := range kinds {
		if l := by[kind]; l.share > worthAWord {
			words = append(words, fmt.Sprintf("%s (%s)", s.limiterInWords(kind, l.refs), percent(l.share)))
			rest -= int(math.Round(100 * l.share))
		}
	}
	switch {
	case len(words) == 0:
		return "the supply's voltage"
	case rest > 0:
		words = append(words, fmt.Sprintf("others (%d %%)", rest))
	}
	return list(words)
}

func (s *sight) limiterInWords(kind string, refs []string) string {
	switch kind {
	case "battery":
		return "the cells of " + s.withCharge(refs)
	case "led":
		return "the LEDs' own resistance"
	case "base resistor":
		return "the base current through " + list(refs)
	}
	return list(refs)
}

// withCharge names batteries, and how much of their charge is left where they
// are not new.
func (s *sight) withCharge(refs []string) string {
	if len(refs) == 1 {
		if left := s.values[refs[0]].Num("charge_left"); left < 1 {
			return fmt.Sprintf("%s, %s left", refs[0], percent(left))
		}
	}
	return list(refs)
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
