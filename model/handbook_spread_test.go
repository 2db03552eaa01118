package model

import (
	"fmt"
	"math"
	"testing"
)

// spreadOf returns the range that the handbook has for a parameter of a part.
func spreadOf(t *testing.T, p *Part, param string) Spread {
	t.Helper()
	p.Ref = "X1"
	values, problems := (&Diagram{Parts: []*Part{p}}).Resolve(p, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, s := range p.Spreads(values) {
		if s.Param == param {
			return s
		}
	}
	t.Fatalf("%s %s: nothing is said of %s", p.Kind, p.Value, param)
	return Spread{}
}

// Ranges as the sources give them.
func TestSpreads(t *testing.T) {
	t.Parallel()
	const perVolt = 1.602176634e-19 / (1.380649e-23 * 298.15) // 1/V_T at 25 °C
	for _, c := range []struct {
		kind, value, param string
		high               float64 // end over middle; for logarithmic ranges the middle is the geometric mean
		status             Status
		source             string
	}{
		{"npn", "BC817-40", "forward_beta", math.Sqrt(600. / 250), Confirmed, "Nexperia BC817 series: 250 to 600"},
		{"pnp", "BC807", "forward_beta", math.Sqrt(400. / 160), Confirmed, "Philips BC807, grade 25: 160 to 400"},
		{"npn", "BC547C", "forward_beta", math.Sqrt(800. / 420), Confirmed, "Fairchild BC547, grade C: 420 to 800"},
		{"pnp", "2N3906", "forward_beta", math.Sqrt(3), Confirmed, "NXP MMBT3906: 100 to 300"},
		{"npn", "unmarked", "forward_beta", math.Sqrt(250. / 60), Estimate, "60 to 250 between small types"},
		{"npn", "2N3904", "saturation_current", math.Exp(0.1 * perVolt), Confirmed, "BL Galaxy MMBT3904: 0.65 to 0.85 V"},
		{"nmos", "2N7002", "threshold_voltage", 2.5 / 1.75, Confirmed, "DC Components 2N7002: 1.0 to 2.5 V"},
		{"nmos", "BSS138", "threshold_voltage", 1.5 / 1.2, Confirmed, "Diodes BSS138W: 0.5, 1.2, 1.5 V"},
		{"pmos", "AO3401A", "threshold_voltage", 1.3 / 0.9, Confirmed, "AOS AO3401A: 0.5, 0.9, 1.3 V"},
		{"diode", "1N4148", "saturation_current", math.Exp(0.05 * perVolt / 1.85), Confirmed, "Taiwan Semiconductor 1N4448WS: 0.62 to 0.72 V"},
		{"diode", "1N4007", "saturation_current", math.Exp(0.05 * perVolt / 1.8), Estimate, "as 1N4448WS"},
		{"led", "red", "saturation_current", math.Exp(0.1 * perVolt / 2), FromMemory, "bins of 0.2 V"},
		{"zener", "5V1", "breakdown_voltage", 1.05, FromMemory, "Nexperia BZX84, grade C"},
		{"battery", "3 × LR6", "voltage", 1 + 0.05/1.6, FromMemory, "±0.05 V about 1.60 V"},
		{"battery", "6LR61", "voltage", 1 + 0.05/1.6, FromMemory, "six cells in a block"},
		{"battery", "2 × R03", "resistance", 1.5, Estimate, "±50 %"},
		{"battery", "18650", "resistance", 1.2, Confirmed, "0.070 to 0.100 Ω"},
		{"chip", "", "output_resistance_low", 1.5, FromMemory, "typically half of the worst case"},
		{"chip", "", "supply_current", 4, FromMemory, "0.2 to 2 mA about 0.5 mA"},
		{"motor", "10", "winding_resistance", 1.1, CommonPractice, ""},
		{"lamp", "6 V 0.1 A", "rated_power", 1.1, CommonPractice, ""},
		{"resistor", "1k", "resistance", 1.05, CommonPractice, ""},
	} {
		s := spreadOf(t, &Part{Kind: c.kind, Value: c.value}, c.param)
		if math.Abs(s.High-c.high) > 1e-9*c.high || s.Status != c.status {
			t.Errorf("%s %s.%s: up to %.6g times (%s), want %.6g (%s) by %s", c.kind, c.value, c.param, s.High, s.Status, c.high, c.status, c.source)
		}
	}
}

// Every kind with an equation says something of each quantity that has a range
// or would be missed: what it says is of its own quantities, about the value,
// and founded.
func TestSpreadsAreFounded(t *testing.T) {
	t.Parallel()
	silent := map[string]bool{"meter": true, "ground": true, "tag": true} // ideal, or no part of the board
	for _, k := range Kinds() {
		p := &Part{Ref: "X1", Kind: k.Name, Value: k.Suggest}
		values, _ := (&Diagram{}).Resolve(p, nil)
		list := p.Spreads(values)
		if k.Equation != nil && len(list) == 0 && !silent[k.Name] {
			t.Errorf("%s: nothing is said", k.Name)
		}
		seen := map[string]bool{}
		for _, s := range list {
			at := fmt.Sprintf("%s.%s", k.Name, s.Param)
			if k.Param(s.Param) == nil || seen[s.Param] {
				t.Errorf("%s: no such quantity, or twice", at)
			}
			seen[s.Param] = true
			if !(s.Low >= 0 && s.Low <= 1 && s.High >= 1) || s.Source == "" || s.Varies() != (s.Status != "") {
				t.Errorf("%s: %+v", at, s)
			}
		}
	}
}

// The letter before the voltage is a grade of 1, 2 or 5 %: Nexperia BZX84
// datasheet (from memory).
func TestZenerGrades(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]float64{"BZX84A5V1": 0.01, "BZX84-B5V1": 0.02, "BZX84C5V1": 0.05, "BZX555V1": 0.05, "5V1": 0.05, "5V1 2 %": 0.02} {
		p := &Part{Ref: "D1", Kind: "zener", Value: text}
		values, problems := (&Diagram{Parts: []*Part{p}}).Resolve(p, nil)
		if got := values.Num("tolerance"); got != want || len(problems) > 0 {
			t.Errorf("%s: %v (%v), want %v", text, got, problems, want)
		}
	}
}
