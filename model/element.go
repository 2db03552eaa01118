package model

// Element is a piece of a part's equation: a law between the currents into its
// terminals and the voltages at them. A terminal is the name of one of the
// part's pins, or any other name for a node inside the part. The set of
// elements is closed; a Law holds any equation the others do not.
type Element interface{ element() }

// Equation takes the elements that a part is made of, one after another.
type Equation interface {
	Resistance(Resistance)
	VoltageSource(VoltageSource)
	CurrentSource(CurrentSource)
	Junction(Junction)
	Bipolar(Bipolar)
	FieldEffect(FieldEffect)
	Law(Law)
}

// elementList is the Equation that keeps what it takes.
type elementList []Element

func (l *elementList) Resistance(e Resistance)       { *l = append(*l, e) }
func (l *elementList) VoltageSource(e VoltageSource) { *l = append(*l, e) }
func (l *elementList) CurrentSource(e CurrentSource) { *l = append(*l, e) }
func (l *elementList) Junction(e Junction)           { *l = append(*l, e) }
func (l *elementList) Bipolar(e Bipolar)             { *l = append(*l, e) }
func (l *elementList) FieldEffect(e FieldEffect)     { *l = append(*l, e) }
func (l *elementList) Law(e Law)                     { *l = append(*l, e) }

// Elements returns what a part with the quantities v is made of.
func (k *Kind) Elements(p *Part, v Values) []Element {
	if k.Equation == nil {
		return nil
	}
	var l elementList
	k.Equation(p, v, &l)
	return l
}

// Resistance is Ohm's law, V_A − V_B = Ohms · I. At 0 Ω it joins its
// terminals exactly.
type Resistance struct {
	A, B string
	Ohms float64
}

// VoltageSource holds V_Plus − V_Minus = Volts − Ohms · I, where I is the
// current out of Plus through the circuit into Minus.
type VoltageSource struct {
	Plus, Minus string
	Volts, Ohms float64
}

// CurrentSource drives Amps out of Plus through the circuit into Minus.
type CurrentSource struct {
	Plus, Minus string
	Amps        float64
}

// Junction is a p-n junction between Anode and Cathode, without its series
// resistance:
//
//	I = I_S (exp(V/(n V_T)) − 1) − I_BV exp(−(V + V_BV)/(n_BV V_T))
//
// with the second term only where V_BV > 0.
type Junction struct {
	Anode, Cathode string
	Law            JunctionLaw
}

// JunctionLaw holds the constants of a junction at its temperature, SI units.
type JunctionLaw struct {
	SaturationCurrent float64 // I_S, A
	Emission          float64 // n
	BreakdownVoltage  float64 // V_BV, V; 0 for none
	BreakdownCurrent  float64 // I_BV, A
	BreakdownEmission float64 // n_BV
	ThermalVoltage    float64 // V_T = kT/q, V
}

// Bipolar is a bipolar transistor between inner terminals, without its ohmic
// resistances, in the transport form of H. K. Gummel and H. C. Poon, Bell
// System Technical Journal 49 (1970).
type Bipolar struct {
	Collector, Base, Emitter string
	Law                      BipolarLaw
}

// BipolarLaw holds the constants of a bipolar transistor at its temperature,
// SI units.
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

// FieldEffect is a MOS field-effect transistor with its body tied to the
// source, by the square law. Its gate carries no current.
type FieldEffect struct {
	Drain, Gate, Source string
	Law                 FieldEffectLaw
}

// FieldEffectLaw holds the constants of a field-effect transistor, SI units.
type FieldEffectLaw struct {
	Polarity          float64 // +1 n channel, −1 p channel
	Threshold         float64 // V_t, V, positive for enhancement of either polarity
	Transconductance  float64 // k, A/V²
	ChannelModulation float64 // λ, 1/V
	Subthreshold      bool    // whether the current continues smoothly below threshold
	ThermalVoltage    float64 // V_T, V
}

// Law is an equation of a kind's own, without memory: the currents into the
// terminals as functions of the voltages at them.
type Law struct {
	Terminals []string
	// Currents sets amps[i] to the current into terminal i, in amperes, and
	// slopes[i*n+j] to its derivative by the voltage at terminal j, in siemens,
	// at the given voltages, in volts; n is the number of terminals. The
	// currents add up to zero and depend on voltage differences only.
	Currents func(volts, amps, slopes []float64)
}

func (Resistance) element()    {}
func (VoltageSource) element() {}
func (CurrentSource) element() {}
func (Junction) element()      {}
func (Bipolar) element()       {}
func (FieldEffect) element()   {}
func (Law) element()           {}
