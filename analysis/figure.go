package analysis

import (
	"math"

	"copperglass/model/quantity"
)

// figures appends what is worth knowing of a part besides currents and power.
func (c *circuit) figures(list []Figure, p *part, r *PartResult, s *state, isOpen []bool) []Figure {
	across := func(name, title, from, to string) Figure {
		return Figure{name, title, c.across(p, s, isOpen, from, to), quantity.Volt}
	}
	switch p.Kind {
	case "battery", "supply":
		volts, ohms := c.sourceValues(p)
		return append(list,
			across("voltage", "Voltage under load", "+", "-"),
			Figure{"open_circuit_voltage", "Open-circuit voltage", volts, quantity.Volt},
			Figure{"internal_resistance", "Internal resistance", ohms, quantity.Ohm})
	case "npn", "pnp":
		return append(list,
			across("collector_emitter_voltage", "Voltage from collector to emitter", "C", "E"),
			across("base_emitter_voltage", "Voltage from base to emitter", "B", "E"))
	case "nmos", "pmos":
		return append(list,
			across("drain_source_voltage", "Voltage from drain to source", "D", "S"),
			across("gate_source_voltage", "Voltage from gate to source", "G", "S"))
	case "meter":
		if p.values.Text("measures") == "amps" {
			return append(list, Figure{"reading", "Reading", r.Pins[0].Amps, quantity.Ampere})
		}
		return append(list, across("reading", "Reading", "+", "-"))
	}
	if len(p.pins) == 2 {
		return append(list, across("voltage", "Voltage across it", p.pins[0], p.pins[1]))
	}
	return list
}

// across returns the voltage between two pins of the part, NaN where nothing
// determines it.
func (c *circuit) across(p *part, s *state, isOpen []bool, from, to string) float64 {
	a, b := p.net(from), p.net(to)
	va, vb := c.place[a], c.place[b]
	switch {
	case va == vb && c.joined.Find(a) == c.joined.Find(b):
		return 0
	case c.islands.Find(a) != c.islands.Find(b), va >= 0 && isOpen[va], vb >= 0 && isOpen[vb]:
		return math.NaN()
	}
	return s.volts(va, vb)
}

// sourceValues returns the voltage of a battery or supply without load and its
// resistance; of a stack, the whole stack's.
func (c *circuit) sourceValues(p *part) (volts, ohms float64) {
	for _, e := range p.elements {
		if b, ok := e.(*branch); ok && b.source {
			return b.volts, b.ohms
		}
	}
	if p.leftOpen {
		return math.NaN(), math.NaN()
	}
	return 0, 0
}
