package analysis

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"copperglass/model"
	"copperglass/model/net"
	"copperglass/model/quantity"
)

// SpreadOptions say what is asked of a batch of circuits built to the same
// drawing.
type SpreadOptions struct {
	Options
	Of      []string // quantities, named as for Quantity; REF#N.PIN.amps is of the Nth part of a stack
	Samples int      // 0 where the worst cases alone are wanted
	Seed    uint64
	// Own are tolerances by parameter, as fractions, put over those of the
	// drawing and the catalogue.
	Own map[string]float64
	// Ballast gives each light of a stack that hangs on one resistor one of its
	// own, as many times as large.
	Ballast bool
}

// SpreadResult is how far the quantities of a batch lie apart.
type SpreadResult struct {
	Samples   int
	Converged int // of the samples
	Left      int // of those that converged: in another stable state than the nominal circuit's, and not among the figures
	// LeftCorners are the worst cases, of two for each quantity, for which that
	// holds.
	LeftCorners int
	Tolerances  []Tolerance
	Steady      []Steady
	Quantities  []Distribution
	Sharings    []*Sharing // of the stacks of lights
	Result      *Result    // of the nominal circuit, stacks drawn apart, with its faults
}

// Distribution is how one quantity is spread, in SI units. All are NaN where
// the circuit cannot be solved.
type Distribution struct {
	Of              string
	Unit            quantity.Unit
	Nominal         float64
	P5, Median, P95 float64 // of the samples
	// Low and High are the worst case: every parameter at the end of its range
	// that the sensitivities point to, or a sample beyond that.
	Low, High float64
	Samples   []float64 // of the samples that converged and stayed, sorted
}

// mostSamples is enough for any percentile, and little enough to hold.
const mostSamples = 1_000_000

// Spread solves samples of d in which every parameter with a tolerance lies at
// random within it, independent of all others, the parts of a stack included.
// The same seed gives the same samples. The error is of options that make no
// sense, of a quantity that does not exist, or the context's.
func Spread(ctx context.Context, d *model.Diagram, o SpreadOptions) (*SpreadResult, error) {
	if o.Samples < 0 || o.Samples > mostSamples {
		return nil, fmt.Errorf("%d samples: there may be up to %d", o.Samples, mostSamples)
	}
	b, err := newBatch(d, o)
	if err != nil {
		return nil, err
	}
	r, err := Solve(ctx, b.diagram, b.options)
	if err != nil {
		return nil, err
	}
	s := &SpreadResult{Samples: o.Samples, Tolerances: b.tolerances, Steady: b.steady, Result: r}
	if !r.Solved {
		for _, of := range o.Of {
			nan := math.NaN()
			s.Quantities = append(s.Quantities, Distribution{Of: of, Nominal: nan, P5: nan, Median: nan, P95: nan, Low: nan, High: nan})
		}
		return s, nil
	}
	sharings, currents := b.lights(d, len(o.Of))
	w, err := newSampler(ctx, b, r, slices.Concat(o.Of, currents))
	if err != nil {
		return nil, err
	}
	s.Sharings = sharings
	for i, nominal := range w.read(r)[:len(o.Of)] {
		q := Distribution{Of: o.Of[i], Unit: w.sums[i][0].Unit, Nominal: nominal, Samples: make([]float64, 0, o.Samples)}
		s.Quantities = append(s.Quantities, q)
	}
	if err := s.sample(ctx, w, o.Seed); err != nil {
		return nil, err
	}
	return s, s.corners(ctx, w, r)
}

// batch is the circuit whose parameters are drawn.
type batch struct {
	diagram    *model.Diagram // stacks drawn apart
	stacks     map[string][]string
	ballasts   map[string]ballast // by stack
	options    Options
	tolerances []Tolerance
	steady     []Steady
}

func newBatch(d *model.Diagram, o SpreadOptions) (*batch, error) {
	mode, err := chooseMode(d, o.Mode)
	if err != nil {
		return nil, err
	}
	b := &batch{options: o.Options}
	b.diagram, b.stacks = drawnApart(d)
	b.options.Set = b.apart(mode.Setting().With(o.Set))
	nets := net.Build(d)
	b.ballasts = b.findBallasts(d, nets)
	if o.Ballast {
		b.separate(nets)
	}
	own := make(map[string]float64, len(o.Own))
	for name, fraction := range o.Own {
		if _, err := parameter(d, name); err != nil {
			return nil, err
		}
		for _, member := range b.members(name) {
			own[member] = fraction
		}
	}
	r, err := rangesOf(b.diagram, b.options.Set, own)
	b.tolerances, b.steady = r.varied, r.steady
	return b, err
}

// sample draws the samples and solves them, each from the nominal solution.
func (s *SpreadResult) sample(ctx context.Context, w *sampler, seed uint64) error {
	r := rand.New(rand.NewPCG(seed, 0))
	at := make([]float64, len(w.batch.tolerances))
	for range s.Samples {
		for i, t := range w.batch.tolerances {
			at[i] = t.At(r.Float64())
		}
		values, err := w.valuesAt(ctx, at)
		if err != nil {
			return err
		}
		if values == nil {
			continue
		}
		s.Converged++
		if w.left {
			s.Left++
			continue
		}
		for i, x := range values[:len(s.Quantities)] {
			s.Quantities[i].Samples = append(s.Quantities[i].Samples, x)
		}
		for _, one := range s.Sharings {
			one.add(values)
		}
	}
	for _, one := range s.Sharings {
		one.Brightest.settle()
		one.Dimmest.settle()
	}
	for i := range s.Quantities {
		q := &s.Quantities[i]
		slices.Sort(q.Samples)
		q.P5, q.Median, q.P95 = percentile(q.Samples, 0.05), percentile(q.Samples, 0.5), percentile(q.Samples, 0.95)
	}
	return nil
}

// valuesAt returns the quantities with the parameters at the given values, nil
// where that cannot be solved. They are good until the next sample. w.left tells
// whether they are those of another stable state.
func (w *sampler) valuesAt(ctx context.Context, at []float64) ([]float64, error) {
	r, err := w.solve(ctx, at)
	if err == nil && w.side.leftIn(r) {
		r, err = w.walk(ctx, at)
	}
	if err != nil || !r.Solved {
		return nil, err
	}
	w.left = w.side.leftIn(r)
	return w.read(r), nil
}

// percentile returns the value below which a share of the sorted values lies,
// straight between neighbours (R. J. Hyndman and Y. Fan, The American
// Statistician 50, 1996, definition 7).
func percentile(sorted []float64, share float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	place := share * float64(len(sorted)-1)
	i := int(place)
	if i+1 == len(sorted) {
		return sorted[i]
	}
	return sorted[i] + (place-float64(i))*(sorted[i+1]-sorted[i])
}

// corners finds the worst cases: it puts every parameter where its sensitivity
// says that the quantity is lowest, and then highest, and solves again.
func (s *SpreadResult) corners(ctx context.Context, w *sampler, nominal *Result) error {
	slopes, err := w.batch.slopes(ctx, nominal, s.Quantities)
	if err != nil {
		return err
	}
	for i := range s.Quantities {
		q := &s.Quantities[i]
		q.Low, q.High = q.Nominal, q.Nominal
		for _, sign := range []float64{-1, 1} {
			at := make([]float64, len(w.batch.tolerances))
			for k, t := range w.batch.tolerances {
				at[k] = t.towards(sign * slopes[i][t.Parameter])
			}
			values, err := w.valuesAt(ctx, at)
			if err != nil {
				return err
			}
			switch {
			case values == nil:
			case w.left:
				s.LeftCorners++
			default:
				q.Low, q.High = min(q.Low, values[i]), max(q.High, values[i])
			}
		}
		if n := len(q.Samples); n > 0 {
			q.Low, q.High = min(q.Low, q.Samples[0]), max(q.High, q.Samples[n-1])
		}
	}
	return nil
}

// slopes returns the derivatives of each quantity by the parameters that have a
// tolerance.
func (b *batch) slopes(ctx context.Context, r *Result, quantities []Distribution) ([]map[string]float64, error) {
	wanted := make(map[string]bool, len(b.tolerances))
	for _, t := range b.tolerances {
		wanted[t.Parameter] = true
	}
	var members []*Influences
	var of []int // by member: the quantity it is added to
	for i := range quantities {
		for _, name := range b.summands(quantities[i].Of) {
			members, of = append(members, &Influences{Of: name}), append(of, i)
		}
	}
	if err := r.influence(ctx, b.diagram, members, func(parameter string) bool { return wanted[parameter] }); err != nil {
		return nil, err
	}
	slopes := make([]map[string]float64, len(quantities))
	for i := range slopes {
		slopes[i] = make(map[string]float64, len(wanted))
	}
	for k, one := range members {
		for _, s := range one.List {
			slopes[of[k]][s.Parameter] += s.Derivative
		}
	}
	return slopes, nil
}
