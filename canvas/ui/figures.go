package ui

import (
	"fmt"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// volts, amps and watts print a result.
func volts(x float64) string { return quantity.Format(x, quantity.Volt) }
func amps(x float64) string  { return quantity.Format(settle(x), quantity.Ampere) }
func watts(x float64) string { return quantity.Format(settle(x), quantity.Watt) }

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
		rows = append(rows, row{"Each of them", amps(math.Abs(s.part.Pins[0].Amps) / float64(s.part.Count))})
	}
	rows = append(rows, s.power()...)
	for _, f := range s.part.Figures {
		if !s.told(f) {
			rows = append(rows, row{f.Title, quantity.Format(f.Value, f.Unit)})
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
	return row{name, volts(s.volts(from) - s.volts(to))}
}

// through is a row with the size of a pin's current.
func (s partFigures) through(name, pin string) row {
	return row{name, amps(math.Abs(s.amps(pin)))}
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
	case "ground", "tag", "note", "meter":
		return nil
	}
	if len(s.part.Pins) == 2 {
		return s.twoPins()
	}
	return s.byPin()
}

func (s partFigures) bipolar(path, from, to, drive, high, low string) []row {
	rows := []row{{"Working state", s.state()}, s.across(path, from, to), s.across(drive, high, low),
		s.through("Collector current", "C"), s.through("Base current", "B")}
	if beta := s.part.ForcedBeta; !math.IsNaN(beta) {
		given := s.values.Num("forward_beta")
		rows = append(rows, row{"Forced β", fmt.Sprintf("%s (part gives %s)", quantity.Short(beta, quantity.None), quantity.Short(given, quantity.None))})
	}
	return rows
}

func (s partFigures) fieldEffect(path, from, to, drive, high, low string) []row {
	return []row{{"Working state", s.state()}, s.across(path, from, to), s.across(drive, high, low),
		s.through("Drain current", "D")}
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
		return []row{s.through("Current", a.Name)}
	}
	name := "Voltage across"
	if a.Name == "A" {
		name = "Anode – cathode"
	}
	rows := []row{s.across(name, a.Name, b.Name), s.through("Current", a.Name)}
	if rating := s.values.Num("current_rating"); rating > 0 {
		rows[1].figure += " of " + quantity.Short(rating*float64(s.part.Count), quantity.Ampere)
	}
	return rows
}

func (s partFigures) byPin() []row {
	var rows []row
	for _, pin := range s.part.Pins {
		rows = append(rows, row{"Pin " + s.pinTitle(pin.Name), volts(s.volts(pin.Name)) + ", " + amps(math.Abs(pin.Amps))})
	}
	return rows
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
		return []row{{"Gives", watts(-s.part.Power)}}
	}
	text := watts(s.part.Power)
	if rating := s.values.Num("power_rating"); rating > 0 {
		text += " of " + quantity.Short(rating*float64(s.part.Count), quantity.Watt)
	}
	return []row{{"Takes", text}}
}

// wireRows is what the solution says of a wire's net.
func wireRows(doc *Document, id model.WireID) []row {
	r := doc.Result()
	i := doc.Shown().WireIndex(id)
	if r == nil || r.Nets == nil || i < 0 {
		return nil
	}
	n := r.Nets.Wire(i)
	rows := []row{{"Net", r.Nets.Nets[n].Name}}
	if r.Solved {
		rows = append(rows, row{"Voltage to ground", volts(r.Volts[n])})
	}
	return rows
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
	if len(pins) == 0 {
		return "It joins no pins yet."
	}
	return "It joins " + strings.Join(pins, ", ") + "."
}

// supplyRow is what the batteries and supplies deliver together in a mode.
func supplyRow(a Answer, mode string) []row {
	for _, m := range a.Modes {
		if m.Name == mode {
			return []row{
				{"Supply current", amps(m.SupplyCurrent)},
				{"Supply power", watts(m.SupplyPower)},
				{"Runs", strings.TrimPrefix(runTime(m.RunTime), "runs ")},
			}
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
