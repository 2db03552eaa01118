package analysis

import (
	"fmt"
	"math"
	"slices"

	"copperglass/model"
)

// Sharing is how unequally the lights of a stack share its current. Equal
// shares would be 1/Count each.
type Sharing struct {
	Ref       string
	Count     int
	Brightest Shares // of the light that takes most
	Dimmest   Shares // of the light that takes least

	// Ballast is the resistor that all lights hang on, and Each what one of
	// their own would have in its place, in ohms, for the same current on the
	// whole. Empty where there is none.
	Ballast string
	Each    float64

	first int // place of the first light's current among the values of a sample
}

// Shares are fractions of a stack's current, over the samples. All are NaN
// where no sample lets any flow.
type Shares struct {
	P5, Median, P95 float64

	samples []float64
}

// leastShared is the current of a stack in amperes below which its shares are
// those of leakage, and tell nothing of light.
const leastShared = 1e-6

// lights returns a Sharing for each stack of lights and the names of their
// currents, one after the other, which stand among the values from first on.
func (b *batch) lights(d *model.Diagram, first int) (list []*Sharing, currents []string) {
	for _, p := range d.Parts {
		members := b.stacks[p.Ref]
		if len(members) == 0 || p.Kind != "led" && p.Kind != "lamp" {
			continue
		}
		s := &Sharing{Ref: p.Ref, Count: len(members), first: first + len(currents)}
		s.Ballast, s.Each = b.ballasts[p.Ref].ref, b.ballasts[p.Ref].each
		list = append(list, s)
		pin := p.LookupKind().Pins(p)[0].Name
		for i := range members {
			currents = append(currents, fmt.Sprintf("%s#%d.%s.amps", p.Ref, i+1, pin))
		}
	}
	return list, currents
}

// add takes the shares of one sample into account.
func (s *Sharing) add(values []float64) {
	amps := values[s.first : s.first+s.Count]
	whole := 0.0
	for _, x := range amps {
		whole += x
	}
	if math.Abs(whole) < leastShared {
		return
	}
	a, b := slices.Min(amps)/whole, slices.Max(amps)/whole
	s.Dimmest.samples = append(s.Dimmest.samples, min(a, b))
	s.Brightest.samples = append(s.Brightest.samples, max(a, b))
}

// settle works out the percentiles once all samples are there.
func (s *Shares) settle() {
	slices.Sort(s.samples)
	s.P5, s.Median, s.P95 = percentile(s.samples, 0.05), percentile(s.samples, 0.5), percentile(s.samples, 0.95)
}
