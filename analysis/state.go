package analysis

import "math"

// onset is the current, in amperes through one transistor, from which it
// counts as conducting.
const onset = 1e-6

// transistorState tells what the part's transistor does, once its flow has been
// told; empty where it has none, or one whose gate floats.
func transistorState(p *part, s *state) State {
	for _, e := range p.elements {
		switch q := e.(type) {
		case *bipolar:
			return q.state()
		case *fieldEffect:
			return q.state(s)
		}
	}
	return ""
}

// forwardBiased is how many times its saturation current a collector junction
// carries once it counts as forward biased, which is when textbooks call the
// transistor saturated: from 2.4 V_T on, about 60 mV.
const forwardBiased = 10

// state follows from the bias of the two junctions. A junction counts as
// forward biased from the voltage at which the transport law's exponential
// I_S (e^(V/(n V_T)) − 1) reaches 1 µA, about 0.5 V for small silicon
// transistors. Without one the transistor is cut off; with the collector
// junction's exponential the larger it works in reverse. Otherwise it is on,
// and saturated where the collector junction is forward biased, too; at its
// edge forced β is still β_F, and how far it falls short tells how deep it is.
func (q *bipolar) state() State {
	be, bc := q.carries.BE, q.carries.BC
	switch {
	case max(be.Amps, bc.Amps) < onset*q.many:
		return CutOff
	case bc.Amps > be.Amps:
		return Reverse
	case bc.Amps > forwardBiased*q.law.SaturationCurrent*q.many:
		return Saturated
	}
	return Active
}

// state uses the words for bipolar transistors, as a maker does who puts a
// MOSFET in the place of one: cut-off where the channel carries less than
// 1 µA, reverse where it carries that from source to drain, saturated where it
// is fully on (the triode region, V_DS below half of V_GS − V_t: a resistance
// within a third of its least) and active where the gate sets the current.
// Textbooks on MOSFETs call that last region saturation; P. R. Gray and R. G.
// Meyer (Analysis and Design of Analog Integrated Circuits) call it active for
// the same reason as here (from memory).
func (q *fieldEffect) state(s *state) State {
	if q.floats {
		return ""
	}
	b := q.bias(s)
	ds, excess := q.law.Polarity*b.DS, q.law.Excess(b)
	amps := math.Abs(q.law.Current(b).Drain) / q.many
	on := excess > 0 && (amps >= onset || math.Abs(ds) < excess/2)
	switch {
	case !on && amps < onset:
		return CutOff
	case ds < 0 && amps >= onset:
		return Reverse
	case math.Abs(ds) < excess/2:
		return Saturated
	}
	return Active
}

// leastBase is the base current in amperes below which a forced β says
// nothing.
const leastBase = 1e-9

func forcedBeta(r *PartResult) float64 {
	c, b := r.Pin("C"), r.Pin("B")
	if c == nil || b == nil || r.State == "" || math.Abs(b.Amps) < leastBase*float64(r.Count) {
		return math.NaN()
	}
	return c.Amps / b.Amps
}
