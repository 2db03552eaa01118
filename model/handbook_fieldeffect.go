package model

// fieldEffectType is a MOS field-effect transistor that the catalogue knows by
// its type. Its constants fit the on-resistances R at gate voltages V of its
// data sheet by
//
//	R = R_D + 1/(k (V − V_t))
type fieldEffectType struct {
	names     []string
	kind      string  // nmos or pmos
	threshold float64 // V_t, V
	gate      span    // of the threshold from one specimen to the next, V
	gain      float64 // k, A/V²
	drain     float64 // R_D, Ω
	current   float64 // most drain current, A
	power     float64 // most heat, W
	voltage   float64 // most drain-source voltage, V
	drive     figure  // most gate-source voltage either way, V
	about     string
	status    Status // of the fit
	source    string
}

var fieldEffectTypes = []fieldEffectType{
	{[]string{"2N7002", "2N7002W"}, "nmos", 1.75, span{1, 2.5, Confirmed, "DC Components 2N7002 datasheet"}, 0.123, 1.5, 0.115, 0.2, 60, figure{20, FromMemory, "onsemi 2N7000/2N7002 datasheet"},
		"threshold 1.0 to 2.5 V, about 4 Ω at 5 V", Estimate, "DC Components 2N7002 datasheet (7.5 Ω at most)"},
	{[]string{"2N7000"}, "nmos", 1.75, span{1, 2.5, Estimate, "as 2N7002, DC Components datasheet"}, 0.123, 1.5, 0.2, 0.4, 60, figure{20, FromMemory, "onsemi 2N7000/2N7002 datasheet"},
		"as 2N7002, in TO-92", Estimate, "onsemi 2N7000/2N7002 datasheet rev. 6, 2022"},
	{[]string{"2N7002K"}, "nmos", 1.7, span{1, 2.5, Estimate, "as 2N7002, DC Components datasheet"}, 0.394, 0.76, 0.32, 0.35, 60, figure{20, FromMemory, "onsemi 2N7002K datasheet"},
		"about 1.7 Ω at 4.5 V", Estimate, "two thirds of the limits of the onsemi 2N7002K datasheet (2.5 Ω at 4.5 V, 1.6 Ω at 10 V)"},
	{[]string{"BSS138", "BSS138W"}, "nmos", 1.2, span{0.5, 1.5, Confirmed, "Diodes BSS138W datasheet"}, 0.162, 0.7, 0.2, 0.2, 50, figure{20, FromMemory, "Diodes BSS138W datasheet"},
		"threshold 1.2 V, 1.4 Ω at 10 V", Estimate, "Diodes BSS138W datasheet (typical values, half of the resistance taken for the channel's)"},
	{[]string{"AO3400A", "AO3400"}, "nmos", 1.05, span{0.65, 1.45, FromMemory, "AOS AO3400A datasheet"}, 33, 0.0172, 5.7, 1.4, 30, figure{12, FromMemory, "AOS AO3400A datasheet"},
		"about 26 mΩ at 4.5 V", FromMemory, "four fifths of the limits of the AOS AO3400A datasheet (32 mΩ at 4.5 V, 48 mΩ at 2.5 V)"},
	{[]string{"AO3401A", "AO3401"}, "pmos", 0.9, span{0.5, 1.3, Confirmed, "AOS AO3401A datasheet rev. 3, 2011"}, 27.1, 0.037, 4, 1.4, 30, figure{12, Confirmed, "AOS AO3401A datasheet rev. 3, 2011"},
		"threshold 0.9 V; 60, 47, 41 mΩ at 2.5, 4.5, 10 V", Calculated, "AOS AO3401A datasheet rev. 3, 2011 (typical values)"},
}

// onResistance is R at a gate voltage in volts above the threshold.
func (t *fieldEffectType) onResistance(gate float64) float64 {
	return t.drain + 1/(t.gain*(gate-t.threshold))
}

func (t *fieldEffectType) params() Params {
	return Params{
		"threshold_voltage":    Number(t.threshold),
		"transconductance":     Number(t.gain),
		"drain_resistance":     Number(t.drain),
		"drain_current_rating": Number(t.current),
		"power_rating":         Number(t.power),
		"voltage_rating":       Number(t.voltage),
		"gate_voltage_rating":  Number(t.drive.value),
	}
}

// fieldEffectNamed returns the type that text names, or nil.
func fieldEffectNamed(text string) *fieldEffectType {
	folded := foldName(text)
	for i := range fieldEffectTypes {
		if isNamed(fieldEffectTypes[i].names, folded) {
			return &fieldEffectTypes[i]
		}
	}
	return nil
}
