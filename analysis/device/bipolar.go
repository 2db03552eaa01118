package device

import "math"

// BipolarLaw holds the constants of a bipolar transistor at its temperature,
// in the transport form with the forward terms of H. K. Gummel and H. C. Poon
// (Bell System Technical Journal 49, 1970). For an npn, and for a pnp with the
// signs of all voltages and currents turned:
//
//	I_C = (I_S/q_b)(e^(V_BE/(n_F V_T)) − e^(V_BC/(n_R V_T))) − (I_S/β_R)(e^(V_BC/(n_R V_T)) − 1)
//	I_B = (I_S/β_F)(e^(V_BE/(n_F V_T)) − 1) + (I_S/β_R)(e^(V_BC/(n_R V_T)) − 1)
//	q_b = ½ q_1 (1 + √(1 + 4 q_2)),  q_1 = 1/(1 − V_BC/V_A),
//	q_2 = (I_S/I_K)(e^(V_BE/(n_F V_T)) − 1)
//
// without the terms of a V_A or I_K that is 0.
type BipolarLaw struct {
	Polarity          float64 // +1 npn, −1 pnp
	SaturationCurrent float64 // I_S, A
	ForwardBeta       float64 // β_F
	ReverseBeta       float64 // β_R
	ForwardEmission   float64 // n_F
	ReverseEmission   float64 // n_R
	EarlyVoltage      float64 // V_A, V; 0 for none
	KneeCurrent       float64 // I_K, A; 0 for none
	ThermalVoltage    float64 // V_T, V
}

// BipolarBias is where a bipolar transistor stands: the voltages from base to
// emitter and from base to collector, in volts, in the circuit's own sense.
type BipolarBias struct{ BE, BC float64 }

// BipolarCurrents are the currents into collector and base, in amperes, and
// their derivatives by V_BE and V_BC, in siemens.
type BipolarCurrents struct {
	Collector, Base          float64
	Largest                  float64     // magnitude among the terms they are sums of, A
	CollectorBE, CollectorBC float64     // ∂I_C/∂V_BE, ∂I_C/∂V_BC
	BaseBE, BaseBC           float64     // ∂I_B/∂V_BE, ∂I_B/∂V_BC
	BE, BC                   Exponential // of the emitter and of the collector junction
}

// Currents returns the currents at bias b.
func (l *BipolarLaw) Currents(b BipolarBias) BipolarCurrents {
	be, bc := l.exponential(b.BE, l.ForwardEmission), l.exponential(b.BC, l.ReverseEmission)
	g, gBE, gBC := l.inverseCharge(b, be)
	flow := be.Amps - bc.Amps
	return BipolarCurrents{
		Collector:   l.Polarity * (g*flow - bc.Amps/l.ReverseBeta),
		Base:        l.Polarity * (be.Amps/l.ForwardBeta + bc.Amps/l.ReverseBeta),
		Largest:     max(math.Abs(g*be.Amps), math.Abs(g*bc.Amps), math.Abs(bc.Amps/l.ReverseBeta)),
		CollectorBE: g*be.Slope + gBE*flow,
		CollectorBC: -g*bc.Slope + gBC*flow - bc.Slope/l.ReverseBeta,
		BaseBE:      be.Slope / l.ForwardBeta,
		BaseBC:      bc.Slope / l.ReverseBeta,
		BE:          be,
		BC:          bc,
	}
}

// Exponential is one of the law's two exponentials times I_S: the current
// I_S (exp(V/(n V_T)) − 1) in amperes, positive where the junction is forward
// biased, and its derivative by V in siemens.
type Exponential struct{ Amps, Slope float64 }

func (l *BipolarLaw) exponential(v, emission float64) Exponential {
	scale := emission * l.ThermalVoltage
	e, d := exponentialLessOne(l.Polarity * v / scale)
	return Exponential{l.SaturationCurrent * e, l.SaturationCurrent / scale * d}
}

// inverseCharge returns 1/q_b = 2 (1 − V_BC/V_A)/(1 + √(1 + 4 q_2)) and its
// derivatives by V_BE and V_BC turned to the npn's sense.
func (l *BipolarLaw) inverseCharge(b BipolarBias, be Exponential) (g, gBE, gBC float64) {
	early, earlyBC := 1.0, 0.0
	if l.EarlyVoltage > 0 {
		early, earlyBC = 1-l.Polarity*b.BC/l.EarlyVoltage, -1/l.EarlyVoltage
	}
	knee, kneeBE := 1.0, 0.0
	if l.KneeCurrent > 0 {
		root := math.Sqrt(max(1+4*be.Amps/l.KneeCurrent, math.SmallestNonzeroFloat32))
		knee = 2 / (1 + root)
		kneeBE = -knee * knee * be.Slope / (l.KneeCurrent * root)
	}
	return early * knee, early * kneeBE, earlyBC * knee
}

// LimitBE returns the V_BE at which the transistor is to be looked at when
// Newton's method asks for v after it was last looked at.
func (l *BipolarLaw) LimitBE(v, last float64) float64 { return l.limit(v, last, l.ForwardEmission) }

// LimitBC is the same for V_BC.
func (l *BipolarLaw) LimitBC(v, last float64) float64 { return l.limit(v, last, l.ReverseEmission) }

func (l *BipolarLaw) limit(v, last, emission float64) float64 {
	j := JunctionLaw{SaturationCurrent: l.SaturationCurrent, Emission: emission, ThermalVoltage: l.ThermalVoltage}
	return l.Polarity * j.Limit(l.Polarity*v, l.Polarity*last)
}
