package analysis

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"

	"copperglass/model"
)

// batchSamples is how many circuits the tolerance list is sampled with. Their
// moments must be within five standard errors of the exact ones, which are held
// to the tolerance stated, and so must the shares be.
const batchSamples = 4000

// batchCase says how a case of the tolerance list is put to the program.
type batchCase struct {
	drawing string // where the case has none: what its text describes
	of      string
	scale   float64 // from the quantity to the case's figure
	own     map[string]float64
}

// tenInSeries is MTO-05 on 1 mA, which makes the volts kilohms.
func tenInSeries() string {
	parts := []string{`"ref": "I1", "kind": "current_source", "value": "1 mA", "tags": {"+": "n0", "-": "GND"}`}
	for i := range 10 {
		to := fmt.Sprintf("n%d", i+1)
		if i == 9 {
			to = "GND"
		}
		parts = append(parts, fmt.Sprintf(`"ref": "R%d", "kind": "resistor", "value": "1k 5 %%", "tags": {"1": "n%d", "2": %q}`, i+1, i, to))
	}
	return drawing(parts...)
}

// fixedDrop is MTO-06: the LED of that rule is a voltage that does not move.
func fixedDrop() string {
	return drawing(
		`"ref": "V1", "kind": "supply", "value": "5 V", "tags": {"+": "p", "-": "GND"}`,
		`"ref": "R1", "kind": "resistor", "value": "150 5 %", "tags": {"1": "p", "2": "a"}`,
		`"ref": "V2", "kind": "supply", "value": "2 V", "tags": {"+": "a", "-": "GND"}`)
}

func batchCases() map[string]batchCase {
	return map[string]batchCase{
		"MTO-01": {of: "net.out.volts", scale: 1},
		"MTO-02": {of: "net.out.volts", scale: 1, own: map[string]float64{"V1.voltage": 0.02}},
		"MTO-03": {of: "net.a.volts", scale: 1000},
		"MTO-04": {of: "net.a.volts", scale: 100},
		"MTO-05": {of: "net.n0.volts", scale: 1000, drawing: tenInSeries()},
		"MTO-06": {of: "R1.1.amps", scale: 1, drawing: fixedDrop(), own: map[string]float64{"V1.voltage": 0.05, "V2.voltage": 0.1}},
	}
}

// Worst cases and first-order rules, mean, deviation and shares of the samples.
func TestReferenceTolerances(t *testing.T) {
	t.Parallel()
	done := map[string]bool{
		"MTO-07": true, "MTO-08": true, "MTO-09": true, // TestReferenceBins
		"MTO-11": true, "MTO-12": true, // tests of their own below
		// Phase angle and impedance of an alternating current from correlated
		// readings: an operating point has no phase, and no quantity of ours is
		// a model of readings. There is no circuit to draw.
		"MTO-10": true,
	}
	cases := batchCases()
	for _, c := range readKnown(t, "tolerance", 12) {
		how, ok := cases[c.ID]
		if !ok {
			if !done[c.ID] {
				t.Errorf("%s is not run", c.ID)
			}
			continue
		}
		t.Run(c.ID, func(t *testing.T) {
			t.Parallel()
			d := decode(t, how.drawing+string(c.Drawing)) // only one of them is there
			b := newMoments(t, d, how)
			c.checkFigures(t, b.figure)
		})
	}
}

// moments of a batch in the units of its case.
type moments struct {
	d           *model.Diagram
	how         batchCase
	q           Distribution
	mean, sigma float64            // of the samples
	all         evenly             // of all values that the tolerances allow
	rule        float64            // the root of the sum of squares of what each tolerance does
	each        map[string]float64 // what each tolerance does, by parameter
}

func newMoments(t *testing.T, d *model.Diagram, how batchCase) *moments {
	t.Helper()
	s := spread(t, d, SpreadOptions{Of: []string{how.of}, Samples: batchSamples, Own: how.own})
	b := &moments{d: d, how: how, q: s.Quantities[0], each: map[string]float64{}}
	b.mean, b.sigma = meanAndDeviation(b.q.Samples)
	b.all = allValues(t, d, how.of, s.Tolerances)
	b.checkSamples(t)
	of := influence(t, d, Options{}, how.of)
	for _, tol := range s.Tolerances {
		b.each[tol.Parameter] = of.by(tol.Parameter).Derivative * (tol.High - tol.Nominal)
		b.rule = math.Hypot(b.rule, b.each[tol.Parameter])
	}
	return b
}

// checkSamples holds the samples against what they are drawn from.
func (b *moments) checkSamples(t *testing.T) {
	t.Helper()
	n := float64(batchSamples)
	near(t, "mean of the samples", b.mean, b.all.mean, 5*b.sigma/math.Sqrt(n))
	near(t, "deviation of the samples", b.sigma, b.all.deviation, 5*b.sigma/math.Sqrt(2*n))
}

// evenly are the mean and the standard deviation of a quantity whose parameters
// lie anywhere within their tolerances.
type evenly struct{ mean, deviation float64 }

// allValues integrates a quantity of the solved circuit over the tolerances, by
// Gauss and Legendre's rule of six points for each: over up to three together,
// over more one by one, which is the same where the quantity is a sum of what
// each contributes, as in a row of resistors.
func allValues(t *testing.T, d *model.Diagram, of string, tolerances []Tolerance) evenly {
	t.Helper()
	k := track(t, d, Options{})
	g, err := NewGauge(k.Result(), d, of)
	if err != nil {
		t.Fatal(err)
	}
	in := &integral{t: t, tracker: k, gauge: g, nominal: g.Read(k.Result())}
	if len(tolerances) <= 3 {
		return in.over(tolerances)
	}
	sum := evenly{mean: in.nominal}
	for _, one := range tolerances {
		e := in.over([]Tolerance{one})
		sum.mean += e.mean - in.nominal
		sum.deviation = math.Hypot(sum.deviation, e.deviation)
	}
	return sum
}

// integral sums up how far the quantity is from its nominal value, and the
// squares of that.
type integral struct {
	t            *testing.T
	tracker      *Tracker
	gauge        *Gauge
	nominal      float64
	sum, squares float64
}

func (in *integral) over(tolerances []Tolerance) evenly {
	in.sum, in.squares = 0, 0
	in.add(tolerances, 1)
	return evenly{in.nominal + in.sum, math.Sqrt(in.squares - in.sum*in.sum)}
}

func (in *integral) add(tolerances []Tolerance, weight float64) {
	if len(tolerances) == 0 {
		by := in.gauge.Read(in.tracker.Result()) - in.nominal
		in.sum += weight * by
		in.squares += weight * by * by
		return
	}
	tol, at, share := tolerances[0], make([]float64, 6), make([]float64, 6)
	quad.Legendre{}.FixedLocations(at, share, tol.Low, tol.High)
	ref, name, _ := strings.Cut(tol.Parameter, ".")
	for i, x := range at {
		move(in.t, in.tracker, Move{ref, name, model.Number(x)})
		in.add(tolerances[1:], weight*share[i]/(tol.High-tol.Low))
	}
	move(in.t, in.tracker, Move{ref, name, model.Number(tol.Nominal)})
}

// meanAndDeviation returns the mean and the standard deviation.
func meanAndDeviation(x []float64) (mean, deviation float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		deviation += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, math.Sqrt(deviation)
}

// share is the share of the samples within a fraction of the nominal value,
// with five standard errors.
func (b *moments) share(fraction float64) (p, tol float64) {
	for _, x := range b.q.Samples {
		if math.Abs(x-b.q.Nominal) <= fraction*math.Abs(b.q.Nominal) {
			p += 1 / float64(len(b.q.Samples))
		}
	}
	return p, 5 * math.Sqrt(p*(1-p)/float64(len(b.q.Samples)))
}

// figure returns a figure of the case, and its tolerance where samples decide.
func (b *moments) figure(e knownFigure) (x, tol float64, known bool) {
	scale := b.how.scale
	if parameter, ok := strings.CutPrefix(e.Of, "share of the first-order variance, "); ok {
		return math.Pow(b.each[parameter]/b.rule, 2), 0, true
	}
	switch e.Of {
	case "nominal":
		return scale * b.q.Nominal, 0, true
	case "least":
		return scale * b.q.Low, 0, true
	case "greatest":
		return scale * b.q.High, 0, true
	case "rss of the tolerances":
		return scale * b.rule, 0, true
	case "rss tolerance of the sum":
		return b.rule / b.q.Nominal, 0, true
	case "standard deviation, first order", "standard deviation, first order, all uniform":
		return scale * b.rule / math.Sqrt(3), 0, true
	case "mean, uniform":
		return scale * b.all.mean, 0, true
	case "standard deviation, uniform":
		return scale * b.all.deviation, 0, true
	case "2.5 % point":
		return scale * percentile(b.q.Samples, 0.025), 0.003 * e.Value, true
	case "97.5 % point":
		return scale * percentile(b.q.Samples, 0.975), 0.003 * e.Value, true
	case "share within 5 % of nominal":
		p, tol := b.share(0.05)
		return p, tol, true
	case "share within 2 % of nominal":
		p, tol := b.share(0.02)
		return p, tol, true
	}
	return 0, 0, false
}

func tolerancesCase(t *testing.T, id string) knownCase {
	t.Helper()
	for _, c := range readKnown(t, "tolerance", 12) {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no case %s", id)
	return knownCase{}
}

// LEDs of different bins, alone and side by side, with and without ballast.
func TestReferenceBins(t *testing.T) {
	t.Parallel()
	for _, id := range []string{"MTO-07", "MTO-08", "MTO-09"} {
		c := tolerancesCase(t, id)
		d := c.diagram(t)
		ratio := func(ohms float64) float64 {
			set := Options{Set: setting(map[string]any{"R1.resistance": ohms, "R2.resistance": ohms})}
			if ohms == 0 {
				set = Options{} // there are none
			}
			r := solve(t, d, set)
			return figure(t, r, d, "D1.A.amps") / figure(t, r, d, "D2.A.amps")
		}
		c.checkFigures(t, func(e knownFigure) (float64, float64, bool) {
			switch {
			case isQuantity(e.Of):
				return figure(t, solve(t, d, Options{Set: setting(e.Set)}), d, e.Of), 0, true
			case e.Of == "ratio":
				return ratio(e.Ballast), 0, true
			case e.Of == "ballast each for a ratio of 1.1, ohm":
				return bisect(func(ohms float64) float64 { return ratio(ohms) - 1.1 }, 22, 100), 0, true
			}
			return 0, 0, false
		})
	}
}

// A bin moves the forward voltage by 0.1 V either way: on 5 V with 150 Ω that
// is 3 % of the current.
func TestBinsAreWorstCases(t *testing.T) {
	t.Parallel()
	c := tolerancesCase(t, "MTO-07")
	q := spread(t, c.diagram(t), SpreadOptions{Of: []string{"D1.A.amps"}, Own: map[string]float64{"R1.resistance": 0}}).Quantities[0]
	near(t, "low", q.Low, c.Expected[2].Value, c.Expected[2].Tol)
	near(t, "nominal", q.Nominal, c.Expected[1].Value, c.Expected[1].Tol)
	near(t, "high", q.High, c.Expected[0].Value, c.Expected[0].Tol)
	if !math.IsNaN(q.Median) {
		t.Errorf("a median of no samples: %g", q.Median)
	}
}

// MTO-11: parameters are quantities, too. The two of a time constant are
// independent, so that the moments of the product follow from theirs (L. A.
// Goodman, Journal of the American Statistical Association 55, 1960).
func TestReferenceTimeConstant(t *testing.T) {
	t.Parallel()
	c := tolerancesCase(t, "MTO-11")
	d := c.diagram(t)
	ohms := newMoments(t, d, batchCase{of: "R1.resistance", scale: 1})
	farads := newMoments(t, d, batchCase{of: "C1.capacitance", scale: 1})
	r, f := ohms.q, farads.q
	product := math.Sqrt(math.Pow(ohms.all.mean*farads.all.deviation, 2) + math.Pow(farads.all.mean*ohms.all.deviation, 2) + math.Pow(ohms.all.deviation*farads.all.deviation, 2))
	c.checkFigures(t, func(e knownFigure) (float64, float64, bool) {
		switch e.Of {
		case "nominal":
			return r.Nominal * f.Nominal, 0, true
		case "least":
			return r.Low * f.Low, 0, true
		case "greatest":
			return r.High * f.High, 0, true
		case "rss of the tolerances":
			return math.Hypot(f.Nominal*(r.High-r.Nominal), r.Nominal*(f.High-f.Nominal)), 0, true
		case "mean, uniform":
			return ohms.all.mean * farads.all.mean, 0, true
		case "standard deviation, uniform":
			return product, 0, true
		}
		return 0, 0, false
	})
}

// MTO-12: the uncertainties of 4.98(2) V and 99.6(5) Ω carried to current and
// power by the derivatives (H. H. Ku, Journal of Research of the National
// Bureau of Standards 70C, 1966). The resistor across the supply is the drawing.
func TestReferencePropagation(t *testing.T) {
	t.Parallel()
	d := decode(t, drawing(
		`"ref": "V1", "kind": "supply", "params": {"voltage": 4.98, "resistance": 0}, "tags": {"+": "p", "-": "GND"}`,
		resistor("R1", 99.6, "p", "GND")))
	power, current := influence(t, d, Options{}, "R1.watts"), influence(t, d, Options{}, "R1.1.amps")
	uncertainty := func(of *Influences) float64 {
		return math.Hypot(0.02*of.by("V1.voltage").Derivative, 0.5*of.by("R1.resistance").Derivative)
	}
	c := tolerancesCase(t, "MTO-12")
	c.checkFigures(t, func(e knownFigure) (float64, float64, bool) {
		switch e.Of {
		case "P, watt":
			return power.Value, 0, true
		case "u(P)":
			return uncertainty(power), 0, true
		case "I, ampere":
			return current.Value, 0, true
		case "u(I)":
			return uncertainty(current), 0, true
		}
		return 0, 0, false
	})
}
