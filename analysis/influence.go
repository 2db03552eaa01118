package analysis

import (
	"cmp"
	"context"
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
	r, err := Solve(ctx, d, o)
	if err != nil {
		return nil, err
	}
	all := &Influences{Of: name, Value: math.NaN(), Result: r}
	if !r.Solved {
		return all, nil
	}
	g, err := NewGauge(r, d, name)
	if err != nil {
		return all, err
	}
	all.Unit = g.Unit
	all.Value, all.List, err = r.influences(ctx, d, name, isGradual)
	return all, err
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

// isGradual reports whether a parameter is something of which there can be 1 %
// more: not a number of cells, nor the temperature at which a handbook's values
// hold.
func isGradual(parameter string) bool {
	name := parameter[strings.LastIndexByte(parameter, '.')+1:]
	return name != "cells" && name != "reference_temperature"
}

// influences differentiates by the wanted parameters.
func (r *Result) influences(ctx context.Context, d *model.Diagram, name string, wanted func(parameter string) bool) (float64, []Sensitivity, error) {
	value, err := Quantity(r, d, name)
	if err != nil {
		return 0, nil, err
	}
	if math.IsNaN(value) {
		return 0, nil, fmt.Errorf("nothing determines %s", name)
	}
	probe, err := r.probe(d, name)
	if err != nil {
		return 0, nil, err
	}
	t, err := newTangent(d, r, probe)
	if err != nil {
		return 0, nil, err
	}
	list, err := t.differentiate(ctx, wanted)
	if err != nil {
		return 0, nil, err
	}
	return value, ranked(list, value), nil
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
	diagram *model.Diagram
	set     model.Setting
	probe   probe
	circuit *circuit
	x       newton.Point
	eq      newton.Equations
	adjoint newton.Point // λ
	// bypassed are the links that have others beside them.
	bypassed map[*branch]bool
}

func newTangent(d *model.Diagram, r *Result, p probe) (*tangent, error) {
	t := &tangent{diagram: d, set: r.Set, probe: p}
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
		return nil, fmt.Errorf("%s: %w", p.name, err)
	}
	t.fillCurrents(lu)
	gradient, err := t.gradient(r, held)
	if err != nil {
		return nil, err
	}
	t.adjoint = solveAdjoint(lu, t.eq.Slopes, held, gradient)
	return t, nil
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

// differentiate returns the influences of the wanted parameters, in no order,
// without Relative.
func (t *tangent) differentiate(ctx context.Context, wanted func(string) bool) ([]Sensitivity, error) {
	var list []Sensitivity
	for _, p := range t.circuit.parts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for i := range p.kind.Params {
			if q := &p.kind.Params[i]; wanted(p.Ref + "." + q.Name) {
				list = append(list, t.byPart(p, q)...)
			}
		}
	}
	if wanted(drawingTemperature) {
		list = append(list, t.byDrawing()...)
	}
	return list, nil
}

func (t *tangent) byPart(p *part, q *model.Param) []Sensitivity {
	x, ok := p.values[q.Name].Num()
	if !ok || q.Type() != model.NumberType {
		return nil
	}
	slope, effective := t.slope(p, q, x, p.Ref)
	if !effective {
		return nil
	}
	return []Sensitivity{{Parameter: p.Ref + "." + q.Name, Unit: q.Unit, Value: x, Derivative: slope}}
}

const drawingTemperature = model.Drawing + ".temperature"

// byDrawing returns the influence of the drawing's temperature.
func (t *tangent) byDrawing() []Sensitivity {
	q := model.DrawingParam("temperature")
	x := drawingQuantity(t.set, t.diagram, q)
	if math.IsNaN(x) {
		return nil
	}
	total, effective := 0.0, false
	for _, p := range t.circuit.parts {
		slope, matters := t.slope(p, q, x, model.Drawing)
		total += slope
		effective = effective || matters
	}
	if !effective {
		return nil
	}
	return []Sensitivity{{Parameter: drawingTemperature, Unit: q.Unit, Value: x, Derivative: total}}
}
