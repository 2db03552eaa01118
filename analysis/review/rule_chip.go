package review

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"copperglass/model"
)

// chipRules look at chips: what their pins carry and how they are fed.
func chipRules() []rule {
	return []rule{
		{"chip-pin-over-current", Caution, "40 mA at any pin: Atmel ATtiny13A datasheet, absolute maximum (confirmed); other chips stand less", chipPinOverCurrent},
		{"chip-outputs-fight", Caution, "two outputs joined on one net, and the currents of the solved circuit between them", outputsFight},
		{"led-on-chip-pin", Oddity, "the shares of the parts in limiting the current, of the solved circuit; an output's resistance is seldom promised: makers' sheets give a worst case only (from memory)", ledOnPin},
		{"chip-perhaps-over-voltage", Oddity, "6 V, the absolute maximum of small 5 V microcontrollers (from memory)", perhapsOverVoltage},
		{"chip-pin-beyond-supply", Caution, "0.3 V beyond supply or ground: absolute maximum in makers' sheets of small microcontrollers (from memory)", pinBeyondSupply},
		{"chip-reversed", Caution, "its supply pin is not to go more than 0.3 V below ground: absolute maximum in makers' sheets (from memory)", chipReversed},
		{"chip-below-brown-out", Oddity, "the voltage at which the chip stops; where it is from stands beside it in its quantities", belowBrownOut},
		{"chip-unnamed", Fact, "makers' pin tables, row by row in the catalogue; most rows are from memory", unnamedChip},
		{"chip-supply-resistor", Fact, "why such a resistor is there is common practice, no source; the time constant is R times C", supplyResistor},
	}
}

func chipPinOverCurrent(s *sight) []remark {
	const limit = 0.04 // A
	var found []remark
	for _, p := range s.parts("chip") {
		for _, pin := range p.Pins {
			role, _ := s.chipPin(p, pin.Number)
			through := math.Abs(s.amps(p, pin.Number))
			if role == "supply" || role == "ground" || through <= limit {
				continue
			}
			found = append(found, remark{
				parts: []string{p.Ref}, weight: through / limit, figures: []Figure{{"current", through}, {"limit", limit}},
				text: fmt.Sprintf("%s.%s carries %s, more than the %s that even a strong small chip stands.", p.Ref, pin.Number, amps(through), amps(limit)),
			})
		}
	}
	return found
}

// outputsFight finds outputs that are joined and driven against each other.
func outputsFight(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("chip") {
		for _, pin := range p.Pins {
			if role, state := s.chipPin(p, pin.Number); role != "output" || state != "high" {
				continue
			}
			high := joint{p, pin.Number}
			for _, low := range s.held[s.net(p, pin.Number)] {
				if m, fights := s.fight(high, low); fights {
					found = append(found, m)
				}
			}
		}
	}
	return found
}

// fight tells of a high output that drives a current into a low one.
func (s *sight) fight(high, low joint) (remark, bool) {
	if low.part.Kind != "chip" {
		return remark{}, false
	}
	_, state := s.chipPin(low.part, low.pin)
	flows := min(-s.amps(high.part, high.pin), s.amps(low.part, low.pin))
	if state != "low" || flows < leastLoad {
		return remark{}, false
	}
	return remark{
		parts: []string{high.part.Ref, low.part.Ref}, about: pinInWords(high) + " " + pinInWords(low), weight: flows, figures: []Figure{{"current", flows}},
		text: fmt.Sprintf("%s is high and %s, joined to it, low: they drive against each other, and %s flow from one into the other.",
			pinInWords(high), pinInWords(low), amps(flows)),
	}, true
}

// ledOnPin finds LEDs whose current an output of a chip limits and nothing else
// that might be there to.
func ledOnPin(s *sight) []remark {
	const mostly = 0.5
	var found []remark
	for _, g := range s.groups() {
		led := g.led()
		pins := s.outputsAt(g)
		if len(pins) == 0 || !s.mayAsk(led) || s.ballasted(led) {
			continue
		}
		share := s.limiting(led)["chip"].share
		if !(share > mostly) {
			continue
		}
		m := remark{parts: g.leds(), about: strings.Join(g.leds(), " "), weight: g.amps, figures: []Figure{{"current", g.amps}, {"chip", share}}}
		var words []string
		lost := 0.0
		for _, j := range pins {
			m.parts = append(m.parts, j.part.Ref)
			words = append(words, pinInWords(j))
			lost += s.lostIn(j)
		}
		m.figures = append(m.figures, Figure{"lost_volts", lost})
		m.text = fmt.Sprintf("%s %s the %s through %s in the place of a resistor (%s) and %s %s; what an output gives differs from chip to chip.",
			list(words), agree(words, "limits", "limit"), amps(g.amps), list(g.leds()), percent(share), agree(words, "loses", "lose"), volts(lost))
		found = append(found, m)
	}
	return found
}

// outputsAt are the outputs of chips, driven high or low, at the ends of LEDs.
func (s *sight) outputsAt(g lights) []joint {
	row := g.strings[0]
	var pins []joint
	for _, n := range []int{s.net(row[0], "A"), s.net(row[len(row)-1], "K")} {
		for _, j := range s.held[n] {
			if j.part.Kind != "chip" {
				continue
			}
			if role, _ := s.chipPin(j.part, j.pin); role == "output" || role == "open_drain" {
				pins = append(pins, j)
			}
		}
	}
	return pins
}

// lostIn is the voltage between an output and the pin of supply or ground that it
// is switched to.
func (s *sight) lostIn(j joint) float64 {
	to := "ground"
	if _, state := s.chipPin(j.part, j.pin); state == "high" {
		to = "supply"
	}
	return math.Abs(s.volts(j.part, j.pin, pinOf(j.part, to)))
}

// perhapsOverVoltage finds chips that nobody knows and that have more than a small
// controller stands.
func perhapsOverVoltage(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("chip") {
		v, most := supplyVolts(s, p), s.values[p.Ref].Num("supply_voltage_rating")
		if supplyRated(p) || ofKnownFamily(p) || model.IsOtherThanController(p.Value) || !(v > most) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: v / most, figures: []Figure{{"volts", v}, {"limit", most}},
			text: fmt.Sprintf("%s has %s between supply and ground: if it is a small controller, that is %s the %s most of them stand; other kinds stand more.",
				p.Ref, volts(v), moreThan(v/most), volts(most)),
		})
	}
	return found
}

// moreThan says how far a figure is above another: "20 % more than", "3.2 times".
func moreThan(ratio float64) string {
	if words := beyond(ratio); strings.HasSuffix(words, "times") {
		return words
	}
	return percent(ratio-1) + " more than"
}

// chipReversed finds chips that are fed the wrong way round.
func chipReversed(s *sight) []remark {
	const most = 0.3 // V
	var found []remark
	for _, p := range s.parts("chip") {
		reverse := -supplyVolts(s, p)
		if !(reverse > most) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: reverse, figures: []Figure{{"volts", reverse}},
			text: fmt.Sprintf("%s is fed the wrong way round: its supply is %s below its ground; a real one would conduct there, which is not modelled, and be destroyed.", p.Ref, volts(reverse)),
		})
	}
	return found
}

// belowBrownOut finds chips that are fed, and with less than they need to run.
func belowBrownOut(s *sight) []remark {
	const fed = 0.5 // V
	var found []remark
	for _, p := range s.parts("chip") {
		v, least := supplyVolts(s, p), s.values[p.Ref].Num("brown_out_voltage")
		if _, said := p.Params["brown_out_voltage"]; !said && model.IsOtherThanController(p.Value) {
			continue
		}
		if !(v > fed && v < least) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: least - v, figures: []Figure{{"volts", v}, {"brown_out_voltage", least}},
			text: fmt.Sprintf("%s has %s and stops below %s: it would not do what this mode says.", p.Ref, volts(v), volts(least)),
		})
	}
	return found
}

// pinBeyondSupply finds pins of chips that something else pulls above the supply
// or below ground.
func pinBeyondSupply(s *sight) []remark {
	const most = 0.3 // V
	var found []remark
	for _, p := range s.parts("chip") {
		supply, ground := pinOf(p, "supply"), pinOf(p, "ground")
		if !(supplyVolts(s, p) >= 0) || model.IsOtherThanController(p.Value) {
			continue
		}
		for _, pin := range p.Pins {
			if pin.Number == supply || pin.Number == ground {
				continue
			}
			beyond, where := s.volts(p, pin.Number, supply), "above its supply"
			if below := s.volts(p, ground, pin.Number); below > beyond {
				beyond, where = below, "below its ground"
			}
			if !(beyond > most) {
				continue
			}
			found = append(found, remark{
				parts: []string{p.Ref}, about: p.Ref + "." + pin.Number, weight: beyond, figures: []Figure{{"beyond", beyond}, {"limit", most}},
				text: fmt.Sprintf("%s.%s stands %s %s, more than %s: its protection diodes would conduct there; they are not modelled, and real figures differ.",
					p.Ref, pin.Number, volts(beyond), where, volts(most)),
			})
		}
	}
	return found
}

// unnamedChip tells of a chip without a name which families have their supply
// and ground at its pins, and as many outputs.
func unnamedChip(s *sight) []remark {
	var found []remark
	for _, p := range s.parts("chip") {
		supply, ground := pinOf(p, "supply"), pinOf(p, "ground")
		if named(p) || supply == "" || ground == "" {
			continue
		}
		outputs := outputsOf(p)
		families := model.ChipFamilies(leads(p), outputs, supply, ground)
		where := fmt.Sprintf("its supply at pin %s and its ground at pin %s", supply, ground)
		if outputs > 1 {
			where = fmt.Sprintf("its supply at pin %s, its ground at pin %s and %d outputs", supply, ground, outputs)
		}
		if given := s.values[p.Ref].Num("package_pins"); given > 0 {
			families = slices.DeleteFunc(families, func(f model.ChipFamily) bool { return f.Leads != int(given) })
			where = fmt.Sprintf("%.0f leads, %s", given, where)
		}
		found = append(found, remark{
			parts: []string{p.Ref}, always: true, weight: 1, source: familySources(families),
			figures: []Figure{{"families", float64(len(families))}, {"outputs", float64(outputs)}},
			text:    fmt.Sprintf("%s has %s: %s.", p.Ref, where, familiesInWords(families)),
		})
	}
	return found
}

// outputsOf counts the pins that switch something.
func outputsOf(p *model.Part) int {
	count := 0
	for _, pin := range p.Pins {
		if pin.Role == "output" || pin.Role == "open_drain" {
			count++
		}
	}
	return count
}

// named reports whether the chip's value or marking is more than a word for
// not knowing.
func named(p *model.Part) bool {
	name := strings.ToLower(strings.TrimSpace(p.Value + p.Marking))
	return !slices.Contains([]string{"", "?", "unmarked", "unknown", "unnamed", "no name", "none"}, name)
}

func pinOf(p *model.Part, role string) string {
	for _, pin := range p.Pins {
		if pin.Role == role {
			return pin.Number
		}
	}
	return ""
}

// leads is the least number of leads that the chip's case has: its highest pin.
func leads(p *model.Part) int {
	most := len(p.Pins)
	for _, pin := range p.Pins {
		if n, err := strconv.Atoi(pin.Number); err == nil {
			most = max(most, n)
		}
	}
	return most
}

// shownFamilies is how many families a sentence names.
const shownFamilies = 6

func familiesInWords(families []model.ChipFamily) string {
	if len(families) == 0 {
		return "no family in the catalogue fits that"
	}
	var names []string
	for _, f := range families {
		names = append(names, f.Name)
	}
	text := strings.Join(names[:min(len(names), shownFamilies)], "; ")
	if more := len(names) - shownFamilies; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return "so have " + text + " (that alone does not decide)"
}

// familySources says where the pins of the named families are from, and whether
// that was confirmed; "" where there are none.
func familySources(families []model.ChipFamily) string {
	var sheets []string
	for _, f := range families[:min(len(families), shownFamilies)] {
		sheets = append(sheets, fmt.Sprintf("%s (%s)", f.Source, f.Founded))
	}
	slices.Sort(sheets)
	return strings.Join(slices.Compact(sheets), "; ")
}

// supplyResistor finds the resistor that leads to a chip's supply pin from a
// pole of the battery.
func supplyResistor(s *sight) []remark {
	var found []remark
	for _, chip := range s.parts("chip") {
		pin := pinOf(chip, "supply")
		if pin == "" {
			continue
		}
		n := s.net(chip, pin)
		for _, j := range s.at[n] {
			if j.part.Kind == "resistor" && !s.isLink(j.part) && s.leadsToPole(j.part, n) {
				found = append(found, s.feeds(j.part, chip, n))
			}
		}
	}
	return found
}

// leadsToPole reports whether the far end of a resistor is at a battery or
// supply.
func (s *sight) leadsToPole(r *model.Part, near int) bool {
	first, second := s.ends(r)
	far := s.net(r, first)
	if far == near {
		far = s.net(r, second)
	}
	for _, j := range s.at[far] {
		if j.part.Kind == "battery" || j.part.Kind == "supply" {
			return true
		}
	}
	return false
}

func (s *sight) feeds(r, chip *model.Part, n int) remark {
	first, second := s.ends(r)
	drop := math.Abs(s.volts(r, first, second))
	m := remark{parts: []string{r.Ref, chip.Ref}, weight: drop,
		figures: []Figure{{"drop", drop}, {"current", math.Abs(s.amps(r, first))}},
		text:    fmt.Sprintf("%s feeds %s: %s through its %s lose %s", r.Ref, chip.Ref, amps(math.Abs(s.amps(r, first))), ohms(s.values[r.Ref].Num("resistance")), volts(drop))}
	for _, j := range s.at[n] {
		if j.part.Kind == "capacitor" {
			tau := s.values[r.Ref].Num("resistance") * s.values[j.part.Ref].Num("capacitance")
			m.parts = append(m.parts, j.part.Ref)
			m.figures = append(m.figures, Figure{"seconds", tau})
			m.text += fmt.Sprintf("; with %s it makes a filter of %s, %s", j.part.Ref, seconds(tau), filterPurpose(tau))
			break
		}
	}
	m.text += "."
	return m
}

// filterPurpose says what a filter in a chip's supply is likely good for. What
// lasts much longer than its time constant passes it: the dips of cells when a
// load is switched last as long as the load is on, the spikes of switching
// microseconds.
func filterPurpose(tau float64) string {
	const dip = 1e-3 // s
	if tau < dip {
		return "likely against the short spikes of switching; a sag of the cells outlasts it"
	}
	return "likely so that a short sag of the cells does not reset the chip"
}
