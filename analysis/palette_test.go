package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"

	"copperglass/model"
)

// palette draws random well-formed circuits out of every kind of part.
type palette struct {
	*rand.Rand
	d    model.Diagram
	nets int
}

// randomCircuit returns the circuit of that seed: a battery from v to GND and
// up to thirty parts, joined by tags to few nets and therefore in every absurd
// way: transistors upside down and saturated, LEDs and Zener diodes against each other,
// outputs of chips that fight, floating bases, batteries in parallel.
func randomCircuit(seed uint64) *model.Diagram {
	p := &palette{Rand: rand.New(rand.NewPCG(seed, 2))}
	p.nets = 2 + p.IntN(9)
	p.battery()
	for range 2 + p.IntN(14) {
		p.pick()()
	}
	return &p.d
}

// largeCircuit is the same with so many parts or a few more, on about half as
// many nets.
func largeCircuit(seed uint64, parts int) *model.Diagram {
	p := &palette{Rand: rand.New(rand.NewPCG(seed, 2))}
	p.nets = parts/3 + p.IntN(parts/3)
	for p.battery(); len(p.d.Parts) < parts; {
		p.pick()()
	}
	return &p.d
}

func (p *palette) battery() {
	p.add("battery", model.Params{"voltage": p.number(1, 20), "resistance": p.number(1e-2, 10)}, "+", "v", "-", "GND")
}

// pick returns something to add, the commoner parts more often.
func (p *palette) pick() func() {
	all := []func(){
		p.resistor, p.resistor, p.resistor, p.resistor, p.resistor, p.potentiometer,
		p.source, p.source, p.currentSource,
		p.diode, p.led, p.zener, p.pair, p.string,
		p.bipolar, p.bipolar, p.bipolar, p.fieldEffect, p.fieldEffect,
		p.darlington, p.mirror, p.latch,
		p.chip, p.contact, p.load, p.still,
	}
	return all[p.IntN(len(all))]
}

// net returns the name of one of the circuit's nets.
func (p *palette) net() string {
	switch k := p.IntN(p.nets + 2); k {
	case 0:
		return "GND"
	case 1:
		return "v"
	default:
		return fmt.Sprint("n", k)
	}
}

// fresh returns a net that nothing else has yet.
func (p *palette) fresh() string { return fmt.Sprint("m", len(p.d.Parts)) }

// between returns a magnitude from low to high, each decade as likely.
func (p *palette) between(low, high float64) float64 { return low * math.Pow(high/low, p.Float64()) }

func (p *palette) number(low, high float64) model.Value { return model.Number(p.between(low, high)) }

func (p *palette) often(share float64) bool { return p.Float64() < share }

// add adds a part whose pins are named each before its net; an empty net
// leaves the pin open.
func (p *palette) add(kind string, params model.Params, pins ...string) *model.Part {
	q := &model.Part{Ref: fmt.Sprint("X", len(p.d.Parts)), Kind: kind, Params: params, Tags: map[string]string{}}
	if p.often(0.2) {
		q.Count = 1 + p.IntN(12)
	}
	for i := 0; i < len(pins); i += 2 {
		if pins[i+1] != "" {
			q.Tags[pins[i]] = pins[i+1]
		}
	}
	p.d.Parts = append(p.d.Parts, q)
	return q
}

// perhaps returns a net, or now and then none.
func (p *palette) perhaps() string {
	if p.often(0.05) {
		return ""
	}
	return p.net()
}

func (p *palette) resistor() {
	ohms := p.number(1, 1e6)
	switch {
	case p.often(0.05):
		ohms = model.Number(0)
	case p.often(0.3):
		ohms = p.number(1e-3, 1e12)
	}
	p.add("resistor", model.Params{"resistance": ohms}, "1", p.perhaps(), "2", p.perhaps())
}

func (p *palette) potentiometer() {
	at := model.Number(p.Float64())
	if p.often(0.2) {
		at = model.Number(float64(p.IntN(2)))
	}
	p.add("potentiometer", model.Params{"resistance": p.number(100, 1e6), "position": at}, "1", p.perhaps(), "W", p.perhaps(), "2", p.perhaps())
}

// source is a battery or a supply, ideal now and then.
func (p *palette) source() {
	if p.often(0.7) {
		p.add("battery", model.Params{"voltage": p.number(0.5, 12), "resistance": p.number(1e-3, 10)}, "+", p.net(), "-", p.net())
		return
	}
	volts := p.between(0.1, 30)
	if p.often(0.3) {
		volts = -volts
	}
	p.add("supply", model.Params{"voltage": model.Number(volts)}, "+", p.net(), "-", p.net())
}

// currentSource has a resistor beside it most of the time.
func (p *palette) currentSource() {
	a, b := p.net(), p.net()
	p.add("current_source", model.Params{"current": p.number(1e-9, 0.1)}, "+", a, "-", b)
	if p.often(0.7) {
		p.add("resistor", model.Params{"resistance": p.number(10, 1e5)}, "1", a, "2", b)
	}
}

func (p *palette) diode() {
	params := model.Params{}
	if p.often(0.3) {
		params = model.Params{"saturation_current": p.number(1e-20, 1e-5), "emission_coefficient": model.Number(1 + p.Float64()), "series_resistance": model.Number(0)}
	}
	if p.often(0.1) {
		params["breakdown_voltage"] = p.number(3, 100)
	}
	p.add("diode", params, "A", p.perhaps(), "K", p.perhaps())
}

func (p *palette) led() { p.ledBetween(p.perhaps(), p.perhaps()) }

func (p *palette) ledBetween(anode, cathode string) {
	colours := []string{"red", "green", "white", "blue", "yellow", "infrared"}
	p.add("led", nil, "A", anode, "K", cathode).Value = colours[p.IntN(len(colours))]
}

func (p *palette) zener() { p.zenerBetween(p.perhaps(), p.perhaps()) }

func (p *palette) zenerBetween(anode, cathode string) {
	p.add("zener", model.Params{"breakdown_voltage": p.number(2, 47)}, "A", anode, "K", cathode)
}

// pair is two LEDs or two Zener diodes against each other, side by side or one
// behind the other.
func (p *palette) pair() {
	one, middle, other := p.net(), p.fresh(), p.net()
	between := []func(anode, cathode string){p.ledBetween, p.zenerBetween}[p.IntN(2)]
	switch p.IntN(3) {
	case 0:
		between(one, other)
		between(other, one)
	case 1:
		between(one, middle)
		between(other, middle)
	default:
		between(middle, one)
		between(middle, other)
	}
}

// string is a few LEDs in a row.
func (p *palette) string() {
	from := p.net()
	for range 1 + p.IntN(5) {
		to := p.fresh()
		p.ledBetween(from, to)
		from = to
	}
	p.add("resistor", model.Params{"resistance": p.number(1, 1e4)}, "1", from, "2", p.net())
}

func (p *palette) bipolar() {
	p.bipolarBetween(p.polarity("npn", "pnp"), p.perhaps(), p.perhaps(), p.perhaps())
}

func (p *palette) polarity(one, other string) string {
	if p.often(0.5) {
		return one
	}
	return other
}

func (p *palette) bipolarBetween(kind, collector, base, emitter string) {
	params := model.Params{}
	if p.often(0.3) {
		params["early_voltage"] = p.number(20, 200)
	}
	if p.often(0.3) {
		params["saturation_current"], params["forward_beta"], params["reverse_beta"] = p.number(1e-18, 1e-11), p.number(5, 1e4), p.number(0.01, 100)
	}
	if p.often(0.3) {
		params["base_resistance"], params["collector_resistance"], params["emitter_resistance"] = model.Number(0), model.Number(0), model.Number(0)
	}
	p.add(kind, params, "C", collector, "B", base, "E", emitter)
}

func (p *palette) fieldEffect() {
	params := model.Params{}
	if p.often(0.3) {
		params["threshold_voltage"], params["transconductance"], params["channel_modulation"] = model.Number(6*p.Float64()-2), p.number(1e-4, 10), p.number(1e-4, 0.1)
	}
	if p.often(0.2) {
		params["body_diode"] = model.Flag(false)
	}
	if p.often(0.2) {
		params["subthreshold"] = model.Flag(false)
	}
	p.add(p.polarity("nmos", "pmos"), params, "D", p.perhaps(), "G", p.perhaps(), "S", p.perhaps())
}

func (p *palette) darlington() {
	kind, middle, collector := p.polarity("npn", "pnp"), p.fresh(), p.net()
	p.bipolarBetween(kind, collector, p.net(), middle)
	p.bipolarBetween(kind, collector, middle, p.net())
}

// mirror is two or three transistors on one base, the first of which is tied
// to its collector.
func (p *palette) mirror() {
	kind, base, emitter := p.polarity("npn", "pnp"), p.net(), p.net()
	p.bipolarBetween(kind, base, base, emitter)
	for range 1 + p.IntN(2) {
		p.bipolarBetween(kind, p.net(), base, emitter)
	}
}

// latch is an npn and a pnp each of which drives the other.
func (p *palette) latch() {
	one, other := p.net(), p.net()
	p.bipolarBetween("npn", one, other, p.net())
	p.bipolarBetween("pnp", other, one, p.net())
}

// chip has outputs that may meet others on the same net.
func (p *palette) chip() {
	states := []string{"high", "low", "off"}
	state := func() model.Value { return model.Word(states[p.IntN(3)]) }
	params := model.Params{"3": state(), "4": state(), "5": model.Word(p.polarity("low", "off"))}
	if p.often(0.3) {
		params["output_resistance_high"], params["output_resistance_low"] = p.number(1e-3, 1e3), p.number(1e-3, 1e3)
	}
	q := p.add("chip", params, "1", p.perhaps(), "2", p.perhaps(), "3", p.perhaps(), "4", p.perhaps(), "5", p.perhaps(), "6", p.perhaps())
	for i, role := range []string{"supply", "ground", "output", "output", "open_drain", "input"} {
		q.Pins = append(q.Pins, model.ChipPin{Number: fmt.Sprint(i + 1), Role: role})
	}
}

// contact is a switch, button, fuse or meter.
func (p *palette) contact() {
	switch a, b := p.perhaps(), p.perhaps(); p.IntN(4) {
	case 0:
		p.add("fuse", nil, "1", a, "2", b).Value = "500 mA"
	case 1:
		p.add("meter", model.Params{"measures": model.Word(p.polarity("volts", "amps"))}, "+", a, "-", b)
	case 2:
		p.add("button", nil, "1", a, "2", b)
	default:
		p.add("switch", model.Params{"state": model.Word(p.polarity("open", "closed"))}, "1", a, "2", b)
	}
}

// load is a lamp or a motor.
func (p *palette) load() {
	if p.often(0.5) {
		p.add("lamp", model.Params{"rated_voltage": p.number(1, 24), "rated_power": p.number(0.05, 50)}, "1", p.net(), "2", p.net())
		return
	}
	p.add("motor", model.Params{"winding_resistance": p.number(0.1, 100), "back_voltage": model.Number(6 * p.Float64())}, "+", p.net(), "-", p.net())
}

// still is what carries no current at rest, or all there is.
func (p *palette) still() {
	if p.often(0.5) {
		p.add("capacitor", model.Params{"capacitance": model.Number(1e-6)}, "1", p.perhaps(), "2", p.perhaps())
		return
	}
	p.add("inductor", model.Params{"inductance": model.Number(1e-3), "series_resistance": p.number(1e-3, 10)}, "1", p.perhaps(), "2", p.perhaps())
}
