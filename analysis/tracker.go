package analysis

import (
	"context"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// Tracker follows the operating point of one drawing while values move. It
// keeps the compiled circuit and the solver's analysis of it.
type Tracker struct {
	diagram *model.Diagram
	options Options
	result  *Result
	series  *newton.Series // nil where the circuit has to be compiled anew
	system  *system
}

// Track solves d and sets up to follow it. The errors are those of Solve.
func Track(ctx context.Context, d *model.Diagram, o Options) (*Tracker, error) {
	o.Set = model.Setting{}.With(o.Set)
	t := &Tracker{diagram: d, options: o}
	return t, t.anew(ctx)
}

// Result returns the operating point. It is the tracker's own and changes with
// the next value that moves.
func (t *Tracker) Result() *Result { return t.result }

// anew compiles and solves the drawing with what is set.
func (t *Tracker) anew(ctx context.Context) error {
	r, err := Solve(ctx, t.diagram, t.options)
	if err != nil {
		return err
	}
	t.result, t.options.Start, t.series = r, r, nil
	if r.Solved {
		fixed, _ := r.circuit.reference()
		t.system = newSystem(r.circuit, fixed)
		t.series = newton.NewSeries(t.system, newton.Settings{})
	}
	return nil
}

// Move sets a quantity of the part called ref over whatever the drawing and
// the mode say and solves again. Where only constants of the part's equation
// change, that takes little more than the solution itself. The error is the
// context's.
func (t *Tracker) Move(ctx context.Context, ref, name string, v model.Value) error {
	t.options.Set.Set(ref, name, v)
	if t.series == nil {
		return t.anew(ctx)
	}
	p := t.result.circuit.byRef[ref]
	t.result.Set.Set(ref, name, v)
	if p == nil || len(p.ideal) > 0 || p.leftOpen || !t.change(p) || !t.solve(ctx) {
		if err := ctx.Err(); err != nil {
			return err
		}
		return t.anew(ctx)
	}
	return nil
}

// change puts the part's constants as they are now into the circuit. It fails
// where they make other elements of the part.
func (t *Tracker) change(p *part) bool {
	values, problems := t.diagram.Resolve(p.Part, t.result.Set)
	if p.kind.Equation == nil || len(problems) > 0 || len(p.kind.Missing(values)) > 0 {
		return false
	}
	equation := p.kind.Equation(p.Part, values)
	if len(equation) != len(p.elements) {
		return false
	}
	for i, e := range equation {
		like, ok := withConstants(p.elements[i], e, float64(p.Multiple()))
		if !ok || isSenseless(e) {
			return false
		}
		p.elements[i] = like
	}
	p.values = values
	return true
}

func (t *Tracker) solve(ctx context.Context) bool {
	r := t.result
	t.system.highest = r.circuit.highest()
	x, stats := t.series.Solve(ctx, r.point)
	if stats.Status != newton.Converged {
		return false
	}
	r.Method, r.Iterations = stats.Method, stats.Iterations
	return len(stats.Open) == 0 && !r.verify(r.report(r.circuit, x, nil)).stop()
}
