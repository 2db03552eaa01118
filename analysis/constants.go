package analysis

import "copperglass/model"

// constants writes the constants of an equation into the elements that an
// equation of the same form has made.
type constants struct {
	part *part
	next int  // place of the element whose constants come next
	link int  // place of the link that comes next
	bond int  // place of the ideal source whose voltage comes next
	fits bool // whether the form has been the same so far
}

var _ model.Equation = (*constants)(nil)

// change gives the elements of p the constants that its equation has at the
// values v. It fails where these make other elements of it; those it has are
// not to be used then.
func (w *constants) change(p *part, v model.Values) bool {
	*w = constants{part: p, fits: true}
	if p.kind.Equation != nil {
		p.kind.Equation(p.Part, v, w)
	}
	return w.fits && w.next == len(p.elements) && w.link == len(p.before)
}

// element returns the element whose turn it is, nil beyond the last.
func (w *constants) element() element {
	w.next++
	if w.next > len(w.part.elements) {
		return nil
	}
	return w.part.elements[w.next-1]
}

func (w *constants) many() float64 { return float64(w.part.Multiple()) }

func (w *constants) note(fits bool, e model.Element) { w.fits = w.fits && fits && !isSenseless(e) }

// skip takes a link, which must stand where one stood before.
func (w *constants) skip() {
	w.fits = w.fits && w.link < len(w.part.before) && w.part.before[w.link] == w.next
	w.link++
}

// Resistance takes an ohmic resistance.
func (w *constants) Resistance(e model.Resistance) {
	if e.Ohms == 0 {
		w.skip()
		return
	}
	w.note(setResistance(w.element(), e, w.many()), e)
}

// VoltageSource takes a voltage source, whose voltage also stands in the part's
// list of ideal ones if it is one.
func (w *constants) VoltageSource(e model.VoltageSource) {
	if e.Ohms == 0 && e.Volts == 0 {
		w.skip()
		return
	}
	w.note(setVoltageSource(w.element(), e, w.many()), e)
	if e.Ohms == 0 && w.bond < len(w.part.ideal) {
		w.part.ideal[w.bond].volts = e.Volts
		w.bond++
	}
}

// CurrentSource takes a current source.
func (w *constants) CurrentSource(e model.CurrentSource) {
	w.note(setCurrentSource(w.element(), e, w.many()), e)
}

// Junction takes a p-n junction.
func (w *constants) Junction(e model.Junction) { w.note(setJunction(w.element(), e, w.many()), e) }

// Bipolar takes a bipolar transistor.
func (w *constants) Bipolar(e model.Bipolar) { w.note(setBipolar(w.element(), e, w.many()), e) }

// FieldEffect takes a field-effect transistor.
func (w *constants) FieldEffect(e model.FieldEffect) {
	w.note(setFieldEffect(w.element(), e, w.many()), e)
}

// Law takes a kind's own equation.
func (w *constants) Law(e model.Law) { w.note(setLaw(w.element(), e), e) }

// leastConductor is the resistance in ohms below which a conductor is not kept:
// its current would be too large a number times too small a difference.
const leastConductor = thin * 1e-2

// setResistance gives an element other constants, as the functions after it do.
// It reports whether a circuit compiled with them would have a like element in
// its place. A resistance that falls a little below thin stays a conductor, and
// one that rises above it a branch: both are exact laws.
func setResistance(to element, from model.Resistance, many float64) bool {
	switch to := to.(type) {
	case *conductor:
		to.siemens = many / from.Ohms
		return from.Ohms >= leastConductor*many
	case *branch:
		to.ohms = from.Ohms / many
		return !to.source && from.Ohms > 0
	}
	return false
}

func setVoltageSource(to element, from model.VoltageSource, many float64) bool {
	b, ok := to.(*branch)
	if !ok || !b.source || from.Ohms == 0 && (b.ohms != 0 || from.Volts == 0) || b.ohms == 0 && from.Ohms != 0 {
		return false
	}
	b.volts, b.ohms = from.Volts, from.Ohms/many
	return true
}

func setCurrentSource(to element, from model.CurrentSource, many float64) bool {
	s, ok := to.(*current)
	if ok {
		s.amps = from.Amps * many
	}
	return ok
}

func setJunction(to element, from model.Junction, many float64) bool {
	j, ok := to.(*junction)
	if ok {
		j.law = stackedJunction(from.Law, many)
	}
	return ok
}

func setBipolar(to element, from model.Bipolar, many float64) bool {
	q, ok := to.(*bipolar)
	if ok {
		q.law = stackedBipolar(from.Law, many)
	}
	return ok
}

func setFieldEffect(to element, from model.FieldEffect, many float64) bool {
	q, ok := to.(*fieldEffect)
	if ok {
		q.law = stackedFieldEffect(from.Law, many)
	}
	return ok
}

func setLaw(to element, from model.Law) bool {
	l, ok := to.(*law)
	if ok {
		l.currents = from.Currents
	}
	return ok && len(l.ends) == len(from.Terminals)
}
