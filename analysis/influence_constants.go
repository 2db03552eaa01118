package analysis

import (
	"maps"
	"slices"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// mover moves the parameters of one part and tells what that does to the part's
// share in the equations.
type mover struct {
	tangent  *tangent
	part     *part
	trial    part // the same with elements of its own, the meters aside
	resolver *model.Resolver
	about    model.Setting // what is set for the part and for the drawing
	rows     []int         // the equations that the part has a share in
	work     constants
	motions  [2]motion // wide and narrow
	state    state
	out      slopes
	first    []float64 // residuals by row: the first of a motion
	next     []float64 // and a later one
}

func (t *tangent) newMover(p *part) *mover {
	m := &mover{tangent: t, part: p, trial: *p, resolver: model.NewResolver(t.diagram, p.Part), rows: t.rows(p)}
	m.about = model.Setting{model.Drawing: maps.Clone(t.set[model.Drawing]), p.Ref: maps.Clone(t.set[p.Ref])}
	meters := len(t.meters[p.Ref])
	m.trial.elements = make([]element, 0, len(p.elements)-meters)
	for _, e := range p.elements[meters:] {
		m.trial.elements = append(m.trial.elements, copied(e))
	}
	m.trial.ideal, m.trial.before = slices.Clone(p.ideal), slices.Clone(p.before)
	for i := range m.trial.before {
		m.trial.before[i] -= meters
	}
	m.state = state{t.x, newton.Aid{}, &t.eq}
	m.out = slopes{make([]float64, len(t.probes)), make([]bool, len(t.probes))}
	m.first, m.next = make([]float64, len(m.rows)), make([]float64, len(m.rows))
	m.resolver.Resolve(m.about)
	return m
}

// rows returns the equations that the part has a share in.
func (t *tangent) rows(p *part) []int {
	var rows []int
	add := func(i int) {
		if i >= 0 && !slices.Contains(rows, i) {
			rows = append(rows, i)
		}
	}
	for _, n := range p.nets {
		add(t.circuit.place[n])
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

// put gives the trial the constants it has with the parameter of that name, of
// the part or the drawing, at x. It fails where they make other elements of it.
func (m *mover) put(ref, name string, x float64) bool {
	if ref == model.Drawing || !m.resolver.Put(name, model.Number(x)) {
		m.about.Set(ref, name, model.Number(x))
		m.resolver.Resolve(m.about)
	}
	return m.work.change(&m.trial, distinct(m.part.kind, m.resolver.Values()))
}

// restore takes back what was put since was was set.
func (m *mover) restore(ref, name string, was model.Value) {
	if was.IsSet() {
		m.about.Set(ref, name, was)
	} else {
		delete(m.about[ref], name)
	}
	m.resolver.Resolve(m.about)
}

// residual sets to to the trial's share in the equations at the operating point.
func (m *mover) residual(to []float64) {
	eq := &m.tangent.eq
	for _, i := range m.rows {
		eq.Residual[i], eq.Terms[i] = 0, 0
	}
	for _, e := range m.trial.elements {
		e.load(&m.state)
	}
	for k, i := range m.rows {
		to[k] = eq.Residual[i]
	}
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

// sameConstants reports whether two elements of a kind have the same constants,
// as far as can be seen: what a law holds shows in what it does.
func sameConstants(a, b element) bool {
	switch a := a.(type) {
	case *conductor:
		return a.siemens == b.(*conductor).siemens
	case *branch:
		b := b.(*branch)
		return a.volts == b.volts && a.ohms == b.ohms
	case *current:
		return a.amps == b.(*current).amps
	case *junction:
		return a.law == b.(*junction).law
	case *bipolar:
		return a.law == b.(*bipolar).law
	case *fieldEffect:
		return a.law == b.(*fieldEffect).law
	}
	return true
}

func isLaw(e element) bool { _, ok := e.(*law); return ok }
