package analysis

import (
	"math"

	"copperglass/analysis/device"
	"copperglass/model"
)

// junction is a p-n junction from a to b.
type junction struct {
	ends
	law    device.JunctionLaw
	at     float64 // where it was last looked at, V
	slopes transfer
}

func newJunction(e ends, l model.JunctionLaw, many float64) *junction {
	return &junction{ends: e, law: stackedJunction(l, many)}
}

// stackedJunction is the law of so many in parallel.
func stackedJunction(l model.JunctionLaw, many float64) device.JunctionLaw {
	law := device.JunctionLaw(l)
	law.SaturationCurrent *= many
	law.BreakdownCurrent *= many
	return law
}

func (j *junction) wire(w *wiring) {
	j.place(w)
	j.slopes = w.transfer(j.va, j.vb, j.va, j.vb)
}

func (j *junction) load(s *state) {
	v := s.volts(j.va, j.vb)
	j.at = s.look(v, j.at, j.law.Limit)
	i, g := j.law.Current(j.at)
	s.current(j.va, j.vb, i+g*(v-j.at))
	s.transfer(j.slopes, g)
}

func (j *junction) flow(s *state, f *flow) {
	v := s.volts(j.va, j.vb)
	i, _ := j.law.Current(v)
	j.ends.flow(f, i, i*v)
}

// bipolar is a bipolar transistor: a current I_C from collector to emitter and
// a current I_B from base to emitter.
type bipolar struct {
	collector, base, emitter terminal
	vc, vb, ve               int
	law                      device.BipolarLaw
	many                     float64
	at                       device.BipolarBias     // where it was last looked at
	carries                  device.BipolarCurrents // what it was last told to carry
	cBE, cBC, bBE, bBC       transfer
}

func newBipolar(t []terminal, l model.BipolarLaw, many float64) *bipolar {
	return &bipolar{collector: t[0], base: t[1], emitter: t[2], law: stackedBipolar(l, many), many: many}
}

func stackedBipolar(l model.BipolarLaw, many float64) device.BipolarLaw {
	law := device.BipolarLaw(l)
	law.SaturationCurrent *= many
	law.KneeCurrent *= many
	return law
}

func (q *bipolar) path() []terminal { return []terminal{q.collector, q.base, q.emitter} }

func (q *bipolar) wire(w *wiring) {
	q.vc, q.vb, q.ve = w.voltage(q.collector), w.voltage(q.base), w.voltage(q.emitter)
	q.cBE = w.transfer(q.vc, q.ve, q.vb, q.ve)
	q.cBC = w.transfer(q.vc, q.ve, q.vb, q.vc)
	q.bBE = w.transfer(q.vb, q.ve, q.vb, q.ve)
	q.bBC = w.transfer(q.vb, q.ve, q.vb, q.vc)
}

func (q *bipolar) bias(s *state) device.BipolarBias {
	return device.BipolarBias{BE: s.volts(q.vb, q.ve), BC: s.volts(q.vb, q.vc)}
}

func (q *bipolar) load(s *state) {
	b := q.bias(s)
	q.at.BE = s.look(b.BE, q.at.BE, q.law.LimitBE)
	q.at.BC = s.look(b.BC, q.at.BC, q.law.LimitBC)
	c := q.law.Currents(q.at)
	be, bc := b.BE-q.at.BE, b.BC-q.at.BC
	s.current(q.vc, q.ve, c.Collector+c.CollectorBE*be+c.CollectorBC*bc)
	s.current(q.vb, q.ve, c.Base+c.BaseBE*be+c.BaseBC*bc)
	s.scale(q.vc, c.Largest)
	s.scale(q.ve, c.Largest)
	s.transfer(q.cBE, c.CollectorBE)
	s.transfer(q.cBC, c.CollectorBC)
	s.transfer(q.bBE, c.BaseBE)
	s.transfer(q.bBC, c.BaseBC)
}

func (q *bipolar) flow(s *state, f *flow) {
	b := q.bias(s)
	c := q.law.Currents(b)
	q.carries = c
	f.largest = max(f.largest, c.Largest)
	f.into(q.collector, c.Collector)
	f.into(q.base, c.Base)
	f.into(q.emitter, -(c.Collector + c.Base))
	q.doubt(f)
	f.absorb(s, []int{q.ve, q.vc, q.vb}, []float64{-(c.Collector + c.Base), c.Collector, c.Base})
}

// doubt notes that a pin's current is known worse by the law than what flows there
// may be by Kirchhoff's: an exponential of u loses u times the last digit.
func (q *bipolar) doubt(f *flow) {
	const lost, matters = 1e-14, 1e-9
	c := &q.carries
	balance := q.emitter
	if math.Abs(c.Base) > math.Abs(c.Collector+c.Base) {
		balance = q.base
	}
	if off := lost * c.Largest; off > matters*math.Abs(c.Collector) {
		f.vague = append(f.vague, vague{q.collector, balance, c.Collector, off})
	} else if off > matters*math.Abs(c.Collector+c.Base) {
		f.vague = append(f.vague, vague{q.emitter, q.collector, -(c.Collector + c.Base), off})
	}
}

// fieldEffect is a MOS field-effect transistor: a current from drain to
// source, and none where its gate floats.
type fieldEffect struct {
	drain, gate, source terminal
	vd, vg, vs          int
	law                 device.FieldEffectLaw
	many                float64
	floats              bool // whether nothing determines the gate, and it counts as off
	byDS, byGS          transfer
}

func newFieldEffect(t []terminal, l model.FieldEffectLaw, many float64) *fieldEffect {
	return &fieldEffect{drain: t[0], gate: t[1], source: t[2], law: stackedFieldEffect(l, many), many: many}
}

func stackedFieldEffect(l model.FieldEffectLaw, many float64) device.FieldEffectLaw {
	law := device.FieldEffectLaw(l)
	law.Transconductance *= many
	return law
}

// path leaves out the gate, which carries nothing.
func (q *fieldEffect) path() []terminal { return []terminal{q.drain, q.source} }

func (q *fieldEffect) wire(w *wiring) {
	q.vd, q.vg, q.vs = w.voltage(q.drain), w.voltage(q.gate), w.voltage(q.source)
	q.byDS = w.transfer(q.vd, q.vs, q.vd, q.vs)
	q.byGS = w.transfer(q.vd, q.vs, q.vg, q.vs)
}

func (q *fieldEffect) bias(s *state) device.FieldEffectBias {
	return device.FieldEffectBias{DS: s.volts(q.vd, q.vs), GS: s.volts(q.vg, q.vs)}
}

func (q *fieldEffect) load(s *state) {
	if q.floats {
		return
	}
	c := q.law.Current(q.bias(s))
	s.current(q.vd, q.vs, c.Drain)
	s.transfer(q.byDS, c.DrainDS)
	s.transfer(q.byGS, c.DrainGS)
}

func (q *fieldEffect) flow(s *state, f *flow) {
	if q.floats {
		return
	}
	b := q.bias(s)
	c := q.law.Current(b)
	f.into(q.drain, c.Drain)
	f.into(q.source, -c.Drain)
	f.absorb(s, []int{q.vs, q.vd}, []float64{-c.Drain, c.Drain})
}

// law is a kind's own equation.
type law struct {
	ends     []terminal
	places   []int
	currents func(volts, amps, slopes []float64)
	many     float64
	volts    []float64 // from the first terminal to each
	amps     []float64
	slopes   []float64
	slots    []int
}

func newLaw(t []terminal, e model.Law, many float64) *law {
	n := len(t)
	return &law{
		ends: t, places: make([]int, n), currents: e.Currents, many: many,
		volts: make([]float64, n), amps: make([]float64, n), slopes: make([]float64, n*n), slots: make([]int, n*n),
	}
}

func (l *law) path() []terminal { return l.ends }

func (l *law) wire(w *wiring) {
	for i, t := range l.ends {
		l.places[i] = w.voltage(t)
	}
	for i, row := range l.places {
		for j, col := range l.places {
			l.slots[i*len(l.ends)+j] = w.entry(row, col)
		}
	}
}

// evaluate sets the currents and slopes of the whole stack.
func (l *law) evaluate(s *state) {
	for i, v := range l.places {
		l.volts[i] = s.volts(v, l.places[0])
	}
	l.currents(l.volts, l.amps, l.slopes)
	for i := range l.amps {
		l.amps[i] *= l.many
	}
	for i := range l.slopes {
		l.slopes[i] *= l.many
	}
}

func (l *law) load(s *state) {
	l.evaluate(s)
	for i, row := range l.places {
		s.term(row, l.amps[i])
	}
	for i, slot := range l.slots {
		s.slope(slot, l.slopes[i])
	}
}

func (l *law) flow(s *state, f *flow) {
	l.evaluate(s)
	for i, t := range l.ends {
		f.into(t, l.amps[i])
		f.watts += l.amps[i] * l.volts[i]
	}
}
