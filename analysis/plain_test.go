package analysis

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"copperglass/analysis/newton"
	"copperglass/model"
	"copperglass/model/net"
)

// plain is a second reading of a circuit, apart from the code under test: the
// laws of the elements as their documentation states them, evaluated at given
// voltages, and sums at 200 bits.
type plain struct {
	c     *circuit
	x     newton.Point
	yield float64    // share per volt by which current sources give way
	root  net.Groups // over the nodes: what links join
	tied  net.Groups // over the nodes: what conducts
	into  []*big.Float
	size  []float64          // largest current at each root, A
	pins  map[string]float64 // current into the part, by "REF.PIN"
	watts map[string]*big.Float
	terms float64  // largest current that an element holds within it, A
	wrong []string // branches that do not obey their law
}

func newPlain(d *model.Diagram, set model.Setting, c *circuit, x newton.Point, yield float64) *plain {
	p := &plain{c: c, x: x, yield: yield, root: net.NewGroups(c.nodes), tied: net.NewGroups(c.nodes), pins: map[string]float64{}, watts: map[string]*big.Float{}}
	p.size = make([]float64, c.nodes)
	for range c.nodes {
		p.into = append(p.into, number(0))
	}
	p.each(d, set, p.joinEnds)
	p.each(d, set, p.evaluate)
	return p
}

// piece is an element of a part with the nodes that its terminals are.
type piece struct {
	part    *part
	values  model.Values
	element model.Element
	i       int // place among the part's elements
	names   []string
	nodes   []int
	many    float64
}

func (p *plain) each(d *model.Diagram, set model.Setting, do func(piece)) {
	for _, m := range d.Parts {
		q := p.c.byRef[m.Ref]
		k := m.LookupKind()
		if q == nil || q.leftOpen || k.Equation == nil {
			continue
		}
		values, _ := d.Resolve(m, set)
		var inner []string
		i := 0
		for _, e := range k.Elements(m, values) {
			x := piece{part: q, values: values, element: e, i: i, names: terminalNames(e), many: float64(m.Multiple())}
			for _, name := range x.names {
				n := p.c.nets.Pin(m.Ref, name)
				if n < 0 {
					if !slices.Contains(inner, name) {
						inner = append(inner, name)
					}
					n = q.first + slices.Index(inner, name)
				}
				x.nodes = append(x.nodes, n)
			}
			if !isLink(e) {
				i++
			}
			do(x)
		}
	}
}

func terminalNames(e model.Element) []string {
	switch e := e.(type) {
	case model.Resistance:
		return []string{e.A, e.B}
	case model.VoltageSource:
		return []string{e.Plus, e.Minus}
	case model.CurrentSource:
		return []string{e.Plus, e.Minus}
	case model.Junction:
		return []string{e.Anode, e.Cathode}
	case model.Bipolar:
		return []string{e.Collector, e.Base, e.Emitter}
	case model.FieldEffect:
		return []string{e.Drain, e.Gate, e.Source}
	case model.Law:
		return e.Terminals
	}
	panic(fmt.Sprintf("an element %T", e))
}

func isLink(e model.Element) bool {
	switch e := e.(type) {
	case model.Resistance:
		return e.Ohms == 0
	case model.VoltageSource:
		return e.Volts == 0 && e.Ohms == 0
	}
	return false
}

func (p *plain) joinEnds(x piece) {
	switch e := x.element.(type) {
	case model.CurrentSource:
		return
	case model.FieldEffect:
		p.tied.Join(x.nodes[0], x.nodes[2])
		return
	default:
		for _, n := range x.nodes {
			p.tied.Join(x.nodes[0], n)
		}
		if isLink(e) {
			p.root.Join(x.nodes[0], x.nodes[1])
		}
	}
}

func number(x float64) *big.Float { return new(big.Float).SetPrec(200).SetFloat64(x) }

// unknown returns the value of unknown i.
func (p *plain) unknown(i int) *big.Float {
	if i < 0 {
		return number(0)
	}
	return number(0).Add(number(p.x.High[i]), number(p.x.Low[i]))
}

// volts returns the voltage from one of the piece's terminals to another.
func (p *plain) volts(x piece, from, to int) float64 {
	v, _ := number(0).Sub(p.unknown(p.c.place[x.nodes[from]]), p.unknown(p.c.place[x.nodes[to]])).Float64()
	return v
}

// evaluate adds the currents into the piece's terminals.
func (p *plain) evaluate(x piece) {
	if isLink(x.element) {
		return
	}
	for i, amps := range p.currents(x) {
		amps.Mul(amps, number(x.many))
		n := p.root.Find(x.nodes[i])
		p.into[n].Add(p.into[n], amps)
		f, _ := amps.Float64()
		p.size[n] = max(p.size[n], math.Abs(f))
		p.pins[x.part.Ref+"."+x.names[i]] += f
		if p.watts[x.part.Ref] == nil {
			p.watts[x.part.Ref] = number(0)
		}
		power := number(0).Mul(amps, p.unknown(p.c.place[x.nodes[i]]))
		p.watts[x.part.Ref].Add(p.watts[x.part.Ref], power)
	}
}

func both(amps *big.Float) []*big.Float {
	return []*big.Float{amps, number(0).Neg(amps)}
}

func (p *plain) currents(x piece) []*big.Float {
	switch e := x.element.(type) {
	case model.Resistance:
		return both(p.throughBranch(x, 0, e.Ohms))
	case model.VoltageSource:
		return both(p.throughBranch(x, e.Volts, e.Ohms))
	case model.CurrentSource:
		return both(number(-p.sourceCurrent(x, e.Amps)))
	case model.Junction:
		return both(number(plainJunction(e.Law, p.volts(x, 0, 1))))
	case model.Bipolar:
		c, b, within := plainBipolar(e.Law, p.volts(x, 1, 2), p.volts(x, 1, 0), p.volts(x, 0, 2))
		p.terms = max(p.terms, within*x.many)
		return []*big.Float{number(c), number(b), number(0).Neg(number(0).Add(number(c), number(b)))}
	case model.FieldEffect:
		i := number(0)
		if !p.gateFloats(x) {
			i.SetFloat64(plainFieldEffect(e.Law, p.volts(x, 0, 2), p.volts(x, 1, 2)))
		}
		return []*big.Float{i, number(0), number(0).Neg(i)}
	case model.Law: // the lamp is the only kind with one
		return both(number(plainLamp(x.values, p.volts(x, 0, 1))))
	}
	panic("unreachable")
}

// gateFloats reports whether nothing determines the gate of a field-effect
// transistor: no way leads from there to its source, or one that the solver
// says is held by leakage only.
func (p *plain) gateFloats(x piece) bool {
	return p.tied.Find(x.nodes[1]) != p.tied.Find(x.nodes[2]) || x.part.elements[x.i].(*fieldEffect).floats
}

// throughBranch returns the current of a resistance or source: by Ohm's law
// where the solver has none of its own, else the solver's after checking it.
func (p *plain) throughBranch(x piece, volts, ohms float64) *big.Float {
	drop := number(0).Sub(p.unknown(p.c.place[x.nodes[0]]), p.unknown(p.c.place[x.nodes[1]]))
	drop.Sub(drop, number(volts))
	b, isBranch := x.part.elements[x.i].(*branch)
	if !isBranch {
		return drop.Quo(drop, number(ohms))
	}
	amps := p.unknown(b.j)
	amps.Quo(amps, number(x.many))
	rest, _ := number(0).Sub(drop, number(0).Mul(amps, number(ohms))).Float64()
	f, _ := amps.Float64()
	scale := math.Abs(p.volts(x, 0, 1)) + math.Abs(volts) + math.Abs(ohms*f)
	if !(math.Abs(rest) <= 1e-9*scale+1e-15) {
		p.wrong = append(p.wrong, fmt.Sprintf("%s: %g V are left over", x.part.Ref, rest))
	}
	return amps
}

// sourceCurrent is what leaves the first terminal through the circuit: of a
// current source that may give way, or of what a chip lives on, which falls to
// nothing as 3V² − 2V³ from 1 V to 0 V.
func (p *plain) sourceCurrent(x piece, amps float64) float64 {
	v := p.volts(x, 0, 1)
	if x.part.Kind == "current_source" {
		return amps - math.Abs(amps)*p.yield*v
	}
	if p.tied.Find(x.nodes[0]) != p.tied.Find(x.nodes[1]) {
		return 0
	}
	v = min(max(-v, 0), 1)
	return amps * (3*v*v - 2*v*v*v)
}

func plainJunction(l model.JunctionLaw, v float64) float64 {
	i := l.SaturationCurrent * math.Expm1(v/(l.Emission*l.ThermalVoltage))
	if l.BreakdownVoltage > 0 {
		i -= l.BreakdownCurrent * math.Exp(-(v+l.BreakdownVoltage)/(l.BreakdownEmission*l.ThermalVoltage))
	}
	return i
}

// plainBipolar returns the currents into collector and base and the largest
// term of which they are sums.
func plainBipolar(l model.BipolarLaw, be, bc, ce float64) (collector, base, within float64) {
	s := l.Polarity
	be, bc = s*be, s*bc
	f, r := math.Expm1(be/(l.ForwardEmission*l.ThermalVoltage)), math.Expm1(bc/(l.ReverseEmission*l.ThermalVoltage))
	qb := 1.0
	if l.KneeCurrent > 0 {
		qb = (1 + math.Sqrt(1+4*l.SaturationCurrent*f/(l.KneeCurrent))) / 2
	}
	if l.EarlyVoltage > 0 {
		qb /= 1 - bc/l.EarlyVoltage
	}
	transport := l.SaturationCurrent / qb * (f - r)
	if l.ForwardEmission == l.ReverseEmission { // the same without cancellation in saturation
		transport = l.SaturationCurrent / qb * (r + 1) * math.Expm1(s*ce/(l.ForwardEmission*l.ThermalVoltage))
		if math.IsNaN(transport) || math.IsInf(transport, 0) || be-bc > 1 || bc < 0 {
			transport = l.SaturationCurrent / qb * (f - r)
		}
	}
	reverse := l.SaturationCurrent / l.ReverseBeta * r
	within = max(math.Abs(l.SaturationCurrent/qb*f), math.Abs(l.SaturationCurrent/qb*r), math.Abs(reverse))
	return s * (transport - reverse), s * (l.SaturationCurrent/l.ForwardBeta*f + reverse), within
}

func plainFieldEffect(l model.FieldEffectLaw, ds, gs float64) float64 {
	ds, gs = l.Polarity*ds, l.Polarity*gs
	if ds < 0 { // drain and source change places
		mirrored := l
		mirrored.Polarity = 1
		return -l.Polarity * plainFieldEffect(mirrored, -ds, gs-ds)
	}
	v := max(gs-l.Threshold, 0)
	if l.Subthreshold {
		s := min(2*l.ThermalVoltage, 0.075)
		u := (gs - l.Threshold) / s
		if v = s * math.Log1p(math.Exp(u)); u > 500 {
			v = gs - l.Threshold
		}
	}
	i := l.Transconductance / 2 * v * v
	if ds < v {
		i = l.Transconductance * (v*ds - ds*ds/2)
	}
	return l.Polarity * i * (1 + l.ChannelModulation*ds)
}

// plainLamp finds the filament's resistance by bisection of the heat balance
// V²/R = P_r (x^a − 1)/(x_r^a − 1), R = R_c x, a = 4/1.2.
func plainLamp(v model.Values, volts float64) float64 {
	rated, watts, cold := v.Num("rated_voltage"), v.Num("rated_power"), v.Num("cold_resistance")
	const a = 4 / 1.2
	hot := math.Expm1(a * math.Log(rated*rated/watts/cold))
	low, high := 0.0, 100.0 // ln x
	for range 200 {
		y := (low + high) / 2
		if volts*volts/(cold*math.Exp(y)) > watts*math.Expm1(a*y)/hot {
			low = y
		} else {
			high = y
		}
	}
	return volts / (cold * math.Exp(low))
}

// rounding is the current in amperes that rounding within devices may leave
// over anywhere, with 1 fA for each node that the reference takes up.
func (p *plain) rounding() float64 {
	return 1e-13*max(p.terms, slices.Max(p.size)) + 1e-15*float64(10+p.c.voltages)
}

// imbalance returns what is wrong by Kirchhoff's current law.
func (p *plain) imbalance() []string {
	wrong := slices.Clone(p.wrong)
	for n, sum := range p.into {
		f, _ := sum.Float64()
		if !(math.Abs(f) <= 1e-9*p.size[n]+p.rounding()) {
			wrong = append(wrong, fmt.Sprintf("node %d: %g A are left over where the largest is %g A", n, f, p.size[n]))
		}
	}
	return wrong
}

// checkPlain compares a result with the plain reading of its circuit: the
// laws of all elements, Kirchhoff's current law at all nodes, the currents at
// all pins and the powers.
func checkPlain(t testing.TB, d *model.Diagram, r *Result) {
	t.Helper()
	p := newPlain(d, r.Set, r.circuit, r.point, 0)
	for _, text := range p.imbalance() {
		t.Error(text)
	}
	total, moved, volts := number(0), 0.0, 1.0
	for _, v := range r.point.High[:r.circuit.voltages] {
		volts = max(volts, math.Abs(v))
	}
	for ref, q := range r.Parts {
		if len(r.circuit.byRef[ref].links) > 0 {
			continue
		}
		for _, pin := range q.Pins {
			want := p.pins[ref+"."+pin.Name]
			if !(math.Abs(pin.Amps-want) <= 1e-9*math.Abs(want)+p.rounding()) {
				t.Errorf("%s.%s carries %g A, by its law %g A", ref, pin.Name, pin.Amps, want)
			}
		}
	}
	for ref, w := range p.watts {
		f, _ := w.Float64()
		total.Add(total, w)
		moved += math.Abs(f)
		if got := r.Parts[ref].Power; !(math.Abs(got-f) <= 1e-9*math.Abs(f)+p.rounding()*volts) {
			t.Errorf("%s absorbs %g W, by its law %g W", ref, got, f)
		}
	}
	if f, _ := total.Float64(); !(math.Abs(f) <= 1e-9*moved+p.rounding()*volts) {
		t.Errorf("%g W are left over where %g W flow", f, moved)
	}
	if r.Method == "" || r.Iterations == 0 {
		t.Errorf("found by %q in %d iterations", r.Method, r.Iterations)
	}
}

// checkRefusal verifies apart from the code under test that what a fault says
// of the circuit's structure is so.
func checkRefusal(t testing.TB, d *model.Diagram, r *Result) {
	t.Helper()
	c, _ := compile(d, r.Nets, r.Set)
	fixed, _ := c.reference()
	newSystem(c, fixed)
	p := newPlain(d, r.Set, c, newton.NewPoint(c.unknowns), 0)
	count := 0
	for _, f := range r.Faults {
		if !f.Stops {
			continue
		}
		count++
		switch {
		case strings.Contains(f.Text, "shorted"), strings.Contains(f.Text, "without any resistance"):
			if !p.hasSourceLoop(d, r.Set, f.Parts) {
				t.Errorf("%s: there is no such loop", f.Text)
			}
		case strings.Contains(f.Text, "million amperes"):
			if !p.isOverloaded(d, r.Set, f.Parts) {
				t.Errorf("%s: there are voltages at which less flows", f.Text)
			}
		case strings.Contains(f.Text, "has no way"):
			if !p.isStranded(d, r.Set, f.Parts) {
				t.Errorf("%s: it has one", f.Text)
			}
		case strings.Contains(f.Text, "takes the current"):
			checkOvertaxed(t, d, r, f)
		default:
			t.Errorf("refused: %s", f.Text)
		}
	}
	if count == 0 {
		t.Error("refused without a reason")
	}
}

// hasSourceLoop reports whether an ideal source among the parts closes a loop
// with the others and with links.
func (p *plain) hasSourceLoop(d *model.Diagram, set model.Setting, parts []string) bool {
	joined, found := slices.Clone(p.root), false
	p.each(d, set, func(x piece) {
		e, ok := x.element.(model.VoltageSource)
		if ok && e.Ohms == 0 && e.Volts != 0 && slices.Contains(parts, x.part.Ref) {
			found = found || !joined.Join(x.nodes[0], x.nodes[1])
		}
	})
	return found
}

// isOverloaded reports whether no voltages exist at which the junctions of the
// parts carry less than a million amperes each, by the shortest ways between
// all nodes (R. W. Floyd, Algorithm 97, Communications of the ACM 5, 1962).
func (p *plain) isOverloaded(d *model.Diagram, set model.Setting, parts []string) bool {
	n := p.c.nodes
	far := make([][]float64, n)
	for i := range far {
		far[i] = slices.Repeat([]float64{math.Inf(1)}, n)
	}
	most := func(above, below int, volts float64) { // V(above) − V(below) ≤ volts
		a, b := p.root.Find(above), p.root.Find(below)
		far[b][a] = min(far[b][a], volts)
	}
	p.each(d, set, func(x piece) {
		if !slices.Contains(parts, x.part.Ref) {
			return
		}
		at := func(is, scale float64) float64 { return scale * math.Log1p(1e6/(is*x.many)) }
		switch e := x.element.(type) {
		case model.VoltageSource:
			if e.Ohms == 0 {
				most(x.nodes[0], x.nodes[1], e.Volts)
				most(x.nodes[1], x.nodes[0], -e.Volts)
			}
		case model.Junction:
			l := e.Law
			most(x.nodes[0], x.nodes[1], at(l.SaturationCurrent, l.Emission*l.ThermalVoltage))
			if l.BreakdownVoltage > 0 {
				most(x.nodes[1], x.nodes[0], l.BreakdownVoltage+at(l.BreakdownCurrent, l.BreakdownEmission*l.ThermalVoltage))
			}
		case model.Bipolar:
			for _, end := range []struct {
				node     int
				emission float64
			}{{x.nodes[2], e.Law.ForwardEmission}, {x.nodes[0], e.Law.ReverseEmission}} {
				drop := at(e.Law.SaturationCurrent, end.emission*e.Law.ThermalVoltage)
				if e.Law.Polarity > 0 {
					most(x.nodes[1], end.node, drop)
				} else {
					most(end.node, x.nodes[1], drop)
				}
			}
		}
	})
	for k := range n {
		for i := range n {
			for j := range n {
				far[i][j] = min(far[i][j], far[i][k]+far[k][j])
			}
		}
	}
	for i := range n {
		if far[i][i] < 0 {
			return true
		}
	}
	return false
}

// isStranded reports whether one end of a current source among the parts is
// cut off from the other, and the current sources to there do not cancel.
func (p *plain) isStranded(d *model.Diagram, set model.Setting, parts []string) bool {
	sum := map[int]float64{}
	ends := map[int]bool{}
	p.each(d, set, func(x piece) {
		if e, ok := x.element.(model.CurrentSource); ok && x.part.Kind == "current_source" {
			a, b := p.tied.Find(x.nodes[0]), p.tied.Find(x.nodes[1])
			sum[a] += e.Amps * x.many
			sum[b] -= e.Amps * x.many
			if a != b && slices.Contains(parts, x.part.Ref) {
				ends[a], ends[b] = true, true
			}
		}
	})
	for n := range ends {
		if sum[n] != 0 {
			return true
		}
	}
	return false
}

// checkOvertaxed verifies that with current sources that give way there are
// two solutions, and that from one to the other, with sources that take ten
// times the volts, the voltages of those named rise to nearly the tenfold.
func checkOvertaxed(t testing.TB, d *model.Diagram, r *Result, f Fault) {
	t.Helper()
	c, _ := compile(d, r.Nets, r.Set)
	fixed, _ := c.reference()
	c.strandedSources(t.Context())
	if r.refused != nil {
		c.keepGates(r.refused)
	}
	tried := newYielding(newSystem(c, fixed)).solve(context.Background(), &Result{}, newton.Settings{})
	var volts []map[string]float64
	for _, one := range tried[len(tried)-2:] {
		p := newPlain(d, r.Set, c, one.x, 1/one.compliance)
		for _, text := range p.imbalance() {
			t.Error(text)
		}
		at := map[string]float64{}
		p.each(d, r.Set, func(x piece) {
			if e, ok := x.element.(model.CurrentSource); ok {
				at[x.part.Ref] = math.Copysign(1, e.Amps) * p.volts(x, 0, 1)
			}
		})
		volts = append(volts, at)
	}
	for _, ref := range f.Parts {
		if a, b := volts[0][ref], volts[1][ref]; !(b > 8*a && a > 0) {
			t.Errorf("%s stands at %g V and then at %g V", ref, a, b)
		}
	}
}
