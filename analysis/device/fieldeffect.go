package device

import "math"

// FieldEffectLaw holds the constants of a MOS field-effect transistor with its
// body tied to the source, by the square law (H. Shichman and D. A. Hodges,
// IEEE Journal of Solid-State Circuits 3, 1968). For an n channel with V_DS ≥ 0,
// and with the excess V = V_GS − V_t ≥ 0:
//
//	I_D = k (V V_DS − ½ V_DS²)(1 + λ V_DS)   triode region, V_DS < V
//	I_D = ½ k V² (1 + λ V_DS)                beyond it
//
// For V_DS < 0 drain and source change places: the channel is symmetrical. A p
// channel has the signs of all voltages and currents turned.
type FieldEffectLaw struct {
	Polarity          float64 // +1 n channel, −1 p channel
	Threshold         float64 // V_t, V, positive for enhancement of either polarity
	Transconductance  float64 // k, A/V²
	ChannelModulation float64 // λ, 1/V
	Subthreshold      bool    // whether the current continues smoothly below threshold
	ThermalVoltage    float64 // V_T, V
}

// FieldEffectBias is where a field-effect transistor stands: the voltages from
// drain and from gate to source, in volts, in the circuit's own sense.
type FieldEffectBias struct{ DS, GS float64 }

// FieldEffectCurrent is the current into the drain, in amperes, and its
// derivatives by V_DS and V_GS, in siemens.
type FieldEffectCurrent struct {
	Drain            float64
	DrainDS, DrainGS float64 // ∂I_D/∂V_DS, ∂I_D/∂V_GS
}

// Current returns the current at bias b.
func (l *FieldEffectLaw) Current(b FieldEffectBias) FieldEffectCurrent {
	ds, gs := l.Polarity*b.DS, l.Polarity*b.GS
	if ds >= 0 {
		i, byDS, byGS := l.channel(ds, gs)
		return FieldEffectCurrent{l.Polarity * i, byDS, byGS}
	}
	i, byDS, byGS := l.channel(-ds, gs-ds)
	return FieldEffectCurrent{-l.Polarity * i, byDS + byGS, -byGS}
}

// channel returns the current of an n channel with ds ≥ 0, and its
// derivatives by ds and gs.
func (l *FieldEffectLaw) channel(ds, gs float64) (i, byDS, byGS float64) {
	v, byV := l.excess(gs)
	k, stretch := l.Transconductance, 1+l.ChannelModulation*ds
	if ds < v {
		core := k * (v - ds/2) * ds
		return core * stretch, k*(v-ds)*stretch + core*l.ChannelModulation, k * ds * stretch * byV
	}
	core := k * v * v / 2
	return core * stretch, core * l.ChannelModulation, k * v * stretch * byV
}

// Excess returns how far the gate stands above threshold at bias b, in volts,
// positive where the channel conducts. For V_DS < 0 it is counted from the
// drain, which then acts as source.
func (l *FieldEffectLaw) Excess(b FieldEffectBias) float64 {
	return l.Polarity*b.GS - min(0, l.Polarity*b.DS) - l.Threshold
}

// smoothing is the largest width of the transition at threshold, in volts. It
// binds only above 160 °C and keeps the promise of excess there.
const smoothing = 0.075

// excess returns V = V_GS − V_t as the square law has it, and its derivative:
// 0 below threshold or, where the current continues there,
//
//	V = s ln(1 + exp((V_GS − V_t)/s)),  s = 2 V_T
//
// so that the current falls off as exp((V_GS − V_t)/V_T), the steepest that
// diffusion allows. The form is that of C. C. Enz, F. Krummenacher and E. A.
// Vittoz (Analog Integrated Circuits and Signal Processing 8, 1995). From
// 0.3 V above threshold on, V differs from V_GS − V_t by less than
// s exp(−0.3 V/s): the current by less than 1 %.
func (l *FieldEffectLaw) excess(gs float64) (v, slope float64) {
	x := gs - l.Threshold
	if !l.Subthreshold {
		if x <= 0 {
			return 0, 0
		}
		return x, 1
	}
	s := min(2*l.ThermalVoltage, smoothing)
	e := math.Exp(-math.Abs(x) / s)
	return max(x, 0) + s*math.Log1p(e), fall(x, e) / (1 + e)
}

// fall returns e for x < 0 and 1 for x ≥ 0: the numerator of the logistic
// function 1/(1 + exp(−x/s)) when e = exp(−|x|/s).
func fall(x, e float64) float64 {
	if x < 0 {
		return e
	}
	return 1
}
