package drain

import (
	"context"
	"fmt"
	"math"
	"sort"

	"copperglass/model"
)

// Course is a run with the cells that it is of.
type Course struct {
	Cells     string // as in "3 × LR6 (alkaline)"
	Chemistry string
	Set       model.Setting // of its beginning, over the drawing and the mode
	Over      []string      // what is over its rating at its beginning, in words, where somebody has looked
	*Discharge
}

// Compare follows the drawing on its own cells and then on others in the place
// of the battery that gives the most: those that others makes of that
// battery's reference and quantities. Without points the first run is alone.
func Compare(ctx context.Context, d *model.Diagram, o Options, others func(ref string, v model.Values) ([]model.Params, error)) ([]Course, error) {
	own, err := Run(ctx, d, o)
	if err != nil {
		return nil, err
	}
	all := []Course{courseOf(d, own, own.Battery, o.Set, o.New)}
	if len(own.Points) == 0 {
		return all, nil
	}
	v, _ := d.Resolve(d.Part(own.Battery), o.Set)
	list, err := others(own.Battery, v)
	if err != nil {
		return nil, err
	}
	for _, params := range list {
		with := o
		with.Set = o.Set.With(model.Setting{own.Battery: params})
		if p := d.Part(own.Battery); !o.New && measured(p, o.Set) { // of these cells, not of others
			with.Set = with.Set.With(model.Setting{own.Battery: unmeasured(d, p, with.Set, own.ChargeLeft)})
		}
		run, err := Run(ctx, d, with)
		if err != nil {
			return nil, err
		}
		all = append(all, courseOf(d, run, own.Battery, with.Set, o.New))
	}
	return all, nil
}

func courseOf(d *model.Diagram, run *Discharge, ref string, set model.Setting, fresh bool) Course {
	p := d.Part(ref)
	if p == nil {
		return Course{Cells: "the battery", Set: set, Discharge: run}
	}
	v, _ := d.Resolve(p, set)
	chemistry := v.Text("chemistry")
	begin := set.With(nil)
	begin.Set(ref, "charge_left", model.Number(run.ChargeLeft))
	if fresh {
		begin = begin.With(model.Setting{ref: unmeasured(d, p, set, run.ChargeLeft)})
	}
	return Course{Cells: fmt.Sprintf("%v × %s (%s)", v.Num("cells"), v.Text("size"), chemistry), Chemistry: chemistry, Set: begin, Discharge: run}
}

// OfModes follows the drawing in the mode of o, or in each of its modes where o
// names none, or once without any. Where no battery is known that could run down
// there is nil.
func OfModes(ctx context.Context, d *model.Diagram, o Options) (map[string]*Discharge, error) {
	names := []string{o.Mode}
	if o.Mode == "" && len(d.Modes) > 0 {
		names = nil
		for _, m := range d.Modes {
			names = append(names, m.Name)
		}
	}
	all := map[string]*Discharge{}
	for _, name := range names {
		o.Mode = name
		run, err := Run(ctx, d, o)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err == nil {
			all[name] = run
		}
	}
	return all, nil
}

// LightBeside is the light of a run at a point over the first light of another
// run, so that both can be compared; NaN where one of them has none.
func (x *Discharge) LightBeside(p Point, other *Discharge) float64 {
	if other.FirstLight == 0 {
		return missing
	}
	return p.Light * x.FirstLight / other.FirstLight
}

// Course are the points until a chip stops, with one where it does: what follows
// is worked out as if it went on. They are all of the points where none stops, or
// one has stopped at the beginning.
func (x *Discharge) Course() []Point {
	stop := x.Ends.BrownOut
	i := sort.Search(len(x.Points), func(i int) bool { return !(x.Points[i].Hours < stop) })
	if math.IsNaN(stop) || i == 0 || i == len(x.Points) {
		return x.Points
	}
	return append(x.Points[:i:i], between(x.Points[i-1], x.Points[i], stop))
}

// between is the point at a time between two, straight.
func between(a, b Point, hours float64) Point {
	t := (hours - a.Hours) / (b.Hours - a.Hours)
	on := func(x, y float64) float64 { return x + t*(y-x) }
	p := Point{Hours: hours, ChargeLeft: on(a.ChargeLeft, b.ChargeLeft), Volts: on(a.Volts, b.Volts), Amps: on(a.Amps, b.Amps), Light: on(a.Light, b.Light), Left: map[string]float64{}}
	for ref := range a.Left {
		p.Left[ref] = on(a.Left[ref], b.Left[ref])
	}
	return p
}

// lightAt is the light after so many hours over the first light, straight
// between the points; none after the last.
func (x *Discharge) lightAt(hours float64) float64 {
	i := sort.Search(len(x.Points), func(i int) bool { return x.Points[i].Hours >= hours })
	switch {
	case i == len(x.Points):
		return 0
	case i == 0:
		return x.Points[0].Light
	}
	return between(x.Points[i-1], x.Points[i], hours).Light
}

// Brighter is how many times as bright a run is as another: at first, and at
// the time when the other is down to half its light, which is NaN where that
// never comes. It is false where one of them has no light.
func (x *Discharge) Brighter(other *Discharge) (first, then float64, ok bool) {
	if len(x.Points) == 0 || len(other.Points) == 0 || !(x.FirstLight > 0 && other.FirstLight > 0) {
		return missing, missing, false
	}
	first, then = x.FirstLight/other.FirstLight, missing
	if half := other.Ends.HalfLight; half > 0 {
		then = first * x.lightAt(half) / other.lightAt(half)
	}
	return first, then, true
}

// Brightness says in a sentence how bright the cells of two runs are beside each
// other, the brighter first; span writes hours. It is empty where one of them
// has no light, or where it does not hang on these cells.
func Brightness(a, b Course, span func(hours float64) string) string {
	if a.FirstLight < b.FirstLight {
		a, b = b, a
	}
	first, then, ok := a.Brighter(b.Discharge)
	if !ok || a.LitByOthers() {
		return ""
	}
	text := fmt.Sprintf("On %s it is %.3g times as bright as on %s at first", a.Cells, first, b.Cells)
	half := span(b.Ends.HalfLight)
	switch {
	case math.IsNaN(then):
		return text + "."
	case b.Ends.WithChip:
		return fmt.Sprintf("%s, and %.2g times after %s, when the light of the latter ends with the chip.", text, then, half)
	case then == 0:
		return fmt.Sprintf("%s; the former are spent when the latter are down to half their light after %s.", text, half)
	}
	return fmt.Sprintf("%s, and %.2g times after %s, when the latter are down to half their light.", text, then, half)
}
