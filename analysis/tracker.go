package analysis

import (
	"context"
	"math"
	"slices"
	"time"

	"copperglass/analysis/newton"
	"copperglass/model"
)

// Move is a quantity of a part, or of the drawing, that is set over whatever
// the drawing and the mode say.
type Move struct {
	Ref, Name string
	Value     model.Value
}

// Tracker follows the operating point of one drawing while values move. It
// keeps the compiled circuit and the solver's analysis of it, writes new
// constants into the elements of the parts that moved, and begins Newton's
// method at the present operating point. A circuit with several stable states
// therefore stays in the one it is in for as long as that lasts.
//
// What it finds is checked against Kirchhoff's laws like any other solution.
// Where a move makes another circuit of the drawing (a switch closes, a
// resistance becomes 0 Ω, a chip's output is let go), or no solution is near,
// the drawing is compiled and solved anew from the present operating point;
// Compiled tells how often. So is a circuit whose transistors may hold each other
// where the solution that is near is none in which it stays. What other states
// there are is not looked for.
type Tracker struct {
	diagram  *model.Diagram
	options  Options
	result   *Result
	memory   memory
	compiled int
	usable   bool           // whether result has a circuit of the drawing's form
	series   *newton.Series // solves that circuit; nil before the first move
	system   *system
	at       newton.Point // the operating point
	home     newton.Point // where each solution begins; empty for at
	open     []bool       // by net: whether nothing determines its voltage
	ideal    bool         // whether a source is without resistance
	moving   map[string]*moving
	due      []*moving
	work     constants
	kept     *Result      // what Keep returned last, while its figures hold
	summary  *ModeSummary // of those
	relaid   bool         // whether the drawing is laid out otherwise since
	// disturbance tells whether the operating point is stable, where that is a
	// question; nil before the first.
	disturbance *disturbance
	was, is     *newton.Equations // what the parts that are due had to do with them, and have
}

// moving is a part whose values may move.
type moving struct {
	part     *part
	resolver *model.Resolver
	problems []string // that were named when the drawing was compiled
	steady   bool     // whether no other value of it can change the faults
	due      bool     // whether it is among those to be looked at
	put      bool     // whether the resolver has what was set since
}

// Track solves d and sets up to follow it, from the state that is wanted where
// there are several. The errors are those of Solve.
func Track(ctx context.Context, d *model.Diagram, o Options) (*Tracker, error) {
	o.Set = model.Setting{}.With(o.Set)
	t := &Tracker{diagram: d, options: o}
	return t, t.anew(ctx)
}

// Result returns the operating point. It is the tracker's own and changes with
// the next move; Keep and Clone keep it. After an error it is not to be used.
func (t *Tracker) Result() *Result { return t.result }

// Keep returns the operating point as Clone does. What is returned is not to be
// changed: for as long as parts and wires only lie elsewhere, all share their
// figures.
func (t *Tracker) Keep() *Result {
	switch {
	case t.kept == nil:
		t.kept, t.summary = t.result.Clone(), nil
	case t.relaid:
		c := *t.kept
		c.Nets, c.Faults, c.Elapsed = t.result.Nets, slices.Clone(t.result.Faults), t.result.Elapsed
		t.kept = &c
	}
	t.relaid = false
	return t.kept
}

// Summary is Summarise for what Keep returned last. It is shared in the same way.
func (t *Tracker) Summary() ModeSummary {
	if t.summary == nil {
		s := Summarise(t.diagram, t.kept)
		t.summary = &s
	}
	m := *t.summary
	m.Result = t.kept
	return m
}

// Compiled returns how often the drawing has been compiled.
func (t *Tracker) Compiled() int { return t.compiled }

// Move sets quantities and solves again. Where only constants in the equations
// of parts change, that takes little more than the solution itself, and once
// each quantity has moved before, it allocates nothing (but for a lamp's law,
// and where nets float for want of leakage). The error is the context's; what
// was set remains set.
func (t *Tracker) Move(ctx context.Context, moves ...Move) error {
	for i := range moves {
		t.set(&moves[i])
	}
	return t.follow(ctx)
}

// follow solves the drawing with what is set, warm if that can be.
func (t *Tracker) follow(ctx context.Context) error {
	if t.resume(ctx) {
		return nil
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return t.anew(ctx)
}

// anew compiles and solves the drawing with what is set.
func (t *Tracker) anew(ctx context.Context) error {
	t.usable, t.series, t.disturbance, t.was, t.is, t.due, t.kept = false, nil, nil, nil, nil, t.due[:0], nil
	if len(t.home.High) > 0 {
		t.memory.near = nil
	}
	r, err := t.memory.solve(ctx, t.diagram, t.options)
	if err != nil {
		return err
	}
	t.compiled++
	t.result, t.moving = r, make(map[string]*moving)
	if !r.Solved {
		return nil
	}
	t.memory.near = r
	t.usable = r.canBeFollowed()
	t.options.Start, t.options.State = nil, 0
	if r.latches {
		t.options.Start = r
	}
	t.at = r.point
	t.open = openNets(r)
	t.ideal = slices.ContainsFunc(r.circuit.parts, func(p *part) bool { return len(p.ideal) > 0 })
	return nil
}

// canBeFollowed reports whether there is a circuit to go on with.
func (r *Result) canBeFollowed() bool { return r.Solved }

func openNets(r *Result) []bool {
	open := make([]bool, len(r.Volts))
	for i, v := range r.Volts {
		open[i] = math.IsNaN(v)
	}
	return open
}

// set puts one value into the setting and notes which parts that concerns.
func (t *Tracker) set(m *Move) {
	if !t.usable {
		t.options.Set.Set(m.Ref, m.Name, m.Value)
		return
	}
	// What was said of a part before tells whether that can change.
	p := t.expect(m.Ref)
	if _, known := t.options.Set[m.Ref][m.Name]; !known && t.isStray(m) {
		t.usable = false
	}
	t.options.Set.Set(m.Ref, m.Name, m.Value)
	t.result.Set.Set(m.Ref, m.Name, m.Value)
	if p != nil {
		p.put = p.put && len(p.problems) == 0 && p.resolver.Put(m.Name, m.Value)
	}
}

// isStray reports whether there is nothing of that name to be set.
func (t *Tracker) isStray(m *Move) bool {
	var drawn *model.Part
	if p := t.result.circuit.byRef[m.Ref]; p != nil {
		drawn = p.Part
	}
	return strayQuantity(drawn, m.Ref, m.Name) != ""
}

// expect makes the part called ref due and returns it, or all for a quantity of
// the drawing.
func (t *Tracker) expect(ref string) *moving {
	if ref != model.Drawing {
		return t.part(ref)
	}
	for _, p := range t.diagram.Parts {
		if t.result.circuit.byRef[p.Ref] != nil {
			t.part(p.Ref).put = false
		}
	}
	return nil
}

// part makes one part due and returns it, nil where there is none.
func (t *Tracker) part(ref string) *moving {
	m := t.moving[ref]
	if m == nil {
		p := t.result.circuit.byRef[ref]
		if p == nil {
			t.usable = false
			return nil
		}
		m = t.newMoving(p)
		t.moving[ref] = m
	}
	if !m.due {
		m.due, m.put = true, true
		t.due = append(t.due, m)
	}
	return m
}

func (t *Tracker) newMoving(p *part) *moving {
	m := &moving{part: p, resolver: model.NewResolver(t.diagram, p.Part)}
	_, m.problems = m.resolver.Resolve(t.result.Set)
	m.steady = !p.leftOpen && !t.result.circuit.dependsOnValues(p)
	return m
}

// dependsOnValues reports whether a part's values decide what faults there are:
// those of a source that is shorted, or of one whose current has to come back
// by way of others.
func (c *circuit) dependsOnValues(p *part) bool {
	if isSource(p) && c.junction(p, "+") == c.junction(p, "-") {
		return true
	}
	return slices.ContainsFunc(p.elements, func(e element) bool {
		s, ok := e.(*current)
		return ok && !s.idle && c.islands.Find(s.a.node) != c.islands.Find(s.b.node)
	})
}

// resume solves the circuit at hand with the values as they are now. It fails
// where that is not the drawing's circuit any more, or has no solution near.
func (t *Tracker) resume(ctx context.Context) bool {
	begin := time.Now()
	t.kept = nil
	if !t.change() {
		t.usable = false
		return false
	}
	return t.solve(ctx, begin)
}

// change puts the constants of the parts that are due into the circuit and,
// where they are few, their terms into the equations at the operating point.
func (t *Tracker) change() bool {
	fits := t.usable
	eq := t.revise()
	if eq != nil {
		t.load(t.was)
	}
	for _, m := range t.due {
		m.due = false
		fits = fits && t.changePart(m)
	}
	if fits && eq != nil {
		t.load(t.is)
		eq.Replace(t.was, t.is)
	}
	t.due = t.due[:0]
	return fits
}

// few is the share of the parts up to which loading some twice is less work
// than loading all once.
const few = 0.25

// revise returns the equations at the operating point, nil where they are not
// worth bringing up to date.
func (t *Tracker) revise() *newton.Equations {
	if !t.usable || t.series == nil || len(t.home.High) > 0 || float64(len(t.due)) > few*float64(len(t.diagram.Parts)) {
		return nil
	}
	eq := t.series.Revise()
	if eq != nil && t.was == nil {
		t.was, t.is = eq.Scratch(), eq.Scratch()
	}
	return eq
}

// load evaluates the parts that are due at the operating point.
func (t *Tracker) load(eq *newton.Equations) {
	eq.Clear()
	s := &t.system.at
	*s = state{t.at, newton.Aid{}, eq}
	for _, m := range t.due {
		for _, e := range m.part.elements {
			e.load(s)
		}
	}
	eq.Close()
}

func (t *Tracker) changePart(m *moving) bool {
	if !m.put {
		if _, problems := m.resolver.Resolve(t.result.Set); !slices.Equal(problems, m.problems) {
			return false
		}
	}
	values := m.resolver.Values()
	m.part.values = values
	return m.steady && len(m.part.kind.Missing(values)) == 0 && t.work.change(m.part, values)
}

// solve finds and verifies the operating point. It is not taken where other
// nets float, or where a junction carries so much that a source without
// resistance may be shorted by it: then a fresh look is due.
func (t *Tracker) solve(ctx context.Context, begin time.Time) bool {
	r := t.result
	if t.series == nil {
		fixed, _ := r.circuit.reference()
		t.system = newSystem(r.circuit, fixed)
		t.series = newton.NewSeries(t.system, newton.Settings{})
	}
	t.system.highest = r.circuit.highest()
	start := t.at
	if len(t.home.High) > 0 {
		start = t.home
	}
	x, stats := t.series.Solve(ctx, start)
	if stats.Status != newton.Converged {
		return false
	}
	r.open = stats.Open
	within := r.report(ctx, r.circuit, x, stats.Open)
	if ctx.Err() != nil {
		return false
	}
	sound := !r.verify(within).stop() && t.sameOpen() && !(t.ideal && r.largestCurrent(within) >= tooMuch)
	if sound && r.latches {
		sound = t.isStable(ctx, x)
		r.Number, r.Others = 0, nil // which were other states of the former circuit
	}
	r.point = t.at
	if sound {
		t.at.CopyFrom(x)
		r.Method, r.Iterations, r.Elapsed = stats.Method, stats.Iterations, time.Since(begin)
	}
	return sound
}

// isStable reports whether the circuit, whose transistors may hold each other,
// stays at x.
func (t *Tracker) isStable(ctx context.Context, x newton.Point) bool {
	if t.disturbance == nil {
		t.disturbance = newDisturbance(t.system)
	}
	return !t.disturbance.grows(ctx, x) && t.disturbance.swings(ctx) == t.result.swings && ctx.Err() == nil
}

func (t *Tracker) sameOpen() bool {
	for i, v := range t.result.Volts {
		if t.open[i] != math.IsNaN(v) {
			return false
		}
	}
	return true
}

// largestCurrent returns the largest current into any pin, or within if that is
// larger, in amperes.
func (r *Result) largestCurrent(within float64) float64 {
	for _, q := range r.ordered {
		for _, pin := range q.Pins {
			within = max(within, math.Abs(pin.Amps))
		}
	}
	return within
}

// Clone returns a copy that stays as it is when the tracker goes on. It holds
// the figures only: as Options.Start it is as good as none.
func (r *Result) Clone() *Result {
	c := *r
	c.Set = model.Setting{}.With(r.Set)
	c.Volts, c.Faults = slices.Clone(r.Volts), slices.Clone(r.Faults)
	c.Parts = make(map[string]*PartResult, len(r.Parts))
	for ref, p := range r.Parts {
		q := *p
		q.Pins, q.Figures = slices.Clone(p.Pins), slices.Clone(p.Figures)
		c.Parts[ref] = &q
	}
	c.circuit, c.point, c.ordered = nil, newton.Point{}, nil
	return &c
}
