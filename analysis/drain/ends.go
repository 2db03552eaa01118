package drain

import (
	"math"
	"slices"

	"copperglass/analysis"
	"copperglass/model"
)

// end is something that may come to its end: it has where the margin is
// negative.
type end struct {
	hours  *float64
	margin func(*analysis.Result) float64 // NaN where it can never come
	phase  int
}

func (r *runner) ends() []end {
	e := &r.out.Ends
	all := []end{{&e.HalfLight, func(result *analysis.Result) float64 { return r.lightOf(result) - 0.5 }, r.shown}}
	for phase := range r.phases {
		all = append(all, end{&e.BrownOut, r.chipMargin, phase})
		for _, b := range r.batteries {
			if b.gives() {
				all = append(all, end{&b.ends.EndPoint, b.margin, phase})
			}
		}
	}
	return all
}

// gives reports whether the battery gives any current at the beginning.
func (b *battery) gives() bool { return b.first > 0 }

// margin is how far the battery is above its end point, V.
func (b *battery) margin(result *analysis.Result) float64 {
	return b.volts(result) - b.cell.EndPoint()
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

// events looks whether something ends within the step, and when: the first
// time, where it does in several phases. One that has ended when the cells are
// new has ended at 0.
func (r *runner) events(seconds float64, s step) error {
	open := slices.DeleteFunc(r.ends(), func(e end) bool { return !math.IsNaN(*e.hours) })
	for _, e := range open {
		t, err := r.comes(s, e)
		if err != nil {
			return err
		}
		if hours := (seconds + t*s.seconds) / 3600; math.IsNaN(*e.hours) || hours < *e.hours {
			*e.hours = hours
		}
	}
	return nil
}

// comes is the part of the step after which an end has come, NaN where it does
// not.
func (r *runner) comes(s step, e end) (float64, error) {
	before, err := r.margin(e, s.from)
	if err != nil || before <= 0 {
		return 0, err
	}
	after, err := r.margin(e, s.to)
	if err != nil || !(after <= 0) {
		return missing, err
	}
	return r.crossing(s, e)
}

// margin is what is left to an end at the fractions used.
func (r *runner) margin(e end, used []float64) (float64, error) {
	result, err := r.solve(e.phase, used[:len(r.batteries)])
	if err != nil {
		return missing, err
	}
	return e.margin(result), nil
}

// crossing is the part of the step after which the margin is gone, found by
// halving.
func (r *runner) crossing(s step, e end) (float64, error) {
	low, high := 0.0, 1.0
	for high-low > r.moment {
		middle := (low + high) / 2
		margin, err := r.margin(e, s.within(middle, len(r.batteries)))
		if err != nil {
			return 0, err
		}
		if margin > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

// close adds what can only be said at the end.
func (r *runner) close() error {
	r.closeBatteries()
	if e := &r.out.Ends; e.BrownOut < e.HalfLight || math.IsNaN(e.HalfLight) && !math.IsNaN(e.BrownOut) {
		lit, err := r.litByChips()
		if err != nil {
			return err
		}
		if lit {
			e.HalfLight, e.WithChip = e.BrownOut, true
			r.out.Notes = append(r.out.Notes, "the light ends with the chip; what is said of later is worked out as if the chip went on")
		}
	}
	if r.out.Stop == Horizon {
		r.out.Notes = append(r.out.Notes, "it would last for more than ten years; cells that stand so long leak away their charge, which is not counted")
	}
	return nil
}

// closeBatteries tells how long each battery is of use: until it is at its end
// point, or empty, or hardly gives any current, whichever comes first.
func (r *runner) closeBatteries() {
	for _, b := range r.batteries {
		l := &b.ends
		if b.row && !math.IsNaN(l.EndPoint) && !(r.out.Ends.EndPoint <= l.EndPoint) {
			r.out.Ends.EndPoint = l.EndPoint
		}
		if l.InRow = b.row; l.Until == UsedUp {
			l.Empty = l.Hours
		}
		if l.EndPoint <= l.Hours {
			l.Hours, l.Until = l.EndPoint, AtEndPoint
		}
		r.out.Batteries = append(r.out.Batteries, *l)
	}
}

// litByChips reports whether the light is less than half as long as the chips
// let their outputs go.
func (r *runner) litByChips() (bool, error) {
	if r.light == 0 {
		return false, nil
	}
	set := r.set.With(nil)
	for _, p := range r.d.Parts {
		for _, pin := range p.Pins {
			if p.Kind == "chip" && (pin.Role == "output" || pin.Role == "open_drain") {
				set.Set(p.Ref, pin.Number, model.Word("off"))
			}
		}
	}
	result, err := analysis.Solve(r.ctx, r.d, analysis.Options{Mode: r.phases[r.shown].Mode, Set: set})
	if err != nil || !result.Solved {
		return false, err
	}
	return r.lightOf(result) < 0.5, nil
}
