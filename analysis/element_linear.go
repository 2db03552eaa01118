package analysis

import (
	"math"

	"copperglass/analysis/newton"
)

// conductor is Ohm's law, I = G (V_a − V_b).
type conductor struct {
	ends
	siemens float64
	slopes  transfer
}

func (c *conductor) wire(w *wiring) {
	c.place(w)
	c.slopes = w.transfer(c.va, c.vb, c.va, c.vb)
}

func (c *conductor) load(s *state) {
	s.current(c.va, c.vb, c.siemens*s.volts(c.va, c.vb))
	s.transfer(c.slopes, c.siemens)
}

func (c *conductor) flow(s *state, f *flow) {
	v := s.volts(c.va, c.vb)
	c.ends.flow(f, c.siemens*v, c.siemens*v*v)
}

// branch is a voltage source or a small resistance. Its current J, into it at
// a, is an unknown of its own:
//
//	V_a − V_b − E − R J = 0
type branch struct {
	ends
	source      bool
	volts, ohms float64 // E, R
	j           int     // the unknown
	out, back   int     // slots: ∂/∂J of the current laws at a and b
	pa, pb, own int     // slots: ∂/∂V_a, ∂/∂V_b and ∂/∂J of the branch's law
}

func (b *branch) wire(w *wiring) {
	b.place(w)
	b.out, b.back = w.entry(b.va, b.j), w.entry(b.vb, b.j)
	b.pa, b.pb, b.own = w.entry(b.j, b.va), w.entry(b.j, b.vb), w.entry(b.j, b.j)
}

func (b *branch) load(s *state) {
	high, low := s.x.High[b.j], s.x.Low[b.j]
	s.termPair(b.va, high, low)
	s.termPair(b.vb, -high, -low)
	s.term(b.j, s.volts(b.va, b.vb))
	s.term(b.j, -b.volts*(1-s.aid.Slack))
	s.term(b.j, -b.ohms*(high+low))
	s.slope(b.out, 1)
	s.slope(b.back, -1)
	s.slope(b.pa, 1)
	s.slope(b.pb, -1)
	s.slope(b.own, -b.ohms)
}

func (b *branch) flow(s *state, f *flow) {
	j := s.x.High[b.j] + s.x.Low[b.j]
	b.ends.flow(f, j, (b.volts+b.ohms*j)*j)
}

// current is a steady current out of a through the circuit into b.
type current struct {
	ends
	amps   float64
	feeds  bool // whether it is what a chip lives on, and not a source
	idle   bool // whether it is left out, for want of a way back
	slopes transfer
}

// path is empty: the voltage across a current source may be anything.
func (c *current) path() []terminal { return nil }

func (c *current) wire(w *wiring) {
	c.place(w)
	c.slopes = w.transfer(c.va, c.vb, c.va, c.vb)
}

// current returns the current out of a through the circuit at v volts from a
// to b, and the conductance from a to b that its slope is.
//
// A chip without a supply takes nothing: from 1 V down to 0 V its current falls
// smoothly, as 3V² − 2V³. A source may be made to give way.
func (c *current) current(v float64, a newton.Aid) (amps, siemens float64) {
	switch {
	case c.idle:
		return 0, 0
	case c.feeds:
		v = min(max(-v, 0), 1)
		return c.amps * v * v * (3 - 2*v), c.amps * 6 * v * (1 - v)
	}
	g := math.Abs(c.amps) * a.Yield
	return c.amps - g*v, g
}

func (c *current) load(s *state) {
	amps, g := c.current(s.volts(c.va, c.vb), s.aid)
	share := 1 - s.aid.Slack
	s.current(c.vb, c.va, share*amps)
	s.transfer(c.slopes, share*g)
}

func (c *current) flow(s *state, f *flow) {
	v := s.volts(c.va, c.vb)
	amps, _ := c.current(v, s.aid)
	c.ends.flow(f, -amps, -amps*v)
}
