package analysis

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"copperglass/model"
)

const thermal = 0.025692579121493725 // kT/q at 298.15 K, V

// plainDiode has no resistance and no breakdown, so that its law is a closed
// form.
func plainDiode(ref, anode, cathode string, is float64) string {
	return fmt.Sprintf(`"ref": %q, "kind": "diode", "params": {"saturation_current": %g, "emission_coefficient": 1.5, "series_resistance": 0}, "tags": {"A": %q, "K": %q}`, ref, is, anode, cathode)
}

func resistor(ref string, ohms float64, a, b string) string {
	return fmt.Sprintf(`"ref": %q, "kind": "resistor", "params": {"resistance": %g}, "tags": {"1": %q, "2": %q}`, ref, ohms, a, b)
}

func supply(volts float64) string {
	return fmt.Sprintf(`"ref": "G1", "kind": "supply", "params": {"voltage": %g, "resistance": 0}, "tags": {"+": "v", "-": "GND"}`, volts)
}

// A ladder of twenty resistors with a diode to ground behind each. The law of
// each diode is evaluated here from the voltages found.
func TestDiodeLadder(t *testing.T) {
	parts := []string{supply(12)}
	from := "v"
	for i := range 20 {
		to := fmt.Sprintf("n%d", i)
		parts = append(parts, resistor(fmt.Sprintf("R%d", i), 100, from, to), plainDiode(fmt.Sprintf("D%d", i), to, "GND", 1e-12))
		from = to
	}
	d := decode(t, drawing(parts...))
	r := solve(t, d, Options{})
	for i := range 20 {
		v := figure(t, r, d, fmt.Sprintf("net.n%d.volts", i))
		want := 1e-12 * math.Expm1(v/(1.5*thermal))
		near(t, fmt.Sprintf("D%d", i), figure(t, r, d, fmt.Sprintf("D%d.A.amps", i)), want, 1e-9*want)
	}
}

// Cross-coupled transistors have two steady states and a balanced one between
// them. Any is a solution; started from one side they stay there.
func TestLatch(t *testing.T) {
	npn := func(ref, b, c string) string {
		return fmt.Sprintf(`"ref": %q, "kind": "npn", "tags": {"B": %q, "C": %q, "E": "GND"}`, ref, b, c)
	}
	parts := func(left float64) []string {
		return []string{
			supply(5), resistor("R1", left, "v", "c1"), resistor("R2", 1000, "v", "c2"),
			resistor("R3", 10000, "c1", "b2"), resistor("R4", 10000, "c2", "b1"),
			npn("Q1", "b1", "c1"), npn("Q2", "b2", "c2"),
		}
	}
	solve(t, decode(t, drawing(parts(1000)...)), Options{})

	biased := decode(t, drawing(parts(1e6)...)) // pulls c1 down: Q2 is off
	start := solve(t, biased, Options{})
	after := solve(t, decode(t, drawing(parts(1000)...)), Options{Start: start})
	for ref, want := range map[string]State{"Q1": Saturated, "Q2": CutOff} {
		if got := after.Parts[ref].State; got != want {
			t.Errorf("%s is %s, want %s", ref, got, want)
		}
	}
}

// The pair multiplies its gains, less what the first passes on: to first order
// the output is two junction drops below the input, 1.2 to 1.5 V (textbook,
// common practice, no source).
func TestDarlington(t *testing.T) {
	d := decode(t, drawing(supply(9), resistor("R1", 100e3, "v", "b"), resistor("R2", 100, "o", "GND"),
		`"ref": "Q1", "kind": "npn", "tags": {"B": "b", "C": "v", "E": "m"}`,
		`"ref": "Q2", "kind": "npn", "tags": {"B": "m", "C": "v", "E": "o"}`))
	r := solve(t, d, Options{})
	drop := figure(t, r, d, "net.b.volts") - figure(t, r, d, "net.o.volts")
	near(t, "drop over two junctions", drop, 1.35, 0.2)
	for _, ref := range []string{"Q1", "Q2"} {
		if s := r.Parts[ref].State; s != Active {
			t.Errorf("%s is %s", ref, s)
		}
	}
}

func TestAntiParallelLEDs(t *testing.T) {
	for _, volts := range []float64{5, -5} {
		d := decode(t, drawing(supply(volts), resistor("R1", 330, "v", "a"),
			`"ref": "D1", "kind": "led", "value": "red", "tags": {"A": "a", "K": "GND"}`,
			`"ref": "D2", "kind": "led", "value": "green", "tags": {"K": "a", "A": "GND"}`))
		r := solve(t, d, Options{})
		on, off := "D1", "D2"
		if volts < 0 {
			on, off = off, on
		}
		if got := figure(t, r, d, on+".A.amps"); got < 5e-3 || got > 12e-3 {
			t.Errorf("at %g V %s carries %g A", volts, on, got)
		}
		if got := figure(t, r, d, off+".A.amps"); got > 0 || got < -1e-9 {
			t.Errorf("at %g V %s carries %g A", volts, off, got)
		}
	}
}

// Two diodes in series the wrong way round pass the lesser of their saturation
// currents.
func TestSeriesReversed(t *testing.T) {
	for _, second := range []float64{1e-9, 2e-9, 1e-14, 1e-6} {
		d := decode(t, drawing(supply(10), plainDiode("D1", "m", "v", 1e-9), plainDiode("D2", "GND", "m", second)))
		r := solve(t, d, Options{})
		want := -min(1e-9, second)
		near(t, fmt.Sprintf("I_S of the second %g", second), figure(t, r, d, "D1.A.amps"), want, 1e-7*-want)
	}
}

// Between two MOSFETs that are hard off, without body diodes, nothing
// determines the voltage; all else is solved.
func TestHardOff(t *testing.T) {
	mos := func(ref, drain, source string) string {
		return fmt.Sprintf(`"ref": %q, "kind": "nmos", "params": {"threshold_voltage": 2, "transconductance": 0.1, "subthreshold": false, "body_diode": false}, "tags": {"D": %q, "G": "GND", "S": %q}`, ref, drain, source)
	}
	d := decode(t, drawing(supply(5), resistor("R1", 1000, "v", "a"), resistor("R2", 1000, "a", "GND"),
		mos("Q1", "a", "m"), mos("Q2", "n", "GND"), resistor("R3", 10, "m", "n")))
	r := solve(t, d, Options{})
	near(t, "divider", figure(t, r, d, "net.a.volts"), 2.5, 1e-12)
	for _, name := range []string{"m", "n"} {
		if v := figure(t, r, d, "net."+name+".volts"); !math.IsNaN(v) {
			t.Errorf("net %s stands at %g V", name, v)
		}
	}
	if got := texts(r.Faults); len(got) != 1 || got[0] != "nets m and n float: nothing that conducts leads from there to ground" {
		t.Errorf("faults: %q", got)
	}
}

// A current is right even where it drops next to nothing over a resistor high
// above ground: by the series law all of it flows through both.
func TestCancellation(t *testing.T) {
	for _, small := range []float64{1e-3, 0.5, 1, 47, 1e3, 1e6} {
		for _, large := range []float64{1e6, 1e9, 1e12} {
			if large < small {
				continue
			}
			d := decode(t, drawing(supply(5), resistor("R1", small, "v", "a"), resistor("R2", large, "a", "GND")))
			r := solve(t, d, Options{})
			want := 5 / (small + large)
			for _, ref := range []string{"R1", "R2"} {
				near(t, fmt.Sprintf("%s of %g and %g ohms", ref, small, large), figure(t, r, d, ref+".1.amps"), want, 1e-9*want)
			}
		}
	}
}

// A chain of inverters, each driven by the one before.
func TestInverterChain(t *testing.T) {
	d := stages(t, 200)
	r := solve(t, d, Options{})
	for i := 1; i < 48; i++ {
		this, next := r.Parts[fmt.Sprintf("Q%d", i)].State, r.Parts[fmt.Sprintf("Q%d", i+1)].State
		if this == CutOff && next == CutOff {
			t.Errorf("Q%d and Q%d are both cut off", i, i+1)
		}
	}
}

// In a random ladder of series and shunt resistors the input resistance
// follows from adding and paralleling from the far end.
func TestRandomLadders(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 200 {
		parts := []string{supply(1)}
		n := 1 + r.IntN(30)
		series, shunt := make([]float64, n), make([]float64, n)
		from := "v"
		for i := range n {
			series[i], shunt[i] = math.Pow(10, 6*r.Float64()-2), math.Pow(10, 6*r.Float64())
			to := fmt.Sprintf("n%d", i)
			parts = append(parts, resistor(fmt.Sprintf("RS%d", i), series[i], from, to), resistor(fmt.Sprintf("RP%d", i), shunt[i], to, "GND"))
			from = to
		}
		ohms := math.Inf(1)
		for i := n - 1; i >= 0; i-- {
			ohms = series[i] + 1/(1/ohms+1/shunt[i])
		}
		d := decode(t, drawing(parts...))
		res := solve(t, d, Options{})
		near(t, "input current", figure(t, res, d, "RS0.1.amps"), 1/ohms, 1e-12/ohms)
		drop := 1.0
		for i := range n { // and forwards: each node by the law of the divider
			far := math.Inf(1)
			for j := n - 1; j > i; j-- {
				far = series[j] + 1/(1/far+1/shunt[j])
			}
			at := 1 / (1/far + 1/shunt[i])
			drop *= at / (at + series[i])
			near(t, "voltage", figure(t, res, d, fmt.Sprintf("net.n%d.volts", i)), drop, 1e-11*drop)
		}
	}
}

// A ring of links carries no more than the parts around it demand.
func TestRingOfLinks(t *testing.T) {
	d := decode(t, drawing(supply(5), resistor("R1", 0, "v", "a"), resistor("R2", 0, "a", "b"), resistor("R3", 0, "b", "v"), resistor("R4", 100, "b", "GND")))
	r := solve(t, d, Options{})
	near(t, "straight way", figure(t, r, d, "R3.1.amps"), -2*0.05/3, 1e-12)
	near(t, "long way", figure(t, r, d, "R1.1.amps"), 0.05/3, 1e-12)
}

// A stack of m parts is m of them in parallel, for every kind.
func TestStackIsParallel(t *testing.T) {
	kinds := map[string]string{
		"resistor": `"kind": "resistor", "value": "220", "tags": {"1": "a", "2": "GND"}`,
		"small":    `"kind": "resistor", "value": "1.5", "tags": {"1": "a", "2": "GND"}`,
		"led":      `"kind": "led", "value": "white", "tags": {"A": "a", "K": "GND"}`,
		"lamp":     `"kind": "lamp", "value": "6 V 0.3 A", "tags": {"1": "a", "2": "GND"}`,
		"npn":      `"kind": "npn", "tags": {"C": "a", "B": "b", "E": "GND"}`,
		"nmos":     `"kind": "nmos", "tags": {"D": "a", "G": "v", "S": "GND"}`,
		"battery":  `"kind": "battery", "params": {"voltage": 3, "resistance": 2}, "tags": {"+": "a", "-": "GND"}`,
		"source":   `"kind": "current_source", "value": "3 mA", "tags": {"-": "a", "+": "GND"}`,
	}
	for name, text := range kinds {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			around := []string{supply(6), resistor("R1", 10, "v", "a"), resistor("R2", 1000, "v", "b"), resistor("R3", 1e5, "b", "GND")}
			stack := decode(t, drawing(append(around, `"ref": "X1", "count": 3, `+text)...))
			around = []string{supply(6), resistor("R1", 10, "v", "a"), resistor("R2", 1000, "v", "b"), resistor("R3", 1e5, "b", "GND")}
			single := decode(t, drawing(append(around, `"ref": "X1", `+text, `"ref": "X2", `+text, `"ref": "X3", `+text)...))
			a, b := solve(t, stack, Options{}), solve(t, single, Options{})
			va := figure(t, a, stack, "net.a.volts")
			near(t, "voltage", va, figure(t, b, single, "net.a.volts"), 1e-9)
			for i, pin := range a.Parts["X1"].Pins {
				want := 3 * b.Parts["X1"].Pins[i].Amps
				near(t, "current into "+pin.Name, pin.Amps, want, 1e-9*math.Abs(want)+1e-15)
			}
			if a.Parts["X1"].State != b.Parts["X1"].State {
				t.Errorf("the stack is %s, one alone %s", a.Parts["X1"].State, b.Parts["X1"].State)
			}
		})
	}
}

// The same drawing gives the same figures, bit for bit.
func TestDeterministic(t *testing.T) {
	d := stages(t, 60)
	a, b := solve(t, d, Options{}), solve(t, d, Options{})
	for i := range a.Volts {
		if a.Volts[i] != b.Volts[i] {
			t.Errorf("net %d: %v and %v", i, a.Volts[i], b.Volts[i])
		}
	}
	for ref, p := range a.Parts {
		if p.Power != b.Parts[ref].Power {
			t.Errorf("%s: %v and %v W", ref, p.Power, b.Parts[ref].Power)
		}
	}
}

// A former result as start gives the same figures sooner.
func TestWarmStart(t *testing.T) {
	d := stages(t, 60)
	cold := solve(t, d, Options{})
	set := model.Setting{"R1": {"resistance": model.Number(10500)}}
	fresh := solve(t, d, Options{Set: set})
	warm := solve(t, d, Options{Set: set, Start: cold})
	for i := range fresh.Volts {
		near(t, fresh.Nets.Nets[i].Name, warm.Volts[i], fresh.Volts[i], 1e-9*math.Abs(fresh.Volts[i])+1e-12)
	}
	if warm.Iterations >= fresh.Iterations {
		t.Errorf("%d iterations warm, %d cold", warm.Iterations, fresh.Iterations)
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Solve(ctx, stages(t, 20), Options{}); err != context.Canceled {
		t.Errorf("got %v", err)
	}
	if _, err := Modes(ctx, stages(t, 20)); err != context.Canceled {
		t.Errorf("modes: got %v", err)
	}
}

// At 4.5 V, with about half a volt lost at the junction, 1 kΩ sets a base
// current of about 4 mA (common practice, no source).
func TestBaseCurrentRuleOfThumb(t *testing.T) {
	d := decode(t, drawing(supply(4.5), resistor("R1", 1000, "v", "b"), `"ref": "Q1", "kind": "npn", "tags": {"B": "b", "C": "c", "E": "GND"}`, resistor("R2", 47, "v", "c")))
	r := solve(t, d, Options{})
	near(t, "base current", figure(t, r, d, "Q1.B.amps"), 4e-3, 0.4e-3)
}
