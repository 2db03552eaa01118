package whatif

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis"
	"copperglass/analysis/drain"
	"copperglass/model"
	"copperglass/model/quantity"
)

// LastsSuffix ends the name of how long a battery lasts as it is followed while
// it runs down: BT1.lasts, in hours.
const LastsSuffix = ".lasts"

// askedOfDrain is how many values are moved at most to see what they do to a
// discharge: each takes two.
const askedOfDrain = 24

// Lasting tells what sets how long a battery lasts, drain.Discharge.Lasts. The
// values that move the battery's current the most at the beginning are each moved
// both ways and the discharge is followed again. With t(p) for its hours,
//
//	d ln t/d ln p ≈ (t(p eʰ) − t(p e⁻ʰ))/(2 h t)
//
// A value of nought is moved to one unit, and one at an end of its range inwards
// only. The voltage and the resistance of a battery are among them where somebody
// has measured them; else they follow the cells' curve. What a measured voltage
// tells of the charge left is not moved for itself. progress is told of how many discharges are done; it
// may be nil. The list is empty where the circuit cannot be solved. The error is
// of what is no battery or is not the one that is followed, and of drain.Run.
func Lasting(ctx context.Context, d *model.Diagram, o drain.Options, ref string, progress func(done, all int)) (*Causes, error) {
	if p := d.Part(ref); p == nil || p.Kind != "battery" {
		return nil, fmt.Errorf("%s is no battery that could run down", ref)
	}
	flow, err := analysis.Influence(ctx, d, analysis.Options{Mode: o.Mode, Set: o.Set}, ref+".+.amps")
	if err != nil {
		return nil, err
	}
	c := &Causes{Influences: &analysis.Influences{Of: ref + LastsSuffix, Unit: quantity.Hour, Value: math.NaN(), Result: flow.Result}}
	if !flow.Result.Solved {
		return c, nil
	}
	l := &lasting{ctx: ctx, d: d, o: o, ref: ref, progress: progress}
	moves := l.moves(&Causes{Influences: flow})
	l.all = 1 + 2*len(moves)
	if c.Value, err = l.hours(nil); err != nil {
		return nil, err
	}
	for _, m := range moves {
		s, err := l.felt(m, c.Value)
		if err != nil {
			return nil, err
		}
		c.List = append(c.List, s)
	}
	slices.SortStableFunc(c.List, func(a, b analysis.Sensitivity) int {
		return cmp.Compare(math.Abs(b.Derivative*b.Value), math.Abs(a.Derivative*a.Value))
	})
	c.Sentence = c.levers(d)
	return c, ctx.Err()
}

// lasting is the work under way.
type lasting struct {
	ctx       context.Context
	d         *model.Diagram
	o         drain.Options
	ref       string
	progress  func(done, all int)
	done, all int
}

// hours is how long the battery lasts with one value set, or as it is.
func (l *lasting) hours(set model.Setting) (float64, error) {
	o := l.o
	o.Set = o.Set.With(set)
	hours, err := lastsWith(l.ctx, l.d, o, l.ref)
	if l.done++; l.progress != nil {
		l.progress(l.done, l.all)
	}
	return hours, err
}

// lastsWith is how many hours a battery lasts; NaN where the circuit cannot be
// solved.
func lastsWith(ctx context.Context, d *model.Diagram, o drain.Options, ref string) (float64, error) {
	run, err := drain.Run(ctx, d, o)
	if err != nil {
		return 0, err
	}
	if len(run.Faults) > 0 {
		return math.NaN(), nil
	}
	hours, ok := run.LastsOf(ref)
	if !ok {
		return 0, fmt.Errorf("%s is no battery that runs down here", ref)
	}
	return hours, nil
}

// trial is a value that is moved, by the logarithm of a ratio or, from nought,
// to one unit.
type trial struct {
	analysis.Sensitivity
	step     float64 // of the logarithm
	strength float64 // % by which it moves the current
}

// moves are the values to try: those that move the current the most, and what
// the batteries hold.
func (l *lasting) moves(flow *Causes) []trial {
	var list []trial
	for _, s := range flow.List {
		if t := l.trial(flow, s); t.strength > 0 {
			list = append(list, t)
		}
	}
	slices.SortStableFunc(list, func(a, b trial) int { return cmp.Compare(b.strength, a.strength) })
	return list[:min(len(list), askedOfDrain)]
}

// trial is how a value is moved; of no strength where it is not.
func (l *lasting) trial(flow *Causes, s analysis.Sensitivity) trial {
	const usual = 0.01 // of the logarithm: 1 %
	t := trial{s, usual, math.Abs(s.Relative)}
	ref, name, _ := strings.Cut(s.Parameter, ".")
	p := l.d.Part(ref)
	switch {
	case p == nil:
	case p.Kind == "battery":
		if t.strength = 0; l.told(p, name) {
			t.strength = math.Inf(1) // it counts though no current tells
		}
	case strings.HasSuffix(name, "temperature"):
		t.strength = 0
	case s.Value == 0 && p.Kind == "resistor":
		t.step, t.strength = 1, math.Abs(100*s.Derivative/flow.Value)
	case Inner(p.Kind, name) && name == "saturation_current":
		t.step, t.strength = math.Abs(s.Relative), 0
		if j, ok := flow.Curve(l.d, ref); ok && s.Relative != 0 { // 1 % of the junction's voltage
			t.step, t.strength = usual*math.Abs(j.Percent/s.Relative), math.Abs(j.Percent)
		}
	}
	if s.Value <= 0 && t.step == usual || math.IsNaN(t.strength) {
		t.strength = 0
	}
	return t
}

// told reports whether a battery's quantity tells how the run begins.
func (l *lasting) told(p *model.Part, name string) bool {
	switch name {
	case "charge_left":
		return !drain.Gauged(p, l.o.Set)
	case "voltage", "resistance":
		return !l.o.New && (p.Params[name].IsSet() || l.o.Set[p.Ref][name].IsSet())
	}
	return false
}

// levers say which of the values moves the hours most, a junction's voltage
// among them, and what a resistor in the place of a link would do.
func (c *Causes) levers(d *model.Diagram) string {
	best, text := 0.01, ""
	say := func(ref, name string, percent float64) {
		if math.Abs(percent) >= best {
			best = math.Abs(percent)
			text = fmt.Sprintf("The strongest lever is %s’s %s: 1 %% more of it makes %s.", ref, strings.ReplaceAll(name, "_", " "), hoursWords(percent))
		}
	}
	link, linked := 0.0, ""
	for _, s := range c.List {
		ref, name, _ := strings.Cut(s.Parameter, ".")
		p := d.Part(ref)
		switch {
		case p == nil || strings.HasSuffix(name, "temperature"):
		case s.Value == 0:
			if x := 100 * s.Derivative / c.Value; math.Abs(x) > link {
				link = math.Abs(x)
				linked = fmt.Sprintf(" 1 Ω in the place of the link %s would make %s.", ref, hoursWords(x))
			}
		case Inner(p.Kind, name):
			if j, ok := c.Curve(d, ref); ok {
				say(ref, j.Name, j.Percent)
			}
		default:
			say(ref, name, s.Relative)
		}
	}
	return strings.TrimSpace(text + linked)
}

// hoursWords are "0.36 % fewer hours".
func hoursWords(percent float64) string {
	more := "more"
	if percent < 0 {
		more = "fewer"
	}
	return quantity.Short(math.Abs(percent), quantity.None) + " % " + more + " hours"
}

// felt is what moving a value does to the hours.
func (l *lasting) felt(t trial, hours float64) (analysis.Sensitivity, error) {
	s := t.Sensitivity
	low, high := l.ends(t)
	before, err := l.at(s.Parameter, low)
	if err != nil {
		return s, err
	}
	after, err := l.at(s.Parameter, high)
	if err != nil {
		return s, err
	}
	if s.Value == 0 {
		s.Derivative, s.Relative = (after-before)/(high-low), math.NaN()
		return s, nil
	}
	s.Relative = (after - before) / math.Log(high/low) / hours
	s.Derivative = s.Relative * hours / s.Value
	return s, nil
}

func (l *lasting) at(parameter string, x float64) (float64, error) {
	ref, name, _ := strings.Cut(parameter, ".")
	return l.hours(model.Setting{ref: {name: model.Number(x)}})
}

// ends are the values on both sides, within the range of what is moved.
func (l *lasting) ends(t trial) (low, high float64) {
	if t.Value == 0 {
		return 0, t.step
	}
	low, high = t.Value*math.Exp(-t.step), t.Value*math.Exp(t.step)
	if q, err := param(l.d, t.Parameter); err == nil && (q.Min != 0 || q.Max != 0) {
		low, high = max(low, min(q.Min, t.Value)), min(high, max(q.Max, t.Value))
	}
	return low, high
}
