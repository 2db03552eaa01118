package ui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/net"
	"copperglass/model/quantity"
)

// volts, amps and watts print a result.
func volts(x float64) string { return quantity.Format(x, quantity.Volt) }
func amps(x float64) string  { return quantity.Solved(settle(x), quantity.Ampere) }
func watts(x float64) string { return quantity.Solved(settle(x), quantity.Watt) }

// settle takes what is only rounding for nothing.
func settle(x float64) float64 {
	if math.Abs(x) < 1e-15 {
		return 0
	}
	return x
}

// figureRows is what the solution says of a part.
func figureRows(d *model.Diagram, r *analysis.Result, ref string, mode string) []row {
	p := d.Part(ref)
	if p == nil || r == nil || !r.Solved || r.Parts[ref] == nil {
		return nil
	}
	values, _ := d.Resolve(p, d.Mode(mode).Setting())
	s := partFigures{p, r, r.Parts[ref], values}
	rows := s.electrical()
	if s.part.Count > 1 && len(s.part.Pins) > 0 {
		rows = append(rows, row{name: "Each of them", figure: amps(math.Abs(s.part.Pins[0].Amps) / float64(s.part.Count))})
	}
	rows = append(rows, s.power()...)
	for _, f := range s.part.Figures {
		if !s.told(f) {
			rows = append(rows, row{name: f.Title, figure: quantity.Solved(f.Value, f.Unit)})
		}
	}
	return rows
}

// partFigures is what the rows of one part are made from.
type partFigures struct {
	model  *model.Part
	result *analysis.Result
	part   *analysis.PartResult
	values model.Values
}

// source reports whether the part is there to drive the circuit.
func (s partFigures) source() bool { return s.part.Kind == "battery" || s.part.Kind == "supply" }

// told reports whether a figure is among the rows already, in the sense in
// which people read it off the part.
func (s partFigures) told(f analysis.Figure) bool {
	return !s.source() && strings.HasSuffix(f.Name, "voltage")
}

// volts returns the voltage at a pin.
func (s partFigures) volts(pin string) float64 {
	for _, p := range s.part.Pins {
		if p.Name == pin && p.Net >= 0 {
			return s.result.Volts[p.Net]
		}
	}
	return math.NaN()
}

// amps returns the current into a pin.
func (s partFigures) amps(pin string) float64 {
	for _, p := range s.part.Pins {
		if p.Name == pin {
			return p.Amps
		}
	}
	return math.NaN()
}

// across is a row with the voltage from one pin to another.
func (s partFigures) across(name, from, to string) row {
	return row{name: name, figure: volts(s.volts(from) - s.volts(to)), of: s.voltage(from, to)}
}

// voltage names the voltage between two pins as a quantity, "" where it has no
// name of its own.
func (s partFigures) voltage(pins ...string) string {
	slices.Sort(pins)
	name := map[string]string{"CE": "collector_emitter_voltage", "BE": "base_emitter_voltage", "DS": "drain_source_voltage", "GS": "gate_source_voltage"}[strings.Join(pins, "")]
	if name == "" && len(s.part.Pins) == 2 {
		name = "voltage"
	}
	if math.IsNaN(s.part.Figure(name)) {
		return ""
	}
	return s.model.Ref + "." + name
}

// through is a row with the size of a pin's current, beside the rating of that
// name where there is one.
func (s partFigures) through(name, pin, rating string) row {
	r := s.rated(name, math.Abs(s.amps(pin)), s.values.Num(rating), quantity.Ampere)
	r.of = s.model.Ref + "." + pin + ".amps"
	return r
}

// rated is a row with a figure of the part, or the stack, beside what each of
// its parts may have for long.
func (s partFigures) rated(name string, x, limit float64, u quantity.Unit) row {
	figure := quantity.Solved(settle(x), u)
	most := limit * float64(s.part.Count)
	switch {
	case !(most > 0):
		return row{name: name, figure: figure}
	case x > most:
		return row{name: name, figure: figure + ", over " + quantity.Short(most, u), over: true, share: x / most}
	}
	return row{name: name, figure: figure + " of " + quantity.Short(most, u), share: x / most}
}

func (s partFigures) electrical() []row {
	switch s.part.Kind {
	case "pnp":
		return s.bipolar("Emitter – collector", "E", "C", "Emitter – base", "E", "B")
	case "npn":
		return s.bipolar("Collector – emitter", "C", "E", "Base – emitter", "B", "E")
	case "pmos":
		return s.fieldEffect("Source – drain", "S", "D", "Source – gate", "S", "G")
	case "nmos":
		return s.fieldEffect("Drain – source", "D", "S", "Gate – source", "G", "S")
	case "ground", "tag", "note", "arrow", "meter":
		return nil
	}
	if len(s.part.Pins) == 2 {
		return s.twoPins()
	}
	return s.byPin()
}

func (s partFigures) bipolar(path, from, to, drive, high, low string) []row {
	return []row{{name: "Working state", figure: s.state()}, s.across(path, from, to), s.across(drive, high, low),
		s.through("Collector current", "C", "collector_current_rating"), s.through("Base current", "B", ""), s.forcedBeta()}
}

// forcedBeta says how much of the transistor's gain the circuit uses.
func (s partFigures) forcedBeta() row {
	figure := "–"
	if beta := s.part.ForcedBeta; !math.IsNaN(beta) {
		figure = fmt.Sprintf("%s (part gives %s)", quantity.Short(beta, quantity.None), quantity.Short(s.values.Num("forward_beta"), quantity.None))
	}
	return row{name: "Forced β", figure: figure,
		help: "Collector current over base current: the gain that the circuit asks of the transistor. The further it is below what the part gives, the more surely the transistor is fully on."}
}

func (s partFigures) fieldEffect(path, from, to, drive, high, low string) []row {
	return []row{{name: "Working state", figure: s.state()}, s.across(path, from, to), s.across(drive, high, low),
		s.through("Drain current", "D", "drain_current_rating")}
}

// state is what a transistor is doing.
func (s partFigures) state() string {
	if s.part.State == "" {
		return "–"
	}
	return string(s.part.State)
}

func (s partFigures) twoPins() []row {
	a, b := s.part.Pins[0], s.part.Pins[1]
	if s.source() {
		return []row{s.through("Current", a.Name, "")}
	}
	if s.backwards(a, b) {
		a, b = b, a
	}
	way := s.pinWord(a.Name) + " to " + s.pinWord(b.Name)
	rows := []row{}
	if state := s.junctionState(); state != "" {
		rows = append(rows, row{name: "Working state", figure: state})
	}
	return append(rows, s.across("Voltage, "+way, a.Name, b.Name), s.through("Current, "+way, a.Name, "current_rating"))
}

// leastConducting is the current, in each of a stack, from which a junction is
// said to conduct and an LED to be lit: enough to see in a dark room (common
// practice, no source).
const leastConducting = 10e-6

// junctionState is what a diode is doing, "" of other parts.
func (s partFigures) junctionState() string {
	on, off, back := "conducts", "blocks", "blocks, reversed"
	switch s.part.Kind {
	case "led":
		on, off, back = "lit", "off", "off, reversed"
	case "diode", "zener":
	default:
		return ""
	}
	each := s.amps("A") / float64(max(s.part.Count, 1))
	switch {
	case each >= leastConducting:
		return on
	case each <= -leastConducting:
		return "breaks down"
	case s.volts("A") < s.volts("K"):
		return back
	}
	return off
}

// backwards reports whether a current goes from b to a through a part of two
// pins, or would where there is none.
func (s partFigures) backwards(a, b analysis.PinResult) bool {
	if amps := settle(a.Amps); amps != 0 {
		return amps < 0
	}
	return s.volts(a.Name) < s.volts(b.Name)
}

// pinWord is what a pin is called in a sentence.
func (s partFigures) pinWord(pin string) string {
	if k := s.model.LookupKind(); k != nil && k.PinWords[pin] != "" {
		return k.PinWords[pin]
	}
	return "pin " + pin
}

func (s partFigures) byPin() []row {
	var rows []row
	for _, pin := range s.pinsInOrder() {
		figure := "floats"
		if v := s.volts(pin.Name); !math.IsNaN(v) {
			figure = volts(v) + ", " + amps(math.Abs(pin.Amps))
		}
		rows = append(rows, row{name: "Pin " + s.pinTitle(pin.Name), figure: figure})
	}
	return rows
}

// pinsInOrder are the pins as people count them.
func (s partFigures) pinsInOrder() []analysis.PinResult {
	pins := slices.Clone(s.part.Pins)
	if s.part.Kind == "chip" {
		slices.SortStableFunc(pins, func(a, b analysis.PinResult) int { return model.NaturalCompare(a.Name, b.Name) })
	}
	return pins
}

// pinTitle is a pin's name, with what the person calls it on a chip.
func (s partFigures) pinTitle(name string) string {
	for _, pin := range s.model.Pins {
		if pin.Number == name && pin.Name != "" {
			return name + " " + pin.Name
		}
		if pin.Number == name && pin.Role != "none" {
			return name + " " + strings.ReplaceAll(pin.Role, "_", " ")
		}
	}
	return name
}

// power says what the part takes up or gives away.
func (s partFigures) power() []row {
	if len(s.part.Pins) < 2 {
		return nil
	}
	if s.part.Power < 0 {
		return []row{{name: "Gives", figure: watts(-s.part.Power), of: s.model.Ref + ".watts"}}
	}
	r := s.rated("Takes", s.part.Power, review.PowerLimit(s.part.Kind, s.values), quantity.Watt)
	r.of = s.model.Ref + ".watts"
	return []row{r}
}

// wireRows is what the solution says of a wire's net.
func wireRows(doc *Document, id model.WireID) []row {
	r := doc.Result()
	i := doc.Shown().WireIndex(id)
	if r == nil || r.Nets == nil || i < 0 {
		return nil
	}
	n := r.Nets.Wire(i)
	rows := []row{{name: "Net", figure: strings.TrimPrefix(netWords(r.Nets, n), "net ")}}
	if r.Solved {
		figure := "floats"
		if v := r.Volts[n]; !math.IsNaN(v) {
			figure = volts(v)
		}
		rows = append(rows, row{name: "Voltage to ground", figure: figure, of: netQuantity(r, n)})
	}
	return rows
}

// netQuantity names the voltage of a net as a quantity, "" for one that nothing
// sets: ground's, or one that floats.
func netQuantity(r *analysis.Result, n int) string {
	if name := r.Nets.Nets[n].Name; name != net.GroundName && !math.IsNaN(r.Volts[n]) {
		return "net." + name + ".volts"
	}
	return ""
}

// netWords is what people call a net: by its tag, "net OUT", or by one of its
// pins, "net at BT1’s +".
func netWords(nets *net.Netlist, n int) string {
	name := nets.Nets[n].Name
	for _, pin := range nets.Nets[n].Pins {
		if name == pin.String() {
			return "net at " + pin.Ref + "’s " + strings.Replace(pin.Pin, "-", "−", 1)
		}
	}
	return "net " + name
}

// wireSentence says what a wire joins.
func wireSentence(doc *Document, id model.WireID) string {
	r := doc.Result()
	i := doc.Shown().WireIndex(id)
	if r == nil || r.Nets == nil || i < 0 {
		return ""
	}
	n := r.Nets.Nets[r.Nets.Wire(i)]
	var pins []string
	for _, pin := range n.Pins {
		pins = append(pins, pin.String())
	}
	slices.SortFunc(pins, model.NaturalCompare)
	if len(pins) == 0 {
		return "It joins no pins yet."
	}
	return "It joins " + strings.Join(pins, ", ") + "."
}

// supplyRow is what the batteries and supplies deliver together in a mode.
func supplyRow(a Answer, mode string) []row {
	for _, m := range a.Modes {
		if m.Name == mode {
			return []row{{name: "Supply current", figure: amps(m.SupplyCurrent)}, {name: "Supply power", figure: watts(m.SupplyPower)}}
		}
	}
	return nil
}

// runTime says how long the cells last, as exactly as that can be known.
func runTime(hours float64) string {
	const day, month, year = 24, 24 * 30.4, 24 * 365.25
	switch {
	case math.IsNaN(hours) || hours <= 0:
		return ""
	case hours > 3*year:
		return "runs for years"
	case hours > 3*month:
		return fmt.Sprintf("runs about %.0f months", hours/month)
	case hours > 4*day:
		return fmt.Sprintf("runs about %.0f days", hours/day)
	case hours >= 10:
		return fmt.Sprintf("runs about %.0f h", hours)
	case hours < 1.0/60:
		return "runs less than a minute"
	}
	return runMinutes(hours)
}

// runMinutes rounds to ten minutes from one hour on, and to five below.
func runMinutes(hours float64) string {
	step := 5.0
	if hours >= 1 {
		step = 10
	} else if hours < 0.25 {
		step = 1
	}
	minutes := int(max(1, math.Round(hours*60/step)*step))
	if minutes < 60 {
		return fmt.Sprintf("runs about %d min", minutes)
	}
	if minutes%60 == 0 {
		return fmt.Sprintf("runs about %d h", minutes/60)
	}
	return fmt.Sprintf("runs about %d h %d min", minutes/60, minutes%60)
}
