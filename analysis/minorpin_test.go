package analysis

import (
	"fmt"
	"math"
	"testing"
)

// plainTransistor has no resistance, nothing but the two junctions.
const plainTransistor = `"ref": "Q1", "kind": "npn", "params": {"saturation_current": 1e-14, "forward_beta": 150, "reverse_beta": 4, "knee_current": 0, "early_voltage": 0, "base_resistance": 0, "collector_resistance": 0, "emitter_resistance": 0}, "tags": {"B": "b", "C": "c", "E": "GND"}`

// The collector current of a transistor that is driven hard into a large
// resistance is a difference of two that are up to 1e12 times larger. All of the
// supply but a few millivolts is across the resistor, by the law in saturation
//
//	V_CE = V_T ln((1/α_R + i/β_R)/(1 − i/β_F)), i = I_C/I_B
//
// (J. J. Ebers and J. L. Moll, Proc. IRE 42, 1954), so that the current follows
// from the supply without any difference.
func TestMinorPins(t *testing.T) {
	t.Parallel()
	const betaF, betaR = 150, 4
	for _, base := range []float64{100, 1e4, 1e6} {
		for _, ohms := range []float64{1e5, 1e6, 1e8, 1e10, 1e12} {
			d := decode(t, drawing(supply(5), resistor("R1", base, "v", "b"), resistor("R2", ohms, "v", "c"),
				plainTransistor))
			r := solve(t, d, Options{})
			checkPlain(t, d, r)
			into := figure(t, r, d, "Q1.B.amps")
			amps := 5 / ohms
			for range 50 {
				i := amps / into
				amps = (5 - thermal*math.Log((1+1./betaR+i/betaR)/(1-i/betaF))) / ohms
			}
			if amps/into > betaF/4 {
				continue // hardly saturated
			}
			what := fmt.Sprintf("%g Ω at the base, %g Ω at the collector", base, ohms)
			near(t, what, figure(t, r, d, "Q1.C.amps"), amps, 1e-6*amps)
			near(t, what+", the resistor", figure(t, r, d, "R2.1.amps"), amps, 1e-6*amps)
			near(t, what+", all pins", figure(t, r, d, "Q1.E.amps"), -amps-into, 1e-9*into)
		}
	}
}

// A MOS transistor that is driven hard and a diode that blocks, beside resistors
// of any size: all of the supply is across the resistor, or across the diode, but
// for what the transistor's or the resistor's share is.
func TestSmallCurrents(t *testing.T) {
	t.Parallel()
	const k, excess = 0.5, 4.0
	for _, ohms := range []float64{1e3, 1e6, 1e9, 1e12} {
		d := decode(t, drawing(supply(5), resistor("R1", ohms, "v", "d"),
			`"ref": "Q1", "kind": "nmos", "params": {"threshold_voltage": 1, "transconductance": 0.5, "channel_modulation": 0, "body_diode": false, "subthreshold": false}, "tags": {"D": "d", "G": "v", "S": "GND"}`,
			resistor("R2", ohms, "v", "a"), plainDiode("D1", "GND", "a", 1e-14)))
		r := solve(t, d, Options{})
		checkPlain(t, d, r)
		// k (V v − v²/2) = (5 − v)/R
		b := excess + 1/(k*ohms)
		v := 2 * 5 / (k * ohms) / (b + math.Sqrt(b*b-4*5/(k*ohms)/2))
		near(t, fmt.Sprintf("drain behind %g Ω", ohms), figure(t, r, d, "Q1.D.amps"), (5-v)/ohms, 1e-9/ohms)
		near(t, fmt.Sprintf("diode behind %g Ω", ohms), figure(t, r, d, "D1.K.amps"), 1e-14, 1e-20)
		near(t, fmt.Sprintf("%g Ω before the diode", ohms), figure(t, r, d, "R2.1.amps"), 1e-14, 1e-20)
	}
}

// An ammeter beside a pin that carries a small difference of large currents reads
// what the resistor beside them tells, with and without a resistance of its own;
// and so do the pin and the resistor.
func TestAmmeterAtMinorPin(t *testing.T) {
	t.Parallel()
	// All of the supply but what the device keeps is across the resistor, so that
	// the current is 5 V/R, but for that.
	devices := map[string]struct {
		part, pin string
		kept      float64 // at most, V
	}{
		"bipolar transistor": {plainTransistor, "Q1.C.amps", 0.05},
		"MOSFET":             {`"ref": "Q1", "kind": "nmos", "tags": {"D": "c", "G": "v", "S": "GND"}`, "Q1.D.amps", 1e-3},
		"diode":              {plainDiode("Q1", "c", "GND", 1e-14), "Q1.A.amps", 1},
	}
	for name, one := range devices {
		for _, ohms := range []float64{1e5, 1e8, 1e10} {
			for _, shunt := range []float64{0, 0.5, 10} {
				d := decode(t, drawing(supply(5), resistor("R1", 100, "v", "b"), resistor("R2", ohms, "v", "m"), one.part,
					fmt.Sprintf(`"ref": "P1", "kind": "meter", "value": "amps", "params": {"resistance": %g}, "tags": {"+": "m", "-": "c"}`, shunt)))
				r := solve(t, d, Options{})
				checkPlain(t, d, r)
				what := fmt.Sprintf("%s, %g Ω, ammeter of %g Ω", name, ohms, shunt)
				amps := figure(t, r, d, "R2.1.amps")
				near(t, what+": the resistor", amps, 5/ohms, one.kept/ohms)
				near(t, what+": across the resistor", amps, (5-figure(t, r, d, "net.c.volts"))/(ohms+shunt), 1e-9*amps)
				near(t, what+": the pin", figure(t, r, d, one.pin), amps, 1e-9*amps)
				near(t, what+": the ammeter", figure(t, r, d, "P1.+.amps"), amps, 1e-9*amps)
				near(t, what+": its reading", figure(t, r, d, "P1.reading"), amps, 1e-9*amps)
			}
		}
	}
}

// A link that carries little away from where much flows has the current of the
// resistor behind it, whichever net is named first, and no current where it leads
// nowhere. The resistor's current is the net's voltage over its resistance by
// Ohm's law.
func TestLinkAwayFromLargeCurrents(t *testing.T) {
	t.Parallel()
	links := map[string]string{
		"ammeter":     `"kind": "meter", "params": {"measures": "amps"}, "tags": {"+": %q, "-": %q}`,
		"switch":      `"kind": "switch", "params": {"state": "closed"}, "tags": {"1": %q, "2": %q}`,
		"no ohms":     `"kind": "resistor", "params": {"resistance": 0}, "tags": {"1": %q, "2": %q}`,
		"ideal choke": `"kind": "inductor", "params": {"inductance": 1e-3, "resistance": 0}, "tags": {"1": %q, "2": %q}`,
	}
	first := map[string]string{"ammeter": "+", "switch": "1", "no ohms": "1", "ideal choke": "1"}
	busy := map[string]string{
		"diode":    plainDiode("D1", "%[1]s", "GND", 1e-14),
		"zener":    `"ref": "D1", "kind": "zener", "value": "2V7", "tags": {"A": %[1]q, "K": "GND"}`,
		"resistor": resistor("D1", 0.1, "%[1]s", "GND"),
	}
	const middle = "m"
	for _, ends := range [][2]string{{"b", "z"}, {"z", "b"}} { // where much flows, and the far end
		for link, text := range links {
			join := func(ref, from, to string) string { return fmt.Sprintf(`"ref": %q, `+text, ref, from, to) }
			for device, part := range busy {
				for _, ohms := range []float64{1e6, 1e9, 1e12} {
					d := decode(t, drawing(
						`"ref": "G1", "kind": "battery", "params": {"voltage": 3, "resistance": 0.1}, "tags": {"+": "v", "-": "GND"}`,
						resistor("R1", 0.001, "v", ends[0]), fmt.Sprintf(part, ends[0]),
						join("K1", ends[0], middle), join("K2", ends[1], middle), resistor("R2", ohms, ends[1], "GND"),
						join("K3", middle, "a"), join("K4", "y", ends[1]), join("K5", ends[0], "c"), join("K6", "c", ends[0])))
					r := solve(t, d, Options{})
					what := fmt.Sprintf("%s, %s, %g Ω at net %s", link, device, ohms, ends[1])
					amps := figure(t, r, d, "net."+ends[1]+".volts") / ohms
					read := func(ref string) float64 { return figure(t, r, d, ref+"."+first[link]+".amps") }
					near(t, what+": the resistor", figure(t, r, d, "R2.1.amps"), amps, 1e-9*amps)
					near(t, what+": the link where much flows", read("K1"), amps, 1e-9*amps)
					near(t, what+": the link at the resistor", read("K2"), -amps, 1e-9*amps)
					for _, idle := range []string{"K3", "K4", "K5", "K6"} {
						near(t, what+": "+idle, read(idle), 0, 1e-9*amps)
					}
				}
			}
		}
	}
}

// Two links side by side away from where much flows share what the resistor
// behind them takes, also where a third leads to them.
func TestRingOfLinksAwayFromLargeCurrents(t *testing.T) {
	t.Parallel()
	shut := func(ref, from, to string) string {
		return fmt.Sprintf(`"ref": %q, "kind": "switch", "params": {"state": "closed"}, "tags": {"1": %q, "2": %q}`, ref, from, to)
	}
	for _, ends := range [][2]string{{"b", "z"}, {"z", "b"}} {
		for _, from := range []string{ends[0], "m"} {
			parts := []string{supply(3), resistor("R1", 0.1, "v", ends[0]), plainDiode("D1", ends[0], "GND", 1e-14),
				shut("S2", from, ends[1]), shut("S3", from, ends[1]), resistor("R2", 1e12, ends[1], "GND")}
			if from == "m" {
				parts = append(parts, shut("S1", ends[0], "m"))
			}
			d := decode(t, drawing(parts...))
			r := solve(t, d, Options{})
			what := "from net " + from + " to net " + ends[1]
			amps := figure(t, r, d, "net."+ends[1]+".volts") / 1e12
			near(t, what+": one", figure(t, r, d, "S2.1.amps"), amps/2, 1e-9*amps)
			near(t, what+": the other", figure(t, r, d, "S3.1.amps"), amps/2, 1e-9*amps)
			if from == "m" {
				near(t, what+": both", figure(t, r, d, "S1.1.amps"), amps, 1e-9*amps)
			}
		}
	}
}
