package drain

import (
	"math"

	"copperglass/analysis"
	"copperglass/model"
)

// end is something that may come to its end: it has where the margin is
// negative.
type end struct {
	hours  *float64
	margin func(*analysis.Result) float64 // NaN where it can never come
}

func (r *runner) ends() []end {
	e := &r.out.Ends
	return []end{
		{&e.HalfLight, func(result *analysis.Result) float64 {
			return r.lightOf(result) - 0.5
		}},
		{&e.BrownOut, r.chipMargin},
		{&e.EndPoint, func(result *analysis.Result) float64 {
			return r.volts(result) - r.batteries[r.main].cell.EndPoint()
		}},
	}
}

// chipMargin is how far the chip that is worst off is above its brown-out, V.
func (r *runner) chipMargin(result *analysis.Result) float64 {
	worst := missing
	for _, p := range r.d.Parts {
		if p.Kind != "chip" || result.Parts[p.Ref] == nil {
			continue
		}
		v, _ := r.d.Resolve(p, result.Set)
		margin := supplyVolts(p, result) - v.Num("brown_out_voltage")
		if math.IsNaN(worst) || margin < worst {
			worst = margin
		}
	}
	return worst
}

// supplyVolts is the voltage between a chip's supply and ground pins, NaN
// without them.
func supplyVolts(p *model.Part, result *analysis.Result) float64 {
	volts := map[string]float64{"supply": missing, "ground": missing}
	for _, pin := range p.Pins {
		if known, ok := volts[pin.Role]; ok && math.IsNaN(known) {
			volts[pin.Role] = result.Volts[result.Parts[p.Ref].Pin(pin.Number).Net]
		}
	}
	return volts["supply"] - volts["ground"]
}

// events looks whether something ends within the step, and when. One that has
// ended when the cells are new has ended at 0.
func (r *runner) events(seconds float64, s step) error {
	n := len(r.batteries)
	before, err := r.solve(0, s.from[:n])
	if err != nil {
		return err
	}
	before = before.Clone()
	after, err := r.solve(0, s.to[:n])
	if err != nil {
		return err
	}
	for _, e := range r.ends() {
		switch {
		case !math.IsNaN(*e.hours):
		case e.margin(before) <= 0:
			*e.hours = seconds / 3600
		case e.margin(after) <= 0:
			t, err := r.crossing(s, e.margin)
			if err != nil {
				return err
			}
			*e.hours = (seconds + t*s.seconds) / 3600
		}
	}
	return nil
}

// crossing is the part of the step after which the margin is gone, found by
// halving.
func (r *runner) crossing(s step, margin func(*analysis.Result) float64) (float64, error) {
	low, high := 0.0, 1.0
	for high-low > 1e-9 {
		middle := (low + high) / 2
		result, err := r.solve(0, s.within(middle, len(r.batteries)))
		if err != nil {
			return 0, err
		}
		if margin(result) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

// close adds what can only be said at the end.
func (r *runner) close() {
	if r.out.Stop == Horizon {
		r.out.Notes = append(r.out.Notes, "it would last for more than ten years; cells that stand so long leak away their charge, which is not counted")
	}
}
