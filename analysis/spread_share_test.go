package analysis

import (
	"fmt"
	"math"
	"testing"

	"copperglass/model"
)

// stackOfRed is twelve red LEDs on 5 V, in series with a resistor as written.
func stackOfRed(t *testing.T, resistor string) *model.Diagram {
	return decode(t, drawing(
		`"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "v", "-": "GND"}`,
		fmt.Sprintf(`"ref": "R1", "kind": "resistor", %s, "tags": {"1": "v", "2": "a"}`, resistor),
		`"ref": "D1", "kind": "led", "value": "red", "count": 12, "tags": {"A": "a", "K": "GND"}`))
}

func sharing(t *testing.T, d *model.Diagram, o SpreadOptions) *Sharing {
	t.Helper()
	s := spread(t, d, o)
	if len(s.Sharings) != 1 {
		t.Fatalf("%d stacks of lights", len(s.Sharings))
	}
	return s.Sharings[0]
}

// Twelve LEDs of unequal forward voltage on one resistor share very unequally;
// each behind a twelfth of the conductance nearly equally.
func TestSharing(t *testing.T) {
	t.Parallel()
	for _, resistor := range []string{`"value": "12.5 1 %"`, `"value": "150 1 %", "count": 12`} {
		d := stackOfRed(t, resistor)
		bare := sharing(t, d, SpreadOptions{Samples: 300})
		own := sharing(t, d, SpreadOptions{Samples: 300, Ballast: true})
		if bare.Ballast != "R1" || bare.Each != 150 || bare.Count != 12 {
			t.Errorf("%s: %d on %q, %g Ω each", resistor, bare.Count, bare.Ballast, bare.Each)
		}
		if bare.Brightest.Median < 1.8/12 || bare.Dimmest.Median > 0.35/12 {
			t.Errorf("%s: on one resistor the brightest takes %g, the dimmest %g", resistor, bare.Brightest.Median, bare.Dimmest.Median)
		}
		if own.Brightest.Median > 1.1/12 || own.Dimmest.Median < 0.9/12 {
			t.Errorf("%s: each on its own the brightest takes %g, the dimmest %g", resistor, own.Brightest.Median, own.Dimmest.Median)
		}
		for _, s := range []Shares{bare.Brightest, bare.Dimmest, own.Brightest, own.Dimmest} {
			if !(0 < s.P5 && s.P5 < s.Median && s.Median < s.P95 && s.P95 < 1) {
				t.Errorf("%s: out of order: %g, %g, %g", resistor, s.P5, s.Median, s.P95)
			}
		}
	}
}

// Without any difference between the LEDs the shares are equal, and a resistor
// for each changes no figure of the whole.
func TestSharingOfEquals(t *testing.T) {
	t.Parallel()
	d := lantern(t)
	o := SpreadOptions{Options: Options{Mode: "Amber"}, Of: []string{"BT1.+.amps", "D2.A.amps", "R5.1.amps"}, Samples: 5, Own: map[string]float64{"D2.saturation_current": 0, "R5.resistance": 0}}
	together := spread(t, d, o)
	o.Ballast = true
	apart := spread(t, d, o)
	for i, q := range together.Quantities {
		near(t, q.Of, apart.Quantities[i].Nominal, q.Nominal, 1e-9*math.Abs(q.Nominal))
	}
	for _, s := range append(together.Sharings, apart.Sharings...) {
		if s.Ref == "D2" {
			near(t, "brightest", s.Brightest.P95, 0.25, 1e-6)
			near(t, "dimmest", s.Dimmest.P5, 0.25, 1e-6)
			if s.Ballast != "R5" || math.Abs(s.Each-4*47) > 1e-9 {
				t.Errorf("D2 hangs on %q, %g Ω each", s.Ballast, s.Each)
			}
		} else if s.Ballast != "" || !math.IsNaN(s.Brightest.Median) {
			t.Errorf("%s is dark behind a link: %q, %g", s.Ref, s.Ballast, s.Brightest.Median)
		}
	}
}

// The shares of a stack are what its parts' currents are of the whole.
func TestSharesAreOfTheCurrents(t *testing.T) {
	t.Parallel()
	o := SpreadOptions{Samples: 1, Of: []string{"D1.A.amps"}}
	for i := range 12 {
		o.Of = append(o.Of, fmt.Sprintf("D1#%d.A.amps", i+1))
	}
	s := spread(t, stackOfRed(t, `"value": "12.5"`), o)
	largest, least := 0.0, math.Inf(1)
	for _, q := range s.Quantities[1:] {
		largest, least = max(largest, q.Samples[0]), min(least, q.Samples[0])
	}
	whole := s.Quantities[0].Samples[0]
	near(t, "brightest", s.Sharings[0].Brightest.Median, largest/whole, 1e-12)
	near(t, "dimmest", s.Sharings[0].Dimmest.Median, least/whole, 1e-12)
}
