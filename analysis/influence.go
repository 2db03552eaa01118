package analysis

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"copperglass/analysis/newton"
	"copperglass/analysis/sparse"
	"copperglass/model"
	"copperglass/model/quantity"
)

// Sensitivity is how a quantity of a circuit moves with one parameter.
type Sensitivity struct {
	Parameter  string        // REF.NAME, or drawing.NAME
	Unit       quantity.Unit // of the parameter
	Value      float64       // of the parameter, SI
	Derivative float64       // of the quantity by the parameter, SI
	Relative   float64       // % change of the quantity for +1 % of the parameter; NaN where the quantity is 0
}

// Influences tell what sets a quantity.
type Influences struct {
	Of     string
	Unit   quantity.Unit // of the quantity
	Value  float64       // of the quantity, SI; NaN where the circuit is not solved
	Result *Result       // the operating point they hold at, with its faults
	List   []Sensitivity // the strongest first: by what 1 % of each parameter does
}

// Influence solves d and differentiates a quantity, named as for Quantity, or
// how long a battery lasts, REF.run_time_hours, by
// every parameter that the equations of the parts contain, all at once by the
// adjoint of the linearised circuit (S. W. Director and R. A. Rohrer, IEEE
// Trans. Circuit Theory 16, 1969). With F(x, p) = 0 for the equations and
// Q(x) for the quantity,
//
//	F'(x)ᵀ λ = ∂Q/∂x,  dQ/dp = −λ · ∂F/∂p
//
// The derivatives by parameters of transistors and diodes are good to about
// nine digits. A parameter at an end of its range is moved inwards only.
//
// The list is empty where the circuit cannot be solved: see Result.Faults. The
// error is of a quantity that does not exist or that nothing determines, of a
// mode that the drawing does not have, or the context's.
func Influence(ctx context.Context, d *model.Diagram, o Options, name string) (*Influences, error) {
	if ref, ok := strings.CutSuffix(name, runTimeSuffix); ok {
		return influenceOnRunTime(ctx, d, o, ref)
	}
	if ref, what, _ := strings.Cut(name, "."); d.Part(ref) == nil && Stack(d, ref) != nil {
		return influenceOnOne(ctx, d, o, name, Stack(d, ref), what)
	}
	list, err := InfluenceAll(ctx, d, o, []string{name}, isGradual)
	if len(list) == 0 {
		return nil, err
	}
	return list[0], err
}

// InfluenceAll is Influence for several quantities of one operating point, named
// as for Quantity, and the parameters that are wanted. It takes little more time
// than for one: what a parameter does to the equations does not depend on the
// quantity, and each quantity takes one more transposed solve. The errors of
// quantities are joined; of such the list is empty.
func InfluenceAll(ctx context.Context, d *model.Diagram, o Options, names []string, wanted func(parameter string) bool) ([]*Influences, error) {
	r, err := Solve(ctx, d, o)
	if err != nil {
		return nil, err
	}
	all := make([]*Influences, len(names))
	for i, name := range names {
		all[i] = &Influences{Of: name, Value: math.NaN(), Result: r}
	}
	if !r.Solved {
		return all, nil
	}
	return all, r.influence(ctx, d, all, wanted)
}

// influenceOnOne tells what sets a quantity of one part of a stack: of currents
// and powers it has its share.
func influenceOnOne(ctx context.Context, d *model.Diagram, o Options, name string, p *model.Part, what string) (*Influences, error) {
	all, err := Influence(ctx, d, o, p.Ref+"."+what)
	if err != nil {
		return all, err
	}
	n := shares(p, what)
	all.Of, all.Value = name, all.Value/n
	for i := range all.List {
		all.List[i].Derivative /= n
	}
	return all, nil
}

// whole returns r, or where only its figures are kept the same operating point of
// d found again, nil where there is none.
func (r *Result) whole(d *model.Diagram) *Result {
	switch {
	case !r.Solved:
		return nil
	case r.circuit != nil:
		return r
	}
	again, err := Solve(context.Background(), d, Options{Mode: r.Mode, Set: r.Set})
	if err != nil || !again.Solved {
		return nil
	}
	for _, one := range append([]*Result{again}, again.Others...) {
		if len(one.Volts) == len(r.Volts) && isAmong(one, []*Result{r}) {
			return one
		}
	}
	return nil
}

// isGradual reports whether a parameter is something of which there can be 1 %
// more: not a number of cells, nor the temperature at which a handbook's values
// hold.
func isGradual(parameter string) bool {
	name := parameter[strings.LastIndexByte(parameter, '.')+1:]
	return name != "cells" && name != "reference_temperature"
}

// influence differentiates the quantities by the wanted parameters.
func (r *Result) influence(ctx context.Context, d *model.Diagram, all []*Influences, wanted func(parameter string) bool) error {
	var errs []error
	var probes []probe
	var known []*Influences // those with a probe
	for _, one := range all {
		p, err := one.read(r, d)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		probes, known = append(probes, p), append(known, one)
	}
	if len(probes) == 0 {
		return errors.Join(errs...)
	}
	t, err := newTangent(d, r, probes...)
	if t == nil {
		return errors.Join(append(errs, err)...)
	}
	lists, ended := t.differentiate(ctx, wanted)
	if ended != nil {
		return ended
	}
	for i, one := range known {
		one.List = ranked(lists[i], one.Value)
	}
	return errors.Join(append(errs, err)...)
}

// read fills in the quantity's value and returns its probe.
func (all *Influences) read(r *Result, d *model.Diagram) (probe, error) {
	g, err := NewGauge(r, d, all.Of)
	if err != nil {
		return probe{}, err
	}
	all.Unit, all.Value = g.Unit, g.Read(r)
	if math.IsNaN(all.Value) {
		return probe{}, fmt.Errorf("nothing determines %s", all.Of)
	}
	return r.probe(d, all.Of)
}

// ranked adds how many % of the quantity's value 1 % of each parameter moves it
// by, and puts the strongest first.
func ranked(list []Sensitivity, value float64) []Sensitivity {
	for i := range list {
		list[i].Relative = list[i].Derivative * list[i].Value / value
		if value == 0 {
			list[i].Relative = math.NaN()
		}
	}
	slices.SortStableFunc(list, func(a, b Sensitivity) int {
		if order := cmp.Compare(math.Abs(b.Derivative*b.Value), math.Abs(a.Derivative*a.Value)); order != 0 {
			return order
		}
		return model.NaturalCompare(a.Parameter, b.Parameter)
	})
	return list
}

// tangent is a circuit linearised about its operating point, with a meter in
// the leads whose currents are asked for. It is not the circuit that was
// solved: no resistance in it is exactly nought, so that each is in an equation
// that it can be differentiated in, and each current through it is an unknown.
type tangent struct {
	diagram  *model.Diagram
	set      model.Setting
	probes   []probe
	meters   map[string][]string // by part: the leads with meters in them
	owned    map[string][]int    // by part: the probes that are parameters of it
	circuit  *circuit
	x        newton.Point
	eq       newton.Equations
	adjoints []newton.Point // λ by probe; empty of one that nothing determines
	// bypassed are the links that have others beside them.
	bypassed map[*branch]bool
}

// newTangent fails with a tangent for the other probes where nothing determines
// some, and with none where it leaves too much open.
func newTangent(d *model.Diagram, r *Result, probes ...probe) (*tangent, error) {
	t := &tangent{diagram: d, set: r.Set, probes: probes, meters: map[string][]string{}, owned: map[string][]int{}}
	for i := range probes {
		t.attach(i)
	}
	carried := t.build(r.circuit)
	t.bypassed = t.circuit.bypassed()
	fixed, _ := t.circuit.reference()
	sys := newSystem(t.circuit, fixed)
	t.x = newton.NewPoint(t.circuit.unknowns)
	t.carry(r, carried)
	n := sys.Size()
	pattern := sparse.NewPattern(n)
	sys.Pattern(pattern)
	t.eq = newton.Equations{Residual: make([]float64, n), Terms: make([]float64, n), Slopes: pattern.Matrix()}
	sys.Evaluate(t.x, newton.Aid{}, &t.eq)
	lu, held, err := factor(t.eq.Slopes)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", probes[0].name, err)
	}
	t.fillCurrents(lu)
	t.adjoints = make([]newton.Point, len(probes))
	var errs []error
	for i := range probes {
		gradient, err := t.gradient(&probes[i], r, held)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		t.adjoints[i] = solveAdjoint(lu, t.eq.Slopes, held, gradient)
	}
	return t, errors.Join(errs...)
}

// attach puts the meters of a probe where there are none yet.
func (t *tangent) attach(i int) {
	p := &t.probes[i]
	for _, pin := range p.pins {
		if !slices.Contains(t.meters[p.ref], pin) {
			t.meters[p.ref] = append(t.meters[p.ref], pin)
		}
	}
	if p.own != "" {
		t.owned[p.ref] = append(t.owned[p.ref], i)
	}
}

// fillCurrents sets the currents of the branches, in which the equations are
// linear, by one step of Newton's method.
func (t *tangent) fillCurrents(lu *sparse.LU) {
	step := make([]float64, len(t.eq.Residual))
	lu.SolveTo(step, t.eq.Residual)
	for j := t.circuit.voltages; j < t.circuit.unknowns; j++ {
		t.x.High[j] -= step[j]
	}
}

const drawingTemperature = model.Drawing + ".temperature"

// differentiate returns the influences of the wanted parameters by probe, in no
// order, without Relative.
func (t *tangent) differentiate(ctx context.Context, wanted func(string) bool) ([][]Sensitivity, error) {
	lists := make([][]Sensitivity, len(t.probes))
	warm := slopes{make([]float64, len(t.probes)), make([]bool, len(t.probes))}
	temperature := model.DrawingParam("temperature")
	kelvin := drawingQuantity(t.set, t.diagram, temperature)
	isWarm := wanted(drawingTemperature) && !math.IsNaN(kelvin)
	for _, p := range t.circuit.parts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if p.leftOpen {
			continue
		}
		m := t.newMover(p)
		for i := range p.kind.Params {
			q := &p.kind.Params[i]
			x, ok := p.values[q.Name].Num()
			if !ok || q.Type() != model.NumberType {
				continue
			}
			if name := p.Ref + "." + q.Name; wanted(name) {
				m.slopes(q, x, p.Ref).collect(lists, Sensitivity{Parameter: name, Unit: q.Unit, Value: x})
			}
		}
		if isWarm {
			warm.add(m.slopes(temperature, kelvin, model.Drawing))
		}
	}
	warm.collect(lists, Sensitivity{Parameter: drawingTemperature, Unit: temperature.Unit, Value: kelvin})
	return lists, nil
}
