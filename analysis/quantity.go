package analysis

import (
	"errors"
	"fmt"
	"strings"

	"copperglass/model"
)

var errUnsolved = errors.New("the circuit is not solved; see what stands in its way")

// Quantity returns the quantity of that name, in SI units, of a drawing and
// its result: net.NAME.volts, REF.PIN.amps, REF.watts, REF.NAME for a
// parameter or a figure of the part, or drawing.NAME. The volts of a net that
// floats are NaN.
func Quantity(r *Result, d *model.Diagram, name string) (float64, error) {
	if rest, ok := strings.CutPrefix(name, "net."); ok {
		if netName, ok := strings.CutSuffix(rest, ".volts"); ok {
			return netVolts(r, netName)
		}
	}
	ref, what, ok := strings.Cut(name, ".")
	switch {
	case !ok || what == "":
		return 0, fmt.Errorf("%q is no quantity; write net.NAME.volts, REF.PIN.amps, REF.watts or REF.NAME", name)
	case ref == model.Drawing:
		return drawingQuantity(r, d, what)
	case d.Part(ref) == nil:
		return 0, fmt.Errorf("%s: there is no part %s", name, ref)
	}
	if pin, ok := strings.CutSuffix(what, ".amps"); ok {
		return pinAmps(r, ref, pin)
	}
	if what == "watts" {
		return partWatts(r, ref)
	}
	return partQuantity(r, d, ref, what)
}

func netVolts(r *Result, name string) (float64, error) {
	n := r.Nets.Find(name)
	switch {
	case n < 0:
		return 0, fmt.Errorf("there is no net %s", name)
	case !r.Solved:
		return 0, errUnsolved
	}
	return r.Volts[n], nil
}

func pinAmps(r *Result, ref, pin string) (float64, error) {
	p := r.Parts[ref]
	if p == nil {
		return 0, fmt.Errorf("%s carries no current", ref)
	}
	q := p.Pin(pin)
	switch {
	case q == nil:
		return 0, fmt.Errorf("%s has no pin %s", ref, pin)
	case !r.Solved:
		return 0, errUnsolved
	}
	return q.Amps, nil
}

func partWatts(r *Result, ref string) (float64, error) {
	p := r.Parts[ref]
	switch {
	case p == nil:
		return 0, fmt.Errorf("%s takes no power", ref)
	case !r.Solved:
		return 0, errUnsolved
	}
	return p.Power, nil
}

// partQuantity looks among the part's parameters and then among its figures.
func partQuantity(r *Result, d *model.Diagram, ref, name string) (float64, error) {
	values, _ := d.Resolve(d.Part(ref), r.Set)
	if v, ok := values[name]; ok {
		if x, ok := v.Num(); ok {
			return x, nil
		}
		return 0, fmt.Errorf("%s.%s is %v, which is no number", ref, name, v)
	}
	if p := r.Parts[ref]; p != nil {
		if name == "forced_beta" {
			return p.ForcedBeta, nil
		}
		for _, f := range p.Figures {
			if f.Name == name {
				return f.Value, nil
			}
		}
	}
	return 0, fmt.Errorf("%s has no quantity %s", ref, name)
}

func drawingQuantity(r *Result, d *model.Diagram, name string) (float64, error) {
	q := model.DrawingParam(name)
	if q == nil {
		return 0, fmt.Errorf("the drawing has no quantity %s", name)
	}
	for _, v := range []model.Value{r.Set[model.Drawing][name], d.Params[name], q.Default} {
		if x, ok := v.Num(); ok {
			return x, nil
		}
	}
	return 0, fmt.Errorf("drawing.%s is no number", name)
}
