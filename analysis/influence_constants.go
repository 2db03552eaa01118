package analysis

import (
	"slices"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// rows returns the equations that the part has a share in.
func (t *tangent) rows(p *part) []int {
	var rows []int
	add := func(i int) {
		if i >= 0 && !slices.Contains(rows, i) {
			rows = append(rows, i)
		}
	}
	for _, pin := range p.pins {
		add(t.circuit.place[t.circuit.nets.Pin(p.Ref, pin)])
	}
	for i := range p.inner {
		add(t.circuit.place[p.first+i])
	}
	for _, e := range p.elements {
		if b, ok := e.(*branch); ok {
			add(b.j)
		}
	}
	return rows
}

// residual returns the part's share in those equations at the operating point
// with other constants. It fails where they make other elements of it.
func (t *tangent) residual(p *part, equation []model.Element, rows []int) ([]float64, bool) {
	if len(equation) != len(p.elements) {
		return nil, false
	}
	s := &state{t.x, newton.Aid{}, &t.eq}
	for _, i := range rows {
		t.eq.Residual[i], t.eq.Terms[i] = 0, 0
	}
	for i, e := range p.elements {
		like, ok := withConstants(e, equation[i], float64(p.Multiple()))
		if !ok {
			return nil, false
		}
		like.load(s)
	}
	out := make([]float64, len(rows))
	for k, i := range rows {
		out[k] = t.eq.Residual[i]
	}
	return out, true
}

// withConstants returns a copy of e, in the same place, with the constants of
// another equation of the same form.
func withConstants(e element, from model.Element, many float64) (element, bool) {
	like := copied(e)
	switch from := from.(type) {
	case model.Resistance:
		return like, setResistance(like, from, many)
	case model.VoltageSource:
		return like, setVoltageSource(like, from, many)
	case model.CurrentSource:
		return like, setCurrentSource(like, from, many)
	case model.Junction:
		return like, setJunction(like, from, many)
	case model.Bipolar:
		return like, setBipolar(like, from, many)
	case model.FieldEffect:
		return like, setFieldEffect(like, from, many)
	case model.Law:
		return like, setLaw(like, from)
	}
	return nil, false
}

// copied returns a copy of e. That of a law shares its workspace.
func copied(e element) element {
	switch e := e.(type) {
	case *conductor:
		c := *e
		return &c
	case *branch:
		c := *e
		return &c
	case *current:
		c := *e
		return &c
	case *junction:
		c := *e
		return &c
	case *bipolar:
		c := *e
		return &c
	case *fieldEffect:
		c := *e
		return &c
	case *law:
		c := *e
		return &c
	}
	panic("analysis: unknown element")
}

func isLaw(e model.Element) bool { _, ok := e.(model.Law); return ok }

// sameConstants reports whether two elements are alike, as far as can be seen:
// what a Law holds shows in what it does.
func sameConstants(a, b model.Element) bool {
	if isLaw(a) || isLaw(b) {
		return isLaw(a) && isLaw(b)
	}
	return a == b
}

// surelySame reports whether two elements are alike; of a Law nobody knows.
func surelySame(a, b model.Element) bool { return !isLaw(a) && !isLaw(b) && a == b }
