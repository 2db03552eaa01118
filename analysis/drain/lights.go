package drain

import (
	"math"

	"copperglass/analysis"
	"copperglass/model"
)

// findLights finds the batteries that the light hangs on: the LEDs' current is
// another with a tenth less of the voltage of one of these. Only one that is the
// sole source need not be asked.
func (r *runner) findLights() error {
	for i, b := range r.batteries {
		if r.light == 0 {
			return nil
		}
		lights, err := r.hangsOn(i)
		if err != nil {
			return err
		}
		b.ends.Lights = lights
	}
	return nil
}

// hangsOn reports whether the light is another with less of a battery's voltage.
// The circuit is solved apart from the run, whose state it leaves alone.
func (r *runner) hangsOn(i int) (bool, error) {
	const less, telling = 0.9, 1e-3
	if r.soleSource() {
		return true, nil
	}
	set := r.set.With(nil)
	for k, b := range r.batteries {
		volts, ohms := b.at(1 - b.left)
		if k == i {
			volts *= less
		}
		set.Set(b.ref, "voltage", model.Number(volts))
		set.Set(b.ref, "resistance", model.Number(ohms))
	}
	result, err := analysis.Solve(r.ctx, r.d, analysis.Options{Mode: r.phases[r.shown].Mode, Set: set})
	if err != nil {
		return false, err
	}
	return !result.Solved || math.Abs(r.lightOf(result)-1) > telling, nil
}

// soleSource reports whether the drawing has no other source than one battery.
func (r *runner) soleSource() bool {
	sources := 0
	for _, p := range r.d.Parts {
		if p.Kind == "battery" || p.Kind == "supply" || p.Kind == "current_source" {
			sources++
		}
	}
	return sources == 1
}
