// Package whatif asks what changes if a value changes: it finds the value that
// brings a quantity to where it is wanted, and compares a circuit with a
// variation of itself.
package whatif

import (
	"context"
	"fmt"
	"math"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Aim says what is wanted of which value.
type Aim struct {
	analysis.Options
	Parameter string          // REF.NAME or drawing.NAME: a number
	Of        string          // the quantity, named as for analysis.Quantity
	Want      float64         // of the quantity, SI; its size alone counts where the circuit gives the other sign
	Series    quantity.Series // of preferred values to round to; 0 for none
}

// Hit is what an aim comes to.
type Hit struct {
	Value     float64         // of the parameter that meets the aim, SI
	Preferred float64         // the nearest value of the series; Value itself without one
	Reached   float64         // the quantity at Preferred, solved again, SI
	Before    float64         // the quantity in the drawing as it is, SI
	Watts     float64         // what the part turns into heat at Preferred, NaN for the drawing
	Over      []review.Rating // figures above their rating at Preferred that are others in the drawing
}

// scan is how many values over the whole range are tried before the nearest
// pair is narrowed down.
const scan = 60

// Run solves d for the value. It fails where the parameter or the quantity does
// not exist, where no value in the parameter's range meets the aim, or with the
// context's error.
func Run(ctx context.Context, d *model.Diagram, a Aim) (*Hit, error) {
	q, err := param(d, a.Parameter)
	if err != nil {
		return nil, err
	}
	t := &target{ctx: ctx, d: d, aim: a}
	before, err := t.plain()
	if err != nil {
		return nil, err
	}
	low, high, err := t.bracket(rangeOf(q, t.now()))
	if err != nil {
		return nil, err
	}
	value, err := t.narrow(low, high)
	if err != nil {
		return nil, err
	}
	return t.hit(value, before)
}

// param finds the parameter that is moved.
func param(d *model.Diagram, name string) (*model.Param, error) {
	ref, what, _ := strings.Cut(name, ".")
	var q *model.Param
	if ref == model.Drawing {
		q = model.DrawingParam(what)
	} else if p := d.Part(ref); p != nil {
		q = p.LookupKind().Param(what)
	}
	switch {
	case q == nil:
		return nil, fmt.Errorf("there is no parameter %s; write REF.param, such as R1.resistance", name)
	case q.Type() != model.NumberType:
		return nil, fmt.Errorf("%s is no number and cannot be moved", name)
	}
	return q, nil
}

// rangeOf is where to look: the parameter's own range, and of one that starts
// at nought a millionth to a million times what it is now.
func rangeOf(q *model.Param, now float64) (low, high float64) {
	low, high = q.Min, q.Max
	if low == 0 && high == 0 {
		low, high = -math.MaxFloat32, math.MaxFloat32
	}
	scale := math.Abs(now)
	if scale < usual {
		scale = usual
	}
	if low >= 0 {
		return max(low, scale*1e-6), min(high, scale*1e6)
	}
	return max(low, -100*scale), min(high, 100*scale)
}

// usual is the size to look about where the value is nought, in SI units: a
// link in the place of a resistor is the usual case.
const usual = 100

// target is the search under way.
type target struct {
	ctx context.Context
	d   *model.Diagram
	aim Aim
	k   *analysis.Tracker

	drawn []review.Rating // the figures in the drawing as it is
}

func (t *target) now() float64 {
	ref, what, _ := strings.Cut(t.aim.Parameter, ".")
	r := t.k.Result()
	if !r.Solved || ref == model.Drawing {
		return 0
	}
	v, _ := t.d.Resolve(t.d.Part(ref), r.Set)
	return v.Num(what)
}

// plain is the quantity as the drawing is.
func (t *target) plain() (x float64, err error) {
	if t.k, err = analysis.Track(t.ctx, t.d, t.aim.Options); err != nil {
		return 0, err
	}
	t.drawn = review.Rated(t.ctx, t.d, t.k.Result())
	return t.read()
}

// read returns the quantity as it is now, NaN where the circuit cannot be
// solved.
func (t *target) read() (float64, error) {
	r := t.k.Result()
	if !r.Solved {
		return math.NaN(), nil
	}
	return analysis.Quantity(r, t.d, t.aim.Of)
}

// off is how far the quantity is above what is wanted when the parameter has
// that value; NaN where the circuit cannot be solved then.
func (t *target) off(value float64) (float64, error) {
	ref, what, _ := strings.Cut(t.aim.Parameter, ".")
	if err := t.k.Move(t.ctx, analysis.Move{Ref: ref, Name: what, Value: model.Number(value)}); err != nil {
		return 0, err
	}
	x, err := t.read()
	if err != nil {
		return 0, err
	}
	if x*t.aim.Want < 0 {
		x = -x
	}
	return x - t.aim.Want, nil
}

// bracket finds two neighbouring values between which the aim is met.
func (t *target) bracket(low, high float64) (a, b float64, err error) {
	log := low > 0
	nearest := math.Inf(1)
	var last, lastOff float64
	for i := range scan + 1 {
		share := float64(i) / scan
		x := low + (high-low)*share
		if log {
			x = low * math.Pow(high/low, share)
		}
		off, err := t.off(x)
		switch {
		case err != nil:
			return 0, 0, err
		case math.IsNaN(off):
			continue
		case i > 0 && lastOff*off <= 0:
			return last, x, nil
		}
		nearest = min(nearest, math.Abs(off))
		last, lastOff = x, off
	}
	return 0, 0, t.refusal(low, high, nearest)
}

// refusal says how near the quantity comes, with units.
func (t *target) refusal(low, high, nearest float64) error {
	unit, of := quantity.None, quantity.None
	if q, err := param(t.d, t.aim.Parameter); err == nil {
		unit = q.Unit
	}
	if g, err := analysis.NewGauge(t.k.Result(), t.d, t.aim.Of); err == nil {
		of = g.Unit
	}
	if math.IsInf(nearest, 1) {
		return fmt.Errorf("with no value of %s between %s and %s can the circuit be solved", t.aim.Parameter, quantity.Short(low, unit), quantity.Short(high, unit))
	}
	return fmt.Errorf("no value of %s between %s and %s brings %s to %s; it stays %s away at least",
		t.aim.Parameter, quantity.Short(low, unit), quantity.Short(high, unit), t.aim.Of, quantity.Short(t.aim.Want, of), quantity.Short(nearest, of))
}

// narrow halves the bracket, in ratios where both ends are above nought.
func (t *target) narrow(a, b float64) (float64, error) {
	offA, err := t.off(a)
	if err != nil {
		return 0, err
	}
	for range 80 {
		middle := (a + b) / 2
		if a > 0 {
			middle = math.Sqrt(a * b)
		}
		off, err := t.off(middle)
		if err != nil {
			return 0, err
		}
		if offA*off <= 0 {
			b = middle
		} else {
			a, offA = middle, off
		}
	}
	return b, nil
}

// hit rounds to the series and solves again.
func (t *target) hit(value, before float64) (*Hit, error) {
	h := &Hit{Value: value, Preferred: value, Before: before, Watts: math.NaN()}
	if t.aim.Series != 0 {
		h.Preferred = quantity.Nearest(t.aim.Series, value)
	}
	off, err := t.off(h.Preferred)
	if err != nil {
		return nil, err
	}
	h.Reached = t.aim.Want + off
	ref, _, _ := strings.Cut(t.aim.Parameter, ".")
	if p := t.k.Result().Parts[ref]; p != nil {
		h.Watts = p.Power
	}
	for _, o := range overloads(t.drawn, review.Rated(t.ctx, t.d, t.k.Result())) {
		if o.After.Over() && !o.Same() {
			h.Over = append(h.Over, o.After)
		}
	}
	return h, nil
}
