package review

import (
	"fmt"
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/model"
)

// switchRules look at transistors that switch.
func switchRules() []rule {
	return []rule{
		{"switch-not-fully-on", Caution, "the transistor's own law at the usual gain or threshold of its type; switches are usually given a forced β of 10 to 20: makers' saturation points at I_C/I_B = 10 (confirmed)", notFullyOn},
		{"switch-marginal", Oddity, "the gain a base current of a transistor has at the load's current, by its law; that a weak one has half the usual gain is from the ranges in makers' sheets, 160 to 400 for a BC807-25 (confirmed)", marginal},
		{"follower-leaves", Oddity, "an emitter stays a junction's voltage below its base, a source more than a threshold below its gate: textbook law (from memory)", followerLeaves},
		{"switch-driven-hard", Fact, common, drivenHard},
		{"base-without-resistor", Caution, common, bareBase},
		{"floating-control", Oddity, "pull resistors of 10 to 100 kΩ: common practice, no source; leakage 50 nA at the base junction: Central MMBT3904 sheet, 100 nA at the gate: makers' sheets of the 2N7002 (both from memory)", floatingControl},
		{"cannot-turn-off", Caution, "the transistor's own law at the voltage its drive leaves across base and emitter, or gate and source", cannotTurnOff},
	}
}

// leastLoad is the current in amperes from which a transistor counts as
// switching a load.
const leastLoad = 1e-3

// weakGain is about the fraction of the usual gain that a weak specimen of a type
// has.
const weakGain = 0.5

// edge is the least ratio of the collector current that the base current could
// carry to the one that flows, for a transistor to count as saturated. Nearer to 1
// the base sets the current, whatever the state is called: the rise of the current
// with the collector's voltage, which carries leaves out, is of that order.
const edge = 1.05

// atTheEdge reports whether a bipolar transistor is saturated, and yet its base
// carries no more than what flows.
func (s *sight) atTheEdge(p *model.Part) bool {
	return s.r.Parts[p.Ref].State == analysis.Saturated && s.carries(p, 1) < edge*math.Abs(s.amps(p, "C"))
}

// driven returns the bipolar transistors that are meant to switch a load on and
// are driven to do so.
func (s *sight) driven() []*model.Part {
	shorting := s.shorting()
	var all []*model.Part
	for _, p := range s.parts("npn", "pnp") {
		if math.Abs(s.amps(p, "C")) >= leastLoad && s.switches(p) && !s.stuckOn(p) && s.r.Parts[p.Ref].State != analysis.Reverse && !shorting[p.Ref] && !s.mirrors(p) && !s.regulates(p) {
			all = append(all, p)
		}
	}
	return all
}

// mirrors reports whether a bipolar transistor is a diode, its base joined to its
// collector, or follows one that stands beside it, so that it sets a current on
// purpose.
func (s *sight) mirrors(p *model.Part) bool {
	return slices.ContainsFunc(s.at[s.net(p, "B")], func(j joint) bool {
		return j.part.Kind == p.Kind && j.pin == "B" && s.net(j.part, "B") == s.net(j.part, "C") && s.net(j.part, "E") == s.net(p, "E")
	})
}

// regulates reports whether the base of a bipolar transistor is led back to its own
// collector, through parts of two pins or through transistors that the collector
// drives, so that the feedback sets what it carries. Led back inverted it would be a
// latch, which is to be fully on. Rails lead nothing back.
func (s *sight) regulates(p *model.Part) bool {
	base, seen := s.net(p, "B"), map[tap]bool{}
	for todo := []tap{{s.net(p, "C"), false}}; len(todo) > 0; todo = todo[1:] {
		at := todo[0]
		if seen[at] || s.isRail(at.net) || s.ctx.Err() != nil {
			continue
		}
		if at.net == base {
			if !at.inverted {
				return true
			}
			continue
		}
		seen[at] = true
		for _, j := range s.at[at.net] {
			if j.part != p {
				todo = append(todo, s.onward(j, at.inverted)...)
			}
		}
	}
	return false
}

// tap is a net that follows another one, or does so inverted.
type tap struct {
	net      int
	inverted bool
}

// isRail reports whether a source holds a net, or feeds it through a plain diode.
func (s *sight) isRail(n int) bool {
	return len(s.held[n]) > 0 || slices.ContainsFunc(s.at[n], func(j joint) bool {
		return j.part.Kind == "diode" && len(s.held[s.net(j.part, "A")])+len(s.held[s.net(j.part, "K")]) > 0
	})
}

// onward returns the nets to which a pin leads what its own net does: the other
// ends of a part that conducts, the main pins of a transistor from its control pin,
// of which collector and drain do so inverted.
func (s *sight) onward(j joint, inverted bool) []tap {
	switch j.part.Kind {
	case "resistor", "potentiometer", "led", "diode", "zener", "lamp", "motor", "inductor":
	case "npn", "pnp", "nmos", "pmos":
		if pin, _, _ := control(j.part); j.pin != pin {
			return nil
		}
	default:
		return nil
	}
	var nets []tap
	for _, pin := range s.r.Parts[j.part.Ref].Pins {
		turned := isTransistor(j.part) && (pin.Name == "C" || pin.Name == "D")
		nets = append(nets, tap{s.joined.Find(pin.Net), inverted != turned})
	}
	return nets
}

// asOnAsAPair reports whether another transistor, saturated itself, leads the
// current of this one's collector into its base: a pair keeps a junction's voltage
// more than one alone, however much drives it.
func (s *sight) asOnAsAPair(p *model.Part) bool {
	return slices.ContainsFunc(s.at[s.net(p, "B")], func(j joint) bool {
		return j.part.Kind == p.Kind && j.pin == "E" && s.net(j.part, "C") == s.net(p, "C") && s.r.Parts[j.part.Ref].State == analysis.Saturated
	})
}

// notFullyOn finds transistors that are to switch and yet set the current
// themselves, as their base or gate gets too little.
func notFullyOn(s *sight) []remark {
	var found []remark
	for _, p := range s.driven() {
		load, lost := math.Abs(s.amps(p, "C")), math.Abs(s.volts(p, "C", "E"))
		if s.r.Parts[p.Ref].State != analysis.Active || s.asOnAsAPair(p) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: load,
			text: fmt.Sprintf("%s is not fully on: %s into its base let %s through, %s times as much, and it loses %s.",
				p.Ref, amps(math.Abs(s.amps(p, "B"))), amps(load), plain(math.Abs(s.r.Parts[p.Ref].ForcedBeta)), volts(lost)),
			figures: []Figure{{"forced_beta", math.Abs(s.r.Parts[p.Ref].ForcedBeta)}, {"carries", s.carries(p, 1)}, {"lost_volts", lost}},
		})
	}
	shorting := s.shorting()
	for _, p := range s.parts("nmos", "pmos") {
		if m, ok := s.halfOpen(p); ok && !shorting[p.Ref] {
			found = append(found, m)
		}
	}
	return found
}

// marginal finds bipolar transistors that are saturated with the usual gain of
// their type, if only just, and would not be with that of a weak one.
func marginal(s *sight) []remark {
	var found []remark
	for _, p := range s.driven() {
		load, lost, weak := math.Abs(s.amps(p, "C")), math.Abs(s.volts(p, "C", "E")), s.carries(p, weakGain)
		if s.r.Parts[p.Ref].State == analysis.Active || weak >= load {
			continue
		}
		if s.atTheEdge(p) {
			found = append(found, remark{
				parts: []string{p.Ref}, weight: load / weak,
				text: fmt.Sprintf("%s is on the edge of saturation, losing %s at %s: with %s into its base one of the usual gain carries about %s, one of half that gain %s.",
					p.Ref, volts(lost), amps(load), amps(math.Abs(s.amps(p, "B"))), amps(s.carries(p, 1)), amps(weak)),
				figures: []Figure{{"current", load}, {"carries", s.carries(p, 1)}, {"weak_carries", weak}, {"lost_volts", lost}},
			})
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: load / weak,
			text: fmt.Sprintf("%s is on, losing %s at %s, only if its gain is near the usual: with %s into its base such a one carries up to %s, one of half that gain %s.",
				p.Ref, volts(lost), amps(load), amps(math.Abs(s.amps(p, "B"))), amps(s.carries(p, 1)), amps(weak)),
			figures: []Figure{{"current", load}, {"carries", s.carries(p, 1)}, {"weak_carries", weak}, {"lost_volts", lost}},
		})
	}
	return found
}

// followerLeaves finds transistors that lead a load to the rail from the wrong
// side: what they leave it follows their control pin, a junction's voltage or a
// threshold below. One whose control pin is led elsewhere than to a rail follows on
// purpose.
func followerLeaves(s *sight) []remark {
	const much = 0.5 // V
	end := map[string]string{"npn": "E", "pnp": "E", "nmos": "S", "pmos": "S"}
	name := map[string]string{"npn": "an NPN on the high side", "pnp": "a PNP on the low side", "nmos": "an n-channel one on the high side", "pmos": "a p-channel one on the low side"}
	pinWords := map[string]string{"B": "base", "E": "emitter", "G": "gate", "S": "source"}
	var found []remark
	for _, p := range s.parts("npn", "pnp", "nmos", "pmos") {
		pin, from, to := control(p)
		far := from
		if from == end[p.Kind] {
			far = to
		}
		load, lost := math.Abs(s.amps(p, from)), math.Abs(s.volts(p, from, to))
		if load < leastLoad || lost < much || s.r.Parts[p.Ref].State == analysis.Reverse || s.switches(p) || len(s.held[s.net(p, far)]) == 0 || !s.drivenOn(p, s.net(p, far)) {
			continue
		}
		below := s.bias(p, pin, end[p.Kind])
		found = append(found, remark{
			parts: []string{p.Ref}, weight: lost,
			text: fmt.Sprintf("%s is %s: its %s stays %s short of its %s, so that %s of the rail stay across it at %s.",
				p.Ref, name[p.Kind], pinWords[end[p.Kind]], volts(below), pinWords[pin], volts(lost), amps(load)),
			figures: []Figure{{"lost_volts", lost}, {"bias_volts", below}, {"current", load}},
		})
	}
	return found
}

// drivenOn reports whether the control pin of a follower is driven as that of a
// switch is: to near the rail that its net far is, or by an output of a chip.
func (s *sight) drivenOn(p *model.Part, far int) bool {
	const near = 0.2 // of what lies between the rails
	pin, _, _ := control(p)
	if _, byChip := s.chipDrive(p, turnsOn(p)); byChip {
		return true
	}
	rail, span := s.r.Volts[far], 0.0
	for n := range s.held {
		if v := s.r.Volts[n]; finite(v) {
			span = max(span, math.Abs(rail-v))
		}
	}
	apart := math.Abs(rail - s.r.Volts[s.r.Parts[p.Ref].Pin(pin).Net])
	return slices.ContainsFunc(s.drivers(p), s.stiff) && apart < near*span
}

// halfOpen tells of a field-effect transistor that is driven to be on, and yet
// sets the current itself because its gate gets too little.
func (s *sight) halfOpen(p *model.Part) (remark, bool) {
	const much = 0.3 // V
	load, lost := math.Abs(s.amps(p, "D")), math.Abs(s.volts(p, "D", "S"))
	if load < leastLoad || lost < much || s.r.Parts[p.Ref].State != analysis.Active || !s.switches(p) || !slices.ContainsFunc(s.drivers(p), s.stiff) {
		return remark{}, false
	}
	gate, threshold := s.bias(p, "G", "S"), s.values[p.Ref].Num("threshold_voltage")
	return remark{
		parts: []string{p.Ref}, weight: load,
		text: fmt.Sprintf("%s is not fully on: %s at its gate are only %s above its threshold, so that it holds the current to %s and %s stay across it.",
			p.Ref, volts(gate), volts(gate-threshold), amps(load), volts(lost)),
		figures: []Figure{{"gate_volts", gate}, {"threshold_voltage", threshold}, {"lost_volts", lost}},
	}, true
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
		if s.r.Parts[p.Ref].State != analysis.Saturated || load < leastLoad || !(beta < needless) || s.stuckOn(p) {
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
			way := "from"
			if s.amps(p, "B") < 0 {
				way = "into"
			}
			found = append(found, remark{
				parts: []string{p.Ref, j.part.Ref}, weight: base,
				text: fmt.Sprintf("The base of %s has no resistor: %s flow straight %s %s, limited by the transistor and %s alone.",
					p.Ref, amps(base), way, pinInWords(j), j.part.Ref),
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
	const pull = 100e3 // Ω
	var found []remark
	for _, p := range s.parts("npn", "pnp", "nmos", "pmos") {
		if pin, _, _ := control(p); s.net(p, pin) < 0 {
			continue
		}
		if s.anyHolds(s.drivers(p)) {
			if m, ok := s.loose(p); ok {
				found = append(found, m)
			}
			continue
		}
		m := remark{parts: []string{p.Ref}, weight: 1}
		if p.Kind == "nmos" || p.Kind == "pmos" {
			m.text = fmt.Sprintf("Nothing holds the gate of %s: a leak of up to %s decides whether it is on; %s from gate to source would keep that down to %s.",
				p.Ref, amps(gateLeakage), ohms(pull), volts(gateLeakage*pull))
			m.figures = []Figure{{"leakage", gateLeakage}, {"pull_volts", gateLeakage * pull}}
		} else {
			most := leakage * (1 + s.values[p.Ref].Num("forward_beta"))
			way := "into"
			if p.Kind == "pnp" {
				way = "out of"
			}
			m.text = fmt.Sprintf("Nothing holds the base of %s: a leak of %s %s it would let %s flow.", p.Ref, amps(leakage), way, amps(most))
			m.figures = []Figure{{"leakage", leakage}, {"collector_current", most}}
		}
		found = append(found, m)
	}
	return found
}

// What may leak into a base or a gate, A.
const leakage, gateLeakage = 50e-9, 100e-9

// loose tells of a transistor that is off, held so by resistors so large that a
// leak alone might open it.
func (s *sight) loose(p *model.Part) (remark, bool) {
	const opens = 0.4 // V, at which a silicon junction begins to carry microamperes
	what, leak, least := "base", leakage, opens
	if p.Kind == "nmos" || p.Kind == "pmos" {
		what, leak, least = "gate", gateLeakage, s.values[p.Ref].Num("threshold_voltage")
	}
	ohmic := s.pull(p)
	if s.r.Parts[p.Ref].State != analysis.CutOff || !(leak*ohmic > least) {
		return remark{}, false
	}
	return remark{
		parts: []string{p.Ref}, weight: leak * ohmic, figures: []Figure{{"leakage", leak}, {"pull_volts", leak * ohmic}},
		text: fmt.Sprintf("Next to nothing holds the %s of %s: a leak of %s through the %s there makes %s, and %s may open it.",
			what, p.Ref, amps(leak), ohms(ohmic), volts(leak*ohmic), volts(least)),
	}, true
}

// pull is the resistance in ohms by which the resistors at a control pin hold it:
// side by side those ways that lead to what holds a voltage.
func (s *sight) pull(p *model.Part) float64 {
	pin, _, _ := control(p)
	seen := map[int]bool{}
	var walk func(n int) float64 // the conductance from a net on
	walk = func(n int) float64 {
		if seen[n] {
			return 0
		}
		seen[n] = true
		if len(s.held[n]) > 0 {
			return math.Inf(1)
		}
		sum := 0.0
		for _, j := range s.at[n] {
			switch {
			case j.part == p, s.isLink(j.part):
			case j.part.Kind == "resistor":
				first, second := s.ends(j.part)
				far := s.net(j.part, first) + s.net(j.part, second) - n
				if on := walk(far); on > 0 {
					sum += 1 / (s.values[j.part.Ref].Num("resistance")/float64(j.part.Multiple()) + 1/on)
				}
			case s.holds(j):
				return math.Inf(1)
			}
		}
		return sum
	}
	return 1 / walk(s.net(p, pin))
}

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
	var found []remark
	for _, p := range s.parts("npn", "pnp", "nmos", "pmos") {
		if !s.stuckOn(p) {
			continue
		}
		j, _ := s.chipDrive(p, turnsOff(p))
		_, from, to := control(p)
		load := math.Abs(s.amps(p, from))
		found = append(found, remark{
			parts: []string{p.Ref, j.part.Ref}, weight: load,
			text: fmt.Sprintf("%s stays on though %s is %s: that pin does not get near enough to the voltage %s stands at, and %s still flow with %s across it.",
				p.Ref, pinInWords(j), turnsOff(p), p.Ref, amps(load), volts(math.Abs(s.volts(p, from, to)))),
			figures: []Figure{{"current", load}},
		})
	}
	return found
}

// stuckOn reports whether a transistor conducts though a chip drives it the way
// that should turn it off.
func (s *sight) stuckOn(p *model.Part) bool {
	_, from, _ := control(p)
	if s.r.Parts[p.Ref].State == analysis.CutOff || math.Abs(s.amps(p, from)) < 1e-6 {
		return false
	}
	_, driven := s.chipDrive(p, turnsOff(p))
	return driven
}

// turnsOff is the state of an output that turns a transistor off whose emitter
// or source is at its rail.
func turnsOff(p *model.Part) string {
	if p.Kind == "pnp" || p.Kind == "pmos" {
		return "high"
	}
	return "low"
}

// turnsOn is the state of an output that turns a transistor on.
func turnsOn(p *model.Part) string {
	if turnsOff(p) == "high" {
		return "low"
	}
	return "high"
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
