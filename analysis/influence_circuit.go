package analysis

import (
	"context"
	"errors"
	"maps"
	"slices"

	"copperglass/analysis/sparse"
	"copperglass/model"
	"copperglass/model/quantity"
)

// hair is what stands for 0 Ω, and for other nothings that would leave an
// element out, where it is to be differentiated: far too little to change a
// figure.
const hair = 1e-30

// distinct returns the values with a hair in the place of each nothing; v itself
// where there is none.
func distinct(k *model.Kind, v model.Values) model.Values {
	out := v
	for i := range k.Params {
		q := &k.Params[i]
		if q.Unit != quantity.Ohm && q.Name != "position" && q.Name != "supply_current" {
			continue
		}
		x, ok := v[q.Name].Num()
		if !ok || x != 0 && !(x == 1 && q.Name == "position") {
			continue
		}
		if out = maps.Clone(out); x == 0 {
			out[q.Name] = model.Number(hair)
		} else {
			out[q.Name] = model.Number(1 - 0x1p-53)
		}
	}
	return out
}

// equation returns the elements of the part at the given values, with meters in
// the leads that are probed.
func (t *tangent) equation(p *part, v model.Values) []model.Element {
	elements := p.kind.Elements(p.Part, distinct(p.kind, v))
	return metered(elements, t.meters[p.Ref])
}

// metered puts a meter into each of the leads: first a branch from the pin to a
// node behind it, then the elements, which end there.
func metered(elements []model.Element, pins []string) []model.Element {
	if len(pins) == 0 {
		return elements
	}
	behind := func(name string) string {
		if slices.Contains(pins, name) {
			return name + " behind its meter"
		}
		return name
	}
	var out []model.Element
	for _, pin := range pins {
		out = append(out, model.Resistance{A: pin, B: behind(pin), Ohms: hair})
	}
	for _, e := range elements {
		out = append(out, renamed(e, behind))
	}
	return out
}

// renamed returns the element between terminals of other names. It asks for
// them in the order in which a builder does.
func renamed(e model.Element, to func(string) string) model.Element {
	switch e := e.(type) {
	case model.Resistance:
		e.A, e.B = to(e.A), to(e.B)
		return e
	case model.VoltageSource:
		e.Plus, e.Minus = to(e.Plus), to(e.Minus)
		return e
	case model.CurrentSource:
		e.Plus, e.Minus = to(e.Plus), to(e.Minus)
		return e
	case model.Junction:
		e.Anode, e.Cathode = to(e.Anode), to(e.Cathode)
		return e
	case model.Bipolar:
		e.Collector, e.Base, e.Emitter = to(e.Collector), to(e.Base), to(e.Emitter)
		return e
	case model.FieldEffect:
		e.Drain, e.Gate, e.Source = to(e.Drain), to(e.Gate), to(e.Source)
		return e
	case model.Law:
		terminals := make([]string, len(e.Terminals))
		for i, name := range e.Terminals {
			terminals[i] = to(name)
		}
		e.Terminals = terminals
		return e
	}
	return e
}

// innerNames returns the names of the nodes inside a part, in the order in
// which a builder numbers them.
func innerNames(equation []model.Element, pins []string) []string {
	var inner []string
	note := func(name string) string {
		if !slices.Contains(pins, name) && !slices.Contains(inner, name) {
			inner = append(inner, name)
		}
		return name
	}
	for _, e := range equation {
		renamed(e, note)
	}
	return inner
}

// innerPair is the same node inside a part of two circuits; from is −1 where it
// is new.
type innerPair struct{ from, to int }

// build makes the circuit from the parts of old and returns the nodes inside
// parts.
func (t *tangent) build(old *circuit) []innerPair {
	c := &circuit{diagram: old.diagram, nets: old.nets, nodes: len(old.nets.Nets), byRef: make(map[string]*part, len(old.parts)), datum: -1}
	t.circuit = c
	var pairs []innerPair
	for _, from := range old.parts {
		p := &part{Part: from.Part, kind: from.kind, values: from.values, pins: from.pins, nets: from.nets, leftOpen: from.leftOpen, first: c.nodes}
		c.parts, c.byRef[p.Ref] = append(c.parts, p), p
		if p.leftOpen {
			continue
		}
		b := builder{circuit: c, part: p, many: float64(p.Multiple())}
		for _, e := range t.equation(p, p.values) {
			b.add(e)
		}
		before := innerNames(p.kind.Elements(p.Part, p.values), p.pins)
		for i, name := range b.inner {
			pair := innerPair{-1, p.first + i}
			if k := slices.Index(before, name); k >= 0 {
				pair.from = from.first + k
			}
			pairs = append(pairs, pair)
		}
		keepIdle(p, from)
	}
	c.join(context.Background())
	c.keepGates(old)
	return pairs
}

// keepIdle leaves out the current sources that were left out before.
func keepIdle(p, before *part) {
	for _, e := range before.elements {
		if s, ok := e.(*current); ok && s.idle {
			for _, e := range p.elements {
				if s, ok := e.(*current); ok {
					s.idle = true
				}
			}
		}
	}
}

// carry takes the voltages over from the operating point. A node that is new is
// on the far side of a hair.
func (t *tangent) carry(r *Result, inner []innerPair) {
	c, old := t.circuit, r.circuit
	known := make([]bool, c.nodes)
	set := func(to, place int) {
		known[to] = true
		if i := c.place[to]; i >= 0 && place >= 0 {
			t.x.High[i], t.x.Low[i] = r.point.High[place], r.point.Low[place]
		}
	}
	places := make([]int, c.nodes) // by node: where its voltage is in the operating point
	for n := range c.nets.Nets {
		places[n] = old.place[n]
		set(n, places[n])
	}
	for _, pair := range inner {
		if pair.from >= 0 {
			places[pair.to] = old.place[pair.from]
			set(pair.to, places[pair.to])
		}
	}
	for _, p := range c.parts {
		for _, e := range p.elements {
			b, ok := e.(*branch)
			if !ok || b.source {
				continue
			}
			for _, way := range [][2]int{{b.a.node, b.b.node}, {b.b.node, b.a.node}} {
				if from, to := way[0], way[1]; known[from] && !known[to] {
					places[to] = places[from]
					set(to, places[to])
				}
			}
		}
	}
}

var errOpen = errors.New("the circuit leaves too much open to be differentiated")

// factor factors the slopes, holding what nothing determines.
func factor(slopes *sparse.Matrix) (*sparse.LU, []bool, error) {
	lu, held := sparse.New(slopes), make([]bool, slopes.Size())
	for range slopes.Size() + 1 {
		err := lu.Factor(slopes, held)
		if err == nil {
			return lu, held, nil
		}
		var open *sparse.Singular
		if !errors.As(err, &open) || len(open.Unknowns) == 0 {
			return nil, nil, err
		}
		for _, i := range open.Unknowns {
			held[i] = true
		}
	}
	return nil, nil, errOpen
}
