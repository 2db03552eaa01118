package analysis

import (
	"fmt"
	"math"
	"testing"
)

// lambertW returns the W of W·e^W = x for x > 0, given by its logarithm, by
// Halley's method on W + ln W = ln x (R. M. Corless and others, On the Lambert
// W function, Advances in Computational Mathematics 5, 1996).
func lambertW(lnx float64) float64 {
	w := math.Exp(lnx)
	if lnx > 1 {
		w = lnx - math.Log(lnx)
	} else if w > 0.3 {
		w = 0.5
	}
	for range 100 {
		f, d := w+math.Log(w)-lnx, 1+1/w
		step := f / (d + f/(2*w*w*d))
		w -= step
		if math.Abs(step) <= 1e-16*w {
			break
		}
	}
	return w
}

// A diode behind a resistor carries, with V_s = n V_T,
//
//	I = (V_s/R) W((I_S R/V_s) exp((V + I_S R)/V_s)) − I_S
//
// (T. C. Banwell and A. Jayakumar, Electronics Letters 36, 2000).
func TestDiodeAndResistor(t *testing.T) {
	const scale = 1.5 * thermal
	for _, is := range []float64{1e-18, 1e-14, 1e-9, 1e-6} {
		for _, ohms := range []float64{0.01, 1, 47, 1e3, 1e6, 1e9, 1e12} {
			for _, volts := range []float64{-10, -0.1, 0.01, 0.3, 0.7, 1.5, 5, 48, 400} {
				d := decode(t, drawing(supply(volts), resistor("R1", ohms, "v", "a"), plainDiode("D1", "a", "GND", is)))
				r := solve(t, d, Options{})
				want := scale/ohms*lambertW(math.Log(is*ohms/scale)+(volts+is*ohms)/scale) - is
				// The closed form is a difference where the current is small beside I_S.
				near(t, fmt.Sprintf("I_S = %g A, %g Ω, %g V", is, ohms, volts), figure(t, r, d, "D1.A.amps"), want, 1e-9*math.Abs(want)+1e-14*is)
			}
		}
	}
}

// An npn of β whose base hangs on a resistor: I_B as of a diode of I_S/β, and
// β times that into the collector, as long as that is not saturated.
func TestBaseResistor(t *testing.T) {
	const is, beta = 1e-14, 150
	for _, ohms := range []float64{1e4, 1e5, 1e6, 1e8} {
		d := decode(t, drawing(supply(5), resistor("R1", ohms, "v", "b"),
			`"ref": "Q1", "kind": "npn", "params": {"saturation_current": 1e-14, "forward_beta": 150, "reverse_beta": 1e9, "knee_current": 0, "base_resistance": 0, "collector_resistance": 0, "emitter_resistance": 0}, "tags": {"B": "b", "C": "v", "E": "GND"}`))
		r := solve(t, d, Options{})
		base := thermal/ohms*lambertW(math.Log(is/beta*ohms/thermal)+(5+is/beta*ohms)/thermal) - is/beta
		near(t, "base current", figure(t, r, d, "Q1.B.amps"), base, 1e-9*base)
		near(t, "collector current", figure(t, r, d, "Q1.C.amps"), beta*base+is, 1e-9*beta*base)
	}
}

// resistance returns what an ohmmeter reads between nets v and GND of a network
// of resistors.
func resistance(t *testing.T, parts []string) float64 {
	t.Helper()
	d := decode(t, drawing(append([]string{supply(1)}, parts...)...))
	return -1 / figure(t, solve(t, d, Options{}), d, "G1.+.amps")
}

// A cube of 1 Ω edges: 5/6 Ω along the diagonal of the body, 3/4 Ω of a face,
// 7/12 Ω along an edge (textbook; by symmetry).
func TestCube(t *testing.T) {
	for far, want := range map[int]float64{7: 5. / 6, 3: 3. / 4, 1: 7. / 12} {
		name := func(corner int) string {
			switch corner {
			case 0:
				return "v"
			case far:
				return "GND"
			}
			return fmt.Sprint("n", corner)
		}
		var parts []string
		for a := range 8 {
			for _, bit := range []int{1, 2, 4} {
				if b := a | bit; b != a {
					parts = append(parts, resistor(fmt.Sprintf("R%d%d", a, b), 1, name(a), name(b)))
				}
			}
		}
		near(t, fmt.Sprint("to corner ", far), resistance(t, parts), want, 1e-14)
	}
}

// A ladder of 1 Ω in series and 1 Ω across, without end, has the golden ratio
// of an ohm (textbook); after forty sections nothing of the end is left.
func TestGoldenLadder(t *testing.T) {
	var parts []string
	from := "v"
	for i := range 40 {
		to := fmt.Sprint("n", i)
		parts = append(parts, resistor(fmt.Sprint("RS", i), 1, from, to), resistor(fmt.Sprint("RP", i), 1, to, "GND"))
		from = to
	}
	near(t, "input", resistance(t, parts), math.Phi, 1e-14)
}

// In a ladder of R and 2R each bit weighs half the one before: the open end
// stands at the reference times the word over 2ⁿ, exactly.
func TestR2R(t *testing.T) {
	const bits, ohms = 8, 10e3
	for _, word := range []int{0, 1, 85, 128, 170, 254, 255} {
		parts := []string{supply(5), resistor("R99", 2*ohms, "n0", "GND")}
		for i := range bits {
			at := "GND"
			if word>>i&1 == 1 {
				at = "v"
			}
			parts = append(parts, resistor(fmt.Sprint("RB", i), 2*ohms, fmt.Sprint("n", i), at))
			if i > 0 {
				parts = append(parts, resistor(fmt.Sprint("RS", i), ohms, fmt.Sprint("n", i-1), fmt.Sprint("n", i)))
			}
		}
		d := decode(t, drawing(parts...))
		near(t, fmt.Sprint("word ", word), figure(t, solve(t, d, Options{}), d, "net.n7.volts"), 5*float64(word)/256, 1e-13)
	}
}

// On the endless square grid of resistors R neighbours see R/2 (textbook, by
// superposition). A grid of n × n comes nearer from above, as 1/n².
func TestGrid(t *testing.T) {
	t.Parallel()
	excess := func(n int) float64 {
		middle := n / 2
		name := func(x, y int) string {
			switch {
			case x == middle && y == middle:
				return "v"
			case x == middle+1 && y == middle:
				return "GND"
			}
			return fmt.Sprintf("n%d_%d", x, y)
		}
		var parts []string
		for x := range n {
			for y := range n {
				if x+1 < n {
					parts = append(parts, resistor(fmt.Sprintf("RX%d_%d", x, y), 10, name(x, y), name(x+1, y)))
				}
				if y+1 < n {
					parts = append(parts, resistor(fmt.Sprintf("RY%d_%d", x, y), 10, name(x, y), name(x, y+1)))
				}
			}
		}
		return resistance(t, parts)/5 - 1
	}
	last := excess(10)
	for _, n := range []int{20, 40} {
		now := excess(n)
		if ratio := last / now; now < 0 || ratio < 3 || ratio > 5 {
			t.Errorf("with %d × %d the excess over R/2 is %g, before %g", n, n, now, last)
		}
		last = now
	}
}

// Values twelve and more orders of magnitude apart: every current to 1e-6, and
// far better, by the laws of the divider.
func TestFarApart(t *testing.T) {
	for _, small := range []float64{1e-3, 0.01, 1} {
		for _, large := range []float64{1e9, 1e12} {
			// A large resistor across a small one, and the two in a row.
			d := decode(t, drawing(supply(5), resistor("R1", 1000, "v", "a"), resistor("R2", small, "a", "b"), resistor("R3", large, "a", "b"),
				resistor("R4", 1000, "b", "GND"), resistor("R5", large, "v", "c"), resistor("R6", small, "c", "GND")))
			r := solve(t, d, Options{})
			share := small / (small + large)
			through := 5 / (2000 + share*large)
			for name, want := range map[string]float64{
				"R2.1.amps": through * (1 - share),
				"R3.1.amps": through * share,
				"R5.1.amps": 5 / (small + large),
				"R6.1.amps": 5 / (small + large),
			} {
				near(t, fmt.Sprintf("%s with %g and %g Ω", name, small, large), figure(t, r, d, name), want, 1e-6*want)
			}
		}
	}
}
