package analysis

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"copperglass/analysis/newton"
	"copperglass/model"
	"copperglass/model/net"
)

// Options say which operating point is wanted.
type Options struct {
	Mode  string        // name of a mode; empty for the first, if the drawing has any
	Set   model.Setting // quantities set over those of the drawing and the mode
	Start *Result       // an earlier result of much the same drawing to begin at, or nil

	// State is the number of the stable state that is wanted, where there are
	// several; 0 means the first, or with a Start the one near it. With a Start
	// and no State, the others are looked for only if a Survey is wanted.
	State  int
	Survey bool
	// Alone spares looking for them without a Start, too: one is had at once, and
	// Tracker.Survey finds the others when there is time.
	Alone bool
}

// Solve computes the operating point of d. What is wrong with the circuit is
// in the result's Faults; the error is of a mode that the drawing does not
// have, or the context's.
func Solve(ctx context.Context, d *model.Diagram, o Options) (*Result, error) {
	return new(memory).solve(ctx, d, o)
}

// memory is what is kept of one drawing for the next, which may differ little
// from it. The zero value is empty.
type memory struct {
	near  *Result // the last that was solved
	parts stock
	nets  *net.Netlist // of the drawing that comes next, where it has been built
	build net.Builder
}

func (m *memory) solve(ctx context.Context, d *model.Diagram, o Options) (*Result, error) {
	begin := time.Now()
	mode, err := chooseMode(d, o.Mode)
	if err != nil {
		return nil, err
	}
	nets := m.netlist(ctx, d)
	m.nets = nil
	if nets == nil {
		return nil, ctx.Err()
	}
	r := &Result{Nets: nets, Set: mode.Setting().With(o.Set)}
	if mode != nil {
		r.Mode = mode.Name
	}
	found := append(drawingFaultsUntil(ctx, d, r.Nets), straySettings(d, o.Set)...)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c, more := compileUntil(ctx, d, r.Nets, r.Set, &m.parts)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	found = append(found, more...)
	err = r.solve(ctx, c, found, o.Start, m.near)
	switch {
	case err != nil || !r.Solved:
	case r.latches:
		if o.Start == nil {
			o.Start = m.near.held()
		}
		r, err = r.latch(ctx, d, o)
	default:
		err = noState(o.State, 1)
	}
	if err != nil {
		return nil, err
	}
	r.Elapsed = time.Since(begin)
	return r, nil
}

// netlist returns that of d, nil where the context ended.
func (m *memory) netlist(ctx context.Context, d *model.Diagram) *net.Netlist {
	if m.nets == nil {
		m.nets = m.build.BuildUntil(d, func() bool { return ctx.Err() != nil })
	}
	return m.nets
}

// follow is netlist for a drawing that may only be laid out otherwise than the
// one of old.
func (m *memory) follow(ctx context.Context, d *model.Diagram, old *net.Netlist) *net.Netlist {
	m.nets = m.build.Follow(d, old, func() bool { return ctx.Err() != nil })
	return m.nets
}

func chooseMode(d *model.Diagram, name string) (*model.Mode, error) {
	if name == "" {
		if len(d.Modes) == 0 {
			return nil, nil
		}
		return d.Modes[0], nil
	}
	if m := d.Mode(name); m != nil {
		return m, nil
	}
	names := make([]string, len(d.Modes))
	for i, m := range d.Modes {
		names[i] = m.Name
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("there is no mode %q: the drawing has no modes", name)
	}
	return nil, fmt.Errorf("there is no mode %q; the drawing has %s", name, strings.Join(names, ", "))
}

// solve finds the operating point of c and reports it, with the faults found
// before and on the way. It begins at start, or else at near if that makes no
// difference; both may be nil.
func (r *Result) solve(ctx context.Context, c *circuit, found faults, start, near *Result) error {
	defer func() { r.Faults = found.sorted() }()
	r.blank(c)
	if found.stop() && len(c.parts) == 0 {
		return nil
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	fixed, found := c.examine(ctx, found)
	if err := ctx.Err(); err != nil || found.stop() {
		return err
	}
	r.notes = found
	if r.latches = len(c.feedbackUntil(ctx)) > 0; r.latches && start == nil {
		start = near.held()
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	more, done := r.approach(ctx, c, fixed, start, near)
	if !done {
		var err error
		if more, err = r.operate(ctx, c, fixed, start); err != nil {
			return err
		}
	}
	found = append(found[:len(found):len(found)], more...)
	r.Solved = !found.stop()
	if !r.Solved {
		r.blank(c)
		r.refused = c
	}
	return nil
}

// held returns r if it may be one of several stable states, in which the circuit
// then stays as the drawing changes, or else nil.
func (r *Result) held() *Result {
	if r == nil || !r.latches {
		return nil
	}
	return r
}

// examine chooses the references of the islands, and adds to the faults found
// before those that can be seen without a solution, or some of them where the
// context ends.
func (c *circuit) examine(ctx context.Context, found faults) (fixed []int, _ faults) {
	fixed, more := c.reference()
	found = append(found, more...)
	for _, look := range []func() faults{c.openPins, c.sourceFaults, c.strandedSources, c.floatingNets} {
		if ctx.Err() != nil {
			return fixed, found
		}
		found = append(found, look()...)
	}
	if !found.stop() {
		found = append(found, c.overloads()...)
	}
	return fixed, found
}

// approach finds the operating point from one of a similar circuit, and reports
// whether it did. It does not try where there is another start or several points
// may be near, and what it finds is not taken where leakage alone determines an
// unknown: where that ends depends on where it began. What hangs on little more
// than leakage is therefore begun from nothing, as it would be without near.
func (r *Result) approach(ctx context.Context, c *circuit, fixed []int, start, near *Result) (found faults, done bool) {
	if start != nil || near == nil || r.latches {
		return nil, false
	}
	system := newSystemUntil(ctx, c, fixed)
	if ctx.Err() != nil {
		return nil, false
	}
	series := newton.NewSeries(system, newton.Settings{Quick: true})
	found, done = r.accept(ctx, c, series, c.startAt(near))
	if done && len(r.open) == 0 {
		if loose := c.looseVoltages(); loose != nil {
			x := newton.NewPoint(c.unknowns)
			x.CopyFrom(r.point)
			for _, i := range loose {
				x.High[i], x.Low[i] = 0, 0
			}
			found, done = r.accept(ctx, c, series, x)
		}
	}
	if done = done && len(r.open) == 0; !done {
		c.floatGates() // as they are before anything is known
		r.Iterations = 0
	}
	return found, done
}

// operate finds the operating point of c and reports it, or says why there is
// none. Junctions in fixed are the references of their islands.
func (r *Result) operate(ctx context.Context, c *circuit, fixed []int, start *Result) (faults, error) {
	s := newSystemUntil(ctx, c, fixed)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	driven := c.hasCurrentSource()
	if driven {
		if found, ended := r.operateBriefly(ctx, c, s, start); ended {
			return found, ctx.Err()
		}
	}
	found, solved := r.accept(ctx, c, newton.NewSeries(s, newton.Settings{}), c.startAt(start))
	if solved || ctx.Err() != nil {
		return found, ctx.Err()
	}
	tried := r.giveWay(ctx, s, newton.Settings{})
	if more := c.overtaxed(tried); more != nil {
		return more, ctx.Err()
	}
	if n := len(tried); n > 0 {
		x := tried[n-1].x
		s.reachBeyond(x)
		found, _ = r.accept(ctx, c, newton.NewSeries(s, newton.Settings{}), x)
	}
	return found, ctx.Err()
}

// operateBriefly goes the short ways to a solution and then looks whether there
// is a current that nothing takes, which is found out soon that way. It reports
// whether that was the end.
func (r *Result) operateBriefly(ctx context.Context, c *circuit, s *system, start *Result) (found faults, ended bool) {
	found, solved := r.accept(ctx, c, newton.NewSeries(s, newton.Settings{Brief: true}), c.startAt(start))
	if solved || ctx.Err() != nil {
		return found, true
	}
	found = c.overtaxed(r.giveWay(ctx, s, newton.Settings{Brief: newton.IsLarge(s)}))
	return found, found != nil || ctx.Err() != nil
}

// hasCurrentSource reports whether something drives a current that does not
// depend on its voltage.
func (c *circuit) hasCurrentSource() bool {
	for _, p := range c.parts {
		for _, e := range p.elements {
			if s, ok := e.(*current); ok && !s.feeds && s.amps != 0 {
				return true
			}
		}
	}
	return false
}

// accept solves the circuit's equations and reports the solution, if that bears
// verification.
func (r *Result) accept(ctx context.Context, c *circuit, s *newton.Series, start newton.Point) (found faults, solved bool) {
	x, stats := s.Solve(ctx, start)
	r.Method, r.Iterations = stats.Method, r.Iterations+stats.Iterations
	if stats.Status != newton.Converged {
		return faults{{
			Text:  "no operating point was found in " + strconv.Itoa(r.Iterations) + " iterations; look for values that are out of proportion",
			Stops: true,
		}}, false
	}
	r.open = stats.Open
	if c.prepare(); ctx.Err() != nil {
		return nil, false
	}
	within := r.report(c, x, stats.Open)
	if ctx.Err() != nil {
		return nil, false
	}
	if c.looseGates() {
		return r.accept(ctx, c, s, x)
	}
	found = append(c.openFaults(stats.Open), r.verify(within)...)
	return found, !found.stop()
}

// startAt returns where the unknowns of c stand in an earlier result, for
// those that have their like there; an empty point without one.
func (c *circuit) startAt(r *Result) newton.Point {
	if r == nil || !r.Solved || r.circuit == nil {
		return newton.Point{}
	}
	old, x := r.circuit, newton.NewPoint(c.unknowns)
	carry := func(to, from int) {
		if to >= 0 && from >= 0 {
			x.High[to] = r.point.High[from]
		}
	}
	for _, p := range c.parts { // a net that came apart or grew together has another name
		if q := old.byRef[p.Ref]; q != nil && len(q.nets) == len(p.nets) {
			for i, n := range p.nets {
				carry(c.place[n], old.place[q.nets[i]])
			}
		}
	}
	number := make(map[string]int, len(old.nets.Nets))
	for i := range old.nets.Nets {
		number[old.nets.Nets[i].Name] = i
	}
	for i := range c.nets.Nets {
		if j, ok := number[c.nets.Nets[i].Name]; ok {
			carry(c.place[i], old.place[j])
		}
	}
	for _, p := range c.parts {
		q := old.byRef[p.Ref]
		if q == nil || len(q.elements) != len(p.elements) || q.inner != p.inner {
			continue
		}
		for i := range p.inner {
			carry(c.place[p.first+i], old.place[q.first+i])
		}
		for i, e := range p.elements {
			to, isBranch := e.(*branch)
			from, wasBranch := q.elements[i].(*branch)
			if isBranch && wasBranch {
				carry(to.j, from.j)
			}
		}
	}
	return x
}
