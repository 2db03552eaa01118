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
	r.blank(ctx, c)
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
	o, err := newOperation(ctx, r, c, fixed)
	if err != nil {
		return err
	}
	if start != nil || near == nil || r.latches || !o.approach(near) {
		o.operate(start)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	found = append(found[:len(found):len(found)], o.faults...)
	r.Solved = !found.stop()
	if !r.Solved {
		r.blank(ctx, c)
		r.refused = c
	}
	return ctx.Err()
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
	for _, look := range []func(context.Context) faults{c.openPins, c.sourceFaults, c.strandedSources, c.floatingNets} {
		if ctx.Err() != nil {
			return fixed, found
		}
		found = append(found, look(ctx)...)
	}
	if !found.stop() {
		found = append(found, c.overloads(ctx)...)
	}
	return fixed, found
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

// accept reports a solution of the circuit's equations, if it is one and bears
// verification.
func (r *Result) accept(ctx context.Context, c *circuit, s *newton.Series, x newton.Point, stats newton.Stats) (found faults, solved bool) {
	r.Method, r.Iterations = stats.Method, r.Iterations+stats.Iterations
	if stats.Status != newton.Converged {
		return faults{{
			Text:  "no operating point was found in " + strconv.Itoa(r.Iterations) + " iterations; look for values that are out of proportion",
			Stops: true,
		}}, false
	}
	r.open = stats.Open
	within := r.report(ctx, c, x, stats.Open)
	if ctx.Err() != nil {
		return nil, false
	}
	if c.looseGates() {
		x, stats = s.Solve(ctx, x)
		return r.accept(ctx, c, s, x, stats)
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
