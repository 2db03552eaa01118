package analysis

import (
	"fmt"
	"math"
	"strings"

	"copperglass/model"
	"copperglass/model/net"
)

// probe is a quantity as a function of the tangent's unknowns: what it is made
// of and where it is measured.
type probe struct {
	name string
	ref  string   // the part that is probed; empty for a net
	pins []string // the leads with meters in them

	// slopes adds ∂Q/∂x to the gradient.
	slopes func(g *gradient)

	// own is the parameter of the part that is the quantity itself, if it is
	// one; ref is model.Drawing for one of the drawing.
	own string
}

// probe takes the name of a quantity apart, which exists.
func (r *Result) probe(d *model.Diagram, name string) (probe, error) {
	if rest, ok := strings.CutPrefix(name, "net."); ok {
		if netName, ok := strings.CutSuffix(rest, ".volts"); ok {
			n := r.Nets.Find(netName)
			return probe{name: name, slopes: func(g *gradient) { g.volts(n, 1) }}, nil
		}
	}
	ref, what, _ := strings.Cut(name, ".")
	if ref == model.Drawing {
		return probe{}, fmt.Errorf("%s is given and not computed: nothing sets it", name)
	}
	if r.circuit == nil {
		return probe{}, fmt.Errorf("%s: only the figures of this result are kept; solve the drawing again", name)
	}
	p := r.circuit.byRef[ref]
	if p == nil || p.kind.Equation == nil {
		return probe{}, fmt.Errorf("%s carries no current, so nothing sets %s", ref, name)
	}
	if p.leftOpen {
		return probe{}, fmt.Errorf("%s is left open, so nothing sets %s", ref, name)
	}
	q := probe{name: name, ref: ref}
	if pin, ok := strings.CutSuffix(what, ".amps"); ok {
		q.ofAmps(pin)
		return q, nil
	}
	if what == "watts" {
		q.ofWatts(p.pins)
		return q, nil
	}
	if values, _ := d.Resolve(p.Part, r.Set); values[what].IsSet() {
		q.own, q.slopes = what, func(*gradient) {}
		return q, nil
	}
	return q, q.ofFigure(p, what)
}

func (q *probe) ofAmps(pin string) {
	q.pins = []string{pin}
	q.slopes = func(g *gradient) { g.amps(pin, 1) }
}

// ofWatts is the sum over the pins of volts, counted from the first one, times
// amps.
func (q *probe) ofWatts(pins []string) {
	q.pins = pins
	q.slopes = func(g *gradient) {
		for _, pin := range pins {
			first, n, amps := g.net(pins[0]), g.net(pin), g.ampsAt(pin)
			g.amps(pin, g.between(n, first))
			g.volts(n, amps)
			g.volts(first, -amps)
		}
	}
}

// ofFigure is a voltage between two pins, or what is made of currents.
func (q *probe) ofFigure(p *part, what string) error {
	switch {
	case what == "forced_beta":
		q.pins = []string{"C", "B"}
		q.slopes = func(g *gradient) {
			b := g.ampsAt("B")
			g.amps("C", 1/b)
			g.amps("B", -g.ampsAt("C")/(b*b))
		}
	case what == "reading" && p.values.Text("measures") == "amps":
		q.ofAmps(p.pins[0])
	default:
		from, to, ok := figurePins(p, what)
		if !ok {
			return fmt.Errorf("%s is no quantity whose influences can be told; take one of REF.PIN.amps, REF.watts and net.NAME.volts", q.name)
		}
		q.slopes = func(g *gradient) {
			g.volts(g.net(from), 1)
			g.volts(g.net(to), -1)
		}
	}
	return nil
}

// figurePins returns the pins between which the figure called what is the
// voltage.
func figurePins(p *part, what string) (from, to string, ok bool) {
	switch what {
	case "collector_emitter_voltage":
		return "C", "E", true
	case "base_emitter_voltage":
		return "B", "E", true
	case "drain_source_voltage":
		return "D", "S", true
	case "gate_source_voltage":
		return "G", "S", true
	case "voltage", "reading":
		if len(p.pins) == 2 {
			return p.pins[0], p.pins[1], true
		}
	}
	return "", "", false
}

// gradient gathers ∂Q/∂x.
type gradient struct {
	tangent *tangent
	probe   *probe
	state   state
	slopes  []float64
	held    []bool
	open    bool // whether something is asked for that nothing determines
}

// Links side by side share as equal resistances would. Meters would upset that.
const sameShare = 1e-6

// gradient returns ∂Q/∂x.
func (t *tangent) gradient(p *probe, r *Result, held []bool) ([]float64, error) {
	g := &gradient{tangent: t, probe: p, state: state{x: t.x}, slopes: make([]float64, t.circuit.unknowns), held: held}
	p.slopes(g)
	for _, pin := range p.pins {
		amps := r.Parts[p.ref].Pin(pin).Amps
		g.open = g.open || math.Abs(g.ampsAt(pin)-amps) > sameShare*math.Abs(amps)+leastCurrent
	}
	if g.open {
		return nil, fmt.Errorf("nothing determines %s: the circuit leaves open how the current divides", p.name)
	}
	return g.slopes, nil
}

func (g *gradient) add(i int, slope float64) {
	if i >= 0 && slope != 0 {
		g.slopes[i] += slope
		g.open = g.open || g.held[i]
	}
}

// volts adds the slope by the voltage of net n.
func (g *gradient) volts(n int, slope float64) { g.add(g.tangent.circuit.place[n], slope) }

// between returns the voltage between two nets.
func (g *gradient) between(n, m int) float64 {
	place := g.tangent.circuit.place
	return g.state.volts(place[n], place[m])
}

func (g *gradient) part() *part { return g.tangent.circuit.byRef[g.probe.ref] }

func (g *gradient) net(pin string) int {
	return g.tangent.circuit.nets.Pin(g.probe.ref, pin)
}

// meter returns the branch that measures the current into a pin.
func (g *gradient) meter(pin string) *branch {
	p := g.part()
	for i, metered := range g.tangent.meters[p.Ref] {
		if metered == pin {
			return p.elements[i].(*branch)
		}
	}
	panic("analysis: no meter at " + (net.PinID{Ref: p.Ref, Pin: pin}).String())
}

func (g *gradient) ampsAt(pin string) float64 { return g.tangent.x.High[g.meter(pin).j] }

// amps adds the slope by the current into a pin.
func (g *gradient) amps(pin string, slope float64) { g.add(g.meter(pin).j, slope) }
