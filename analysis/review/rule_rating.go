package review

import (
	"fmt"
	"math"

	"copperglass/model"
	"copperglass/model/quantity"
)

const sheet = "the part's rating by its maker's sheet; see the rating in its quantities"

// limit is a figure of a kind of part that has a rating.
type limit struct {
	id     string
	kinds  []string
	word   string // what the figure is, in a sentence: "carries"
	unit   quantity.Unit
	figure func(s *sight, p *model.Part) float64
	rating func(s *sight, p *model.Part) float64 // 0 for none
	source string
}

// ratingRules hold figures against ratings.
func ratingRules() []rule {
	limits := []limit{
		{"resistor-over-power", []string{"resistor"}, "gives off", quantity.Watt, (*sight).watts, deratedPower, "IEC 60115-8, derating above 70 °C (from memory); ratings by size from makers' tables"},
		{"led-over-current", []string{"led"}, "carries", quantity.Ampere, pinCurrent("A"), rated("current_rating"), sheet},
		{"diode-over-current", []string{"diode"}, "carries", quantity.Ampere, pinCurrent("A"), rated("current_rating"), sheet},
		{"zener-over-power", []string{"zener"}, "gives off", quantity.Watt, (*sight).watts, rated("power_rating"), sheet},
		{"transistor-over-current", []string{"npn", "pnp"}, "carries", quantity.Ampere, pinCurrent("C"), rated("collector_current_rating"), sheet},
		{"transistor-over-current", []string{"nmos", "pmos"}, "carries", quantity.Ampere, pinCurrent("D"), rated("drain_current_rating"), sheet},
		{"transistor-over-power", []string{"npn", "pnp", "nmos", "pmos"}, "gives off", quantity.Watt, (*sight).watts, rated("power_rating"), sheet},
		{"transistor-over-voltage", []string{"npn", "pnp"}, "has across it", quantity.Volt, pinVolts("C", "E"), rated("voltage_rating"), sheet},
		{"transistor-over-voltage", []string{"nmos", "pmos"}, "has across it", quantity.Volt, pinVolts("D", "S"), rated("voltage_rating"), sheet},
		{"fuse-over-current", []string{"fuse"}, "carries", quantity.Ampere, pinCurrent("1"), rated("current_rating"), "its rating; it melts sooner or later above it (IEC 60127-2, from memory)"},
		{"capacitor-over-voltage", []string{"capacitor"}, "has across it", quantity.Volt, capacitorVolts, rated("voltage_rating"), sheet},
		{"led-reversed", []string{"led"}, "has in reverse across it", quantity.Volt, reverseVolts, mostReverse, "5 V in most makers' sheets of indicator LEDs (from memory)"},
	}
	var all []rule
	for _, l := range limits {
		all = append(all, rule{l.id, Caution, l.source, l.judge})
	}
	return all
}

func (l limit) judge(s *sight) []remark {
	var found []remark
	for _, p := range s.parts(l.kinds...) {
		x, most := l.figure(s, p), l.rating(s, p)
		if !(most > 0 && x > most) {
			continue
		}
		found = append(found, remark{
			parts: []string{p.Ref}, weight: x / most,
			text:    fmt.Sprintf("%s %s %s, and its limit is %s.", one(p), l.word, quantity.Short(x, l.unit), quantity.Short(most, l.unit)),
			figures: []Figure{{"value", x}, {"limit", most}},
		})
	}
	return found
}

// one is how a sentence begins about a part, or about each in a stack.
func one(p *model.Part) string {
	if p.Multiple() > 1 {
		return fmt.Sprintf("Each of the %d of %s", p.Multiple(), p.Ref)
	}
	return p.Ref
}

func rated(name string) func(*sight, *model.Part) float64 {
	return func(s *sight, p *model.Part) float64 { return s.values[p.Ref].Num(name) }
}

func pinCurrent(pin string) func(*sight, *model.Part) float64 {
	return func(s *sight, p *model.Part) float64 { return math.Abs(s.amps(p, pin)) }
}

func pinVolts(from, to string) func(*sight, *model.Part) float64 {
	return func(s *sight, p *model.Part) float64 { return math.Abs(s.volts(p, from, to)) }
}

func capacitorVolts(s *sight, p *model.Part) float64 {
	first, second := s.ends(p)
	return math.Abs(s.volts(p, first, second))
}

func reverseVolts(s *sight, p *model.Part) float64 { return s.volts(p, "K", "A") }

func mostReverse(*sight, *model.Part) float64 { return 5 }

// deratedPower is a resistor's power rating at its temperature: full up to
// 70 °C, then falling straight to nothing at 155 °C.
func deratedPower(s *sight, p *model.Part) float64 {
	const full, none = 343.15, 428.15 // K
	v := s.values[p.Ref]
	share := (none - v.Num("temperature")) / (none - full)
	return v.Num("power_rating") * min(1, max(share, 1e-3))
}
