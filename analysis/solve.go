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
}

// Solve computes the operating point of d. What is wrong with the circuit is
// in the result's Faults; the error is of a mode that the drawing does not
// have, or the context's.
func Solve(ctx context.Context, d *model.Diagram, o Options) (*Result, error) {
	begin := time.Now()
	mode, err := chooseMode(d, o.Mode)
	if err != nil {
		return nil, err
	}
	nets := net.BuildUntil(d, func() bool { return ctx.Err() != nil })
	if nets == nil {
		return nil, ctx.Err()
	}
	r := &Result{Nets: nets, Set: mode.Setting().With(o.Set)}
	if mode != nil {
		r.Mode = mode.Name
	}
	found := append(drawingFaults(d, r.Nets), straySettings(d, o.Set)...)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c, more := compileUntil(ctx, d, r.Nets, r.Set)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	found = append(found, more...)
	err = r.solve(ctx, c, found, o.Start)
	if err == nil && r.Solved {
		r, err = r.latch(ctx, d, o)
	}
	if err != nil {
		return nil, err
	}
	r.Elapsed = time.Since(begin)
	return r, nil
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
// before and on the way.
func (r *Result) solve(ctx context.Context, c *circuit, found faults, start *Result) error {
	defer func() { r.Faults = found.sorted() }()
	r.blank(c)
	if found.stop() && len(c.parts) == 0 {
		return nil
	}
	fixed, more := c.reference()
	found = append(found, more...)
	found = append(found, c.openPins()...)
	found = append(found, c.sourceFaults()...)
	found = append(found, c.strandedSources()...)
	found = append(found, c.floatingNets()...)
	if !found.stop() {
		found = append(found, c.overloads()...)
	}
	if found.stop() {
		return nil
	}
	r.notes = found
	more, err := r.operate(ctx, c, fixed, start)
	if err != nil {
		return err
	}
	found = append(found[:len(found):len(found)], more...)
	r.Solved = !found.stop()
	if !r.Solved {
		r.blank(c)
		r.refused = c
	}
	return nil
}

// operate finds the operating point of c and reports it, or says why there is
// none. Junctions in fixed are the references of their islands.
func (r *Result) operate(ctx context.Context, c *circuit, fixed []int, start *Result) (faults, error) {
	s := newSystem(c, fixed)
	if c.hasCurrentSource() {
		if found, ended := r.operateBriefly(ctx, c, s, start); ended {
			return found, ctx.Err()
		}
	}
	found, solved := r.accept(ctx, c, s, c.startAt(start), newton.Settings{Quick: true})
	if !solved && ctx.Err() == nil {
		c.spellOut()
		s = newSystem(c, fixed)
		found, solved = r.accept(ctx, c, s, newton.Point{}, newton.Settings{})
	}
	if solved || ctx.Err() != nil {
		return found, ctx.Err()
	}
	tried := r.giveWay(ctx, s)
	if more := c.overtaxed(tried); more != nil {
		return more, ctx.Err()
	}
	if n := len(tried); n > 0 {
		x := tried[n-1].x
		s.reachBeyond(x)
		found, _ = r.accept(ctx, c, s, x, newton.Settings{})
	}
	return found, ctx.Err()
}

// operateBriefly goes the short ways to a solution and then looks whether there
// is a current that nothing takes, which is found out soon that way. It reports
// whether that was the end.
func (r *Result) operateBriefly(ctx context.Context, c *circuit, s *system, start *Result) (found faults, ended bool) {
	found, solved := r.accept(ctx, c, s, c.startAt(start), newton.Settings{Brief: true})
	if solved || ctx.Err() != nil {
		return found, true
	}
	found = c.overtaxed(r.giveWay(ctx, s))
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

// accept solves the system and reports the solution, if that bears
// verification.
func (r *Result) accept(ctx context.Context, c *circuit, s *system, start newton.Point, how newton.Settings) (found faults, solved bool) {
	x, stats := newton.Solve(ctx, s, start, how)
	r.Method, r.Iterations = stats.Method, r.Iterations+stats.Iterations
	if stats.Status != newton.Converged {
		return faults{{
			Text:  "no operating point was found in " + strconv.Itoa(r.Iterations) + " iterations; look for values that are out of proportion",
			Stops: true,
		}}, false
	}
	within := r.report(c, x, stats.Open)
	if c.looseGates() {
		return r.accept(ctx, c, s, x, how)
	}
	found = append(c.openFaults(stats.Open), r.verify(within)...)
	return found, !found.stop()
}

// spellOut makes the current of every resistor an unknown of its own. That
// costs time, but where a node hangs by a good conductor on others of its kind
// and the whole group on a leakage current, the sum of the good conductances
// would swallow what determines the group's voltage.
func (c *circuit) spellOut() {
	for _, p := range c.parts {
		for i, e := range p.elements {
			if r, ok := e.(*conductor); ok {
				p.elements[i] = &branch{ends: r.ends, ohms: 1 / r.siemens}
			}
		}
	}
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
	number := make(map[string]int, len(old.nets.Nets))
	for i, n := range old.nets.Nets {
		number[n.Name] = i
	}
	for i, n := range c.nets.Nets {
		if j, ok := number[n.Name]; ok {
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
