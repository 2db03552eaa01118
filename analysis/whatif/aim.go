// Package whatif asks what changes if a value changes: it finds the value that
// brings a quantity to where it is wanted, and compares a circuit with a
// variation of itself.
package whatif

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/analysis/review"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Aim says what is wanted of which value.
type Aim struct {
	analysis.Options
	Parameter string          // REF.NAME or drawing.NAME: a number
	Of        string          // the quantity, named as for analysis.Quantity, or REF.lasts
	Want      float64         // of the quantity, SI; of a current or power above nought the size alone counts, as its sign is the pin's
	Series    quantity.Series // of preferred values to round to, where the parameter has such; 0 for none
}

// Hit is what an aim comes to.
type Hit struct {
	Value     float64         // of the parameter that meets the aim, SI
	Preferred float64         // the nearest value that can be had; Value itself where any can
	Series    quantity.Series // that Preferred is of; 0 for none
	Reached   float64         // the quantity at Preferred, solved again, SI
	Before    float64         // the quantity in the drawing as it is, SI
	Watts     float64         // what the part takes at Preferred, NaN for the drawing
	Heats     bool            // whether it turns that into heat and does nothing else
	Over      []review.Rating // figures above their rating at Preferred that are others in the drawing
	Gains     []Gain          // the transistors on whose gain the answer rests
	Fresh     *Hit            // the same from new cells, where those of the drawing are not: see Renewed
	Renewed   Renewed         // of Preferred with new cells, where Fresh is not nil
}

// Renewed is what the value for the cells as drawn comes to with new ones.
type Renewed struct {
	Reached float64 // the quantity, SI
	Watts   float64
	Over    []review.Rating
	Drawn   float64 // the quantity at the value for new cells with the cells as drawn, SI; NaN where there is none
}

// Unreached is the error where no value meets the aim.
type Unreached struct {
	Low, High float64 // of the parameter, that were tried
	Least     float64 // that the quantity comes to on the way, SI; NaN where nothing can be solved
	Most      float64
	text      string
}

func (u *Unreached) Error() string { return u.text }

// scan is how many values over the whole range are tried before the nearest
// pair is narrowed down.
const scan = 60

// Run solves d for the value. It fails where the parameter or the quantity does
// not exist, where no value in the parameter's range meets the aim, or with the
// context's error.
func Run(ctx context.Context, d *model.Diagram, a Aim) (*Hit, error) {
	h, err := hit(ctx, d, a)
	if err != nil {
		return nil, err
	}
	ref, _, _ := strings.Cut(a.Parameter, ".")
	fresh := drain.Renewed(d, a.Set)
	if len(fresh) == 0 || fresh[ref] != nil {
		return h, nil
	}
	drawn := a
	a.Set = a.Set.With(fresh)
	if h.Fresh, err = hit(ctx, d, a); errors.As(err, new(*Unreached)) {
		err = nil
	}
	if err != nil {
		return nil, err
	}
	if h.Renewed, err = renewed(ctx, d, a, h.Preferred); err != nil {
		return nil, err
	}
	h.Renewed.Drawn = math.NaN()
	if h.Fresh != nil {
		then, err := renewed(ctx, d, drawn, h.Fresh.Preferred)
		h.Renewed.Drawn = then.Reached
		return h, err
	}
	h.Fresh = &Hit{Value: math.NaN(), Preferred: math.NaN(), Reached: math.NaN(), Before: math.NaN(), Watts: math.NaN()}
	return h, nil
}

// begin looks at the circuit as it is.
func begin(ctx context.Context, d *model.Diagram, a Aim) (t *target, before float64, err error) {
	t = &target{ctx: ctx, d: d, aim: a}
	before, err = t.plain()
	return t, before, err
}

// hit is the value that meets the aim.
func hit(ctx context.Context, d *model.Diagram, a Aim) (*Hit, error) {
	q, err := param(d, a.Parameter)
	if err != nil {
		return nil, err
	}
	t, before, err := begin(ctx, d, a)
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

// renewed is what a value of the parameter comes to.
func renewed(ctx context.Context, d *model.Diagram, a Aim, value float64) (Renewed, error) {
	t, _, err := begin(ctx, d, a)
	if err != nil {
		return Renewed{}, err
	}
	if _, err = t.off(value); err != nil {
		return Renewed{}, err
	}
	return Renewed{Reached: t.reached, Watts: t.watts(), Over: t.over()}, nil
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

	drawn   []review.Rating // the figures in the drawing as it is
	reached float64         // the quantity when last read
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
	return t.read(nil)
}

// read returns the quantity as it is now, NaN where the circuit cannot be
// solved.
func (t *target) read(set model.Setting) (float64, error) {
	r := t.k.Result()
	if !r.Solved {
		return math.NaN(), nil
	}
	if ref, is := strings.CutSuffix(t.aim.Of, LastsSuffix); is {
		return lastsWith(t.ctx, t.d, drain.Options{Mode: t.aim.Mode, Set: t.aim.Set.With(set), Rough: true}, ref)
	}
	return analysis.Quantity(r, t.d, t.aim.Of)
}

// off is how far the quantity is above what is wanted when the parameter has
// that value; NaN where the circuit cannot be solved then.
func (t *target) off(value float64) (x float64, err error) {
	ref, what, _ := strings.Cut(t.aim.Parameter, ".")
	if err := t.k.Move(t.ctx, analysis.Move{Ref: ref, Name: what, Value: model.Number(value)}); err != nil {
		return 0, err
	}
	if t.reached, err = t.read(model.Setting{ref: {what: model.Number(value)}}); err != nil {
		return 0, err
	}
	if t.aim.Want > 0 && directed(t.aim.Of) {
		return math.Abs(t.reached) - t.aim.Want, nil
	}
	return t.reached - t.aim.Want, nil
}

// directed reports whether the sign of a quantity tells a direction only.
func directed(of string) bool {
	return strings.HasSuffix(of, ".amps") || strings.HasSuffix(of, ".watts")
}

// bracket finds two neighbouring values between which the aim is met.
func (t *target) bracket(low, high float64) (a, b float64, err error) {
	log := low > 0
	least, most := math.Inf(1), math.Inf(-1)
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
		least, most = min(least, t.reached), max(most, t.reached)
		last, lastOff = x, off
	}
	return 0, 0, t.refusal(low, high, least, most)
}

// refusal says what the quantity comes to instead, with units.
func (t *target) refusal(low, high, least, most float64) error {
	unit, of := quantity.None, UnitOf(t.k.Result(), t.d, t.aim.Of)
	if q, err := param(t.d, t.aim.Parameter); err == nil {
		unit = q.Unit
	}
	u := &Unreached{Low: low, High: high, Least: least, Most: most}
	if least > most {
		u.Least, u.Most = math.NaN(), math.NaN()
		u.text = fmt.Sprintf("with no value of %s between %s and %s can the circuit be solved", t.aim.Parameter, quantity.Short(low, unit), quantity.Short(high, unit))
		return u
	}
	if lowest, highest := quantity.Short(least, of), quantity.Short(most, of); lowest == highest {
		u.text = fmt.Sprintf("no value of %s between %s and %s brings %s to %s; it does not move and stays at %s",
			t.aim.Parameter, quantity.Short(low, unit), quantity.Short(high, unit), t.aim.Of, quantity.Short(t.aim.Want, of), lowest)
		return u
	}
	u.text = fmt.Sprintf("no value of %s between %s and %s brings %s to %s; it comes to between %s and %s",
		t.aim.Parameter, quantity.Short(low, unit), quantity.Short(high, unit), t.aim.Of, quantity.Short(t.aim.Want, of), quantity.Short(least, of), quantity.Short(most, of))
	return u
}

// UnitOf is the unit of a quantity that can be aimed at.
func UnitOf(r *analysis.Result, d *model.Diagram, of string) quantity.Unit {
	if strings.HasSuffix(of, LastsSuffix) {
		return quantity.Hour
	}
	if g, err := analysis.NewGauge(r, d, of); err == nil {
		return g.Unit
	}
	return quantity.None
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

// hit rounds to what can be had and solves again.
func (t *target) hit(value, before float64) (h *Hit, err error) {
	h = &Hit{Value: value, Before: before}
	h.Preferred, h.Series = t.rounded(value)
	if _, err := t.off(h.Preferred); err != nil {
		return nil, err
	}
	h.Reached, h.Watts, h.Over = t.reached, t.watts(), t.over()
	h.Heats = h.Watts >= 0 && dissipates(t.d, t.aim.Parameter)
	h.Gains, err = t.gains(h.Reached)
	return h, err
}

// rounded is the nearest value that can be had: of a series for what is made in
// preferred values, whole where things are counted.
func (t *target) rounded(value float64) (float64, quantity.Series) {
	ref, what, _ := strings.Cut(t.aim.Parameter, ".")
	switch p := t.d.Part(ref); {
	case p == nil:
	case p.Kind == "battery" && what == "cells":
		return max(1, math.Round(value)), 0
	case t.aim.Series != 0 && Preferable(p.Kind, what):
		return quantity.Nearest(t.aim.Series, value), t.aim.Series
	}
	return value, 0
}

// Preferable reports whether parts of that kind are made in preferred values of
// a quantity (IEC 60063; Zener voltages by common practice, no source).
func Preferable(kind, name string) bool {
	switch kind {
	case "resistor", "potentiometer":
		return name == "resistance"
	case "capacitor":
		return name == "capacitance"
	case "inductor":
		return name == "inductance"
	case "zener":
		return name == "breakdown_voltage"
	}
	return false
}

// dissipates reports whether the part of a parameter turns all it takes into
// heat.
func dissipates(d *model.Diagram, parameter string) bool {
	ref, _, _ := strings.Cut(parameter, ".")
	p := d.Part(ref)
	return p != nil && !slices.Contains([]string{"battery", "supply", "current_source", "motor", "lamp", "led", "chip"}, p.Kind)
}

// watts is what the part that is moved takes now, NaN for the drawing.
func (t *target) watts() float64 {
	ref, _, _ := strings.Cut(t.aim.Parameter, ".")
	if p := t.k.Result().Parts[ref]; p != nil {
		return p.Power
	}
	return math.NaN()
}

// over are the figures above their rating now that are others in the drawing.
func (t *target) over() (list []review.Rating) {
	for _, o := range overloads(t.drawn, review.Rated(t.ctx, t.d, t.k.Result())) {
		if o.After.Over() && !o.Same() {
			list = append(list, o.After)
		}
	}
	return list
}
