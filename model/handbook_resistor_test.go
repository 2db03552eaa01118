package model

import "testing"

// A case says what a resistor stands, and what is said of it itself says more.
// 1/16, 1/8 and 1/4 W: makers' size tables (confirmed); the voltages from the
// Yageo RC_L sheet (from memory).
func TestRatingsByCase(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		value        string
		params       Params
		watts, volts float64
	}{
		{"1k", nil, 0.125, 150},
		{"1k", Params{"case_size": Word("0402")}, 0.0625, 50},
		{"1k", Params{"case_size": Word("1206")}, 0.25, 200},
		{"1k", Params{"case_size": Word("leaded 1/4 W")}, 0.25, 250},
		{"1k 0.5 W", Params{"case_size": Word("0402")}, 0.5, 50},
		{"1k", Params{"case_size": Word("2512"), "power_rating": Number(2)}, 2, 200},
	} {
		p := &Part{Ref: "R1", Kind: "resistor", Value: tt.value, Params: tt.params}
		v, problems := (&Diagram{}).Resolve(p, nil)
		if v.Num("power_rating") != tt.watts || v.Num("voltage_rating") != tt.volts || problems != nil {
			t.Errorf("%s %v: %v W, %v V, %v", tt.value, tt.params, v.Num("power_rating"), v.Num("voltage_rating"), problems)
		}
	}
}

// Chips that are known to be no microcontrollers are told by their names.
func TestChipsThatAreNoControllers(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]bool{"LM358": true, "lm 358": true, "LM339": true, "ATtiny13": false, "PMS150C": false, "": false, "8": false, "unmarked": false} {
		if got := IsOtherThanController(name); got != want {
			t.Errorf("%q: %v", name, got)
		}
	}
}
