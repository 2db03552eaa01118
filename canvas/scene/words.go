package scene

import (
	"fmt"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/model"
	"copperglass/model/quantity"
)

// words returns the lines that stand beneath a part's reference designator,
// with what the analysis says of it. What is guessed ends in a question mark.
func (b *builder) words(p *placed, outcome string) []string {
	lines := plainWords(p, outcome)
	if p.Doubt != model.Guessed {
		return lines
	}
	if len(lines) == 0 {
		return []string{"?"}
	}
	lines[0] += " ?"
	return lines
}

func plainWords(p *placed, outcome string) []string {
	v := p.values
	switch p.Kind {
	case "resistor":
		if x, ok := v["resistance"].Num(); ok && x == 0 {
			return []string{"link, 0 Ω"}
		}
		return p.quantity("resistance", quantity.Ohm)
	case "capacitor":
		return p.quantity("capacitance", quantity.Farad)
	case "inductor":
		return p.quantity("inductance", quantity.Henry)
	case "potentiometer":
		return joined(p.quantity("resistance", quantity.Ohm), fmt.Sprintf("at %.0f %%", 100*v.Num("position")))
	case "supply":
		return p.quantity("voltage", quantity.Volt)
	case "current_source":
		return p.quantity("current", quantity.Ampere)
	case "fuse":
		return p.quantity("current_rating", quantity.Ampere)
	case "zener":
		return p.quantity("breakdown_voltage", quantity.Volt)
	case "led":
		return some(or(v.Text("colour"), p.Value))
	case "lamp":
		return p.lamp()
	case "battery":
		return p.battery()
	case "npn", "pnp", "nmos", "pmos":
		return p.transistor(outcome)
	case "chip":
		return some(or(p.Value, "unmarked"))
	case "meter":
		return some(or(outcome, p.Value))
	}
	return some(p.Value)
}

// quantity writes one of the part's quantities, or what the person wrote where
// it could not be understood.
func (p *placed) quantity(name string, u quantity.Unit) []string {
	if x, ok := p.values[name].Num(); ok {
		return []string{quantity.Short(x, u)}
	}
	return some(p.Value)
}

// lamp writes what the person wrote, or else the rated voltage and power.
func (p *placed) lamp() []string {
	rated := some(quantityText(p.values, "rated_voltage", quantity.Volt), quantityText(p.values, "rated_power", quantity.Watt))
	return some(or(p.Value, strings.Join(rated, " ")))
}

// battery writes "3 × LR6 alkaline" and "70 % left, 660 mΩ", or the voltage
// where the battery is given by that alone.
func (p *placed) battery() []string {
	v := p.values
	name := strings.Join(some(v.Text("size"), v.Text("chemistry")), " ")
	inside := ""
	if r, ok := v["resistance"].Num(); ok && r > 0 {
		inside = quantity.Short(r, quantity.Ohm)
	}
	if name == "" {
		return some(strings.Join(some(quantityText(v, "voltage", quantity.Volt), inside), ", "))
	}
	if n := v.Num("cells"); n != 1 && n > 0 {
		name = fmt.Sprintf("%.0f × %s", n, name)
	}
	left := ""
	if c, ok := v["charge_left"].Num(); ok && c < 1 {
		left = fmt.Sprintf("%.0f %% left", 100*c)
	}
	return some(name, strings.Join(some(left, inside), ", "))
}

func quantityText(v model.Values, name string, u quantity.Unit) string {
	if x, ok := v[name].Num(); ok {
		return quantity.Short(x, u)
	}
	return ""
}

// transistor writes its name and what it is doing: "PNP, saturated".
func (p *placed) transistor(state string) []string {
	name := or(p.Value, strings.ToUpper(p.Kind))
	if strings.HasSuffix(p.Kind, "mos") {
		name = or(p.Value, strings.ToUpper(p.Kind[:1])+" channel")
	}
	if state != "" {
		return joined([]string{name}, state)
	}
	return []string{name}
}

// outcome returns what the analysis says of a part in words, if it says
// anything: what state a transistor is in, what a meter reads.
func (b *builder) outcome(p *placed) string {
	r := b.result(p)
	switch {
	case r == nil:
		return ""
	case p.Kind == "meter" && len(r.Pins) == 2:
		return b.reading(p, r)
	case b.o.Show.States:
		return string(r.State)
	}
	return ""
}

// result returns what the analysis says of the part, or nil.
func (b *builder) result(p *placed) *analysis.PartResult {
	if b.r == nil {
		return nil
	}
	return b.r.Parts[p.Ref]
}

// reading writes what a meter reads.
func (b *builder) reading(p *placed, r *analysis.PartResult) string {
	if p.values.Text("measures") == "amps" {
		return "reads " + quantity.Solved(r.Pins[0].Amps, quantity.Ampere)
	}
	x := b.volts(r.Pins[0].Net) - b.volts(r.Pins[1].Net)
	if math.IsNaN(x) {
		return ""
	}
	return "reads " + voltsText(x)
}

// leastVolts is the size of a voltage that is written as zero: what rounding
// and leaks leave of one.
const leastVolts = 0.5e-3

func voltsText(x float64) string {
	if math.Abs(x) < leastVolts {
		x = 0
	}
	return quantity.Format(x, quantity.Volt)
}

// volts returns the voltage of a net, NaN where it has none.
func (b *builder) volts(net int) float64 {
	if b.r == nil || net < 0 || net >= len(b.r.Volts) {
		return math.NaN()
	}
	return b.r.Volts[net]
}

// some returns the texts that say something.
func some(texts ...string) []string {
	var out []string
	for _, s := range texts {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

func or(s, otherwise string) string {
	if s != "" {
		return s
	}
	return otherwise
}

// joined puts more after the last of the lines.
func joined(lines []string, more string) []string {
	if len(lines) == 0 {
		return []string{more}
	}
	lines[len(lines)-1] += ", " + more
	return lines
}
