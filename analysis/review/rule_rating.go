package review

import (
	"context"
	"fmt"
	"math"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

const sheet = "the part's rating; where it is from stands beside it in its quantities"

// limit is a figure of a kind of part that has a rating.
type limit struct {
	id     string
	kinds  []string
	word   string // what the figure is, in a sentence: "carries %s"
	unit   quantity.Unit
	figure func(s *sight, p *model.Part) float64
	rating func(s *sight, p *model.Part) float64 // 0 for none
	source string
}

// limits are the figures that are held against ratings.
func limits() []limit {
	return []limit{
		{"resistor-over-power", []string{"resistor"}, "gives off %s", quantity.Watt, (*sight).watts, deratedPower, "IEC 60115-8, derating above 70 °C (from memory); ratings by size from makers' tables"},
		{"resistor-over-voltage", []string{"resistor"}, "has %s across it", quantity.Volt, voltsAcross, rated("voltage_rating"), "the voltage its case stands: makers' size tables (from memory)"},
		{"potentiometer-over-current", []string{"potentiometer"}, "carries %s in a part of its track", quantity.Ampere, trackCurrent, mostOfTrack, "its power rating holds for the whole track, √(P/R) is the current at which that is reached: common practice, no source"},
		{"lamp-over-voltage", []string{"lamp"}, "has %s across it", quantity.Volt, voltsAcross, mostOfLamp, "a tenth over the voltage it is made for: the life of a filament falls with the 12th power of the voltage or faster (from memory)"},
		{"led-over-current", []string{"led"}, "carries %s", quantity.Ampere, pinCurrent("A"), rated("current_rating"), sheet},
		{"diode-over-current", []string{"diode"}, "carries %s", quantity.Ampere, pinCurrent("A"), rated("current_rating"), sheet},
		{"diode-over-voltage", []string{"diode"}, "blocks %s", quantity.Volt, reverseVolts, rated("reverse_voltage_rating"), sheet},
		{"zener-over-power", []string{"zener"}, "gives off %s", quantity.Watt, (*sight).watts, rated("power_rating"), sheet},
		{"transistor-over-current", []string{"npn", "pnp"}, "carries %s", quantity.Ampere, pinCurrent("C"), rated("collector_current_rating"), sheet},
		{"transistor-over-current", []string{"nmos", "pmos"}, "carries %s", quantity.Ampere, pinCurrent("D"), rated("drain_current_rating"), sheet},
		{"transistor-over-power", []string{"npn", "pnp", "nmos", "pmos"}, "gives off %s", quantity.Watt, (*sight).watts, rated("power_rating"), sheet},
		{"transistor-over-voltage", []string{"npn", "pnp"}, "has %s across it", quantity.Volt, pinVolts("C", "E"), rated("voltage_rating"), sheet},
		{"transistor-over-voltage", []string{"nmos", "pmos"}, "has %s across it", quantity.Volt, pinVolts("D", "S"), rated("voltage_rating"), sheet},
		{"base-reversed", []string{"npn", "pnp"}, "has %s from base to emitter the wrong way", quantity.Volt, reverseBias, mostReverse, "5 to 6 V in makers' sheets of small transistors (from memory)"},
		{"gate-over-voltage", []string{"nmos", "pmos"}, "has %s between gate and source", quantity.Volt, pinVolts("G", "S"), rated("gate_voltage_rating"), sheet},
		{"fuse-over-current", []string{"fuse"}, "carries %s", quantity.Ampere, pinCurrent("1"), rated("current_rating"), "its rating; it melts sooner or later above it (IEC 60127-2, from memory)"},
		{"capacitor-over-voltage", []string{"capacitor"}, "has %s across it", quantity.Volt, voltsAcross, rated("voltage_rating"), sheet},
		{"chip-over-voltage", []string{"chip"}, "has %s between supply and ground", quantity.Volt, supplyVolts, mostOfSupply, "absolute maximum in makers' sheets of small microcontrollers (from memory); other kinds may stand more: set the rating by the chip's own sheet"},
		{"led-reversed", []string{"led"}, "has %s across it the wrong way", quantity.Volt, reverseVolts, mostReverse, "5 V in most makers' sheets of indicator LEDs (from memory)"},
	}
}

// ratingRules hold figures against ratings.
func ratingRules() []rule {
	var all []rule
	for _, l := range limits() {
		all = append(all, rule{l.id, Caution, l.source, l.judge})
	}
	return all
}

// Strain is how a figure of a part stands to its rating.
type Strain struct {
	Part  string
	Share float64 // of the rating; above 1 it is overdriven
	Of    string  // what is rated: "power", "current", "voltage"
}

// MostStrained returns the figure that stands highest against a rating at an
// operating point of d, or an empty one where nothing is rated.
func MostStrained(ctx context.Context, d *model.Diagram, r *analysis.Result) Strain {
	var most Strain
	for _, x := range Rated(ctx, d, r) {
		if share := x.Value / x.Limit; share > most.Share {
			most = Strain{x.Part, share, ratedIn(x.Unit)}
		}
	}
	return most
}

// ratedIn names what is rated in a unit.
func ratedIn(u quantity.Unit) string {
	switch u {
	case quantity.Watt:
		return "power"
	case quantity.Ampere:
		return "current"
	}
	return "voltage"
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
			text:    l.over(p, x, most) + s.heated(p, l) + ".",
			figures: []Figure{{"value", x}, {"limit", most}},
		})
	}
	return found
}

// over says how far a figure of a part is over its limit.
func (l limit) over(p *model.Part, x, most float64) string {
	return fmt.Sprintf("%s %s, %s its limit of %s", one(p), fmt.Sprintf(l.word, quantity.Short(x, l.unit)), beyond(x/most), quantity.Short(most, l.unit))
}

// beyond says how far a figure is over a limit: "20 % over", "3.2 times".
func beyond(ratio float64) string {
	switch {
	case ratio < 1.005:
		return "just over"
	case ratio < 2:
		return percent(ratio-1) + " over"
	case ratio < 100:
		return fmt.Sprintf("%.2g times", ratio)
	}
	return plain(ratio) + " times"
}

// one is how a sentence begins about a part, or about each in a stack.
func one(p *model.Part) string {
	if p.Multiple() > 1 {
		return fmt.Sprintf("Each of the %d of %s", p.Multiple(), p.Ref)
	}
	return p.Ref
}

// eachOf is what a figure of one in a stack is followed by.
func eachOf(p *model.Part) string {
	if p.Multiple() > 1 {
		return " each"
	}
	return ""
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

// voltsAcross is the size of the voltage across a part of two pins.
func voltsAcross(s *sight, p *model.Part) float64 {
	first, second := s.ends(p)
	return math.Abs(s.volts(p, first, second))
}

// reverseBias is the voltage that holds a bipolar transistor off.
func reverseBias(s *sight, p *model.Part) float64 { return -s.bias(p, "B", "E") }

func reverseVolts(s *sight, p *model.Part) float64 { return s.volts(p, "K", "A") }

// mostReverse is the reverse voltage in volts that an LED, or the base of a
// bipolar transistor, stands by the most careful of makers' sheets.
func mostReverse(*sight, *model.Part) float64 { return 5 }

// heated says at which temperature a limit holds, where it is the lower for it.
func (s *sight) heated(p *model.Part, l limit) string {
	if full := s.values[p.Ref].Num("power_rating"); l.id == "resistor-over-power" && l.rating(s, p) < full {
		return fmt.Sprintf(" at %.0f °C", s.values[p.Ref].Num("temperature")-freezing)
	}
	return ""
}

const freezing = 273.15 // K

// trackCurrent is the heavier of the currents in the two parts of a
// potentiometer's track that carry any.
func trackCurrent(s *sight, p *model.Part) float64 {
	first, last := math.Abs(s.amps(p, "1")), math.Abs(s.amps(p, "2"))
	switch s.values[p.Ref].Num("position") {
	case 0:
		return last
	case 1:
		return first
	}
	return max(first, last)
}

// mostOfTrack is the current at which the whole track would give off all that
// it may.
func mostOfTrack(s *sight, p *model.Part) float64 {
	v := s.values[p.Ref]
	if v.Num("resistance") == 0 {
		return 0
	}
	return math.Sqrt(v.Num("power_rating") / v.Num("resistance"))
}

func mostOfLamp(s *sight, p *model.Part) float64 { return 1.1 * s.values[p.Ref].Num("rated_voltage") }

// supplyVolts is the voltage of a chip's supply, NaN where it has none.
func supplyVolts(s *sight, p *model.Part) float64 {
	supply, ground := pinOf(p, "supply"), pinOf(p, "ground")
	if supply == "" || ground == "" {
		return math.NaN()
	}
	return s.volts(p, supply, ground)
}

// mostOfSupply is what a chip's supply may be: what somebody said, or what is
// usual for a microcontroller, but nothing for a chip that is not known to be one.
func mostOfSupply(s *sight, p *model.Part) float64 {
	if !supplyRated(p) && (model.IsOtherThanController(p.Value) || !ofKnownFamily(p)) {
		return 0
	}
	return s.values[p.Ref].Num("supply_voltage_rating")
}

// supplyRated reports whether somebody said what a chip's supply may be.
func supplyRated(p *model.Part) bool {
	_, said := p.Params["supply_voltage_rating"]
	return said
}

// ofKnownFamily reports whether the name of a chip tells what it is.
func ofKnownFamily(p *model.Part) bool { return len(model.FamiliesNamed(p.Value)) > 0 }

func deratedPower(s *sight, p *model.Part) float64 { return PowerLimit(p.Kind, s.values[p.Ref]) }

// PowerLimit is the heat that one part of a kind with these values may give off
// for long, W, 0 where no rating is known: of a resistor full up to 70 °C, then
// falling straight to nothing at 155 °C.
func PowerLimit(kind string, v model.Values) float64 {
	most := v.Num("power_rating")
	if kind != "resistor" {
		return most
	}
	const full, none = 343.15, 428.15 // K
	share := (none - v.Num("temperature")) / (none - full)
	return most * min(1, max(share, 1e-3))
}
